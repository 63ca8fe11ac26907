"""Small windows: one line of text, one of a list, yes or no."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Input, Label, OptionList
from textual.widgets.option_list import Option

from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.once import Window
from hobmark_tui.views.choices import Choice, narrowed

Check = Callable[[str], str | None]
"""From what was typed to why it will not do; None where it will."""


class Dialog(Window[str | None]):
    """A window over the page; Escape goes back and changes nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("escape", "back", "Back", "dialog.back", "Close this window; nothing is changed."),
    ]

    def action_back(self) -> None:
        """Close without an answer."""
        self.dismiss(None)

    @on(Button.Pressed, "#back")
    def _back_pressed(self) -> None:
        self.action_back()


class LineDialog(Dialog):
    """Asks for one line of text; dismissed with it, or with None."""

    def __init__(self, title: str, hint: str, *, text: str = "", check: Check | None = None, most: int = 200) -> None:
        """`hint` says what to write; what `check` refuses keeps the window open, with its reason."""
        super().__init__()
        self.heading, self.hint, self.text, self.check, self.most = title, hint, text, check, most

    def compose(self) -> ComposeResult:
        """Title, hint, the line, and two buttons."""
        with Vertical(classes="window"):
            yield Label(self.heading, classes="title", markup=False)
            yield Label(self.hint, classes="hint", markup=False)
            yield Input(self.text, max_length=self.most)
            yield Label("", id="refused", markup=False)
            with Horizontal(classes="buttons"):
                yield Button("Keep", id="keep", variant="primary")
                yield Button("Back", id="back")

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def _keep(self) -> None:
        typed = self.query_one(Input).value.strip()
        refused = self.check(typed) if self.check is not None else None
        if refused is None:
            self.dismiss(typed)
        else:
            self.query_one("#refused", Label).update(refused)


class ChoiceDialog(Dialog):
    """Asks for one of a list, narrowed as one types; dismissed with its id, or with None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("down", "into_list", "Into the list", "dialog.list", "Go from the words into the list.", shown=False),
    ]

    def __init__(self, title: str, choices: Sequence[Choice], *, current: str = "", narrow: bool = False) -> None:
        """`current` is highlighted; `narrow` adds a line to type words into."""
        super().__init__()
        self.heading, self.choices, self.current, self.narrow = title, tuple(choices), current, narrow

    def compose(self) -> ComposeResult:
        """Title, words, the list, and a button."""
        with Vertical(classes="window tall" if self.narrow else "window"):
            yield Label(self.heading, classes="title", markup=False)
            if self.narrow:
                yield Input(placeholder="type to narrow the list")
            yield self._filled(OptionList(), "")
            with Horizontal(classes="buttons"):
                yield Button("Back", id="back")

    def _filled(self, options: OptionList, typed: str) -> OptionList:
        """The list with the choices that have every word typed."""
        found = narrowed(self.choices, typed)
        options.set_options([Option(_prompt(choice, choice.id == self.current), id=choice.id) for choice in found])
        places = [place for place, choice in enumerate(found) if choice.id == self.current]
        options.highlighted = (places or [0])[0] if found else None
        return options

    def action_into_list(self) -> None:
        """The arrow leads from the words into the list."""
        self.query_one(OptionList).focus()

    @on(Input.Changed)
    def _narrowed(self, event: Input.Changed) -> None:
        self._filled(self.query_one(OptionList), event.value)

    @on(Input.Submitted)
    def _entered(self) -> None:
        option = self.query_one(OptionList).highlighted_option
        if option is not None:
            self.dismiss(option.id)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)


def _prompt(choice: Choice, current: bool) -> Content:
    sign = "● " if current else ""
    lines = [Content.styled(f"{sign}{choice.label}", "bold")]
    if choice.detail:
        lines.append(Content.styled(choice.detail, "$quiet"))
    return Content("\n").join(lines)
