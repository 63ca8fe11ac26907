"""Sessions killed without warning: the case always reads, and lacks at most the answer that was being given."""

from __future__ import annotations

import datetime
import os
import random
import signal
import struct
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from hobmark.case import Case, read_case
from hobmark.files import PART
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.schema.observations import Observation
from hobmark_tui.sessions.session import CaseSession

if os.name != "posix":
    pytest.skip("pseudo-terminals are POSIX", allow_module_level=True)

from .commands.small_base import write_small_base
from .commands.terminal import Terminal, warmed

NAME = f"case-{datetime.date.today().isoformat()}.yaml"
KILLS, SOON = 40, 5
"""How many sessions are killed, and how many of them in every run; `tests.attack` kills 1,000."""
ANSWERS = ("1", "2", "1,2", "!1", "2?", "?", "s", "u", "f legs", "w")
LONGEST_WAIT = 0.03
"""Seconds from an answer to the kill, at most: in that time it is read, written, synced and put in place."""


CHANGES_KILLED, CHANGES_SOON = 25, 5
"""The same of bare sessions, which change a case as fast as they can."""


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
    assert all(PART.fullmatch(name) or name == f".{NAME}.lock" for name in found.litter)


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


def changes(seed: int) -> Iterator[Callable[[CaseSession], object]]:
    """Changes without end, the same for the same seed."""
    draw = random.Random(seed)
    while True:
        value, place, text = (
            draw.choice(("curved", "straight", "recess")),
            draw.randrange(4),
            "x" * draw.randrange(2000),
        )
        legs = Observation.model_validate({"feature": "legs", "is": value, "note": f"seen {text}"})
        words = Observation.model_validate({"serial": f"H {draw.randrange(9999)}", "found_on": "body"})
        acts: list[Callable[[CaseSession], object]] = [
            lambda session, legs=legs: session.add(legs),
            lambda session, words=words: session.add(words),
            lambda session, place=place: session.remove(place),
            lambda session, place=place, legs=legs: session.replace(place, legs),
            lambda session, text=text: session.set_note(text),
            lambda session: session.undo(),
            lambda session: session.redo(),
        ]
        yield draw.choice(acts)


def changed_until_killed(folder: Path, seed: int) -> int:
    """Change a case in a child, kill it in the midst of that, and return how many changes it had made by then."""
    told, tell = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            with CaseSession.begin(folder) as session:
                session.keep()
                os.write(tell, struct.pack("I", 0))
                for number, change in enumerate(changes(seed), start=1):
                    change(session)
                    os.write(tell, struct.pack("I", number))
        finally:
            os._exit(1)
    os.close(tell)
    with os.fdopen(told, "rb") as counts:
        assert counts.read(4), "the child did not begin"
        time.sleep(random.Random(seed).uniform(0, 0.1))
        os.kill(child, signal.SIGKILL)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
        return len(counts.read()) // 4


def after(folder: Path, seed: int, count: int) -> list[Case]:
    """The case after so many changes, and after one more, made by a session that nobody kills."""
    with CaseSession.begin(folder) as session:
        made = changes(seed)
        for _ in range(count):
            next(made)(session)
        before = session.case
        next(made)(session)
        return [before, session.case]


@pytest.mark.parametrize(
    "seed", [n if n < CHANGES_SOON else pytest.param(n, marks=pytest.mark.slow) for n in range(CHANGES_KILLED)]
)
def test_a_killed_change_leaves_the_case_before_or_after_it_and_the_case_open_to_the_next_program(
    base: KnowledgeBase, tmp_path: Path, seed: int
) -> None:
    for name in ("killed", "whole"):
        (tmp_path / name).mkdir()
    count = changed_until_killed(tmp_path / "killed", seed)
    assert kept(tmp_path / "killed", base) in after(tmp_path / "whole", seed, count)
    for part in (tmp_path / "killed").glob(".hobmark-*.part"):
        os.utime(part, (0, 0))
    with CaseSession.open(tmp_path / "killed" / NAME, base) as session:
        assert session.trouble is None
    assert [path.name for path in (tmp_path / "killed").iterdir()] == [NAME]
