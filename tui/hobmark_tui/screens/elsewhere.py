"""Examining a case that lies in no list: one that was named where the program was started, outside your cases."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from hobmark_tui.screens.examine import ExamineScreen
from hobmark_tui.screens.keys import bound


class ElsewhereScreen(ExamineScreen):
    """No list would show this case again, so what leaves it leaves the program."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("q", "leave", "Leave", "case.leave", "Leave hobmark; everything is kept in the file you named."),
        Binding("escape", "stay", show=False),
    ]

    def go(self) -> None:
        """Out of the program; the list that is not gone back to is not shown."""
        self.app.exit()

    def action_stay(self) -> None:
        """Escape goes back a page everywhere; from here there is none to go back to."""
        self.tell("q leaves hobmark; everything is kept.")
