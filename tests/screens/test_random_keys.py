"""Whatever keys are pressed, in whatever order and however fast: no crash, and the disk has what the page has."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hobmark.case import read_case
from hobmark.reasoning.examination import Compiled
from hobmark_tui.screens import bench_papers
from hobmark_tui.screens.examine import ExamineScreen

from .conftest import NARROW, Open
from .driving import BEGUN, FARM
from .records import released

KEYS = [
    *"1234567890-=" * 2, *"nlcgmpsvuuraafdwxoiktehyqbj", "space", "enter", "enter", "escape", "escape", "escape", "tab",
    "up", "down", "left", "right", "pagedown", "pageup", "ctrl+t", "ctrl+r", "delete", "backspace", "home", "end",
]  # fmt: skip
"""Every key that does something, those that answer and those that go back more often."""
LENGTH = 60
"""Keys of one sequence."""
SEEDS = [0, 1, pytest.param(2, marks=pytest.mark.long), pytest.param(3, marks=pytest.mark.long)]
"""Two sequences of each always, the others with the long tests."""


async def _pressed(opened: Open, base: Compiled, seed: int, *first: str, text: str = BEGUN) -> None:
    choose = random.Random(seed)
    async with opened(choose.choice([(80, 24), NARROW]), text=text, compiled=base) as driven:
        await driven.press(*first)
        for _ in range(LENGTH):
            driven.app.simulate_key(choose.choice(KEYS))
            if choose.random() < 0.3:
                await driven.pilot.pause(choose.choice([0.001, 0.02]))
        await driven.settle()
        pages = [page for page in driven.app.screen_stack if isinstance(page, ExamineScreen)]
        begun = [page.session for page in pages if page.session.unkept or not page.session.is_new]
        kept = [(session.path, session.case) for session in begun]  # one that nothing was said of has no file
    for path, case in kept:
        assert read_case(path, base.base).case == case
    for path in _cases(driven.path):
        read_case(path, base.base)


def _cases(path: Path | None) -> list[Path]:
    assert path is not None
    return [*path.parent.glob("*.yaml"), *path.parent.glob("trash/*.yaml")]


@pytest.mark.parametrize("seed", SEEDS)
async def test_random_keys_neither_crash_nor_lose_an_answer(opened: Open, small: Compiled, seed: int) -> None:
    await _pressed(opened, small, seed)


@pytest.mark.parametrize("seed", SEEDS)
async def test_random_keys_at_the_bench_neither_crash_nor_lose_a_measure(
    opened: Open, shipped: Compiled, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bench_papers, "has_browser", lambda: False)
    await _pressed(opened, shipped, seed, "b", "p", "4", "1", text=FARM)


@pytest.mark.parametrize("seed", SEEDS)
async def test_random_keys_on_the_set_up_page_neither_crash_nor_lose_a_fact(
    opened: Open, shipped: Compiled, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bench_papers, "has_browser", lambda: False)
    await _pressed(opened, shipped, seed, "b", "t", text=released(symptoms=[{"symptom": "smell_of_gas"}]))


@pytest.mark.long
@pytest.mark.parametrize("seed", range(4, 200))
async def test_random_keys_by_the_hundred(opened: Open, small: Compiled, seed: int) -> None:
    await _pressed(opened, small, seed)
