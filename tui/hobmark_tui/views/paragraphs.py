"""Paragraphs of a page that is read."""

from __future__ import annotations

from dataclasses import dataclass

HEADING = "bold $text-primary"
QUIET = "$quiet"


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One paragraph: its text, how far it is indented and, from its second line on,
    hangs further in, and how it stands out. An empty text is an empty line."""

    text: str
    indent: int = 0
    style: str = ""
    hang: int = 2
