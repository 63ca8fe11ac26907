"""Your cases: a list to open from, with its leading answers, and what may be done to a case as a whole."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from hobmark.case import read_case, write_case
from hobmark.problems import Refused
from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widgets import Button, Input, Label, OptionList
from textual.worker import get_current_worker

from hobmark_tui.commands.resuming import looks_words
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.sessions.fitness import words
from hobmark_tui.sessions.library import CaseLibrary
from hobmark_tui.sessions.naming import new_case_path
from hobmark_tui.views.cases import WELCOME, bare, example_choices, leader_words
from hobmark_tui.views.choices import Choice
from hobmark_tui.views.paragraphs import Paragraph
from hobmark_tui.widgets.case_list import CaseList
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.prose import Prose

if TYPE_CHECKING:
    from hobmark_tui.app import HobmarkApp

ON_A_CASE = frozenset({"open", "filter", "duplicate", "rename", "delete"})
"""What can be done only where there is a case."""


class CasesScreen(Screen[None]):
    """The folder of your cases."""

    AUTO_FOCUS = "CaseList"
    BINDINGS: ClassVar[list[BindingType]] = [
        bound("n", "new", "New", "cases.new", "A new case.", shown=False),
        bound("enter", "open", "Open", "cases.open", "Go on with the highlighted case."),
        bound("slash,f", "filter", "Filter", "cases.filter", "Type words; the list shows what has them.", as_key="f"),
        bound("c", "duplicate", "Copy", "cases.duplicate", "A copy of the highlighted case."),
        bound("e", "rename", "Rename", "cases.rename", "Another name for the highlighted case."),
        bound(
            "delete,backspace,d",
            "delete",
            "Delete",
            "cases.delete",
            "Move the highlighted case to the trash folder; u brings it back.",
            as_key="d",
        ),
        bound("u", "undelete", "Undelete", "cases.undelete", "Bring the last deleted case back."),
        bound(
            "x",
            "example",
            "Example",
            "cases.example",
            "Copy a shipped example into your cases and open it.",
            shown=False,
        ),
        bound("escape", "list", "Back to the list", "cases.list", "From the filter back to the list.", as_key="Esc"),
        bound("q", "app.quit", "Quit", "cases.quit", "Leave hobmark; everything is kept."),
    ]

    app: HobmarkApp

    def __init__(self, library: CaseLibrary) -> None:
        """Show the cases of a library."""
        super().__init__()
        self.library = library
        self.trashed: list[Path] = []

    def compose(self) -> ComposeResult:
        """Filter, list, and buttons for a finger."""
        yield Label(
            f"Your cases · {self.library.folder.name if self.library.stays_inside else self.library.folder}",
            classes="title",
            markup=False,
        )
        yield Label("", id="trouble", markup=False)
        yield Prose(tuple(Paragraph(line) for line in WELCOME), id="welcome")
        yield Input(placeholder="type to filter the list", id="filter")
        yield CaseList(id="cases")
        with Horizontal(id="begin"):
            yield Button("n  New case", id="new", variant="primary")
            yield Button("x  Open a shipped example", id="example")
        yield KeyFooter()

    def on_mount(self) -> None:
        """Read the folder."""
        self.refresh_list()

    def on_screen_resume(self) -> None:
        """What was done to a case meanwhile shows."""
        self.refresh_list()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What is done to a case needs one; the filter is gone to from the list, and the list from the filter."""
        filters = isinstance(self.focused, Input)
        if (action == "list" and not filters) or (action == "filter" and filters):
            return False
        if action in ON_A_CASE:
            return any(each.entries for each in self.query(CaseList))
        return super().check_action(action, parameters)

    def tell_trouble(self, text: str) -> None:
        """Say what is amiss, and leave it standing until the next thing is done."""
        label = self.query_one("#trouble", Label)
        label.update(text)
        label.display = bool(text)

    @work(exclusive=True, group="list", description="list the cases")
    async def refresh_list(self, highlight: Path | None = None) -> None:
        """Read the folder anew, then each leading answer."""
        try:
            self.listed.entries = tuple(await asyncio.to_thread(self.library.entries))
        except Refused as refused:
            self.listed.entries = ()
            self.tell_trouble(f"Not listed: {words(refused)}")
        self.show_list(highlight)
        if not self.app.is_leaving:
            self.reckon()

    def show_list(self, highlight: Path | None = None) -> None:
        """The cases that have all words of the filter; the welcome where there is none at all."""
        if self.app.is_leaving:
            return
        self.listed.words = tuple(self.query_one("#filter", Input).value.casefold().split())
        self.listed.show(highlight)
        begun = bool(self.listed.entries)
        self.query_one("#welcome").display = not begun
        self.listed.display = self.query_one("#filter").display = begun
        self.refresh_bindings()

    @property
    def listed(self) -> CaseList:
        """The list."""
        return self.query_one(CaseList)

    @work(thread=True, exclusive=True, group="leaders")
    def reckon(self) -> None:
        """The leading answers one by one, newest case first."""
        worker, listed = get_current_worker(), self.listed
        for entry in listed.entries:
            key = (entry.path, entry.touched)
            if worker.is_cancelled:
                return
            if entry.problem is not None or key in listed.leaders:
                continue
            try:
                leader = leader_words(self.app.compiled, entry.path)
            except Refused as refused:
                leader = f"cannot be examined: {words(refused)}"
            if not (worker.is_cancelled or self.app.is_leaving):
                self.app.call_from_thread(listed.lead, entry, leader)

    @on(Input.Changed, "#filter")
    def _filtered(self) -> None:
        self.show_list()

    @on(Input.Submitted, "#filter")
    def _entered(self) -> None:
        self.action_open()

    @on(OptionList.OptionSelected, "#cases")
    def _selected(self) -> None:
        self.action_open()

    def action_filter(self) -> None:
        """Type words."""
        if self.listed.entries:
            self.query_one("#filter", Input).focus()

    def action_list(self) -> None:
        """From the filter back to the list; the filter is cleared."""
        self.query_one("#filter", Input).value = ""
        self.listed.focus()

    def action_open(self) -> None:
        """Go on with the highlighted case."""
        if self.listed.current is not None:
            self.tell_trouble("")
            self.app.open_case(self.listed.current)

    @work(group="do", description="do to a case")
    async def do(self, act: Callable[[], Path | None]) -> None:
        """Do something to the folder, show what came of it, and say why where it is refused."""
        self.tell_trouble("")
        try:
            path = await asyncio.to_thread(act)
        except Refused as refused:
            self.tell_trouble(f"Not done: {words(refused)}")
        else:
            self.refresh_list(path)

    @on(Button.Pressed, "#new")
    def action_new(self) -> None:
        """Ask for a name and begin."""

        def named(label: str | None) -> None:
            if label is not None:
                self.tell_trouble("")
                self.app.begin_case(label or "a range")

        hint = "As you will look for it: green range, house clearance."
        self.app.push_screen(LineDialog("A new case: what is it called?", hint), named)

    @on(Button.Pressed, "#example")
    @work(exclusive=True, group="example")
    async def action_example(self) -> None:
        """Choose a shipped case, copy it, open the copy."""
        choices = await asyncio.to_thread(example_choices, self.app.roots, self.app.compiled.base)

        def chosen(name: str | None) -> None:
            if name is not None:
                self.copy_example(Path(name))

        self.app.push_screen(ChoiceDialog("Open a copy of which example?", choices), chosen)

    @work(exclusive=True, group="example", description="copy an example")
    async def copy_example(self, path: Path) -> None:
        """A shipped case, copied into the folder and opened."""
        try:
            copy = await asyncio.to_thread(self._copied, path)
        except Refused as refused:
            self.tell_trouble(f"Not copied: {words(refused)}")
        else:
            self.app.open_case(copy)

    def _copied(self, path: Path) -> Path:
        case = bare(read_case(path, self.app.compiled.base).case)
        copy = new_case_path(self.library.folder)
        write_case(copy, case)
        return copy

    def action_duplicate(self) -> None:
        """A copy beside the highlighted case."""
        path = self.listed.current
        if path is not None:
            self.do(lambda: self.library.duplicate(path))

    def action_rename(self) -> None:
        """Another name."""
        path = self.listed.current
        if path is None:
            return

        def renamed(label: str | None) -> None:
            if label:
                self.do(lambda: self.library.rename(path, label))

        label = next(entry.label for entry in self.listed.entries if entry.path == path)
        self.app.push_screen(LineDialog("Name of this case", "As you will look for it.", text=label), renamed)

    def action_delete(self) -> None:
        """Into the trash folder."""
        path = self.listed.current
        if path is None:
            return

        def deleted() -> None:
            self.trashed.append(self.library.delete(path))

        self.do(deleted)
        self.notify("Moved to the trash folder; u brings it back.", markup=False)

    def action_undelete(self) -> None:
        """The last deleted case, back in the list; of those deleted before, the one that is chosen."""
        if self.trashed:
            path = self.trashed.pop()
            self.do(lambda: self.library.restore(path))
        else:
            self.choose_from_trash()

    @work(exclusive=True, group="trash")
    async def choose_from_trash(self) -> None:
        """Which of the cases deleted before."""
        entries = await asyncio.to_thread(self.library.trashed)

        def chosen(name: str | None) -> None:
            if name is not None:
                self.do(lambda: self.library.restore(Path(name)))

        if entries:
            choices = [Choice(str(entry.path), entry.label, looks_words(entry.looks)) for entry in entries]
            self.app.push_screen(ChoiceDialog("Bring back which case?", choices), chosen)
        else:
            self.notify("The trash folder is empty.", markup=False)
