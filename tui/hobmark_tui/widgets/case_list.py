"""The list of cases: name, leading answer, looks and last touch; narrowed by words."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from pathlib import Path

from hobmark.problems import spelt
from textual.content import Content
from textual.widgets.option_list import Option

from hobmark_tui.sessions.library import Entry
from hobmark_tui.views.cases import detail_words
from hobmark_tui.widgets.plain_list import PlainList

Stamp = tuple[Path, datetime.datetime]
"""One state of one file."""


class CaseList(PlainList):
    """Cases of a library, those touched last first."""

    def __init__(self, *, id: str) -> None:
        """Empty, until the folder was read."""
        super().__init__(id=id)
        self.entries: tuple[Entry, ...] = ()
        self.leaders: dict[Stamp, str] = {}
        """The leading answers as far as they were worked out."""
        self.words: tuple[str, ...] = ()
        """What a case must have to be shown."""

    @property
    def current(self) -> Path | None:
        """The highlighted case."""
        option = self.highlighted_option
        return Path(option.id) if option is not None and option.id is not None else None

    @property
    def current_entry(self) -> Entry | None:
        """What is known of the highlighted case."""
        return next((entry for entry in self.entries if entry.path == self.current), None)

    def hides(self, path: Path) -> bool:
        """Whether a case is listed, but has not all words."""
        return any(entry.path == path and not self._has_words(entry) for entry in self.entries)

    def show(self, highlight: Path | None = None) -> None:
        """The cases that have all words; the one to highlight, else the one that was, else the one in its place."""
        current, place = self.current, self.highlighted or 0
        if any(entry.path == highlight for entry in self.entries):  # a new case that nothing was said of has no file
            current = highlight
        shown = [entry for entry in self.entries if self._has_words(entry)]
        options = [Option(self._prompt(entry), id=str(entry.path)) for entry in shown]
        self.set_options(options or [Option("No case has these words.", disabled=True)])
        paths = [entry.path for entry in shown]
        if shown:
            self.highlighted = paths.index(current) if current in paths else min(place, len(shown) - 1)
        else:
            self.highlighted = None

    def lead(self, entry: Entry, leader: str) -> None:
        """The leading answer of a case, now that it is known."""
        self.leaders[entry.path, entry.touched] = leader
        if any(option.id == str(entry.path) for option in self.options):
            self.replace_option_prompt(str(entry.path), self._prompt(entry))

    def _has_words(self, entry: Entry) -> bool:
        return all(word in self._searched(entry) for word in self.words)

    def _searched(self, entry: Entry) -> str:
        return f"{entry.label} {_known(self.leaders, entry)} {spelt(entry.path.name)}".casefold()

    def _prompt(self, entry: Entry) -> Content:
        if entry.problem is not None:
            detail = f"cannot be read: {entry.problem}"
        else:
            now = datetime.datetime.now(entry.touched.tzinfo)
            detail = detail_words(_known(self.leaders, entry), entry.looks, entry.touched, now)
        return Content.assemble((entry.label, "bold"), "\n", (detail, "$quiet"))


def _known(leaders: Mapping[Stamp, str], entry: Entry) -> str:
    return leaders.get((entry.path, entry.touched), "")
