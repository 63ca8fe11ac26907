"""The full screen on a terminal of its own: any bytes as keys, signals and kills at any moment."""

from __future__ import annotations

import os
import random
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hobmark.case import Case, read_case
from hobmark.files import PART
from hobmark.knowledge.reading import read_base

from tests.attack.attacks import must
from tests.commands.small_base import write_small_base
from tests.commands.terminal import warmed
from tests.screens.driving import BEGUN
from tests.screens.full import Full

CTRL_Q, BACK = b"\x11", b"\x1b[?1049l"
ASKED = "Local codes"
"""What is drawn last of all beside a look that is asked."""
KEYS = [*b"1234567890-=nlcgmpsvuuraafdwxoiktehyqbj\r\r\x1b\x1b \t\x7f\x14"]
"""Bytes of keys that do something."""
NASTY = (
    b"\xbd", b"\xff\xfe\xfa", b"\x1b[1114112u", b"\x1b[99999999999u", b"\xed\xa0\x80", b"\x1b[<9999999999;1;1M",
    b"\x1b[200~" + b"x" * 5000 + b"\x1b[201~", b"\x1b]52;c;aGk=\x07", b"\x1bP+q\x1b\\", b"\x1b[8;9999;9999t",
    b"\x1b[<0;30;12M", b"\x1b[<0;30;12m", b"\x1b[M   ", b"\xf4\x90\x80\x80", b"\x1b[I\x1b[O", b"\x1b[?2026;2$y",
    b"\x1b" * 40, b"\x00",
)  # fmt: skip
"""Bytes that no key sends, or none that means anything."""


class _OnTerminal:
    """A case on the screen, in a folder of its own for each strike."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.small = folder, write_small_base(folder)
        (folder / "cache").mkdir()
        os.environ["TERM"] = "xterm-256color"
        self.cache, self.base = warmed(folder / "cache", self.small), read_base([self.small])

    @contextmanager
    def screen(self, seed: int) -> Iterator[tuple[Full, Path]]:
        """The program, its first look asked, and its case."""
        cases = self.folder / f"{seed}"
        cases.mkdir()
        os.environ["HOBMARK_CASES"] = str(cases)
        path = cases / "green.yaml"
        path.write_text(BEGUN, encoding="utf-8")
        with Full(self.cache, cases, "examine", path, "--knowledge", self.small, size=(80, 40)) as full:
            must(ASKED in full.until(ASKED), "it did not begin")
            full.drawn = b""
            yield full, path

    def all_read(self, folder: Path) -> list[Case]:
        """Every case of a folder, which must read; and nothing else lies there but what a kill may leave."""
        found = [read_case(path, self.base).case for path in folder.rglob("*.yaml")]
        papers = (".html", ".txt", ".json", ".yaml", ".lock")
        odd = [
            p.name for p in folder.rglob("*") if p.is_file() and p.suffix not in papers and not PART.fullmatch(p.name)
        ]
        must(not odd, f"left {odd}")
        return found


class Keys(_OnTerminal):
    """Bytes of all sorts: the program goes on, and leaves when it is asked."""

    def __call__(self, seed: int) -> None:
        draw = random.Random(seed)
        with self.screen(seed) as (full, path):
            for _ in range(draw.randint(5, 60)):
                piece = bytes([draw.choice(KEYS)]) if draw.random() < 0.8 else draw.choice(NASTY)
                os.write(full.own, piece if draw.random() < 0.95 else draw.randbytes(draw.randint(1, 30)))
                full.settled(draw.choice((0.0, 0.0, 0.02)))
                if full.ended is not None:
                    break
            full.settled(0.2)
            if not _has_ended(full):
                _ask_to_leave(full)
            must(full.code() in (0, 2), f"code {full.code()}, {full.text[-300:]}")
            must("Traceback" not in full.text, full.text[-300:])
        self.all_read(path.parent)


def _has_ended(full: Full) -> bool:
    pid, status = os.waitpid(full.pid, os.WNOHANG)
    if pid:
        full.ended = os.waitstatus_to_exitcode(status)
    return bool(pid)


def _ask_to_leave(full: Full) -> None:
    for _ in range(20):
        try:
            os.write(full.own, b"\x1b\\\x1b[201~" + CTRL_Q)
        except OSError:
            return
        full.settled(0.3)
        if _has_ended(full):
            return


class Signals(_OnTerminal):
    """A signal at any moment: the code tells it, the terminal is given back, and what was answered is kept."""

    def __call__(self, seed: int) -> None:
        draw = random.Random(seed)
        number = draw.choice((signal.SIGTERM, signal.SIGHUP))
        with self.screen(seed) as (full, path):
            for _ in range(draw.randint(0, 8)):
                os.write(full.own, bytes([draw.choice(b"123cs")]))
                full.settled(draw.choice((0.0, 0.01, 0.05)))
            time.sleep(draw.uniform(0, 0.05))
            full.signal(number)
            full.rest()
            must(full.code() == 128 + number, f"code {full.code()} for {number}: {full.text[-300:]}")
            must(BACK in full.drawn, "the terminal is not given back")
        must(self.all_read(path.parent), "the case is gone")


class Kills(_OnTerminal):
    """A kill at any moment: the case reads, and the next program opens it with what was drawn as kept."""

    def __call__(self, seed: int) -> None:
        draw = random.Random(seed)
        with self.screen(seed) as (full, path):
            os.write(full.own, b"1")
            full.settled(0.3)
            before = read_case(path, self.base).case
            os.write(full.own, bytes([draw.choice(b"123")]))
            time.sleep(draw.uniform(0, 0.06))
            full.signal(signal.SIGKILL)
            full.code()
        (after,) = self.all_read(path.parent)
        must(len(after.observations) in (len(before.observations), len(before.observations) + 1), "answers are gone")
        must(after.observations[: len(before.observations)] == before.observations, "an earlier answer changed")
