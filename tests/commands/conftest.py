"""What the commands' tests share: a small base, and a cache and a program that are warm from the first of them on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from hobmark_tui.__main__ import run

from .small_base import write_small_base
from .terminal import warmed


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_small_base(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="session")
def cache(tmp_path_factory: pytest.TempPathFactory, small: Path) -> Path:
    return warmed(tmp_path_factory.mktemp("cache"), small)


@dataclass(frozen=True)
class Done:
    """A command that has ended: its exit code, and what it wrote."""

    code: int
    out: str
    err: str


Hobmark = Callable[..., Done]
"""Run one command line in this process."""


@pytest.fixture
def hobmark(cache: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Hobmark:
    def command(*arguments: object) -> Done:
        monkeypatch.setenv("HOBMARK_CACHE", str(cache))
        monkeypatch.delenv("HOBMARK_DEBUG", raising=False)
        capsys.readouterr()
        code = run(list(map(str, arguments)))
        return Done(code, *capsys.readouterr())

    return command
