"""What a session looks like on screens of several sizes."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hobmark.knowledge.schema.looks import Feature
from hobmark_tui.commands.showing import sketches_text

if os.name != "posix":
    pytest.skip("pseudo-terminals are POSIX", allow_module_level=True)

from .terminal import Terminal

ASK = "What head does a burner have? (5 s)"
SKETCHES = "1     2     3"
DRAWN = Feature.model_validate(
    {
        "label": "Dials",
        "assembly": "front",
        "ask": "How many dials?",
        "look": "At the front.",
        "access": "photo",
        "values": {name: {"sketch": f"+------+\n|{name:^6}|\n+------+\n"} for name in ("one", "two", "three", "four")},
    }
)


def session(cache: Path, small: Path, folder: Path, columns: int, rows: int) -> Terminal:
    return Terminal(cache, folder, "identify", "--knowledge", small, size=(columns, rows))


@pytest.mark.parametrize(("columns", "widest"), [(30, 40), (40, 40), (50, 50), (78, 78), (200, 78)])
def test_every_line_is_folded_to_the_terminal(
    cache: Path, small: Path, tmp_path: Path, columns: int, widest: int
) -> None:
    shown: list[str] = []
    with session(cache, small, tmp_path, columns, 24) as terminal:
        terminal.shown()
        shown += terminal.lines
        for typed in (
            "f pan",
            "3",
            "31",
            "f legs",
            "w",
            "h",
            "r",
            "1",
            "f burner head",
            "4",
            "d",
            "1",
            "s",
            "serial 1",
        ):
            terminal.type(typed)
            shown += terminal.lines
        for typed in ("f clock", "1", "f window", "1", "f drip pans", "1", "what"):
            terminal.type(typed)
            shown += terminal.lines
    assert widest - 12 < max(map(len, shown)) <= widest


@pytest.mark.parametrize(("width", "row"), [(78, 4), (50, 4), (42, 3), (40, 3), (20, 1)])
def test_as_many_sketches_stand_in_a_row_as_fit(width: int, row: int) -> None:
    lines = sketches_text(DRAWN, width).splitlines()
    assert len(lines[0].split()) == row
    assert max(map(len, lines)) <= width


def test_a_screen_that_holds_the_question_with_its_sketches_shows_them(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    with session(cache, small, tmp_path, 50, 11) as terminal:
        terminal.shown()
        terminal.type("f burner head")
        assert f"  {SKETCHES}" in terminal.lines


def test_a_short_screen_leaves_the_sketches_to_d(cache: Path, small: Path, tmp_path: Path) -> None:
    with session(cache, small, tmp_path, 50, 10) as terminal:
        terminal.shown()
        assert terminal.type("f burner head").endswith("1 ring 2 star 3 slotted d draws them. >")
        assert f"  {SKETCHES}" not in terminal.lines
        terminal.type("d")
        assert terminal.lines[0] == f"  {SKETCHES}"


def test_d_says_so_where_nothing_is_drawn(cache: Path, small: Path, tmp_path: Path) -> None:
    with session(cache, small, tmp_path, 50, 24) as terminal:
        terminal.shown()
        assert terminal.type("f legs", "d") == "There are no drawings of these. >"


def test_the_question_stands_above_the_prompt_again_once_it_has_scrolled_off(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    with session(cache, small, tmp_path, 50, 10) as terminal:
        terminal.shown()
        terminal.type("f burner head")
        assert terminal.lines[-2:] != [ASK, "> "]
        terminal.type("h")
        assert terminal.lines[-2:] == [ASK, "> "]
        terminal.type("w")
        assert terminal.lines[-2:] != [ASK, "> "]


def test_a_question_taller_than_the_screen_stands_above_the_prompt_too(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    with session(cache, small, tmp_path, 50, 5) as terminal:
        terminal.shown()
        terminal.type("f burner head")
        assert terminal.lines[-2:] == [ASK, "> "]
