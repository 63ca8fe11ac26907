"""Folding text to a page: what every plain report is set with."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from dataclasses import dataclass

WIDTH = 78
"""Columns of a plain report."""


@dataclass(frozen=True, slots=True)
class Line:
    """One paragraph and its indents; folded when the width is known. `tail` goes to the right edge, below or behind."""

    text: str
    first: str = ""
    rest: str = ""
    tail: str = ""


def wrapped(text: str, first: str = "", rest: str = "", width: int = WIDTH) -> str:
    """Text folded to the width, with a first and a following indent."""
    return textwrap.fill(text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def folded(lines: Iterable[Line], width: int = WIDTH) -> str:
    """Lines one under another, each folded."""
    return "\n".join(_with_tail(wrapped(line.text, line.first, line.rest, width), line.tail, width) for line in lines)


def _with_tail(text: str, tail: str, width: int) -> str:
    if not tail:
        return text
    room = width - len(text.rpartition("\n")[2]) - 2
    return text + (tail.rjust(room + 2) if len(tail) <= room else f"\n{tail.rjust(width)}")


def seconds_words(seconds: float) -> str:
    """Seconds as a person counts them."""
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"
