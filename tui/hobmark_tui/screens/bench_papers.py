"""Papers from any page of the bench: written next to the case, or where one says, and opened in the browser."""

from __future__ import annotations

import asyncio
import os
import sys
import webbrowser
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import ClassVar

from hobmark.problems import Refused
from textual import work
from textual.binding import BindingType
from textual.widgets import Label

from hobmark_tui.screens.bench_desk import BenchPage
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.sessions.fitness import words
from hobmark_tui.views.bench_papers import (
    Paper,
    paper_choices,
    paper_path,
    path_refused,
    typed_path,
    write_paper,
)
from hobmark_tui.views.bench_symptoms import to_clear
from hobmark_tui.views.choices import Choice

REPLACE, OTHER = "replace", "other"
MOST = 1000
"""Signs of a file's name with its folders."""


def has_browser() -> bool:
    """Whether a browser with a window can be opened here: over ssh and on a bare console there is none."""
    if sys.platform not in ("darwin", "win32") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return False
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


class Papers(BenchPage):
    """The key that writes, and what comes of it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound(
            "o",
            "paper",
            "On paper",
            "bench.paper",
            "Report, set-up card or order sheet as a page to print.",
            shown=False,
        ),
    ]

    def action_paper(self) -> None:
        """Choose a paper, then its name."""

        def chosen(paper: str | None) -> None:
            if paper is not None:
                self._ask_name(Paper(paper), "")

        stops = [each.label for each in to_clear(self.desk.base, self.desk.case.bench)]
        choices = paper_choices(self.desk.bench, stops)
        self.app.push_screen(ChoiceDialog("What is to be written?", choices), chosen)

    def _ask_name(self, paper: Paper, typed: str) -> None:
        case = self.desk.session.path

        def named(name: str | None) -> None:
            if name:
                self._ask_leave(paper, name)

        within = self.app.library.folder if self.app.library.stays_inside else None
        where = "Next to the case" if within else "Next to the case, unless a folder stands before it"
        hint = f"{where}; .html to print, .txt or .json."
        check: Callable[[str], str | None] = partial(path_refused, case, within=within)
        text = typed or paper_path(case, paper).name
        self.app.push_screen(LineDialog("Under which name?", hint, text=text, check=check, most=MOST), named)

    def _ask_leave(self, paper: Paper, name: str) -> None:
        """A file that stands there is replaced only by leave."""
        path = typed_path(self.desk.session.path, name)
        if not path.exists():
            self._write(paper, path)
            return

        def said(answer: str | None) -> None:
            if answer == REPLACE:
                self._write(paper, path)
            elif answer == OTHER:
                self._ask_name(paper, name)

        choices = [
            Choice(OTHER, "another name", "what is there stays"),
            Choice(REPLACE, "replace it", self._told(path)),
        ]
        self.app.push_screen(ChoiceDialog("There is a file of that name.", choices), said)

    @work(group="paper", description="write a paper")
    async def _write(self, paper: Paper, path: Path) -> None:
        desk, bench = self.desk, self.desk.bench
        self.tell_written(f"{path.name} is being written …")
        try:
            await asyncio.to_thread(
                lambda: write_paper(paper, desk.examination(), bench, desk.session.path, path.absolute())
            )
        except Refused as refused:
            self.tell_written(f"Not written: {words(refused)}")
            return
        if self.app.library.stays_inside or not has_browser():
            self.tell_written(f"Written: {self._told(path.absolute())}")
            return
        self.tell_written(f"Written, and given to the browser: {path.absolute()}")
        await asyncio.to_thread(self.app.open_url, path.absolute().as_uri())

    def _told(self, path: Path) -> str:
        """A file as it is told: to a visitor without the folders of the machine."""
        return path.name if self.app.library.stays_inside else str(path)

    def tell_written(self, text: str) -> None:
        """What became of a paper; it stays on the page."""
        if not self.is_gone:
            label = self.query_one("#written", Label)
            label.update(text)
            label.display = True
