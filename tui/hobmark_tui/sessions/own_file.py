"""The file of one session: locked, and never written over what somebody else has begun or changed."""

from __future__ import annotations

import os
from pathlib import Path

from hobmark.case import Case, case_text
from hobmark.comments import with_comments
from hobmark.files import read_text, refusal, refusal_for, sweep_parts, write_atomically
from hobmark.problems import Refused

from hobmark_tui.sessions.locking import CaseLock, InUse
from hobmark_tui.sessions.naming import new_case_path, new_case_paths

BEGUN = "{} was begun by another session; this one is kept in {}."
CHANGED = "{} was changed by somebody else; this session is kept in {}."
LOOK_ONLY = "answers cannot be kept here, as {} may only be read."


class OwnFile:
    """A case file that this session alone writes, from `open` or `planned` to `release`."""

    def __init__(self, path: Path, on_disk: str | None = None) -> None:
        """Name the file, with the text that stands in it; None where it is still to be made."""
        self.path = path
        self.is_new = on_disk is None
        self.cannot: Refused | None = None
        """Why nothing could be written when it was opened."""
        self.notes: list[str] = []
        """What the person should know of what was done; whoever tells it empties the list."""
        self._ours = frozenset([on_disk] if on_disk is not None else [])
        """What this session read, wrote, or may have written there."""
        self._opened = on_disk or ""
        """What stood there when it was opened: its comments are kept, those of what is taken back too."""
        self._lock: CaseLock | None = None

    @classmethod
    def open(cls, path: Path) -> OwnFile:
        """Lock a file that stands; raise InUse where another program has it, Refused where it cannot be read.

        One that may only be read opens too, and `cannot` says so.
        """
        self = cls(path, read_text(path))  # first, so that what is no readable file leaves no lock beside it
        sweep_parts(Path(os.path.realpath(path)).parent)
        self.look_whether_writable()
        try:
            on_disk = read_text(path)
        except BaseException:
            self.release()
            raise
        self._ours, self._opened = frozenset([on_disk]), on_disk
        return self

    @classmethod
    def planned(cls, folder: Path) -> OwnFile:
        """A file that the first writing makes; raise Refused where the folder takes none."""
        if not folder.is_dir():
            raise refusal(folder, "there is no such folder.", "Make it, or choose another place.")
        path = new_case_path(folder)
        if not os.access(folder, os.W_OK | os.X_OK):
            raise refusal(path, "access is not permitted.", "Ask the owner for leave, or go to another place.")
        sweep_parts(folder)
        return cls(path)

    def look_whether_writable(self) -> None:
        """Lock the file where it can be written; sets or clears `cannot`. Raises InUse where another program has it."""
        self.cannot = _only_to_look_at(self.path)
        if self.cannot is None and self._lock is None:
            try:
                self._lock = self._taken(self.path)
            except InUse:
                raise
            except Refused as refused:  # the disk is full, say
                self.cannot = refused

    def write(self, case: Case) -> None:
        """The case, which a file can hold, on disk; in another file where somebody else has this one.

        Raises Refused where it cannot be written.
        """
        try:
            self._settle()
            text = with_comments(self._opened, case_text(case))
            self._ours |= {text}  # a disk may report a fault although the file is in place by then
            write_atomically(self.path, text)
        except OSError as error:
            raise refusal_for(self.path, error) from None
        self._ours, self.is_new = frozenset([text]), False

    def release(self) -> None:
        """Let the file go. A later writing locks it again."""
        if self._lock is not None:
            self._lock.release()
            self._lock = None

    def _settle(self) -> None:
        """Lock the file to write: another where somebody else has begun or changed this one, or is about to."""
        if self._lock is not None and not self._lock.stands:  # its folder was gone for a while
            self.release()
        in_use = False
        if self._lock is None:
            try:
                self._lock = self._taken(self.path)
            except InUse:
                if not self.is_new:
                    raise
                in_use = True
        if in_use or self._is_anothers():
            self._move()

    def _taken(self, path: Path) -> CaseLock:
        lock = CaseLock.take(path)
        if lock.unsure:
            self.notes.append(lock.unsure)
        return lock

    def _is_anothers(self) -> bool:
        if self.is_new and not self._ours:
            return os.path.lexists(self.path)
        return self.path.exists() and read_text(self.path) not in self._ours

    def _move(self) -> None:
        """Go over to a name beside this one that is free, and that no other program is about to use."""
        said = BEGUN if self.is_new else CHANGED
        for path in new_case_paths(self.path.parent):
            try:
                lock = self._taken(path)
            except InUse:
                continue
            if not os.path.lexists(path):
                break
            lock.release()
        self.release()
        self.notes.append(said.format(self.path.name, path))
        self.path, self._lock, self._ours, self.is_new = path, lock, frozenset(), True


def _only_to_look_at(path: Path) -> Refused | None:
    """Why no answer can be kept in a file that reads; None where it can, as far as the system tells."""
    real = Path(os.path.realpath(path))
    for place, mode, name in ((real.parent, os.W_OK | os.X_OK, "its folder"), (real, os.W_OK, "it")):
        if not os.access(place, mode):
            remedy = "Ask the owner for leave, or go on with a copy of it."
            return refusal(path, LOOK_ONLY.format(name), remedy)
    return None
