"""The line of the page that says what was done last. It is always there, so that what it says moves nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from time import monotonic

from textual.content import Content

from hobmark_tui.views.drawing import shortened_to
from hobmark_tui.views.told import ToldView
from hobmark_tui.widgets.drawn import Drawn, folded

LASTS = 6.0
"""Seconds for which what is said in passing stands, whatever is done meanwhile."""
NARROW = 70
"""Columns below which the line has two rows; hobmark.tcss keeps as many free."""


class Told(Drawn[ToldView]):
    """What was done last, quietly; what else is said, in a colour and in full."""

    def __init__(self, *, id: str) -> None:
        """Nothing was said yet."""
        super().__init__(ToldView(), id=id)
        self.said_at = -LASTS
        """When something was last said in passing, on a clock that only goes on."""

    def say(self, text: str) -> None:
        """Say something in passing."""
        self.view, self.said_at = ToldView(more=text), monotonic()

    def show(self, told: ToldView, notice: str) -> None:
        """Say what was done, and what the person should know beside it."""
        if notice:
            self.said_at = monotonic()
        elif self.view is not None and monotonic() < self.said_at + LASTS:
            notice = self.view.more
        self.view = replace(told, more=notice)

    def lines(self, view: ToldView, width: int) -> Sequence[Content]:
        """What was done never takes more rows than are kept free: what it was done to is cut, the cut shown."""
        found: list[Content] = []
        if view.opens:
            rows = 1 if width >= NARROW else 2
            said = f"{view.opens}{view.what}{view.ends}"
            room = len(view.what)
            while room and len(folded(said, width)) > rows:
                room -= 1
                said = f"{view.opens}{shortened_to(view.what, room)}{view.ends}"
            found += folded(said, width, "$quiet")
        return [*found, *folded(view.more, width, "$text-warning")]
