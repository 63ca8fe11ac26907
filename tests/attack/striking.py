"""`python -m tests.attack`: everything at once that may befall hobmark, by a seed; prints how it stood.

Each strike has a seed of its own, which is printed where something fell: `--only NAME --seed S --share 0` strikes that
one again. Ends with code 1 where anything fell.
"""

from __future__ import annotations

import argparse
import os
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy: the arrays are small, and threads would only wait

from tests.attack import on_files, on_screen, on_serve, on_sessions
from tests.attack.attacks import Attack

ATTACKS = (
    Attack("cases gone wrong", 70_000, on_files.Cases),
    Attack("files of a small base gone wrong", 25_000, on_files.SmallBase, 250),
    Attack("files of the shipped base gone wrong", 5_000, on_files.ShippedBase, 100),
    Attack("entries of the cache gone wrong", 2_000, on_files.Cache),
    Attack("pictures gone wrong", 10_000, on_files.Pictures),
    Attack("killed at a prompt", 400, on_sessions.KilledAtPrompts, 50),
    Attack("killed in changes", 300, on_sessions.KilledInChanges, 50),
    Attack("killed on the full screen", 300, on_screen.Kills, 25),
    Attack("signals on the full screen", 150, on_screen.Signals, 25),
    Attack("bytes as keys on the full screen", 150, on_screen.Keys, 15),
    Attack("a disk that fills up", 500, on_sessions.FullDisk, 100),
    Attack("somebody else's hand in the file", 500, on_sessions.ForeignEdits, 100),
    Attack("100 served tabs", 3, on_serve.Tabs, 3),
    Attack("1,000 connections", 3, on_serve.Connections, 3),
    Attack("messages no page sends", 60, on_serve.Messages, 20),
)
STRIDE = 1_000_000
"""Strikes of one run lie this far from those of the next seed."""
TOLD = 3
"""How many that fell are told of each attack."""


@dataclass(frozen=True, slots=True)
class Struck:
    """What came of a packet of strikes: what fell, by its seed, and the seconds."""

    fell: list[tuple[int, str]]
    seconds: float


def strike(place: int, first: int, count: int) -> Struck:
    """One packet, in a folder and a process of its own."""
    began, fell = time.monotonic(), []
    with tempfile.TemporaryDirectory(prefix="attack-") as folder:
        ready = ATTACKS[place].ready(Path(folder))
        for seed in range(first, first + count):
            try:
                ready(seed)
            except Exception as error:
                fell.append((seed, f"{type(error).__name__}: {' '.join(str(error).split())[:300]}"))
        del ready
    return Struck(fell, time.monotonic() - began)


def main(arguments: list[str] | None = None) -> int:
    """Strike, print the table, and tell whether all stood."""
    parser = argparse.ArgumentParser(prog="python -m tests.attack", description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--share", type=float, default=1.0, help="share of a whole run; 0 strikes once, by the seed itself"
    )
    parser.add_argument("--only", default="", help="attacks whose name holds this")
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    asked = parser.parse_args(arguments)
    chosen = [place for place, attack in enumerate(ATTACKS) if asked.only in attack.name]
    print(f"seed {asked.seed}, {asked.share:.4g} of a whole run", flush=True)
    began, any_fell = time.monotonic(), False
    print(f"{'attack':38}{'tried':>9}{'survived':>10}{'failed':>8}{'s':>8}", flush=True)
    with ProcessPoolExecutor(asked.processes, max_tasks_per_child=1) as pool:
        for place in chosen:
            attack = ATTACKS[place]
            times = max(1, round(attack.times * asked.share))
            first = asked.seed * STRIDE if asked.share else asked.seed
            packets = [(first + n, min(attack.packet, times - n)) for n in range(0, times, attack.packet)]
            done = [each.result() for each in as_completed([pool.submit(strike, place, *packet) for packet in packets])]
            fell = sorted(entry for each in done for entry in each.fell)
            any_fell = any_fell or bool(fell)
            seconds = sum(each.seconds for each in done)
            print(f"{attack.name:38}{times:>9,}{times - len(fell):>10,}{len(fell):>8,}{seconds:>8.0f}", flush=True)
            for seed, words in fell[:TOLD]:
                print(f"    seed {seed}: {words}", flush=True)
    print(f"{'FELL' if any_fell else 'all stood'}, after {time.monotonic() - began:.0f} s")
    return 1 if any_fell else 0
