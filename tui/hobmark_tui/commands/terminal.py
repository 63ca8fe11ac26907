"""Plain lines to and from a person at a terminal, folded to its width."""

from __future__ import annotations

import io
import os
import select
import shutil
import signal
import sys
from dataclasses import dataclass

from hobmark.reports.page import WIDTH, wrapped

from hobmark_tui.commands.common import say

NARROWEST = 40
"""Columns below which lines are no longer folded shorter."""


def page_width() -> int:
    """Columns of a report: those of the terminal or of COLUMNS where there is one, and no more than a page has."""
    if not sys.stdout.isatty() and "COLUMNS" not in os.environ:
        return WIDTH
    return min(WIDTH, max(NARROWEST, shutil.get_terminal_size().columns))


@dataclass
class Screen:
    """A person's terminal, and how far a line that was marked has moved up it."""

    below: int = 0
    """Lines written since the mark, the marked one included."""

    @property
    def width(self) -> int:
        """Columns of a line, as the terminal is now."""
        return min(WIDTH, max(NARROWEST, shutil.get_terminal_size().columns))

    @property
    def rows(self) -> int:
        """Lines that are seen at once."""
        return shutil.get_terminal_size().lines

    def mark(self) -> None:
        """The next line is the one to keep in sight."""
        self.below = 0

    @property
    def scrolled_off(self) -> bool:
        """Whether the marked line is out of sight once a prompt stands below what was written."""
        return self.below > self.rows - 1

    def ask(self, prompt: str) -> str | None:
        """One line from the person, without the blanks about it; None at the end of input."""
        self.write(prompt)
        # A key that is no character answers nothing, and breaks nothing. Before the first read, or not at all.
        if isinstance(sys.stdin, io.TextIOWrapper) and sys.stdin.errors != "replace":
            sys.stdin.reconfigure(errors="replace")
        try:
            if os.name == "posix" and sys.stdin.isatty():
                _wait_for_a_line()
            line = sys.stdin.readline()
        except OSError:  # the terminal is gone
            return None
        self.below += 1
        return line.strip() if line else None

    def tell(self, text: str, first: str = "", rest: str = "") -> None:
        """One folded paragraph."""
        self.write(wrapped(text, first, rest, self.width) + "\n")

    def write(self, text: str) -> None:
        """Text as it stands, shown at once."""
        say(text)
        sys.stdout.flush()
        self.below += text.count("\n")


def _wait_for_a_line() -> None:
    """Wait until there is something to read.

    A Ctrl-C that comes just before a blocking read is not heard until the next key; a pipe that signals write to ends
    this wait however early they come.
    """
    heard, told = os.pipe()
    try:
        os.set_blocking(told, False)
        before = signal.set_wakeup_fd(told)
        try:
            select.select([sys.stdin, heard], [], [])
        finally:
            signal.set_wakeup_fd(before)
    finally:
        os.close(heard)
        os.close(told)
