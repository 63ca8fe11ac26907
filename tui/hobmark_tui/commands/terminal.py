"""Plain lines to and from a person at a terminal."""

from __future__ import annotations

import io
import sys

from hobmark.reports.text import wrapped

from hobmark_tui.commands.common import say


def ask(prompt: str) -> str | None:
    """One line from the person, without the blanks about it; None at the end of input."""
    write(prompt)
    # A key that is no character answers nothing, and breaks nothing. Before the first read, or not at all.
    if isinstance(sys.stdin, io.TextIOWrapper) and sys.stdin.errors != "replace":
        sys.stdin.reconfigure(errors="replace")
    try:
        line = sys.stdin.readline()
    except OSError:  # the terminal is gone
        return None
    return line.strip() if line else None


def tell(text: str) -> None:
    """One folded paragraph."""
    write(wrapped(text) + "\n")


def write(text: str) -> None:
    """Text as it stands, shown at once."""
    say(text)
    sys.stdout.flush()
