"""Reading text within limits, and writing it so that a killed program loses nothing already on disk."""

from __future__ import annotations

import errno
import os
import re
import secrets
import stat
import time
from contextlib import suppress
from pathlib import Path

if os.name == "posix":
    import fcntl

from hobmark.pipes import is_pipe, through_pipe
from hobmark.problems import Problem, Refused, shown

SIZE_LIMIT = 5 * 1024 * 1024
"""Largest file that is read, in bytes."""

UNWANTED = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufeff\ufffe\uffff]")
"""Characters that no text here may hold: controls but tab and line ends, and what is no character."""

_REASONS = {
    errno.ENOENT: ("there is no such file or folder.", "Check the spelling and the folder."),
    errno.ENOTDIR: ("a part of this path is a file, not a folder.", "Check the spelling and the folder."),
    errno.EACCES: ("access is not permitted.", "Ask the owner for leave, or choose another place."),
    errno.EPERM: ("access is not permitted.", "Ask the owner for leave, or choose another place."),
    errno.ELOOP: ("this link leads back to itself.", "Mend the link, or name the file itself."),
    errno.ENAMETOOLONG: ("the name is too long.", "Choose a shorter one."),
    errno.ENOSPC: ("the disk is full.", "Make room, then save again."),
    errno.EDQUOT: ("your share of the disk is full.", "Make room, then save again."),
    errno.EROFS: ("the disk can only be read.", "Choose another place."),
    errno.EFBIG: ("the disk takes no file of this size.", "Choose another place."),
    errno.ETIMEDOUT: ("nothing came through it for a minute.", "Start what writes to it, or name a file."),
    errno.EIO: ("the disk reports a fault.", "Choose another place, and look after the disk."),
}
_NO_FOLDER_SYNC = (errno.EINVAL, errno.ENOTSUP, errno.EACCES, errno.EPERM)
"""Not every disk can sync a folder, and not every folder may be opened; the file is safe by then."""
PART = re.compile(r"\.hobmark-[0-9a-f]{16}\.part")
"""What a file is called while it is being written."""
PART_LIFE = 60.0
"""Seconds after which a part that nobody holds is what a killed program left."""


def refusal(path: str | Path, message: str, remedy: str, line: int = 1, column: int = 1) -> Refused:
    """A refusal with the one problem given."""
    return Refused([Problem(str(path), line, column, message, remedy)])


def refusal_for(path: Path, error: OSError | ValueError) -> Refused:
    """A refusal of what the system said no to, in a person's words."""
    if not isinstance(error, OSError):  # Python's own complaint about NUL or unpaired surrogates in a name
        return refusal(path, "this is not a name a file can have.", "Choose another name.")
    reason = f"the system refuses: {shown(error.strerror or type(error).__name__)}."
    return refusal(
        path,
        *_REASONS.get(error.errno or 0, (reason, "Choose another place, or ask whoever keeps this machine.")),
    )


def _must_be_file(path: Path, mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise refusal(path, "this is a folder, not a file.", "Name a file inside it.")
    if not stat.S_ISREG(mode):
        raise refusal(path, "this is not an ordinary file.", "Name an ordinary text file.")


def _bytes(path: Path, within: Path | None, limit: int) -> bytes:
    real = Path(os.path.realpath(path))
    if within is not None and not real.is_relative_to(os.path.realpath(within)):
        raise refusal(path, "this leads out of its folder.", "Put the file itself there, not a link to it.")
    _must_be_file(path, real.stat().st_mode)
    # Looked at again once open, and opened without waiting: a pipe may have taken the file's place meanwhile.
    handle = os.open(real, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        _must_be_file(path, os.fstat(handle).st_mode)
        return file.read(limit + 1)


def read_bytes(path: Path, within: Path, limit: int) -> bytes:
    """The bytes of a file that lies in the folder `within` or below.

    Raises Refused for anything that is not an ordinary readable file of at most `limit` bytes, and for a path that
    leads out of the folder.
    """
    try:
        data = _bytes(path, within, limit)
    except (OSError, ValueError) as error:
        raise refusal_for(path, error) from None
    if len(data) > limit:
        raise refusal(path, f"the file is larger than {limit // 1024**2} MiB.", "Make it smaller.")
    return data


def _place(before: str) -> tuple[int, int]:
    return before.count("\n") + 1, len(before) - before.rfind("\n")


def read_text(path: Path, within: Path | None = None, *, pipes: bool = False) -> str:
    """The text of a UTF-8 file, line ends as written, without a byte-order mark.

    Raises Refused for anything that is not an ordinary readable file of at most 5 MiB, for bytes that are not
    UTF-8, for control characters, and for a path that leads out of the folder `within`. With `pipes` what another
    program writes (a named pipe, standard input, `<(…)`) is read to its end, within the same limits.
    """
    try:
        data = through_pipe(path, SIZE_LIMIT) if pipes and is_pipe(path) else _bytes(path, within, SIZE_LIMIT)
    except (OSError, ValueError) as error:
        raise refusal_for(path, error) from None
    if len(data) > SIZE_LIMIT:
        raise refusal(path, "the file is larger than 5 MiB.", "Split it into smaller files.")
    try:
        text = data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        place = _place(data[: error.start].decode("utf-8").removeprefix("\ufeff"))
        raise refusal(path, "the file is not UTF-8 text.", "Save it again as UTF-8.", *place) from None
    if bad := UNWANTED.search(text):
        place = _place(text[: bad.start()])
        raise refusal(path, f"the character {shown(bad[0])} cannot stand in a text.", "Delete it.", *place)
    return text


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise


def _replace(path: Path, data: bytes) -> None:
    target = Path(os.path.realpath(path))  # a link stays a link; what it points at is replaced
    mode: int | None = None
    with suppress(FileNotFoundError):
        mode = target.stat().st_mode
        _must_be_file(path, mode)
        if not os.access(target, os.W_OK):
            raise refusal(path, "the file is write-protected.", "Lift the protection, or choose another name.")
    part = target.with_name(f".hobmark-{secrets.token_hex(8)}.part")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    handle = os.open(part, flags, 0o666 if mode is None else stat.S_IMODE(mode))
    try:
        with os.fdopen(handle, "wb") as file:
            _hold(handle)
            file.write(data)
            file.flush()
            if mode is not None and os.name == "posix":  # the mask has had its say when the part was made
                os.fchmod(handle, stat.S_IMODE(mode))
            os.fsync(handle)
        part.replace(target)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    _sync_folder(target.parent)


def _hold(handle: int) -> bool:
    """Lock an open file until it is closed, or its program killed; False where another program has."""
    if os.name != "posix":  # elsewhere a file that is open cannot be deleted, so that nothing need be locked
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:  # a disk without locks: there its age alone tells whether a part is still being written
        return True
    return True


def sweep_parts(folder: Path) -> None:
    """Remove the half-written files that killed programs left in a folder: over a minute old, and held by nobody.

    What cannot be listed or removed stays, and nothing is raised: whoever comes next sweeps again.
    """
    with suppress(OSError, ValueError):
        for path in folder.iterdir():
            if PART.fullmatch(path.name):
                with suppress(OSError):
                    _remove_if_left(path)


def _remove_if_left(part: Path) -> None:
    found = part.lstat()
    if not stat.S_ISREG(found.st_mode) or time.time() - found.st_mtime < PART_LIFE:
        return
    handle = os.open(part, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
    try:
        is_left = _hold(handle)
    finally:
        os.close(handle)
    if is_left:  # nobody opens it again: its name was drawn by lot, by whoever is no more
        part.unlink()


def write_atomically(path: Path, text: str) -> None:
    """Write text as UTF-8 so that the file holds all of the old or all of the new, even if the power fails.

    Keeps the permissions of an existing file and writes through a link to its target. Raises Refused if that
    cannot be done; what stood there before is then untouched.
    """
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError as error:
        bad = shown(text[error.start])
        raise refusal(path, f"the text holds {bad}, which is no character.", "Delete it, then save again.") from None
    try:
        _replace(path, data)
    except (OSError, ValueError) as error:
        raise refusal_for(path, error) from None


def write_bytes_atomically(path: Path, data: bytes) -> None:
    """The same for bytes."""
    try:
        _replace(path, data)
    except (OSError, ValueError) as error:
        raise refusal_for(path, error) from None
