"""Pages that are read: dates and originality, and the cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from hobmark.reports.identify import Findings
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Label

from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.once import Once
from hobmark_tui.views.cautions import cautions_view
from hobmark_tui.views.dates import dates_view, timeline
from hobmark_tui.widgets.drawn import Drawn
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.panels import STYLES
from hobmark_tui.widgets.prose import Prose

WIDEST = 110
"""Columns beyond which a wider timeline helps nobody."""


class Page(Once[None]):
    """A page that is read and left again."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("escape,q", "back", "Back", "page.back", "Back to the look.", as_key="q"),
    ]
    AUTO_FOCUS = "VerticalScroll"

    def action_back(self) -> None:
        """Back to where one came from."""
        self.dismiss(None)


class Timeline(Drawn[Findings]):
    """The years of the range and of each assembly, one under another on one scale."""

    def lines(self, view: Findings, width: int) -> Sequence[Content]:
        """As wide as there is room, up to where it no longer helps."""
        lines = timeline(view, min(width, WIDEST))
        return [Content.styled(line.text, STYLES[line.sign] if line.sign is not None else "") for line in lines]


class DatesScreen(Page):
    """Dates and originality, assembly under assembly."""

    def __init__(self, found: Findings) -> None:
        """Show what was found."""
        super().__init__()
        self.found = found

    def compose(self) -> ComposeResult:
        """The timeline, then what is known of each assembly."""
        yield Label(f"Dates and originality: {self.found.label}", classes="title", markup=False)
        with VerticalScroll():
            yield Timeline(self.found)
            yield Prose(dates_view(self.found))
        yield KeyFooter()


class CautionsScreen(Page):
    """All cautions in full."""

    def __init__(self, found: Findings) -> None:
        """Show what was found."""
        super().__init__()
        self.found = found

    def compose(self) -> ComposeResult:
        """One paragraph after another."""
        yield Label(f"Cautions: {self.found.label}", classes="title", markup=False)
        with VerticalScroll():
            yield Prose(cautions_view(self.found))
        yield KeyFooter()
