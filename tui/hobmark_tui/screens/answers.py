"""Every answer of a case: change it, take it back, write a note on it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import TYPE_CHECKING, ClassVar

from hobmark.knowledge.base import KnowledgeBase
from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Label, OptionList
from textual.widgets.option_list import Option

from hobmark_tui.screens.dialogs import LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.once import Once
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.views.answers import AnswerLine, answers_view
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.plain_list import PlainList

if TYPE_CHECKING:
    from hobmark_tui.app import HobmarkApp


class AnswersScreen(Once[str | None]):
    """The answers in the order given; dismissed with the feature to ask again, or with None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("enter", "change", "Change", "answers.change", "Ask this look again; the new answer takes its place."),
        bound("delete,backspace,x", "remove", "Take back", "answers.remove", "Take this answer back.", as_key="x"),
        bound("t", "note", "Note", "answers.note", "A note on this answer."),
        bound("u", "undo", "Undo", "answers.undo", "Take back the last change."),
        bound("r,ctrl+r", "redo", "Redo", "answers.redo", "Do again what was taken back.", as_key="r"),
        bound("escape,q", "back", "Back", "answers.back", "Back to the look.", as_key="q"),
    ]

    app: HobmarkApp

    def __init__(self, base: KnowledgeBase, session: CaseSession, hand: Executor) -> None:
        """The answers of an open session; `hand` is what changes it, one thing after another."""
        super().__init__()
        self.base, self.session, self.hand = base, session, hand
        self.is_left = False

    def compose(self) -> ComposeResult:
        """The list."""
        yield Label(f"Answers: {self.session.case.label}", classes="title", markup=False)
        yield Label("", id="trouble", markup=False)
        yield PlainList()
        yield KeyFooter()

    def on_mount(self) -> None:
        """Fill the list."""
        self._show()

    def _show(self) -> None:
        if self.is_left or self.app.is_leaving:
            return
        options = self.query_one(OptionList)
        place = options.highlighted or 0
        lines = answers_view(self.base, self.session.case)
        options.set_options([Option(_prompt(line)) for line in lines])
        options.highlighted = min(place, len(lines) - 1) if lines else None
        if not lines:
            options.set_options([Option("Nothing was answered yet.", disabled=True)])
        trouble = self.query_one("#trouble", Label)
        trouble.update(f"Not kept on disk: {self.session.trouble}" if self.session.trouble else "")
        trouble.display = self.session.trouble is not None

    def _line(self) -> AnswerLine | None:
        lines = answers_view(self.base, self.session.case)
        place = self.query_one(OptionList).highlighted
        return lines[place] if place is not None and place < len(lines) else None

    def _change(self, act: Callable[[], object]) -> None:
        self._changed(self.hand.submit(act))

    @work(description="change an answer")
    async def _changed(self, done: Future[object]) -> None:
        await asyncio.shield(asyncio.wrap_future(done))
        self._show()

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        self.action_change()

    def action_change(self) -> None:
        """Ask the look of the highlighted answer again."""
        line = self._line()
        if line is None:
            return
        if line.feature is None:
            self.notify("Words are not asked for. Take them back with x, and write them anew with p.", markup=False)
        else:
            self.is_left = True
            self.dismiss(line.feature)

    def action_remove(self) -> None:
        """Take the highlighted answer back."""
        line = self._line()
        if line is not None:
            self._change(lambda: self.session.remove(line.index))

    def action_note(self) -> None:
        """Write a note on the highlighted answer."""
        line = self._line()
        if line is None:
            return
        seen = self.session.case.observations[line.index]

        def kept(text: str | None) -> None:
            if text is not None:
                noted = seen.model_copy(update={"note": text or None})
                self._change(lambda: self.session.replace(line.index, noted))

        self.app.push_screen(LineDialog("A note on this answer", line.says, text=line.note), kept)

    def action_undo(self) -> None:
        """Take back the last change of the case."""
        self._change(self.session.undo)

    def action_redo(self) -> None:
        """Do again what was taken back."""
        self._change(self.session.redo)

    def action_back(self) -> None:
        """Back to the look."""
        self.is_left = True
        self.dismiss(None)


def _prompt(line: AnswerLine) -> Content:
    said = Content(line.says)
    return said + Content.styled(f"\n  {line.note}", "$quiet") if line.note else said
