"""What the program's exit code tells whoever called it."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """The exit codes of every command."""

    DONE = 0
    """Done."""
    WARNING = 1
    """Done, and the answer is a warning: a claim contradicted, a case that failed, statements that carry no weight."""
    REFUSED = 2
    """Bad input or usage; the problems are on standard error."""
    INTERNAL = 3
    """A fault of the program's own."""
