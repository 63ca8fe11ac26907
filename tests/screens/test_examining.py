"""Examining a case: undo and redo, answers changed, looks out of turn, goals, trouble, and the way out."""

from __future__ import annotations

import errno
import os

import pytest
from hobmark_tui.screens.answers import AnswersScreen
from hobmark_tui.screens.cases import CasesScreen
from hobmark_tui.screens.examine import ExamineScreen
from hobmark_tui.views.preparing import Prepared
from hobmark_tui.widgets.question import Question
from textual.widgets import Button, Input

from .conftest import Open
from .driving import ALL, BEGUN, EMPTY, Driven


async def test_the_look_prepared_for_an_answer_is_asked_after_it(opened: Open) -> None:
    prepared = Prepared("legs", {"recess": "clock"})
    async with opened(text=EMPTY, prepare=lambda *_: prepared) as driven:
        await driven.ask("legs")
        await driven.press("3")
        assert driven.asked() == "clock"


async def test_what_is_prepared_changes_nothing_on_the_screen(opened: Open) -> None:
    async with opened(text=EMPTY, prepare=lambda *_: Prepared("legs", {})) as driven:
        assert driven.examine.prepared is not None
        assert driven.examine.standing is not None
        assert driven.asked() == driven.examine.standing.offered.looks[0].feature


async def test_a_key_pressed_twice_leaves_the_page_below_standing(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("p")
        driven.app.screen.query_one(Input).value = "Coppice"
        driven.app.simulate_key("enter")
        driven.app.simulate_key("enter")
        await driven.settle()
        assert isinstance(driven.app.screen, ExamineScreen)
        assert len(driven.kept()) == 2


async def test_undo_takes_back_and_asks_again(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("3", "u")
        assert driven.kept() == []
        assert driven.asked() == "legs"


async def test_redo_brings_back(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("3", "u", "r")
        assert driven.kept() == [{"feature": "legs", "is": "recess"}]


async def test_undo_reaches_back_beyond_this_session(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("u")
        assert driven.kept() == []


async def test_with_nothing_left_undo_says_so(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.press("u")
        assert "There is nothing to take back." in driven.said()


async def test_a_skipped_look_is_not_offered_and_keeps_nothing(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        first = driven.asked()
        await driven.press("s")
        assert driven.asked() not in ("", first)
        assert len(driven.kept()) == 1


async def test_undo_takes_up_a_skipped_look_again(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        first = driven.asked()
        await driven.press("s", "u")
        assert driven.asked() == first
        assert len(driven.kept()) == 1


async def test_an_answer_is_changed(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("a", "enter")
        assert driven.asked() == "legs"
        assert "So far: legs: recess." in _question(driven)
        await driven.press("1")
        assert driven.kept() == [{"feature": "legs", "is": "curved"}]


async def test_an_answer_is_taken_back_from_the_list(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("a", "x", "q")
        assert driven.kept() == []


async def test_a_list_of_answers_undoes_and_redoes(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("a", "x", "u", "q")
        assert len(driven.kept()) == 1


async def test_a_note_on_an_answer(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("a", "t")
        await driven.type("welded")
        assert isinstance(driven.app.screen, AnswersScreen)
        await driven.press("q")
        assert driven.kept() == [{"feature": "legs", "is": "recess", "note": "welded"}]


async def test_a_note_on_the_case(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        asked = driven.asked()
        await driven.press("t")
        await driven.type("ring again on Monday")
        assert driven.case.note == "ring again on Monday"
        assert driven.asked() == asked


async def test_a_look_is_found_by_words_and_asked_out_of_turn(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("f")
        await driven.type("clock face")
        assert driven.asked() == "clock_face"


async def test_a_word_of_a_value_finds_the_look(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("f")
        await driven.type("slotted")
        assert driven.asked() == "burner_head"


async def test_what_you_want_to_know_orders_the_looks_at_once(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.press("o", "down", "enter")
        assert driven.examine.standing is not None
        assert driven.examine.standing.now.goal == "year"
        assert str(driven.app.screen.query_one("#goal", Button).label) == "o which year"


async def test_the_situation_is_kept_and_offers_other_looks(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=ALL) as driven:
        assert driven.asked() != "insulation"
        await driven.press("i", "down", "enter")
        assert driven.case.situation == "bench"
        assert driven.asked() == "insulation"


async def test_a_claim_is_written_down_and_may_become_the_goal(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("o", "end", "enter")
        driven.app.screen.query_one(Input).value = "1947"
        driven.app.screen.query_one(Input).focus()
        await driven.press("enter")
        assert driven.case.claims.made == "1947"
        assert driven.examine.standing is not None
        assert driven.examine.standing.now.goal == "claim"


async def test_a_year_that_is_none_keeps_the_claim_open(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("k")
        driven.app.screen.query_one(Input).value = "soon"
        driven.app.screen.query_one(Input).focus()
        await driven.press("enter")
        assert driven.label("refused") == "'soon' is not a year. Write it as 1938, or as 1936/1941."


async def test_a_case_gets_another_name(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("e")
        await driven.type("ivory range")
        assert driven.label("name") == "ivory range"


async def test_a_full_disk_is_told_and_nothing_is_lost(opened: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    async with opened(text=EMPTY) as driven:
        with monkeypatch.context() as patched:
            patched.setattr(os, "fsync", _full)
            await driven.ask("legs")
            await driven.press("3")
            assert driven.kept() == []
            assert "Not kept on disk." in driven.banner("trouble")
            assert "the disk is full." in driven.banner("trouble")
        await driven.press("y")
        assert driven.kept() == [{"feature": "legs", "is": "recess"}]
        assert driven.banner("trouble") == ""


async def test_with_something_not_on_disk_leaving_asks_once(opened: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    async with opened(text=EMPTY) as driven:
        monkeypatch.setattr(os, "fsync", _full)
        await driven.ask("legs")
        await driven.press("3", "q")
        assert "The last change is not on disk." in driven.said()
        assert isinstance(driven.app.screen, ExamineScreen)
        await driven.press("q")
        assert isinstance(driven.app.screen, CasesScreen)


async def test_leaving_lets_go_of_the_case(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("q")
        assert isinstance(driven.app.screen, CasesScreen)
        await driven.press("enter")
        assert isinstance(driven.app.screen, ExamineScreen)


async def test_quitting_right_behind_an_answer_loses_nothing(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        driven.examine.action_number(3)
        driven.app.exit()
    assert driven.path is not None
    assert "is: recess" in driven.path.read_text(encoding="utf-8")


async def test_on_a_narrow_screen_one_side_is_turned_over_to_the_other(opened: Open) -> None:
    async with opened((50, 30), text=BEGUN) as driven:
        assert not driven.app.screen.query_one("#side").display
        await driven.press("v")
        assert driven.app.screen.query_one("#side").display
        assert not driven.app.screen.query_one("#look").display


async def test_light_and_dark(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        before = driven.app.theme
        await driven.press("ctrl+t")
        assert {before, driven.app.theme} == {"hobmark-dark", "hobmark-light"}


def _full(handle: int) -> None:
    del handle
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _question(driven: Driven) -> str:
    question = driven.app.screen.query_one(Question)
    return "\n".join(line.plain for line in question.lines(question.view, 78)) if question.view else ""
