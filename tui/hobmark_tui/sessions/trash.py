"""What was put in the trash since the program began: which case is brought back next, and what is said of each step."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from hobmark.problems import Refused, shown

from hobmark_tui.sessions.library import CaseLibrary

NOTHING_DELETED = "Nothing else was deleted since you began; u once more offers what is in the trash folder."


@dataclass(frozen=True, slots=True)
class Done:
    """What was done to a case: what is said of it, and where the case is now; None where it is listed no more."""

    says: str
    path: Path | None = None


@dataclass(frozen=True, slots=True)
class _Deleted:
    path: Path
    label: str


class Trash:
    """The cases that were deleted since the program began, the last on top; the folder keeps them for good."""

    def __init__(self, library: CaseLibrary) -> None:
        """Nothing was deleted yet."""
        self.library = library
        self._deleted: list[_Deleted] = []

    @property
    def is_empty(self) -> bool:
        """Whether nothing was deleted that could be brought back without asking which."""
        return not self._deleted

    def delete(self, path: Path, label: str) -> Done:
        """Put a case in the trash folder; raise Refused where it stays."""
        self._deleted.append(_Deleted(self.library.delete(path), label))
        return Done(f"Moved to the trash folder: {quoted(label)}. u brings it back.")

    def restore_last(self) -> Done:
        """Bring back the case deleted last; raise Refused where that cannot be done."""
        if not self._deleted:  # the key was pressed once more than cases were deleted
            return Done(NOTHING_DELETED)
        last = self._deleted[-1]
        try:
            done = self.restore(last.path, last.label)
        except Refused:
            if not os.path.lexists(last.path):  # somebody took it out: it bars the way to those before no longer
                self._deleted.pop()
            raise
        self._deleted.pop()
        if self._deleted:
            return Done(f"{done.says} u brings back {quoted(self._deleted[-1].label)}.", done.path)
        return done

    def restore(self, path: Path, label: str) -> Done:
        """Bring back any case of the trash folder."""
        return Done(f"Brought back: {quoted(label)}.", self.library.restore(path))


def quoted(label: str) -> str:
    """The label of a case as a sentence names it."""
    return f'"{shown(label)}"'
