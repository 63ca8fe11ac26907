"""The program as a person meets it: started in a process of its own, on a terminal or off one."""

from __future__ import annotations

import contextlib
import io
import os
import select
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import NoReturn

import hobmark
import pytest
from hobmark_tui.__main__ import run

if os.name == "posix":
    import fcntl
    import pty
    import struct
    import termios

PROMPTS = ("> ", "y/n ")
PATIENCE = 60.0
"""Seconds a loaded machine may take over one step before a test gives up on it."""
UNSET = ("HOBMARK_DEBUG", "COLUMNS", "LINES")
"""What a person's own settings must not change in a test."""
TOP = Path(hobmark.__file__).parents[2]


def environment(cache: Path, **more: str) -> dict[str, str]:
    """What a started program sees: this checkout's code, a cache of the test's own, and one thread."""
    path = os.pathsep.join([str(TOP / "engine"), str(TOP / "tui")])
    named = {"PYTHONPATH": path, "HOBMARK_CACHE": str(cache), "OPENBLAS_NUM_THREADS": "1", "PYTHONUTF8": "1"}
    return {name: text for name, text in os.environ.items() if name not in UNSET} | named | more


def command(*arguments: object) -> list[str]:
    """The command line of the program."""
    return [sys.executable, "-m", "hobmark_tui", *map(str, arguments)]


def ran(cache: Path, folder: Path, *arguments: object, **more: str) -> subprocess.CompletedProcess[str]:
    """Run the program off a terminal, to its end."""
    return subprocess.run(
        command(*arguments),
        cwd=folder,
        env=environment(cache, **more),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=PATIENCE,
        check=False,
    )


def warmed(folder: Path, base: Path) -> Path:
    """Run the program once in this process, so that what is forked from it need not load and build everything anew."""
    import hobmark_tui.commands.asking

    assert hobmark_tui.commands.asking
    case = folder / "case.yaml"
    case.write_text("hobmark: 1\nobservations: [{feature: legs, is: recess}]\n", encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch, contextlib.redirect_stdout(io.StringIO()):
        patch.setenv("HOBMARK_CACHE", str(folder))
        run(["identify", "--knowledge", str(base), str(case)])  # reads and compiles
        run(["identify", "--knowledge", str(base), str(case)])  # restores
    return folder


class Terminal:
    """The program on a pseudo-terminal: what it shows is read up to its next prompt.

    It runs in a fork of the test's own process, which starts at once; with `afresh` in a Python of its own. `size` is
    columns by rows; `screen` is what was shown last in one line, `lines` the same line by line.
    """

    def __init__(
        self, cache: Path, folder: Path, *arguments: object, afresh: bool = False, size: tuple[int, int] = (80, 24)
    ) -> None:
        self.pid, self.own = pty.fork()
        if self.pid == 0:
            _become_the_program(cache, folder, arguments, afresh, size)
        self.screen = ""
        self.lines: list[str] = []
        self.ended: int | None = None

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.signal(signal.SIGKILL)
        self.code()
        os.close(self.own)

    def signal(self, number: int) -> None:
        """Send it a signal, unless it has ended."""
        if self.ended is None:
            os.kill(self.pid, number)

    def shown(self) -> str:
        """What is shown up to the next prompt, or to the end where none comes."""
        until, data = time.monotonic() + PATIENCE, b""
        while not data.decode("utf-8", "replace").endswith(PROMPTS):
            ready, _, _ = select.select([self.own], [], [], max(0.0, until - time.monotonic()))
            assert ready, f"it hangs after {data[-300:]!r}"
            try:
                piece = os.read(self.own, 65536)
            except OSError:  # Linux tells the end of a terminal so
                break
            if not piece:
                break
            data += piece
        self.lines = data.decode("utf-8", "replace").splitlines()
        self.screen = " ".join(data.decode("utf-8", "replace").split())
        return self.screen

    def send(self, typed: str | bytes) -> None:
        """Type a line."""
        os.write(self.own, (typed if isinstance(typed, bytes) else typed.encode()) + b"\n")

    def type(self, *lines: str | bytes) -> str:
        """Type lines, each at its prompt; what is shown after the last."""
        for line in lines:
            self.send(line)
            self.shown()
        return self.screen

    def hang_up_input(self) -> str:
        """End of input, as Ctrl-D at the start of a line; what is shown after it."""
        os.write(self.own, b"\x04")
        return self.shown()

    def code(self) -> int:
        """Its exit code, once it has ended; below 0 for the signal that ended it."""
        until = time.monotonic() + PATIENCE
        while self.ended is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.ended = os.waitstatus_to_exitcode(status)
            assert time.monotonic() < until, "it does not end"
            time.sleep(0 if pid else 0.002)
        return self.ended


def _become_the_program(
    cache: Path, folder: Path, arguments: tuple[object, ...], afresh: bool, size: tuple[int, int]
) -> NoReturn:
    """In the forked child: the program on this terminal, to its end."""
    signal.signal(signal.SIGHUP, signal.SIG_DFL)  # what started the tests may have had it ignored
    code = 99
    try:
        settings = termios.tcgetattr(0)
        settings[3] &= ~termios.ECHO
        termios.tcsetattr(0, termios.TCSANOW, settings)
        fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
        os.chdir(folder)
        whole = environment(cache)
        if afresh:
            os.execve(sys.executable, command(*arguments), whole)
        os.environ.update(whole)
        for name in UNSET:
            os.environ.pop(name, None)
        signal.signal(signal.SIGINT, signal.default_int_handler)  # a run of the tests in the background ignores it
        sys.stdin, sys.stdout, sys.stderr = (os.fdopen(n, mode, encoding="utf-8") for n, mode in enumerate("rww"))
        sys.__stdin__, sys.__stdout__, sys.__stderr__ = sys.stdin, sys.stdout, sys.stderr
        code = run(list(map(str, arguments)))
        sys.stdout.flush()
    finally:
        os._exit(code)
