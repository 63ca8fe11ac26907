"""Whatever stands in a file, a name or a label: on the screen it is text, and commands no terminal."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter


class PlainLine(LineFilter):
    """Every line as it is drawn, without signs that are not seen: controls, escapes, what turns the line about."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002 - as LineFilter has it
        """The segments, those with such signs made plain; each as wide as it was."""
        if all(segment.text.isprintable() for segment in segments):
            return segments
        return [Segment(plain(segment.text), segment.style, segment.control) for segment in segments]


@lru_cache(4096)
def plain(text: str) -> str:
    """Text without signs that are not seen, as wide as it was."""
    return "".join(sign if _is_seen(sign) else "?" * cell_len(sign) for sign in text)


def _is_seen(sign: str) -> bool:
    return sign.isprintable() or unicodedata.category(sign) == "Zs"
