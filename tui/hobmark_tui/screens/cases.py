"""Your cases: a list to open from, with its leading answers, and what may be done to a case as a whole."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from hobmark.case import read_case, write_case
from hobmark.problems import Refused, spelt
from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.widgets import Button, Input, Label, OptionList
from textual.worker import get_current_worker

from hobmark_tui.screens.case_deeds import DEEDS, CaseDeeds
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.sessions.fitness import words
from hobmark_tui.sessions.library import CaseLibrary
from hobmark_tui.sessions.naming import new_case_path
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.views.cases import WELCOME, bare, example_choices, leader_words
from hobmark_tui.views.paragraphs import Paragraph
from hobmark_tui.widgets.case_list import CaseList
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.prose import Prose

if TYPE_CHECKING:
    from hobmark_tui.app import HobmarkApp

ON_A_CASE = frozenset({"open", "filter", "into_list", "duplicate", "rename", "delete"})
"""What can be done only where there is a case."""
IN_FILTER = frozenset({"into_list"})
"""What can be done only in the filter."""


class CasesScreen(CaseDeeds):
    """The folder of your cases."""

    AUTO_FOCUS = "CaseList"
    BINDINGS: ClassVar[list[BindingType]] = [
        bound("n", "new", "New", "cases.new", "A new case.", shown=False),
        bound("enter", "open", "Open", "cases.open", "Go on with the highlighted case."),
        bound(
            "slash,f",
            "filter",
            "Filter",
            "cases.filter",
            "Then type words: the list shows what has them. A letter that is no key of this page begins a word too.",
            as_key="f",
        ),
        *DEEDS,
        bound(
            "x",
            "example",
            "Example",
            "cases.example",
            "Copy a shipped example into your cases and open it.",
            shown=False,
        ),
        bound("escape", "list", "All cases", "cases.list", "Clear the filter, and back to the list.", as_key="Esc"),
        bound("down,up", "into_list", "Into the list", "cases.into", "From the filter into what it left.", shown=False),
        bound("q", "app.quit", "Quit", "cases.quit", "Leave hobmark; everything is kept."),
    ]

    app: HobmarkApp

    def __init__(self, library: CaseLibrary) -> None:
        """Show the cases of a library."""
        super().__init__(library)
        self.examined: CaseSession | None = None
        """The case that was opened last, whose file may have got another name meanwhile."""
        self.wanted: Path | None = None
        """The case to highlight as soon as it is listed."""

    def compose(self) -> ComposeResult:
        """Filter, list, and buttons for a finger."""
        folder = self.library.folder.name if self.library.stays_inside else str(self.library.folder)
        yield Label(f"Your cases · {spelt(folder)}", classes="title", markup=False)
        yield Label("", id="trouble", markup=False)
        yield Prose(tuple(Paragraph(line) for line in WELCOME), id="welcome")
        yield Input(placeholder="f or / to filter the list by words", id="filter", select_on_focus=False)
        yield CaseList(id="cases")
        yield Label("", id="told", markup=False)
        with Horizontal(id="begin"):
            yield Button("n  New case", id="new", variant="primary")
            yield Button("x  Open a shipped example", id="example")
        yield KeyFooter()

    def on_mount(self) -> None:
        """Read the folder."""
        self.refresh_list()

    def on_screen_resume(self) -> None:
        """What was done to a case meanwhile shows; the case that one comes back from is highlighted."""
        back = None
        if self.examined is not None and self.is_current:
            back, self.examined = self.library.listed_as(self.examined.path), None
        self.refresh_list(back)

    def on_key(self, event: events.Key) -> None:
        """What is typed on the list goes into the filter, unless it is a key of this page."""
        if not self.is_current or not self.listed.entries:
            return
        line = self.query_one("#filter", Input)
        hurried = self.focused is line  # typed on the list, but the letter before it has led to the filter
        is_word = hurried or (event.key not in self.active_bindings and event.character != " ")
        if event.key == "backspace":
            line.action_delete_left()
        elif event.is_printable and is_word:
            self.set_focus(line)
            line.insert_text_at_cursor(event.character or "")
        else:
            return
        event.stop()
        event.prevent_default()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What is done to a case needs one; the filter is gone to from the list, and the list from the filter."""
        line = self.query("#filter").first(Input) if self.query("#filter") else None
        filters = line is not None and self.focused is line
        if action == "list":
            return filters or bool(line is not None and line.value)
        if (action in IN_FILTER and not filters) or (action == "filter" and filters):
            return False
        if action in ON_A_CASE:
            return any(each.entries for each in self.query(CaseList))
        return super().check_action(action, parameters)

    @work(exclusive=True, group="list", description="list the cases")
    async def refresh_list(self, highlight: Path | None = None) -> None:
        """Read the folder anew, then each leading answer; highlight a case, else the one that was highlighted."""
        self.wanted = highlight or self.wanted
        try:
            self.listed.entries = tuple(await asyncio.to_thread(self.library.entries))
        except Refused as refused:
            self.listed.entries = ()
            self.tell_trouble(f"Not listed: {words(refused)}")
        self.show_list()
        if not self.app.is_leaving:
            self.reckon()

    def show_list(self) -> None:
        """The cases that have all words of the filter; the welcome where there is none at all.

        A case that is to be highlighted is not hidden: the filter makes way for it.
        """
        if self.app.is_leaving:
            return
        line, wanted, self.wanted = self.query_one("#filter", Input), self.wanted, None
        self.listed.words = tuple(line.value.casefold().split())
        if wanted is not None and self.listed.hides(wanted):
            line.value, self.listed.words = "", ()
        self.listed.show(wanted)
        begun = bool(self.listed.entries)
        self.query_one("#welcome").display = not begun
        self.listed.display = self.query_one("#filter").display = begun
        self.refresh_bindings()

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
        """Back to the list of all cases; the filter is cleared."""
        self.query_one("#filter", Input).value = ""
        self.listed.focus()

    def action_into_list(self) -> None:
        """From the filter into what it left."""
        self.listed.focus()

    def action_open(self) -> None:
        """Go on with the highlighted case."""
        if self.listed.current is not None:
            self.tell("")
            self.app.open_case(self.listed.current)

    @on(Button.Pressed, "#new")
    def action_new(self) -> None:
        """Ask for a name and begin."""

        def named(label: str | None) -> None:
            if label is not None:
                self.tell("")
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
