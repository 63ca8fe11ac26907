"""Folding text to a page: what every plain report is set with."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from dataclasses import dataclass

WIDTH = 78
"""Columns of a plain report."""


@dataclass(frozen=True, slots=True)
class Line:
    """One paragraph and its indents; folded when the width is known."""

    text: str
    first: str = ""
    rest: str = ""


def wrapped(text: str, first: str = "", rest: str = "", width: int = WIDTH) -> str:
    """Text folded to the width, with a first and a following indent."""
    return textwrap.fill(text, width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def folded(lines: Iterable[Line], width: int = WIDTH) -> str:
    """Lines one under another, each folded."""
    return "\n".join(wrapped(line.text, line.first, line.rest, width) for line in lines)


def seconds_words(seconds: float) -> str:
    """Seconds as a person counts them."""
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"
