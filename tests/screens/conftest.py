"""What the screen's tests share: bases that are compiled once, a folder of cases, and a program to press keys on."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Compiled, compile_base
from hobmark_tui.app import make_app
from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.sessions.session import CaseSession

from tests.commands.small_base import write_small_base

from .driving import FARM, Driven
from .records import released
from .talking import Talk

LOW, NARROW = (80, 24), (50, 30)
"""The two smallest screens that must do."""


@pytest.fixture(scope="session")
def small_root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_small_base(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="session")
def small(small_root: Path) -> Compiled:
    return compile_base(read_base([small_root]))


@pytest.fixture(scope="session")
def shipped() -> Compiled:
    return load_compiled([knowledge_root()])


@pytest.fixture
def cases(tmp_path: Path) -> Path:
    folder = tmp_path / "cases"
    folder.mkdir()
    return folder


Open = Callable[..., AbstractAsyncContextManager[Driven]]
"""Start the program on a screen of some size, and let go of it at the end."""


@pytest.fixture(params=[NARROW, pytest.param(LOW, marks=pytest.mark.long)], ids=["50x30", "80x24"])
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    """Both small screens, the narrower always: what may be done on one may be done on the other."""
    found: tuple[int, int] = request.param
    return found


@pytest.fixture
def opened(small: Compiled, small_root: Path, cases: Path) -> Open:
    @asynccontextmanager
    async def start(
        size: tuple[int, int] = LOW,
        *,
        text: str | None = None,
        compiled: Compiled = small,
        roots: tuple[Path, ...] = (small_root,),
        **given: object,
    ) -> AsyncIterator[Driven]:
        path = None
        if text is not None:
            path = cases / "case.yaml"
            path.write_text(text, encoding="utf-8")
        app = make_app(compiled, cases, roots=roots, case=path, **given)  # type: ignore[arg-type]
        async with app.run_test(size=size) as pilot:
            driven = Driven(app, pilot, path)
            await driven.settle()
            yield driven

    return start


At = Callable[..., AbstractAsyncContextManager[Driven]]
"""Start the program on its bench page, and press keys there."""


@pytest.fixture
def bench(opened: Open, shipped: Compiled, size: tuple[int, int]) -> At:
    @asynccontextmanager
    async def start(*keys: str, text: str = FARM) -> AsyncIterator[Driven]:
        async with opened(size, text=text, compiled=shipped) as driven:
            await driven.press("b", *keys)
            yield driven

    return start


@pytest.fixture
def talk(tmp_path: Path, shipped: Compiled) -> Iterator[Talk]:
    """A desk with the record of a range that is released."""
    path = tmp_path / "case.yaml"
    path.write_text(released(), encoding="utf-8")
    with CaseSession.open(path, shipped.base) as session, ThreadPoolExecutor(1) as hand:
        desk = Desk(shipped, session, hand)
        desk.head()
        yield Talk(desk)
