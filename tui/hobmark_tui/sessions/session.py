"""One open case with undo and redo: on disk after every change, and open in no other program."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from hobmark.case import Case, Claims, read_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.vocabulary import Situation
from hobmark.problems import Refused

from hobmark_tui.sessions.fitness import one_line, unfit, words
from hobmark_tui.sessions.own_file import OwnFile

UNTITLED = "a range"
"""What a case is called until somebody calls it something."""
GONE = "That answer is no longer there."


class CaseSession:
    """An open case. Made by `open` or `begin`; every change is on disk when the method that made it returns.

    Where the disk refuses, nothing said is lost: it stays in `case`, `trouble` says why, and the next change or
    `keep` tries again. A change that no file could hold is not made; `notice` says so. Safe to call from any thread.
    """

    def __init__(self, file: OwnFile, case: Case, base: KnowledgeBase | None = None) -> None:
        """Take the case as it stands in the file, or will."""
        self.case = case
        self.refused = file.cannot
        """Why what was said is not on disk, or could not be kept."""
        self.unkept = False
        """Whether something was said that is not on disk."""
        self.notice: str | None = None
        """What else the last call did, or did not do, that the person should know; None where nothing."""
        self._file = file
        self._base = base
        self._before: list[Case] = []
        self._after: list[Case] = []
        self._alone = threading.RLock()
        self._tell_notes()

    @classmethod
    def open(cls, path: Path, base: KnowledgeBase) -> CaseSession:
        """Open a case; raise Refused where it cannot be read, and InUse where another program has it open.

        One that may only be read opens too, and `trouble` says that answers cannot be kept.
        """
        file = OwnFile.open(path)
        try:
            found = read_case(path, base)
            if found.set_aside:
                names = ", ".join(found.case.aside.names())
                file.notes.append(f"Set aside, as this base does not know it: {names}. It stays in the file.")
            return cls(file, found.case, base)
        except BaseException:
            file.release()
            raise

    @classmethod
    def begin(
        cls,
        folder: Path,
        label: str = UNTITLED,
        situation: Situation = Situation.SALE,
        base: KnowledgeBase | None = None,
    ) -> CaseSession:
        """Begin a case in a folder; its file is made with the first change. Raise Refused where none can be made."""
        file = OwnFile.planned(folder)
        case = Case(hobmark="1", situation=situation).model_copy(update={"label": one_line(label) or UNTITLED})
        if (refused := unfit(file.path, case, base)) is not None:
            raise refused
        return cls(file, case, base)

    def __enter__(self) -> CaseSession:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    @property
    def path(self) -> Path:
        """The file it is kept in; another one once somebody else has begun or changed this one."""
        return self._file.path

    @property
    def trouble(self) -> str | None:
        """Why the last change is not on disk, or no change could be, in words; None when all is kept."""
        if self.refused is None:
            return None
        return f"{self.path.name}: {words(self.refused)}"

    @property
    def is_new(self) -> bool:
        """Whether the file is still to be made."""
        return self._file.is_new

    @property
    def can_undo(self) -> bool:
        """Whether `undo` would take something back."""
        return bool(self._before or self.case.observations)

    @property
    def can_redo(self) -> bool:
        """Whether `redo` would bring something back."""
        return bool(self._after)

    def add(self, seen: Observation) -> None:
        """One more observation; an earlier one of the same feature gives way."""
        self._change(lambda case: case.with_observation(seen))

    def remove(self, index: int) -> None:
        """The case without its observation number `index`, from 0."""
        self._change(lambda case: _placed(case, index, None))

    def replace(self, index: int, seen: Observation) -> None:
        """Another observation in the place of number `index`; an earlier one of the same feature gives way."""
        self._change(lambda case: _placed(case, index, seen))

    def measure(self, taken: MeasureTaken) -> None:
        """A measure of a part or a kind of part; an earlier one of the same thing gives way."""
        self._change(lambda case: case.with_measure(taken))

    def read_number(self, read: NumberRead) -> None:
        """The number on the part of a kind that is on the range; an earlier one of that kind gives way."""
        self._change(lambda case: case.with_number(read))

    def record(self, bench: BenchRecord) -> None:
        """What was found, measured or done at the gas."""
        self._change(lambda case: case.model_copy(update={"bench": bench}))

    def retitle(self, label: str) -> None:
        """Another label, in one line."""
        self._change(lambda case: case.model_copy(update={"label": one_line(label)}))

    def set_situation(self, situation: Situation) -> None:
        """Where the range is looked at."""
        self._change(lambda case: case.model_copy(update={"situation": situation}))

    def set_claims(self, claims: Claims) -> None:
        """What somebody says the range is."""
        self._change(lambda case: case.model_copy(update={"claims": claims}))

    def set_note(self, text: str | None) -> None:
        """A note on the whole; None or blanks take it away."""
        self._change(lambda case: case.model_copy(update={"note": (text or "").strip() or None}))

    def undo(self) -> Case | None:
        """The case as it was before the last change, and beyond this session's changes without its last observation.

        None where nothing is left to take back.
        """
        with self._alone:
            self.notice = None
            if self._before:
                case = self._before.pop()
            elif self.case.observations:
                case = self.case.model_copy(update={"observations": self.case.observations[:-1]})
            else:
                return None
            self._after.append(self.case)
            return self._put(case)

    def redo(self) -> Case | None:
        """The case as it was before the last `undo`; None where nothing was undone since the last change."""
        with self._alone:
            self.notice = None
            if not self._after:
                return None
            self._before.append(self.case)
            return self._put(self._after.pop())

    def keep(self) -> None:
        """Try again to write what is not on disk, and make the file of a new case; sets or clears `trouble`."""
        with self._alone:
            self.notice = None
            if self.unkept or self.is_new:
                self._write()
                return
            try:
                self._file.look_whether_writable()
                self.refused = self._file.cannot
            except Refused as refused:
                self.refused = refused
            self._tell_notes()

    def keep_in(self, folder: Path) -> None:
        """Go on in a new file of another folder, where this place refuses; stays here where that one refuses too."""
        with self._alone:
            self.notice = None
            here = self._file
            try:
                self._file = OwnFile.planned(folder)
                self._write()
            except Refused as refused:
                self.refused = refused
            if self.refused is not None:
                self._file.release()
                self._file = here
            else:
                here.release()

    def close(self) -> None:
        """Let the case go, after one more try where something is not on disk."""
        with self._alone:
            if self.unkept:
                self.keep()
            self._file.release()

    def _change(self, make: Callable[[Case], Case | None]) -> None:
        with self._alone:
            self.notice = None
            case = make(self.case)
            if case is None:
                self.notice = GONE
            elif (refused := unfit(self.path, case, self._base)) is not None:
                self.notice = f"Not taken down: {words(refused)}"
            elif case != self.case:
                self._before.append(self.case)
                self._after.clear()
                self._put(case)
            elif self.unkept:
                self._write()

    def _put(self, case: Case) -> Case:
        self.case, self.unkept = case, True
        self._write()
        return case

    def _write(self) -> None:
        try:
            self._file.write(self.case)
        except Refused as refused:
            self.refused = refused
        else:
            self.refused, self.unkept = None, False
        self._tell_notes()

    def _tell_notes(self) -> None:
        if self._file.notes:
            self.notice = " ".join(self._file.notes)
            self._file.notes.clear()


def _placed(case: Case, index: int, seen: Observation | None) -> Case | None:
    """The case with another observation at a place, or with none; None where it has no such place."""
    if not 0 <= index < len(case.observations):
        return None
    feature = None if seen is None else seen.feature
    observations = tuple(
        seen if place == index else old
        for place, old in enumerate(case.observations)
        if place == index or feature is None or old.feature != feature
    )
    return case.model_copy(update={"observations": tuple(each for each in observations if each is not None)})
