"""One program a case: a lock beside the case file, which the system lifts when its program ends, however it ends."""

from __future__ import annotations

import errno
import hashlib
import os
import platform
import re
import stat
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock, Timeout
from hobmark.files import refusal, refusal_for
from hobmark.problems import Problem, Refused, shown

WAIT, STEP = 0.2, 0.02
"""Seconds for which a held lock is tried, and between two tries: a program that is just closing may still have it."""
LONGEST_NAME = 255
"""Bytes of the longest name that file systems take."""
WITHOUT_LOCKS = frozenset({errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL})
"""What a disk says that knows no locks, as a share that another machine keeps may not."""
_HOLDER = re.compile(r"(\d{1,10}) (\S{0,255})\n")


class InUse(Refused):
    """The case is open already, in another program or in this one."""


def lock_path(case: Path) -> Path:
    """Where the lock of a case lies: `.NAME.lock` beside the file itself, by whatever link it was reached."""
    real = Path(os.path.realpath(case))
    name = f".{real.name}.lock"
    if len(os.fsencode(name)) > LONGEST_NAME:
        name = f".{hashlib.sha256(os.fsencode(real.name)).hexdigest()[:32]}.lock"
    return real.with_name(name)


@dataclass(slots=True)
class CaseLock:
    """The lock of one case, from `take` to `release`."""

    path: Path
    """The lock file."""
    unsure: str | None = None
    """Why a second program on the case would not be noticed, in words; None where it is."""
    _lock: FileLock | None = None
    _inode: tuple[int, int] | None = None

    @classmethod
    def take(cls, case: Path) -> CaseLock:
        """Lock a case; raise InUse where another program has it, Refused where no lock file can be made there.

        A disk that knows no locks gives one that is `unsure`. A lock file that a killed program left holds nobody off.
        """
        self = cls(lock_path(case))
        lock = FileLock(self.path, thread_local=False, fallback_to_soft=False, on_acquired=self._sign)
        try:
            self._must_be_possible(case)
            lock.acquire(timeout=WAIT, poll_interval=STEP)
        except Timeout:
            raise InUse([_in_use(case, self.path)]) from None
        except (OSError, NotImplementedError) as error:
            self.unsure = self._why_unsure(error)
            if self.unsure is None:
                raise refusal_for(case, error if isinstance(error, OSError) else OSError(str(error))) from None
        else:
            self._lock = lock
        return self

    @property
    def stands(self) -> bool:
        """Whether the lock file is still the one that was locked; a folder that came back holds it no more."""
        if self._lock is None:
            return True
        try:
            found = self.path.lstat()
        except OSError:
            return False
        return self._inode in (None, (found.st_dev, found.st_ino))

    def release(self) -> None:
        """Let the case go, and leave no lock file. A second time does nothing."""
        if self._lock is None:
            return
        if os.name == "posix" and self.stands:  # while it is held; elsewhere the library removes it
            with suppress(OSError):
                self.path.unlink()
        with suppress(OSError):  # the disk is gone, and the lock with it
            self._lock.release()
        self._lock = None

    def _must_be_possible(self, case: Path) -> None:
        if not self.path.parent.is_dir():  # `filelock` would make it, and a folder that was moved away is not wanted
            raise refusal(case, "its folder is gone.", "Put the folder back, or choose another place.")
        with suppress(FileNotFoundError):
            if not stat.S_ISREG(self.path.lstat().st_mode):
                amiss = f"its lock {shown(self.path.name)} is no ordinary file."
                raise refusal(case, amiss, "Delete that, then try again.")

    def _sign(self, handle: int) -> None:
        """Write into the lock file who holds it, for whoever is refused; nothing hangs on it."""
        found = os.fstat(handle)
        self._inode = found.st_dev, found.st_ino
        with suppress(OSError):
            os.ftruncate(handle, 0)
            os.lseek(handle, 0, os.SEEK_SET)
            os.write(handle, f"{os.getpid()} {platform.node()}\n".encode())

    def _why_unsure(self, error: OSError | NotImplementedError) -> str | None:
        if isinstance(error, NotImplementedError) or error.errno in WITHOUT_LOCKS:
            return "This disk knows no locks: open the case in one program only."
        if isinstance(error, PermissionError) and self.path.exists() and os.access(self.path.parent, os.W_OK):
            return f"{self.path.name} is not ours to open: make sure that no other program has the case open."
        return None


def _in_use(case: Path, lock: Path) -> Problem:
    return Problem(
        str(case), 1, 1, f"this case is open {_holder(lock)}.", "Close it there first, or go on with a copy of it."
    )


def _holder(lock: Path) -> str:
    """Who has a case open, as far as the lock file tells."""
    signed = None
    with suppress(OSError, UnicodeDecodeError):  # elsewhere than on POSIX a locked file cannot be read
        handle = os.open(lock, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(handle, "rb") as file:
            signed = _HOLDER.fullmatch(file.read(300).decode())
    if signed is None:
        return "in another program"
    if signed[2] != platform.node():
        return f"in another program (process {signed[1]} on {shown(signed[2])})"
    return "in this program already" if int(signed[1]) == os.getpid() else f"in another program (process {signed[1]})"
