"""What may be done to a case as a whole: copied, renamed, put in the trash folder and brought back."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial
from pathlib import Path

from hobmark.problems import Refused
from textual import work
from textual.binding import BindingType
from textual.screen import Screen
from textual.widgets import Label

from hobmark_tui.commands.resuming import looks_words
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.sessions.fitness import words
from hobmark_tui.sessions.library import CaseLibrary
from hobmark_tui.sessions.trash import Done, Trash, quoted
from hobmark_tui.views.cases import KEEP, delete_choices
from hobmark_tui.views.choices import Choice
from hobmark_tui.widgets.case_list import CaseList

DEEDS: list[BindingType] = [
    bound("c", "duplicate", "Copy", "cases.duplicate", "A copy of the highlighted case."),
    bound("e", "rename", "Rename", "cases.rename", "Another name for the highlighted case."),
    bound(
        "delete,d",
        "delete",
        "Delete",
        "cases.delete",
        "Asks, then moves the highlighted case to the trash folder; u brings it back.",
        as_key="d",
    ),
    bound(
        "u",
        "undelete",
        "Undelete",
        "cases.undelete",
        "Bring the last deleted case back; one deleted before you began is chosen from the trash folder.",
    ),
]
"""The keys of these deeds, for the page to put among its own."""


class CaseDeeds(Screen[None]):
    """What is done to the highlighted case, and the lines that say what came of it."""

    def __init__(self, library: CaseLibrary) -> None:
        """Work on the cases of a library."""
        super().__init__()
        self.library = library
        self.trash = Trash(library)
        self.one_by_one = asyncio.Lock()

    @property
    def listed(self) -> CaseList:
        """The list."""
        return self.query_one(CaseList)

    def refresh_list(self, highlight: Path | None = None) -> object:
        """Read the folder anew."""
        raise NotImplementedError

    def tell_trouble(self, text: str) -> None:
        """Say what is amiss, and leave it standing until the next thing is done."""
        self._tell("trouble", text)
        self._tell("told", "")

    def tell(self, text: str) -> None:
        """Say what was done, and leave it standing until the next thing is."""
        self._tell("trouble", "")
        self._tell("told", text)

    def _tell(self, where: str, text: str) -> None:
        label = self.query_one(f"#{where}", Label)
        label.update(text)
        label.display = bool(text)

    @work(group="do", description="do to a case")
    async def do(self, otherwise: str, act: Callable[[], Done]) -> None:
        """Do something to the folder, and say and show what came of it; `otherwise` opens what is said if refused."""
        async with self.one_by_one:
            self.tell("")
            try:
                done = await asyncio.to_thread(act)
            except Refused as refused:
                self.tell_trouble(f"{otherwise}: {words(refused)}")
            else:
                self.tell(done.says)
                self.refresh_list(done.path)

    def action_duplicate(self) -> None:
        """A copy beside the highlighted case."""
        entry = self.listed.current_entry
        if entry is not None:
            copied = f"A copy of {quoted(entry.label)}."
            self.do("Not copied", lambda: Done(copied, self.library.duplicate(entry.path)))

    def action_rename(self) -> None:
        """Another name."""
        entry = self.listed.current_entry
        if entry is None:
            return

        def rename(label: str) -> Done:
            self.library.rename(entry.path, label)
            return Done(f"{quoted(entry.label)} has another name: {quoted(label)}.", entry.path)

        def renamed(label: str | None) -> None:
            if label and label != entry.label:
                self.do("Not renamed", lambda: rename(label))

        self.app.push_screen(LineDialog("Name of this case", "As you will look for it.", text=entry.label), renamed)

    def action_delete(self) -> None:
        """Ask, then into the trash folder."""
        entry = self.listed.current_entry
        if entry is None:
            return

        def chosen(answer: str | None) -> None:
            if answer not in (None, KEEP):
                self.do("Not deleted", lambda: self.trash.delete(entry.path, entry.label))

        self.app.push_screen(ChoiceDialog(f"Delete {quoted(entry.label)}?", delete_choices(entry)), chosen)

    def action_undelete(self) -> None:
        """The last deleted case, back in the list; of those deleted before, the one that is chosen."""
        if self.trash.is_empty:
            self.choose_from_trash()
        else:
            self.do("Not brought back", self.trash.restore_last)

    @work(exclusive=True, group="trash")
    async def choose_from_trash(self) -> None:
        """Which of the cases deleted before."""
        self.tell("")
        try:
            entries = await asyncio.to_thread(self.library.trashed)
        except Refused as refused:
            self.tell_trouble(f"The trash folder cannot be read: {words(refused)}")
            return

        def chosen(name: str | None) -> None:
            for entry in entries:
                if str(entry.path) == name:
                    self.do("Not brought back", partial(self.trash.restore, entry.path, entry.label))

        if entries:
            choices = [Choice(str(entry.path), entry.label, looks_words(entry.looks)) for entry in entries]
            self.app.push_screen(ChoiceDialog("Bring back which case?", choices), chosen)
        else:
            self.tell("The trash folder is empty.")
