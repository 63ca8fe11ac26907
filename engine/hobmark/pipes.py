"""What another program writes: named pipes, standard input, process substitution; read to their end within limits."""

from __future__ import annotations

import errno
import os
import select
import stat
import time
from pathlib import Path

PATIENCE = 60.0
"""Seconds for which nothing may come through a pipe before it is given up; nobody hurries who types at a terminal."""
_PIECE = 65_536
_PAUSE = 0.05


def is_pipe(path: Path) -> bool:
    """Whether a name stands for what is read once, from front to end. Raises OSError, ValueError."""
    mode = path.stat().st_mode  # of /dev/stdin and its like, what they stand for
    return stat.S_ISFIFO(mode) or stat.S_ISCHR(mode)


def through_pipe(path: Path, limit: int) -> bytes:
    """All that comes, and no more than one byte over the limit.

    Raises OSError for what cannot be read; its number is ETIMEDOUT where nothing comes for PATIENCE.
    """
    may_be_unopened = _stands_in_a_folder(path)
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0))
    with os.fdopen(handle, "rb", buffering=0):
        somebody_types = os.isatty(handle)
        pieces: list[bytes] = []
        left, until = limit + 1, time.monotonic() + PATIENCE
        while left:
            piece = _piece(handle, left)
            if piece:
                pieces.append(piece)
                left, until = left - len(piece), time.monotonic() + PATIENCE
            elif piece is not None and (pieces or not may_be_unopened):
                break
            elif not somebody_types and time.monotonic() > until:
                raise TimeoutError(errno.ETIMEDOUT, os.strerror(errno.ETIMEDOUT))
            else:
                _wait(handle)
        return b"".join(pieces)


def _stands_in_a_folder(path: Path) -> bool:
    """Whether it is a named pipe: one is empty, too, as long as nobody has opened its other end."""
    try:
        return stat.S_ISFIFO(os.lstat(os.path.realpath(path)).st_mode)
    except OSError:  # /dev/fd/63 leads to what has no name
        return False


def _piece(handle: int, most: int) -> bytes | None:
    """What is there; nothing at the end, None where something may still come."""
    try:
        return os.read(handle, min(most, _PIECE))
    except BlockingIOError:
        return None


def _wait(handle: int) -> None:
    if os.name == "posix":
        select.select([handle], [], [], _PAUSE)
    time.sleep(_PAUSE / 10)
