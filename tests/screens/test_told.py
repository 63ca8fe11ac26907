"""The line that says what a key has just written: in words, true, in sight, and in a place of its own."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hobmark_tui.views.told import ToldView
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.told import Told
from textual.widgets._toast import Toast

from tests.commands.terminal import warmed

from .conftest import LOW, NARROW, Open
from .driving import BEGUN, EMPTY, Driven
from .full import Full

SIZES = pytest.mark.parametrize("size", [LOW, NARROW], ids=["80x24", "50x30"])


def told(driven: Driven) -> str:
    """The line, without its folds; empty where it is not in sight."""
    line = driven.app.screen.query_one(Told)
    return " ".join(line.text.split()) if line.region in driven.app.screen.region else ""


@SIZES
async def test_an_answer_is_said_in_words_with_the_key_that_takes_it_back(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("3")
        assert told(driven) == "Kept: legs: recess. u takes it back."


@SIZES
async def test_what_is_said_of_an_answer_moves_nothing(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        places = [driven.app.screen.query_one(name).region for name in ("#asked", "#actions", "KeyFooter")]
        await driven.ask("legs")
        await driven.press("3")
        assert places == [driven.app.screen.query_one(name).region for name in ("#asked", "#actions", "KeyFooter")]


@SIZES
async def test_on_the_other_side_of_the_page_it_is_said_too(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("3", "v")
        assert told(driven) == "Kept: legs: recess. u takes it back."


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("c", "Kept: legs: cannot be seen. u takes it back."),
        ("l3", "Kept: legs: recess (likely). u takes it back."),
        ("n3", "Kept: legs: not recess. u takes it back."),
        ("3u", "Taken back: legs: recess."),
        ("3ur", "Kept again: legs: recess. u takes it back."),
        ("3s", ""),
    ],
)
async def test_each_key_says_what_it_has_done(opened: Open, keys: str, says: str) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press(*keys)
        assert told(driven) == says


async def test_an_answer_in_the_place_of_another_is_taken_back_to_it(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("legs")
        await driven.press("1", "u")
        assert told(driven) == "Taken back: legs: curved. Again legs: recess."


async def test_an_answer_that_stands_already_promises_no_undo(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("legs")
        await driven.press("3")
        assert told(driven) == "It stands so already: legs: recess."


async def test_words_on_a_plate_are_said(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.press("p")
        await driven.type("CAT. NO. 36")
        assert told(driven).startswith('Kept: words "CAT. NO. 36" on the')


async def test_what_is_not_on_disk_is_not_said_to_be_kept(opened: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: object) -> None:
        raise OSError(28, "No space left on device")

    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        with monkeypatch.context() as patch:
            patch.setattr(os, "fsync", full)
            await driven.press("3")
            assert told(driven) == "Not on disk yet: legs: recess. u takes it back."


async def test_another_change_says_no_longer_that_an_answer_was_kept(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("3", "t")
        await driven.type("ring on Monday")
        assert told(driven) == ""


@pytest.mark.parametrize(("width", "rows"), [(78, 1), (48, 2)])
def test_a_long_answer_is_cut_and_never_the_key_that_takes_it_back(width: int, rows: int) -> None:
    line = Told(id="told")
    drawn = line.lines(
        ToldView("Kept: ", "top burners: four, the front pair shifted " * 4, ". u takes it back."), width
    )
    said = " ".join(each.plain for each in drawn)
    assert len(drawn) == rows
    assert said.startswith("Kept: top burners: four, the front pair")
    assert said.endswith("…. u takes it back.")


@SIZES
async def test_a_notice_covers_neither_the_years_nor_a_key(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        assert driven.path is not None
        driven.path.write_text(EMPTY, encoding="utf-8")
        await driven.press("1")
        assert "was changed by somebody else" in told(driven)
        assert "Kept: " in told(driven)
        line, body, foot = (driven.app.screen.query_one(name).region for name in ("#told", "#body", "KeyFooter"))
        assert body.bottom == line.y
        assert line.bottom == foot.y
        assert not driven.app.screen.query(Toast)


async def test_a_notice_is_still_there_when_the_next_answer_follows_at_once(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        assert driven.path is not None
        driven.path.write_text(EMPTY, encoding="utf-8")
        await driven.press("1", "1")
        assert "was changed by somebody else" in told(driven)
        assert driven.app.screen.query_one(KeyFooter).region in driven.app.screen.region


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
@SIZES
def test_on_a_terminal_an_answer_is_said(
    tmp_path: Path, small_root: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "cache").mkdir()
    (tmp_path / "cases").mkdir()
    monkeypatch.setenv("HOBMARK_CASES", str(tmp_path / "cases"))
    monkeypatch.setenv("TERM", "xterm-256color")
    case = tmp_path / "cases" / "green.yaml"
    case.write_text(EMPTY, encoding="utf-8")
    cache = warmed(tmp_path / "cache", small_root)
    with Full(cache, tmp_path, "examine", case, "--knowledge", small_root, size=size) as full:
        full.until("Cautions")
        full.settled()
        full.key(b"f")
        full.until("type to narrow the list")
        for typed in (b"legs", b"\r"):
            full.settled()
            full.key(typed)
        full.until("What does the range stand on?")
        full.settled()
        full.key(b"3")
        full.until("Kept: legs: recess. u takes it back.")
        full.key(b"u")
        full.until("Taken back: legs: recess.")
        full.key(b"\x11")
        full.rest()
        assert full.code() == 0
