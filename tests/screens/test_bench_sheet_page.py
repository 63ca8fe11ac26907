"""The set-up page: facts told by key and by tap, the release that follows at once, and a second visit."""

from __future__ import annotations

import os

import pytest
from hobmark_tui.screens.bench import BenchScreen
from hobmark_tui.screens.bench_sheet import SheetScreen
from hobmark_tui.screens.dialogs import Dialog
from hobmark_tui.views.bench_gas import FACTS
from hobmark_tui.widgets.bench import Lettered
from hobmark_tui.widgets.key_button import KeyButton
from textual.widgets import Footer, Input, Label

from tests.sessions.cases import full

from .conftest import At
from .driving import Driven
from .records import Fields, farm, jets, released

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
STOPPED = [{"symptom": "smell_of_gas"}]


def _release(driven: Driven) -> str:
    return " ".join(driven.label("release").split())


async def _choose(driven: Driven, *ids: str) -> None:
    """Take these choices, window after window."""
    for name in ids:
        window = driven.app.screen
        assert isinstance(window, Dialog)
        window.dismiss(name)
        await driven.settle()


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
        await _choose(driven, "bottled", "tank")
        assert driven.title() == "Its heating value, if you have it"
        assert driven.file()["bench"] == {"laid_on": {"gas": "bottled", "by": "tank"}}


async def test_a_fact_shows_at_once_on_its_line(bench: At) -> None:
    async with bench("t", "l") as driven:
        await _choose(driven, "bottled", "tank", "")
        assert driven.numbered()[0] == "laid on: bottled gas (propane), by the tank"


async def test_a_line_that_will_not_do_says_why_and_what_to_write(bench: At) -> None:
    async with bench("t", "j", "enter", "enter") as driven:
        await driven.type("a thin one")
        assert "is no drill and no length. Write 54 or 1.4 mm." in driven.label("refused")
        assert "bench" not in driven.file()


async def test_the_last_fact_is_taken_back_and_said(bench: At) -> None:
    async with bench("t", "g") as driven:
        await _choose(driven, "bottled")
        await driven.press("u")
        assert "bench" not in driven.file()
        assert "Taken back: gas wanted." in driven.said()


async def test_with_nothing_to_take_back_the_record_of_an_earlier_visit_stays(bench: At) -> None:
    async with bench("t", "u", text=farm(wanted="bottled")) as driven:
        assert driven.file()["bench"] == {"wanted": "bottled"}
        assert "Nothing was said at the bench just now." in driven.said()


async def test_a_fact_told_at_the_bench_is_taken_back_on_the_page_of_looks_too(bench: At) -> None:
    async with bench("t", "g") as driven:
        await _choose(driven, "bottled")
        await driven.press("q", "q", "u")
        assert "bench" not in driven.file()


async def test_what_is_missing_for_a_release_stands_at_the_head(bench: At) -> None:
    async with bench("t") as driven:
        assert _release(driven).startswith(
            "NOT RELEASED: nothing is lit. - missing: which gas is laid on is not known by supplier, bill, meter"
        )


async def test_the_places_that_were_not_gauged_stand_at_the_head(bench: At) -> None:
    async with bench("t") as driven:
        assert "0 of 7 places gauged; not gauged: front left, front right" in _release(driven)


async def test_a_range_of_which_all_is_known_is_released_to_a_fitter(bench: At) -> None:
    async with bench("t", text=released()) as driven:
        assert _release(driven).startswith("RELEASED to a licensed fitter, by the local code")
        assert "7 of 7 places gauged, pilots included." in _release(driven)


async def test_natural_jets_with_bottled_gas_laid_on_are_not_released(bench: At) -> None:
    corners: dict[str, Fields] = {
        place: {"found": "54", "heat": "9000 Btu/h"}
        for place in ("front_left", "front_right", "rear_left", "rear_right")
    }
    laid_on = {"gas": "bottled", "by": "tank"}
    async with bench("t", text=released(laid_on=laid_on, jets=jets(**corners))) as driven:
        assert _release(driven).startswith("NOT RELEASED")
        assert "stopped: the range is set for natural gas, and bottled gas (propane) is laid on." in driven.text()


async def test_one_jet_never_speaks_for_all(bench: At) -> None:
    one = [{"place": "front_left", "found": "56", "heat": "7000 Btu/h"}]
    async with bench("t", text=released(jets=one)) as driven:
        assert _release(driven).startswith("NOT RELEASED")
        assert "1 of 7 places gauged; not gauged: front right, rear left" in _release(driven)


async def test_bottled_gas_with_its_regulator_gone_stops(bench: At) -> None:
    record = {"laid_on": {"gas": "bottled", "by": "tank"}, "regulator": {"state": "gone"}}
    async with bench("t", text=released(**record)) as driven:
        assert "stopped: the range had a regulator, and it has gone." in _release(driven)


async def test_a_pressure_that_is_read_withdraws_the_release_at_once(bench: At) -> None:
    async with bench("t", "m", text=released()) as driven:
        await _choose(driven, "manifold", "4 in wc", "none")
        assert _release(driven).startswith("NOT RELEASED")
        assert "RELEASE WITHDRAWN. missing: a joint was opened after the leak check: it is due again." in driven.said()


async def test_a_jet_that_is_changed_withdraws_the_release_at_once(bench: At) -> None:
    async with bench("t", "j", text=released()) as driven:
        await _choose(driven, "oven", "left", "43")
        assert "RELEASE WITHDRAWN." in driven.said()


async def test_a_release_that_was_withdrawn_is_said_once(bench: At) -> None:
    async with bench("t", "m", text=released()) as driven:
        await _choose(driven, "manifold", "4 in wc", "none")
        await driven.press("q")
        assert driven.said().count("RELEASE WITHDRAWN") == 1


async def test_a_change_that_is_taken_back_releases_again(bench: At) -> None:
    async with bench("t", "m", text=released()) as driven:
        await _choose(driven, "manifold", "4 in wc", "none")
        await driven.press("u")
        assert _release(driven).startswith("RELEASED")


async def test_a_second_visit_finds_the_set_up_page_as_it_was_left(bench: At) -> None:
    async with bench("t", "l") as driven:
        await _choose(driven, "bottled", "tank", "")
        await driven.press("j")
        await _choose(driven, "front_left", "found", "54")
        await driven.press("escape")
        left = (driven.label("release"), driven.numbered(), driven.text())
        assert driven.path is not None
        kept = driven.path.read_text(encoding="utf-8")
    async with bench("t", text=kept) as again:
        assert (again.label("release"), again.numbered(), again.text()) == left


async def test_a_second_visit_finds_checks_and_stop_as_they_were_left(bench: At) -> None:
    async with bench("3", "2") as driven:
        left = driven.text()
        await driven.press("s", "1")
        assert driven.path is not None
        kept = driven.path.read_text(encoding="utf-8")
    async with bench("3", text=kept) as again:
        assert again.text() == left
        assert again.label("stops").startswith("STOP stands: smell of gas.")


@pytest.mark.parametrize("keys", [(), ("3",), ("t",)])
async def test_what_stops_stands_at_the_head_until_it_is_put_right(bench: At, keys: tuple[str, ...]) -> None:
    async with bench(*keys, text=released(symptoms=STOPPED)) as driven:
        assert driven.label("stops").startswith("STOP stands: smell of gas. Nothing is lit.")
        assert _release(driven).startswith("NOT RELEASED")


@pytest.mark.parametrize("keys", [(), ("1",), ("t",)])
async def test_what_was_put_right_no_longer_stands(bench: At, keys: tuple[str, ...]) -> None:
    async with bench(*keys, "x", text=released(symptoms=STOPPED)) as driven:
        await driven.type("B. Reed, fitter, 2026-12-01")
        assert not driven.app.screen.query_one("#stops", Label).display
        assert _release(driven).startswith("RELEASED")
        assert driven.file()["bench"]["symptoms"] == [  # type: ignore[index]
            {"symptom": "smell_of_gas", "cleared": "B. Reed, fitter, 2026-12-01"}
        ]


async def test_a_stop_that_was_put_right_leads_back_to_the_list(bench: At) -> None:
    async with bench("1", "x") as driven:
        await driven.type("B. Reed, fitter, 2026-12-01")
        assert driven.title() == "Bench: what is wrong?"


async def test_a_stop_is_put_right_by_no_nameless_one(bench: At) -> None:
    async with bench("1", "x") as driven:
        await driven.type("")
        assert "does not say by whom and when" in driven.label("refused")


async def test_a_stop_that_comes_again_stands_again(bench: At) -> None:
    cleared = [{"symptom": "smell_of_gas", "cleared": "B. Reed, 2026-11-01"}]
    async with bench("1", text=released(symptoms=cleared)) as driven:
        assert driven.file()["bench"]["symptoms"] == STOPPED  # type: ignore[index]
        assert driven.label("stops").startswith("STOP stands: smell of gas.")


async def test_a_sample_over_its_limit_stops_and_is_put_right_by_a_later_one(bench: At) -> None:
    over = [{"at": "room", "co": "90 ppm"}]
    async with bench("t", "x", text=released(combustion=over)) as driven:
        assert "over 35 ppm in the room" in driven.label("stops")
        assert isinstance(driven.app.screen, SheetScreen)
        assert "A sample that stops goes by a later one at its place" in driven.said()


async def test_without_a_stop_there_is_nothing_to_put_right(bench: At) -> None:
    async with bench("t", "x") as driven:
        assert isinstance(driven.app.screen, SheetScreen)
        assert "cleared" not in [each.id for each in driven.app.screen.query_one("#facts", Lettered).choices]


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
            await _choose(driven, "bottled")
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
        await _choose(driven, "bottled")
        await driven.pilot.click("#undo")
        await driven.settle()
        assert "bench" not in driven.file()


async def test_a_key_right_behind_another_opens_no_second_window(bench: At) -> None:
    async with bench() as driven:
        await driven.pilot.press("t", "l", "j")
        await driven.settle()
        assert len([page for page in driven.app.screen_stack if isinstance(page, Dialog)]) <= 1
