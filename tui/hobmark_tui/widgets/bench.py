"""Pieces of the bench page: a numbered list narrowed by words, and a sheet of text with its signs in colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from hobmark_tui.views.bench import Sheet
from hobmark_tui.views.choices import Choice, narrowed
from hobmark_tui.views.look import KEYS
from hobmark_tui.widgets.drawn import Drawn, folded

WIDEST = 96
"""Columns beyond which a line is hard to follow back."""
WORDS = {
    "STOP": "bold $text-error",
    "DOES NOT FIT": "bold $text-error",
    "PROHIBITED": "bold $text-error",
    "UNPROVEN": "bold $text-warning",
    "EXACT": "bold $text-success",
    "INTERCHANGES": "bold $text-success",
    "FITS": "bold $text-success",
}
"""Colours of verdicts; the words say it without them."""
SIGNS = {
    "!": "$text-warning",
    "Caution": "bold $text-warning",
    "***": "bold $text-error",
    "[NO]": "$text-error",
    "[ok]": "$text-success",
    **WORDS,
}
"""Colours of lines by what they begin with."""


class Numbered(OptionList):
    """Choices with the key that takes each before its words."""

    DEFAULT_CSS = """
    Numbered { height: auto; border: none; background: $background; padding: 0; }
    Numbered:focus { border: none; }
    """

    plain = "bold"
    """Style of words that are no verdict."""

    def __init__(self, *, id: str | None = None) -> None:
        """Empty at first."""
        super().__init__(id=id)
        self.choices: tuple[Choice, ...] = ()

    def key(self, place: int) -> str:
        """The key that takes the choice at a place; a blank where it has none."""
        return KEYS[place] if place < len(KEYS) else " "

    def _prompt(self, place: int, choice: Choice) -> Content:
        """Key and words, each line below the first indented; folded where the width is known."""
        width = self.scrollable_content_region.width
        room = width - 3 if width > 3 else 1_000
        style = next((style for word, style in WORDS.items() if word in choice.label), self.plain)
        lines = [*folded(choice.label, room, style), *folded(choice.detail, room, "$quiet")]
        pads = [Content.styled(f"{self.key(place)}  ", "bold $text-primary"), *[Content("   ")] * (len(lines) - 1)]
        return Content("\n").join(pad + line for pad, line in zip(pads, lines, strict=True))

    def offer(self, choices: Sequence[Choice], *, first: bool = False) -> None:
        """Show these; `first` puts the cursor on the first."""
        self.choices = tuple(choices)
        self.set_options([Option(self._prompt(place, each)) for place, each in enumerate(choices)])
        self.highlighted = 0 if choices and first else None

    def on_resize(self) -> None:
        """Fold the words anew."""
        for place, each in enumerate(self.choices):
            self.replace_option_prompt_at_index(place, self._prompt(place, each))

    def at(self, number: int) -> Choice | None:
        """The choice that the number key stands before, from 1."""
        return self.choices[number - 1] if 0 < number <= len(self.choices) else None

    def picked(self, event: OptionList.OptionSelected) -> Choice:
        """The choice that was taken by Enter or a tap."""
        return self.choices[event.option_index]


class Lettered(Numbered):
    """Choices that are actions of the page, each with the letter that does the same and what is known of it."""

    plain = ""

    def __init__(self, letters: Mapping[str, str], *, id: str) -> None:
        """`letters`: action to key."""
        super().__init__(id=id)
        self.letters = letters

    def key(self, place: int) -> str:
        """The letter of the action at a place."""
        return self.letters[self.choices[place].id]


class PickList(Vertical):
    """A line to type words into, and the choices that have them all."""

    DEFAULT_CSS = """
    PickList { height: 1fr; }
    PickList Numbered { height: 1fr; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("down", "into_list", "Into the list", show=False)]

    @dataclass
    class Picked(Message):
        """One was taken."""

        choice: Choice

    def __init__(self, hint: str, *, id: str) -> None:
        """`hint` stands in the line until something is typed."""
        super().__init__(id=id)
        self.hint = hint
        self.every: tuple[Choice, ...] = ()

    def compose(self) -> ComposeResult:
        """The line and the list."""
        yield Input(placeholder=self.hint, compact=True)
        yield Numbered()

    def offer(self, choices: Sequence[Choice]) -> None:
        """Choose from these."""
        self.every = tuple(choices)
        self._fill()

    def _fill(self) -> None:
        self.query_one(Numbered).offer(narrowed(self.every, self.query_one(Input).value), first=True)

    def find(self) -> None:
        """Into the line."""
        self.query_one(Input).focus()

    def action_into_list(self) -> None:
        """From the line into the list."""
        self.query_one(Numbered).focus()

    def pick(self, number: int) -> None:
        """Take the choice that a number stands before."""
        choice = self.query_one(Numbered).at(number)
        if choice is not None:
            self.post_message(self.Picked(choice))

    @on(Input.Changed)
    def _narrowed(self, event: Input.Changed) -> None:
        event.stop()
        self._fill()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        highlighted = self.query_one(Numbered).highlighted
        if highlighted is not None:
            self.pick(highlighted + 1)

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(self.Picked(self.query_one(Numbered).picked(event)))


class SheetText(Drawn[Sheet]):
    """A sheet, folded to the width; drawn once for each width."""

    drawn: tuple[Sheet, int, Sequence[Content]] | None = None

    def lines(self, view: Sheet, width: int) -> Sequence[Content]:
        """Each paragraph in the colour of its sign."""
        if self.drawn is None or self.drawn[0] is not view or self.drawn[1] != width:
            paragraphs = view.fold(min(width, WIDEST))
            self.drawn = (view, width, [line for each in paragraphs for line in _styled(each)])
        return self.drawn[2]


def _styled(paragraph: str) -> list[Content]:
    """The lines of a paragraph in the colour of its sign; a heading in capitals stands out."""
    bare = paragraph.lstrip()
    style = next((style for sign, style in SIGNS.items() if bare.startswith(sign)), "")
    first = bare.split(" ")[0].rstrip(":,")
    if not style and bare == paragraph and len(first) > 2 and first.isalpha() and first.isupper():
        style = "bold $text-primary"
    return [Content.styled(line, style) for line in paragraph.split("\n")]
