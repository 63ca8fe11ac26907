"""Bars and columns drawn with characters."""

from __future__ import annotations

from collections.abc import Sequence

EIGHTHS = " ▏▎▍▌▋▊▉█"
"""A cell filled from the left by 0 to 8 eighths."""
RISING = " ▁▂▃▄▅▆▇█"
"""A cell filled from below by 0 to 8 eighths."""


def bar(share: float, width: int) -> str:
    """A bar of `width` cells of which `share` (0 to 1) is filled, to an eighth of a cell; never empty above 0."""
    eighths = round(max(0.0, min(1.0, share)) * width * 8)
    if share > 0:
        eighths = max(1, eighths)
    whole, rest = divmod(eighths, 8)
    return ("█" * whole + (EIGHTHS[rest] if rest else "")).ljust(width)


def columns(heights: Sequence[float], rows: int, thick: int = 1) -> list[str]:
    """Upright bars, the highest as tall as `rows`, each `thick` cells wide; lines from the top."""
    top = max(heights, default=0.0)
    if top <= 0:
        return [" " * (len(heights) * thick)] * rows
    filled = [max(1, round(height / top * rows * 8)) if height > 0 else 0 for height in heights]
    lines = []
    for row in range(rows - 1, -1, -1):
        lines.append("".join(RISING[max(0, min(8, eighths - 8 * row))] * thick for eighths in filled))
    return lines


def shortened_to(text: str, width: int) -> str:
    """Text in at most `width` cells, the cut shown."""
    return text if len(text) <= width else text[: max(0, width - 1)].rstrip() + "…"
