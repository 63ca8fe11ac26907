"""Your cases on a terminal of its own: what typing on the list does, and where q leads from a case that was named."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest
from hobmark_tui.exits import ExitCode
from hobmark_tui.sessions import own_file

from tests.commands.terminal import warmed
from tests.sessions.cases import failing

from .driving import BEGUN
from .full import Full

pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
LISTED = "1 look"
"""What is drawn below each case of the list."""
BACK = b"\x1b[?1049l"
"""What gives a terminal back what it showed before."""
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


@pytest.fixture
def elsewhere(tmp_path: Path) -> Path:
    """A case outside your cases."""
    (tmp_path / "jobs").mkdir()
    case = tmp_path / "jobs" / "cream.yaml"
    case.write_text(BEGUN.replace("green", "cream"), encoding="utf-8")
    return case


@pytest.mark.parametrize("size", [(80, 24), (50, 30)])
def test_q_on_a_named_case_of_another_folder_leaves_and_says_nothing(
    start: Start, elsewhere: Path, size: tuple[int, int]
) -> None:
    with start(elsewhere, size=size, until="Leave") as full:
        full.key(b"1")
        full.settled()
        full.key(b"q")
        left = full.rest()
        assert full.code() == 0
        assert "Your cases" not in left
        full.drawn = full.drawn.partition(BACK)[2]
        assert full.text.strip() == ""
    assert elsewhere.read_text(encoding="utf-8").count("feature:") == 2


def test_q_on_a_named_case_that_is_among_your_cases_leads_to_it_in_the_list(start: Start, folder: Path) -> None:
    with start(folder / "green.yaml", until="Cautions") as full:
        full.key(b"q")
        full.until("Your cases")
        full.key(b"d")
        full.until('Delete "green range"?')
        leave(full)


def test_q_on_a_named_case_that_is_not_on_disk_says_so_and_once_more_leaves_without_it(
    start: Start, elsewhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(own_file, "write_atomically", failing(errno.ENOSPC))
    with start(elsewhere, until="Leave") as full:
        full.key(b"1")
        full.until("the disk is full")
        full.key(b"q")
        full.until("The last change is not on disk.")
        full.key(b"q")
        assert "not kept: cream.yaml: the disk is full" in full.rest()
        assert full.code() == ExitCode.REFUSED


def test_escape_on_a_named_case_of_another_folder_leaves_nothing(start: Start, elsewhere: Path) -> None:
    with start(elsewhere, until="Leave") as full:
        full.key(b"\x1b")
        full.until("q leaves hobmark")
        leave(full)


@pytest.mark.skipif(sys.platform != "linux", reason="names are bytes on Linux; others hold them to be text")
def test_a_name_that_is_no_text_is_spelt_out_and_its_case_opens(start: Start, folder: Path) -> None:
    (folder / os.fsdecode(b"caf\xe9.yaml")).write_text("hobmark: [", encoding="utf-8")
    named = folder / os.fsdecode(b"na\xefve.yaml")
    named.write_text(BEGUN, encoding="utf-8")
    with start(named, until="Cautions") as full:
        for key in (b"1", b"q"):
            full.key(key)
            full.settled()
        full.until("Your cases")
        full.key(b"f")
        full.settled()
        full.key(b"caf\\udce9")
        full.settled()
        full.key(DOWN)
        full.settled()
        full.key(b"d")
        full.until('Delete "caf\\udce9"?')
        leave(full)
    assert named.read_text(encoding="utf-8").count("feature:") == 2
