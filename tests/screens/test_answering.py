"""Every way to answer a look, at both small sizes; what is answered is on disk before the next question shows."""

from __future__ import annotations

import pytest

from .conftest import Open
from .driving import BEGUN, EMPTY


async def test_a_number_is_the_answer_and_is_on_disk(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("3")
        assert driven.kept() == [{"feature": "legs", "is": "recess"}]
        assert driven.asked() not in ("", "legs")


async def test_the_answer_moves_the_ranking(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("1")
        assert "Wren" in driven.leaders().split("\n")[1]


async def test_several_values_are_marked_by_number_and_taken_by_enter(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("space", "1", "2")
        assert driven.label("draft") == "One of these: curved or straight; Enter takes it."
        await driven.press("enter")
        assert driven.kept() == [{"feature": "legs", "is": ["curved", "straight"]}]


async def test_a_value_under_the_cursor_is_marked_by_space(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("right", "right", "space", "enter")
        assert driven.kept() == [{"feature": "legs", "is": "straight"}]


async def test_a_value_under_the_cursor_is_taken_by_enter(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("down", "enter")
        assert driven.kept() == [{"feature": "legs", "is": "curved"}]


async def test_a_tap_takes_a_value(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        card = list(driven.app.screen.query("ValueCard"))[1]
        await driven.pilot.click(card)
        await driven.settle()
        assert driven.kept() == [{"feature": "legs", "is": "straight"}]


async def test_not_this_rules_a_value_out(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("n", "1")
        assert driven.kept() == [{"feature": "legs", "is_not": ["curved"]}]


async def test_ruling_out_every_value_is_refused(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("door_window")
        await driven.press("n", "space", "1", "2", "3", "enter")
        assert "That leaves no value at all" in driven.said()
        assert len(driven.kept()) == 1


@pytest.mark.parametrize(("presses", "sure"), [(["l"], "likely"), (["l", "l"], "guess")])
async def test_an_answer_may_be_less_than_sure(opened: Open, presses: list[str], sure: str) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press(*presses, "2")
        assert driven.kept() == [{"feature": "legs", "is": "straight", "sure": sure}]


async def test_less_sure_three_times_is_sure_again(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("l", "l", "l", "2")
        assert driven.kept() == [{"feature": "legs", "is": "straight"}]


async def test_doubt_does_not_go_on_to_the_next_look(opened: Open) -> None:
    async with opened(text=EMPTY) as driven:
        await driven.ask("legs")
        await driven.press("l", "2")
        assert driven.examine.draft.doubt == ""


async def test_it_cannot_be_seen(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("clock")
        await driven.press("c")
        assert driven.kept() == [{"feature": "clock", "unseen": True}]


async def test_it_was_there_and_is_gone(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("clock")
        await driven.press("g")
        assert driven.kept() == [{"feature": "clock", "removed": True}]


async def test_what_cannot_be_gone_is_refused_in_words(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("burner_head")
        await driven.press("g")
        assert "That cannot be gone from a range." in driven.said()


async def test_a_length_in_inches_and_fractions(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=EMPTY) as driven:
        await driven.ask("drip_pan_depth")
        await driven.press("m")
        await driven.type("1 1/4 in")
        assert driven.kept() == [{"feature": "drip_pan_depth", "measured": "1 1/4 in"}]


async def test_a_length_that_is_none_keeps_the_window_open(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("drip_pan_depth")
        await driven.press("m")
        await driven.type("deep")
        assert driven.label("refused") == "Write a length, as 24 mm, or 24 alone."


async def test_where_nothing_is_measured_that_is_said(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("clock")
        await driven.press("m")
        assert "Nothing is measured at this look." in driven.said()


async def test_words_on_a_plate(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("p")
        await driven.type("Coppice Works 1936")
        assert {"plate_text": "Coppice Works 1936", "found_on": "rating_plate"} in driven.kept()


async def test_a_serial_number(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("p")
        await driven.press("tab", "down", "enter")
        await driven.type("C 10432")
        assert {"serial": "C 10432", "found_on": "rating_plate"} in driven.kept()


async def test_no_words_at_all_keep_the_window_open(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("p")
        await driven.type("")
        assert driven.label("refused") == "Write what stands there behind plate, as it is written."


async def test_escape_keeps_nothing(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("p", "escape")
        assert len(driven.kept()) == 1


async def test_a_number_that_stands_before_no_value_does_nothing(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("clock")
        await driven.press("9")
        assert len(driven.kept()) == 1
        assert driven.asked() == "clock"


async def test_a_look_that_is_turned_away_is_not_answered(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        before = driven.case
        await driven.press("v", "1", "g", "c", "s")
        assert driven.case == before
