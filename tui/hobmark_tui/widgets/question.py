"""The question: what to look at, why, and where."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from hobmark_tui.views.look import LookView
from hobmark_tui.widgets.drawn import Drawn, folded


class Question(Drawn[LookView]):
    """A look's question, and why it is asked."""

    def lines(self, view: LookView, width: int) -> Sequence[Content]:
        """The question stands out; the reason is quiet."""
        found = [
            *folded(view.question, width, "bold $text-primary"),
            *folded(view.reason, width, "italic $quiet"),
        ]
        if view.so_far:
            found += folded(f"So far: {view.so_far}. An answer takes its place.", width, "$text-accent")
        return found


class Where(Drawn[LookView]):
    """Where to look, and how not to be misled. On a low screen it stands below the values, which are then in sight."""

    def lines(self, view: LookView, width: int) -> Sequence[Content]:
        """One paragraph."""
        return folded(view.where, width)
