"""Your cases on a terminal of its own: what typing on the list does, and where q leads from a case that was named."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from tests.commands.terminal import warmed

from .driving import BEGUN
from .full import Full

pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
LISTED = "1 look"
"""What is drawn below each case of the list."""
DELETE, BACKSPACE, DOWN = b"\x1b[3~", b"\x7f", b"\x1b[B"


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory, small_root: Path) -> Path:
    return warmed(tmp_path_factory.mktemp("cache"), small_root)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Your cases, two of them."""
    cases = tmp_path / "cases"
    cases.mkdir()
    for name in ("green", "ivory"):
        (cases / f"{name}.yaml").write_text(BEGUN.replace("green", name), encoding="utf-8")
    monkeypatch.setenv("HOBMARK_CASES", str(cases))
    monkeypatch.setenv("TERM", "xterm-256color")
    return cases


Start = Callable[..., AbstractContextManager["Full"]]


@pytest.fixture
def start(cache: Path, tmp_path: Path, small_root: Path, folder: Path) -> Start:
    """Put your cases on the screen, or a case that is named."""
    assert folder.is_dir()

    @contextmanager
    def started(*case: Path, size: tuple[int, int] = (80, 24), until: str = LISTED) -> Iterator[Full]:
        with Full(cache, tmp_path, "examine", *case, "--knowledge", small_root, size=size) as screen:
            screen.until(until)
            screen.settled()
            yield screen

    return started


def leave(full: Full) -> None:
    full.key(b"\x11")
    full.rest()
    assert full.code() == 0


@pytest.mark.parametrize("size", [(80, 24), (50, 30)])
def test_a_word_typed_on_the_list_opens_the_case_that_has_it(start: Start, folder: Path, size: tuple[int, int]) -> None:
    with start(size=size) as full:
        full.key(b"ivory\r")
        full.until("Cautions")
        assert "ivory range" in full.text
        leave(full)
    assert sorted(path.name for path in folder.glob("*.yaml")) == ["green.yaml", "ivory.yaml"]


@pytest.mark.parametrize("typed", [b"deluxe\r", BACKSPACE * 3 + b"\r", DELETE + b"\r", b"dd\r"])
def test_no_word_and_no_single_key_deletes_a_case(start: Start, folder: Path, typed: bytes) -> None:
    with start() as full:
        full.key(typed)
        full.settled()
        leave(full)
    assert sorted(path.name for path in folder.glob("*.yaml")) == ["green.yaml", "ivory.yaml"]


def test_delete_asks_then_names_what_u_brings_back(start: Start, folder: Path) -> None:
    with start() as full:
        for typed in (b"green", DOWN, b"d"):
            full.key(typed)
            full.settled()
        full.until('Delete "green range"?')
        full.key(DOWN + b"\r")
        full.until('Moved to the trash folder: "green range". u brings it back.')
        assert [path.name for path in folder.glob("*.yaml")] == ["ivory.yaml"]
        full.key(b"u")
        full.until('Brought back: "green range".')
        leave(full)
    assert sorted(path.name for path in folder.glob("*.yaml")) == ["green.yaml", "ivory.yaml"]
