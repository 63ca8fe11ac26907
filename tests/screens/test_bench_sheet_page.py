"""The set-up page: facts told by key and by tap, the release that follows at once, and a second visit."""

from __future__ import annotations

import os

import pytest
from hobmark_tui.screens.bench import BenchScreen
from hobmark_tui.screens.dialogs import Dialog
from hobmark_tui.views.bench_gas import FACTS
from hobmark_tui.widgets.bench import Lettered
from hobmark_tui.widgets.key_button import KeyButton
from textual.widgets import Footer, Input, Label

from tests.sessions.cases import full

from .conftest import At
from .records import STOPPED, farm

HEADINGS = {
    "l": "Which gas is laid on?",
    "j": "Which jet, as you face the range? Shut-off closed; a licensed fitter gauges.",
    "r": "Which regulator?",
    "m": "Where was the pressure read, with a gauge?",
    "g": "Which gas is wanted? A plan is no evidence, it releases nothing.",
    "a": "How high does it stand?",
    "k": "How was it made?",
    "c": "Which clue to the gas of its jets?",
    "n": "What else is recorded?",
    "o": "What is to be written?",
}
"""Every key that asks, and the first window of each."""


@pytest.mark.parametrize("key", HEADINGS)
async def test_every_fact_has_a_key(bench: At, key: str) -> None:
    async with bench("t", key) as driven:
        assert driven.title() == HEADINGS[key]


async def test_every_fact_is_told_by_a_tap_on_its_line(bench: At) -> None:
    async with bench("t", text=farm(symptoms=STOPPED)) as driven:
        page = driven.app.screen
        facts = page.query_one("#facts", Lettered)
        opened = []
        for place in range(len(FACTS)):
            facts.highlighted = place
            facts.action_select()
            await driven.settle()
            opened.append(driven.title())
            await driven.press("escape")
            assert driven.app.screen is page
        assert opened == [*list(HEADINGS.values())[:-1], "Put right: smell of gas. By whom and when?"]


async def test_a_fact_is_on_disk_before_the_next_window_shows(bench: At) -> None:
    async with bench("t", "l") as driven:
        await driven.choose("bottled", "tank")
        assert driven.title() == "Its heating value, if you have it"
        assert driven.file()["bench"] == {"laid_on": {"gas": "bottled", "by": "tank"}}


async def test_a_fact_shows_at_once_on_its_line(bench: At) -> None:
    async with bench("t", "l") as driven:
        await driven.choose("bottled", "tank", "")
        assert driven.numbered()[0] == "laid on: bottled gas (propane), by the tank"


async def test_a_line_that_will_not_do_says_why_and_what_to_write(bench: At) -> None:
    async with bench("t", "j", "enter", "enter") as driven:
        await driven.type("a thin one")
        assert "is no drill and no length. Write 54 or 1.4 mm." in driven.label("refused")
        assert "bench" not in driven.file()


async def test_the_last_fact_is_taken_back_and_said(bench: At) -> None:
    async with bench("t", "g") as driven:
        await driven.choose("bottled")
        await driven.press("u")
        assert "bench" not in driven.file()
        assert "Taken back: gas wanted." in driven.said()


async def test_with_nothing_to_take_back_the_record_of_an_earlier_visit_stays(bench: At) -> None:
    async with bench("t", "u", text=farm(wanted="bottled")) as driven:
        assert driven.file()["bench"] == {"wanted": "bottled"}
        assert "Nothing was said at the bench just now." in driven.said()


async def test_a_fact_told_at_the_bench_is_taken_back_on_the_page_of_looks_too(bench: At) -> None:
    async with bench("t", "g") as driven:
        await driven.choose("bottled")
        await driven.press("q", "q", "u")
        assert "bench" not in driven.file()


async def test_every_step_stands_behind_the_card_and_goes_away_again(bench: At) -> None:
    async with bench("t", "w") as driven:
        whole = driven.text()
        await driven.press("w")
        assert len(driven.text()) < len(whole)
        assert whole.startswith(driven.text()[:400])


async def test_a_record_that_the_disk_refuses_stays_on_the_page_and_says_so(
    bench: At, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with bench("t", "g") as driven:
        with monkeypatch.context() as patched:
            patched.setattr(os, "fsync", full)
            await driven.choose("bottled")
            assert driven.label("trouble").startswith("Not kept on disk: ")
            assert driven.numbered()[4].startswith("wanted: bottled gas")


async def test_every_key_of_the_set_up_page_is_explained(bench: At) -> None:
    async with bench("t", "h") as driven:
        assert "Leak check: The leak check: readings, minutes, by whom." in driven.text()


async def test_keys_and_buttons_of_the_set_up_page_fit_the_screen(bench: At) -> None:
    async with bench("t", text=farm(symptoms=STOPPED)) as driven:
        screen = driven.app.screen
        shown = [*screen.query_one(Footer).children, *screen.query(KeyButton), *screen.query("#stops, #release")]
        outside = [each for each in shown if each.display and not screen.region.contains_region(each.region)]
        assert outside == []


async def test_a_third_of_a_small_screen_is_left_below_the_head(bench: At) -> None:
    async with bench("t", text=farm(symptoms=STOPPED)) as driven:
        assert driven.app.screen.query_one("#one").size.height * 3 >= driven.app.size.height


async def test_the_title_of_a_window_is_folded_and_not_cut(bench: At) -> None:
    async with bench("t", "g") as driven:
        assert driven.app.screen.query_one(".title", Label).size.height >= 2


async def test_a_window_that_asks_a_line_has_the_cursor_in_it(bench: At) -> None:
    async with bench("t", "a") as driven:
        assert isinstance(driven.app.screen.focused, Input)


async def test_one_key_leads_from_the_card_back_to_the_symptoms(bench: At) -> None:
    async with bench("t", "q") as driven:
        assert isinstance(driven.app.screen, BenchScreen)


@pytest.mark.parametrize(
    ("button", "title"), [("cleared", "Put right: smell of gas. By whom and when?"), ("paper", HEADINGS["o"])]
)
async def test_a_button_does_what_its_key_does(bench: At, button: str, title: str) -> None:
    async with bench(text=farm(symptoms=STOPPED)) as driven:
        await driven.pilot.click(f"#{button}")
        await driven.settle()
        assert driven.title() == title


async def test_the_button_that_takes_back_takes_back(bench: At) -> None:
    async with bench("t", "g") as driven:
        await driven.choose("bottled")
        await driven.pilot.click("#undo")
        await driven.settle()
        assert "bench" not in driven.file()


async def test_a_key_right_behind_another_opens_no_second_window(bench: At) -> None:
    async with bench() as driven:
        await driven.pilot.press("t", "l", "j")
        await driven.settle()
        assert len([page for page in driven.app.screen_stack if isinstance(page, Dialog)]) <= 1
