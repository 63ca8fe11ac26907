"""The folder of a person's cases: listed, begun, copied, renamed, put in the trash and taken out of it."""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

import platformdirs
from hobmark.case import Case, write_case
from hobmark.files import refusal, refusal_for, sweep_parts
from hobmark.knowledge.vocabulary import Situation
from hobmark.marked_yaml import read_marked, validated
from hobmark.problems import Refused, spelt

from hobmark_tui.sessions.fitness import one_line, unfit
from hobmark_tui.sessions.inside import stay_inside
from hobmark_tui.sessions.locking import CaseLock
from hobmark_tui.sessions.naming import new_case_path, numbered
from hobmark_tui.sessions.session import UNTITLED, CaseSession

TRASH = "trash"
"""The folder in a library where deleted cases go."""
COPY = " (copy)"
LABEL_LIMIT = 4000
"""Characters of the longest label."""
NO_FOLDER = "this is a file, not a folder."


def default_folder() -> Path:
    """The folder that $HOBMARK_CASES names, else this system's place for a person's data; made where it is missing.

    Raises Refused where it cannot be made.
    """
    named = os.environ.get("HOBMARK_CASES")
    folder = Path(named) if named else platformdirs.user_data_path("hobmark") / "cases"
    try:  # of a folder that is named only the last part is made: the rest may be misspelt
        folder.mkdir(parents=not named, exist_ok=True)
    except FileExistsError:
        raise refusal(folder, NO_FOLDER, "Name the folder that your cases are in.") from None
    except (OSError, ValueError) as error:
        raise refusal_for(folder, error) from None
    return folder


@dataclass(frozen=True, slots=True)
class Entry:
    """One case of a library, as a list shows it. Of one that cannot be read `problem` says why."""

    path: Path
    label: str
    situation: Situation
    looks: int
    """Features that were looked at."""
    touched: datetime.datetime
    """When the file was last written, in local time."""
    problem: str | None = None


NEVER = datetime.datetime(1970, 1, 1, tzinfo=datetime.UTC)
AT_LAST = datetime.datetime(9999, 1, 1, tzinfo=datetime.UTC)
"""When a file was last written whose time no calendar has, or may not be asked for."""


class CaseLibrary:
    """The cases of one folder: its `.yaml` files that are not hidden. A case that is open elsewhere is let be."""

    def __init__(self, folder: Path, *, stays_inside: bool = False) -> None:
        """Name the folder; it is looked at when it is asked for. One that stays inside follows no link out of it."""
        self.folder, self.stays_inside = folder, stays_inside
        self._read: dict[Path, tuple[tuple[int, ...], Entry]] = {}
        """What was read of each file, and the file's state then: a list of hundreds is shown again at once."""

    @property
    def trash(self) -> Path:
        """Where deleted cases go."""
        return self.folder / TRASH

    def entries(self) -> list[Entry]:
        """The cases, those touched last first; raise Refused where the folder cannot be listed."""
        return self._listed(self.folder)

    def trashed(self) -> list[Entry]:
        """The cases in the trash, those touched last first."""
        return self._listed(self.trash) if self.trash.is_dir() else []

    def listed_as(self, path: Path) -> Path | None:
        """The path by which a file is listed here; None where it is none of these cases."""
        if path.suffix != ".yaml" or path.name.startswith("."):
            return None
        return self.folder / path.name if os.path.realpath(path.parent) == os.path.realpath(self.folder) else None

    def new(self, label: str = UNTITLED, situation: Situation = Situation.SALE) -> CaseSession:
        """Begin a case. A label of its own is kept at once, else the file is made with the first change."""
        session = CaseSession.begin(self.folder, label, situation)
        if session.case.label != UNTITLED:
            session.keep()
            if session.refused is not None:
                session.close()
                raise session.refused
        return session

    def duplicate(self, path: Path) -> Path:
        """Copy a case, under its label with `(copy)` behind it; the new file."""
        self.reach(path)
        case = _case(path)
        label = case.label[: LABEL_LIMIT - len(COPY)] + COPY
        with self._refusing(self.folder):
            return _written_new(self.folder, case.model_copy(update={"label": label}))

    def rename(self, path: Path, label: str) -> None:
        """Give a case another label; its file keeps its name."""
        with self._locked(path):
            case = _case(path)
            renamed = case.model_copy(update={"label": one_line(label)})
            if (refused := unfit(path, renamed, None)) is not None:
                raise refused
            if renamed != case:
                write_case(path, renamed)

    def delete(self, path: Path) -> Path:
        """Put a case in the trash, and return where it is now. Nothing is ever removed."""
        with self._locked(path), self._refusing(self.trash):
            self.trash.mkdir(exist_ok=True)
            return _moved(path, self.trash)

    def restore(self, path: Path) -> Path:
        """Take a case out of the trash, and return where it is now."""
        with self._locked(path), self._refusing(self.folder):
            return _moved(path, self.folder)

    def reach(self, path: Path) -> None:
        """Raise Refused for a file that may not be read or written through this library."""
        if self.stays_inside:
            stay_inside(self.folder, path)

    def _listed(self, folder: Path) -> list[Entry]:
        if folder.exists() and not folder.is_dir():
            raise refusal(folder, NO_FOLDER, "Name the folder that your cases are in.")
        sweep_parts(folder)
        with self._refusing(folder):
            paths = [each for each in folder.iterdir() if each.suffix == ".yaml" and not each.name.startswith(".")]
        found = [entry for path in paths if (entry := self._entry(path)) is not None]
        return sorted(found, key=lambda entry: (-entry.touched.timestamp(), entry.path.name))

    def _entry(self, path: Path) -> Entry | None:
        """A case as listed; None for a folder, and for what was gone before it could be looked at."""
        try:
            found = path.stat() if path.exists() else path.lstat()
            if path.is_dir():
                return None
        except FileNotFoundError:
            return None
        except OSError as error:
            return _unread(path, NEVER, refusal_for(path, error))
        try:
            self.reach(path)
        except Refused as refused:
            return _unread(path, _moment(found.st_mtime), refused)
        state = (found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino)
        known = self._read.get(path)
        if known is None or known[0] != state:
            known = self._read[path] = state, _looked_at(path, found.st_mtime)
        return known[1]

    @contextmanager
    def _refusing(self, path: Path) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            raise refusal_for(path, error) from None

    @contextmanager
    def _locked(self, path: Path) -> Iterator[None]:
        """Hold a case while something is done with its file; raise InUse where a program has it open."""
        self.reach(path)
        with self._refusing(path):
            path.lstat()
            lock = CaseLock.take(path)
        try:
            yield
        finally:
            lock.release()


def _case(path: Path) -> Case:
    """A case as it stands, its names held against no base; raise Refused where it cannot be read."""
    return validated(Case, read_marked(path), str(path))


def _looked_at(path: Path, touched: float) -> Entry:
    when = _moment(touched)
    try:
        case = _case(path)
    except Refused as refused:
        return _unread(path, when, refused)
    return Entry(path, case.label, case.situation, len(case.answered()), when)


def _unread(path: Path, when: datetime.datetime, refused: Refused) -> Entry:
    return Entry(path, spelt(path.stem), Situation.SALE, 0, when, str(refused.problems[0]))


def _moment(touched: float) -> datetime.datetime:
    """A time of the system's; the nearest one that a calendar has, for a disk may hold any number."""
    try:
        return datetime.datetime.fromtimestamp(touched).astimezone()
    except (ValueError, OverflowError, OSError):
        return NEVER if touched < 0 else AT_LAST


def _written_new(folder: Path, case: Case) -> Path:
    while True:
        path = new_case_path(folder)
        lock = CaseLock.take(path)
        try:
            if not os.path.lexists(path):
                write_case(path, case)
                return path
        finally:
            lock.release()


def _moved(path: Path, into: Path) -> Path:
    """Move a file into a folder, under a name that nothing has there; a link is made anew, so that it still leads."""
    for target in numbered(into / path.name):
        try:
            if path.is_symlink():
                target.symlink_to(os.path.realpath(path))
                path.unlink()
            else:
                target.touch(exist_ok=False)  # the name is taken before the file comes, which then cannot hit another
                try:
                    path.replace(target)
                except OSError:
                    with suppress(OSError):
                        target.unlink()
                    raise
        except FileExistsError:  # somebody was quicker
            continue
        return target
    raise AssertionError("names never run out")
