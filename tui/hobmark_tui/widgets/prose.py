"""A page of headings and paragraphs, folded to the width."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from hobmark_tui.views.paragraphs import Paragraph
from hobmark_tui.widgets.drawn import Drawn, folded


class Prose(Drawn[tuple[Paragraph, ...]]):
    """Paragraphs one under another."""

    def lines(self, view: tuple[Paragraph, ...], width: int) -> Sequence[Content]:
        """Each folded and indented; an empty one is an empty line."""
        found: list[Content] = []
        for paragraph in view:
            pad = " " * paragraph.indent
            if not paragraph.text:
                found.append(Content(""))
                continue
            lines = folded(
                paragraph.text, max(8, width - paragraph.indent), paragraph.style, indent=" " * paragraph.hang
            )
            found += [Content(pad) + line for line in lines]
        return found
