"""Sessions killed without warning: the case always reads, and lacks at most the answer that was being given."""

from __future__ import annotations

import datetime
import os
import random
import signal
import time
from dataclasses import dataclass
from pathlib import Path

import pytest
from hobmark.case import Case, read_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base

if os.name != "posix":
    pytest.skip("pseudo-terminals are POSIX", allow_module_level=True)

from .commands.small_base import write_small_base
from .commands.terminal import Terminal, warmed

NAME = f"case-{datetime.date.today().isoformat()}.yaml"
KILLS, SOON = 100, 5
"""How many sessions are killed, and how many of them in every run."""
ANSWERS = ("1", "2", "1,2", "!1", "2?", "?", "s", "u", "f legs", "w")
LONGEST_WAIT = 0.03
"""Seconds from an answer to the kill, at most: in that time it is read, written, synced and put in place."""


@dataclass(frozen=True)
class Killed:
    """One killed session: the case at its last prompt, the case it left, and what else lies in the folder."""

    before: Case
    after: Case
    litter: list[str]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_small_base(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory, small: Path) -> Path:
    return warmed(tmp_path_factory.mktemp("cache"), small)


@pytest.fixture(scope="module")
def base(small: Path) -> KnowledgeBase:
    return read_base([small])


def kept(folder: Path, base: KnowledgeBase) -> Case:
    """The case on disk; before the first answer there is none."""
    path = folder / NAME
    return read_case(path, base).case if path.exists() else Case(hobmark="1")


def killed(cache: Path, small: Path, base: KnowledgeBase, folder: Path, seed: int) -> Killed:
    """Answer a few questions, give one answer more, and kill the program somewhere in it."""
    draw = random.Random(seed)
    with Terminal(cache, folder, "identify", "--knowledge", small) as terminal:
        terminal.shown()
        terminal.type(*draw.choices(ANSWERS, k=draw.randint(0, 6)), "f legs")
        before = kept(folder, base)
        terminal.send(draw.choice(("1", "2", "3")))
        time.sleep(draw.uniform(0, LONGEST_WAIT))
        terminal.signal(signal.SIGKILL)
        assert terminal.code() == -signal.SIGKILL
    after = kept(folder, base)
    return Killed(before, after, [path.name for path in folder.iterdir() if path.name != NAME])


def legs(case: Case) -> list[object]:
    return [seen.is_ for seen in case.observations if seen.feature == "legs"]


@pytest.mark.parametrize("seed", [n if n < SOON else pytest.param(n, marks=pytest.mark.slow) for n in range(KILLS)])
def test_a_killed_session_leaves_a_case_that_lacks_at_most_the_answer_in_flight(
    cache: Path, small: Path, base: KnowledgeBase, tmp_path: Path, seed: int
) -> None:
    found = killed(cache, small, base, tmp_path, seed)
    others = found.before.without_feature("legs").observations
    assert found.after.without_feature("legs").observations == others
    assert found.after.observations == found.before.observations or len(legs(found.after)) == 1
    assert all(name.startswith(".hobmark-") and name.endswith(".part") for name in found.litter)


def test_a_killed_session_is_offered_again_with_its_looks(cache: Path, small: Path, tmp_path: Path) -> None:
    with Terminal(cache, tmp_path, "identify", "--knowledge", small) as terminal:
        terminal.shown()
        terminal.type("f legs", "1")
        terminal.signal(signal.SIGKILL)
    with Terminal(cache, tmp_path, "identify", "--knowledge", small) as terminal:
        assert terminal.shown() == f"Go on with {NAME} (1 look)? y/n"


def test_a_terminal_that_is_closed_leaves_the_case_whole(
    cache: Path, small: Path, base: KnowledgeBase, tmp_path: Path
) -> None:
    with Terminal(cache, tmp_path, "identify", "--knowledge", small) as terminal:
        terminal.shown()
        terminal.type("f legs", "1")
        terminal.signal(signal.SIGHUP)
        terminal.code()
    assert legs(read_case(tmp_path / NAME, base).case) == [("curved",)]
