"""How long the screen takes from the key of an answer to the next question and ranking, on a real pseudo-terminal.

    python tests/bench/key_bench.py [--ranges 3] [--sizes shipped made all] [--screen 112x36] [--pause 1.5]

The program runs as it does for a person: it keeps the case on disk, draws, and thinks ahead. A key is written to the
terminal; the clock stops when the bytes that draw the next question have been read from it. `shipped`, `made` and `all`
are the bases of look_bench.py. `whole` is in wall time; the lines below it say where that went, each in wall time and,
for the last, in processor time of the program's process over the same stretch. The ratio is to one product of
matrices of that base's size, timed between the keys. Nothing is asserted. Aimed at for `whole`: 50 ms at 90% shipped,
150 ms with 300 variants.
"""

from __future__ import annotations

import argparse
import fcntl
import json
import os
import pty
import select
import struct
import tempfile
import termios
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy: as in the program

import numpy as np
from hobmark.curating.simulating import SimulatedRange, draw_ranges
from hobmark.reasoning.examination import Compiled
from hobmark_tui.app import make_app, run
from hobmark_tui.screens import examine
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.views.look import KEYS
from hobmark_tui.views.preparing import Ahead
from look_bench import SIZES, Timed, compiled_base, product

MOST_LOOKS = 8
EMPTY = "hobmark: 1\nlabel: timed\nsituation: sale\nobservations: []\n"
SEEN = 14
"""Letters of the question that must have reached the terminal."""
PATIENCE = 60.0
"""Seconds after which a screen that shows no next look is given up."""
STAGES = ("kept on disk", "ranked, look chosen", "put into the widgets", "drawn", "processor time")


class Report:
    """Within the program: when each stage of an answer was over, told through a pipe."""

    def __init__(self, pipe: int) -> None:
        """Watch the program that is about to run."""
        self.pipe = pipe
        self.spent: dict[str, float] = {}
        self.cpu = 0.0
        self._watch(CaseSession, "add", "kept on disk")
        self._watch(examine, "stand", "ranked, look chosen")
        take, show = examine.ExamineScreen.take, examine.ExamineScreen.show

        def took(screen: Any, seen: Any) -> None:
            self.cpu = time.process_time()
            take(screen, seen)

        async def shown(screen: Any, found: Any) -> None:
            start = time.perf_counter()
            await show(screen, found)
            self.spent["put into the widgets"] = time.perf_counter() - start
            screen.call_after_refresh(self.tell, screen, time.perf_counter())

        examine.ExamineScreen.take, examine.ExamineScreen.show = took, shown  # type: ignore[method-assign]

    def _watch(self, owner: Any, name: str, stage: str) -> None:
        whole = getattr(owner, name)

        def timed(*given: Any) -> Any:
            start = time.perf_counter()
            try:
                return whole(*given)
            finally:
                self.spent[stage] = time.perf_counter() - start

        setattr(owner, name, timed)

    def tell(self, screen: Any, since: float) -> None:
        """The look that is on the screen now, and what it took."""
        look = screen.asked
        told = {**self.spent, "drawn": time.perf_counter() - since, "processor time": time.process_time() - self.cpu}
        asked = {"feature": look.feature, "question": look.question} if look is not None else {}
        os.write(self.pipe, (json.dumps(asked | {"spent": told}) + "\n").encode())


class Terminal:
    """The program on a pseudo-terminal of its own, in a process of its own."""

    def __init__(self, compiled: Compiled, folder: Path, screen: tuple[int, int]) -> None:
        """Start it on an empty case."""
        case = folder / "timed.yaml"
        case.write_text(EMPTY, encoding="utf-8")
        reading, writing = os.pipe()
        self.process, self.tty = pty.fork()
        if self.process == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", screen[1], screen[0], 0, 0))
            os.environ["TERM"] = "xterm-256color"
            Report(writing)
            run(make_app(compiled, folder, case=case, prepare=Ahead()))
            os._exit(0)
        os.close(writing)
        self.pipe = os.fdopen(reading, encoding="utf-8")

    def press(self, key: str) -> None:
        """Write the key."""
        os.write(self.tty, key.encode())

    def read(self, seconds: float) -> bytes:
        """What is drawn within so many seconds; at once what there is, if there is any."""
        ready, _, _ = select.select([self.tty], [], [], seconds)
        return os.read(self.tty, 1 << 20) if ready else b""

    def idle(self, seconds: float) -> None:
        """Let it work and draw."""
        until = time.perf_counter() + seconds
        while (left := until - time.perf_counter()) > 0:
            self.read(left)

    def next_look(self, start: float) -> tuple[dict[str, Any], float]:
        """What the program tells of the next look, and the seconds from `start` until its question was read."""
        drawn, arrivals, told = b"", [], None
        while told is None or _words(told) not in drawn:
            if time.perf_counter() - start > PATIENCE:
                raise SystemExit(f"not drawn within {PATIENCE:.0f} s: {told}")
            if piece := self.read(0.05 if told is None else 1.0):
                drawn += piece
                arrivals.append((len(drawn), time.perf_counter() - start))
            if told is None and select.select([self.pipe], [], [], 0)[0]:
                told = json.loads(self.pipe.readline())
        place = drawn.index(_words(told)) + len(_words(told)) if _words(told) else len(drawn)
        return told, next((when for length, when in arrivals if length >= place), 0.0)

    def end(self) -> None:
        """Leave the program."""
        self.press("\x11")
        with suppress(OSError):  # the terminal is gone with the program
            while True:
                self.read(PATIENCE)
        os.close(self.tty)
        self.pipe.close()
        os.waitpid(self.process, 0)


def _words(told: dict[str, Any]) -> bytes:
    return str(told.get("question", ""))[:SEEN].encode()


def key_for(compiled: Compiled, simulated: SimulatedRange, feature: str) -> str:
    """The key that gives a range's answer to a look; `cannot see` where it shows none."""
    answer = simulated.answer(feature)
    return "c" if answer is None else KEYS[list(compiled.base.features[feature].value_ids).index(answer)]


def game(
    compiled: Compiled, simulated: SimulatedRange, screen: tuple[int, int], pause: float, unit: Callable[[], object]
) -> Timed:
    """One range from the first look on; the times of every answer."""
    timed: Timed = {name: [] for name in ("matrix product", "whole", *STAGES)}
    with tempfile.TemporaryDirectory() as folder:
        terminal = Terminal(compiled, Path(folder), screen)
        told, _ = terminal.next_look(time.perf_counter())
        for _ in range(MOST_LOOKS):
            if "feature" not in told:
                break
            terminal.idle(pause)
            start = time.perf_counter()
            unit()
            timed["matrix product"].append(time.perf_counter() - start)
            start = time.perf_counter()
            terminal.press(key_for(compiled, simulated, told["feature"]))
            told, taken = terminal.next_look(start)
            if "feature" in told:
                timed["whole"].append(taken)
                for stage in STAGES:
                    timed[stage].append(told["spent"][stage])
        terminal.end()
    return timed


def main() -> None:
    """Print one table for each size."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--ranges", type=int, default=3)
    options.add_argument("--sizes", nargs="+", choices=SIZES, default=list(SIZES))
    options.add_argument("--screen", default="112x36", help="columns x rows")
    options.add_argument("--pause", type=float, default=1.5, help="seconds a person looks before they answer")
    told = options.parse_args()
    columns, rows = map(int, told.screen.split("x"))
    for size in told.sizes:
        compiled = compiled_base(size)
        games = [
            game(compiled, simulated, (columns, rows), told.pause, product(compiled))
            for simulated in draw_ranges(compiled, told.ranges, seed=1)
        ]
        timed = {name: [each for one in games for each in one[name]] for name in games[0]}
        unit = float(np.median(timed["matrix product"]))
        cells, keys, load = len(compiled.model.cells), len(timed["whole"]), os.getloadavg()[0]
        print(f"\n{size}: {cells} cells, {keys} keys, {told.screen}, load {load:.1f}")
        for name, found in timed.items():
            middle, most = np.median(found), np.quantile(found, 0.9)
            print(f"{name:22} {middle * 1000:8.1f} ms {most * 1000:8.1f} ms at 90% {middle / unit:8.2f} products")


if __name__ == "__main__":
    main()
