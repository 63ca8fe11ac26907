"""The window that takes words or a serial number found on a part."""

from __future__ import annotations

from typing import ClassVar

from hobmark.knowledge.base import RATING_PLATE, KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Button, Input, Label, RadioButton, RadioSet, Select

from hobmark_tui.commands.answers import NotAnAnswer, read_words
from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.once import Window

KINDS = ("plate", "serial")
"""What may stand there, in the order of the buttons."""


class WordsDialog(Window[Observation | None]):
    """Asks what stands on a part, and on which; dismissed with the observation, or with None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("escape", "back", "Back", "words.back", "Close this window; nothing is kept."),
    ]

    def __init__(self, base: KnowledgeBase) -> None:
        """The parts are those of the base."""
        super().__init__()
        self.base = base

    def compose(self) -> ComposeResult:
        """The line, what it is, and where it stands."""
        places = [(entry.label, name) for name, entry in self.base.assemblies.items()]
        first = "plates" if "plates" in self.base.assemblies else RATING_PLATE
        if first == RATING_PLATE:
            places.insert(0, ("rating plate", RATING_PLATE))
        with VerticalScroll(classes="window", can_focus=False):
            yield Label("What stands there?", classes="title")
            yield Label("Letter by letter, as it is written.", classes="hint")
            yield Input(max_length=2000, id="words")
            with RadioSet():
                yield RadioButton("words on a plate or part", value=True)
                yield RadioButton("a serial number")
            yield Label("Found on", classes="hint")
            yield Select(places, value=first, allow_blank=False)
            yield Label("", id="refused", markup=False)
            with Horizontal(classes="buttons"):
                yield Button("Keep", id="keep", variant="primary")
                yield Button("Back", id="back")

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def _keep(self) -> None:
        kind = KINDS[max(0, self.query_one(RadioSet).pressed_index)]
        try:
            seen = read_words(self.base, f"{kind} {self.query_one('#words', Input).value.strip()}")
        except NotAnAnswer as reason:
            self.query_one("#refused", Label).update(str(reason))
            return
        if seen is not None:
            self.dismiss(seen.model_copy(update={"found_on": str(self.query_one(Select).value)}))

    def action_back(self) -> None:
        """Close without keeping anything."""
        self.dismiss(None)

    @on(Button.Pressed, "#back")
    def _back_pressed(self) -> None:
        self.action_back()
