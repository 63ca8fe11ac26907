"""At the bench, symptoms first: what is done at once, the next check, the cause; on both small screens."""

from __future__ import annotations

from hobmark.reasoning.examination import Compiled
from hobmark_tui.screens.bench import BenchScreen
from hobmark_tui.screens.examine import ExamineScreen
from hobmark_tui.widgets.bench import Numbered
from textual.widgets import Footer, Input

from .conftest import At, Open
from .driving import BEGUN, FARM
from .records import farm, released


async def test_one_key_leads_from_the_look_to_the_symptoms(bench: At) -> None:
    async with bench() as driven:
        assert isinstance(driven.app.screen, BenchScreen)
        assert driven.numbered()[:6] == [
            "STOP: smell of gas",
            "STOP: carbon monoxide alarm sounds, or headache and sickness",
            "STOP: a valve will not shut off, gas or flame goes on with the knob at off",
            "STOP: mercury spilt: silver drops, or a mercury sensor broken open",
            "STOP: a regulator or a safety valve is torn, bypassed, stuck or lets gas out",
            "one burner will not light",
        ]


async def test_symptoms_are_found_by_other_words_a_person_has_for_them(bench: At) -> None:
    async with bench("f") as driven:
        driven.app.screen.query_one(Input).value = "pilot won't stay lit"
        await driven.settle()
        assert driven.numbered() == ["the top pilot goes out", "the oven pilot drops out"]


async def test_a_symptom_that_stops_all_shows_what_is_done_at_once_and_nothing_to_turn_to(bench: At) -> None:
    async with bench("1") as driven:
        assert driven.text().startswith("STOP: smell of gas. 1. No flame, no switch, no telephone in the house.")
        assert "What may be behind it" not in driven.text()
        await driven.press("t", "p", "o", "2")
        assert isinstance(driven.app.screen, BenchScreen)
        assert driven.numbered() == []


async def test_a_symptom_shows_what_comes_first_its_cautions_and_the_most_telling_check(bench: At) -> None:
    async with bench("6") as driven:
        assert "the range's own shut-off is closed first, since no knob stops a pilot's gas" in driven.text()
        assert "! No flame near gas" in driven.text()
        assert (
            "Check next: is it this: pilot is out, with the gas on? about 10 s, our estimate; owner may"
            in driven.text()
        )
        assert "What may be behind it (our estimate, no source) 23%" in driven.text()
        assert driven.numbered() == ["yes", "no"]


async def test_an_outcome_by_number_moves_the_chances_and_asks_the_next_check(bench: At) -> None:
    async with bench("6", "2") as driven:
        assert "Check next: is it this: flash tube's tip is not in the burner's hole?" in driven.text()
        assert "✓ is it this: pilot is out, with the gas on: no" in driven.text()
        assert "Checked so far, kept with the case" in driven.text()


async def test_what_lights_gas_is_held_back_until_the_range_is_released(bench: At) -> None:
    async with bench("6") as driven:
        assert "Held back Nothing is lit before the range is released to a licensed fitter." in driven.text()
        assert "- does a match held at the port light it?" in driven.text()


async def test_a_gas_that_is_wanted_holds_nothing_less_back(bench: At) -> None:
    async with bench("t", "g", "up", "up", "enter", "q", "6") as driven:
        assert driven.file()["bench"] == {"wanted": "bottled", "symptoms": [{"symptom": "one_burner_dead"}]}
        assert "Held back" in driven.text()


async def test_a_symptom_that_is_told_closes_the_shut_off_and_withdraws_the_release(bench: At) -> None:
    async with bench("6", text=released()) as driven:
        assert driven.label("release").startswith("NOT RELEASED")


async def test_nothing_is_held_back_once_the_leak_check_was_made_after_it(bench: At) -> None:
    async with bench("6", text=released(symptoms=[{"symptom": "one_burner_dead"}])) as driven:
        assert driven.label("release").startswith("RELEASED to a licensed fitter")
        assert "Held back" not in driven.text()


async def test_the_last_check_is_taken_back(bench: At) -> None:
    async with bench("6", "2", "u") as driven:
        assert "Check next: is it this: pilot is out, with the gas on?" in driven.text()
        assert "✓" not in driven.text()


async def test_nothing_to_take_back_is_said(bench: At) -> None:
    async with bench("u") as driven:
        assert "Nothing was said just now." in driven.said()


async def test_a_symptom_that_was_picked_by_a_slip_is_taken_back_out_of_the_case(bench: At) -> None:
    async with bench("1", "u") as driven:
        assert "bench" not in driven.file()
        assert driven.title() == "Bench: what is wrong?"
        assert "Taken back: smell of gas." in driven.said()


async def test_checks_of_an_earlier_visit_are_taken_back_one_after_another(bench: At) -> None:
    checks = [
        {"symptom": "one_burner_dead", "check": check, "outcome": "not_seen"}
        for check in ("pilot_out", "flash_tube_off")
    ]
    async with bench("6", "u", "u", text=farm(symptoms=checks)) as driven:
        assert "✓" not in driven.text()
        assert "Check next: is it this: pilot is out, with the gas on?" in driven.text()


async def test_a_cause_that_is_seen_shows_its_remedy_with_who_may(bench: At) -> None:
    async with bench("6", "2", "1") as driven:
        assert "Found: flash tube's tip is not in the burner's hole Seat the tip in the hole" in driven.text()
        assert "(owner may) [common practice, no source]" in driven.text()
        assert driven.numbered() == []


async def test_an_outcome_is_taken_by_a_tap(bench: At) -> None:
    async with bench("6") as driven:
        driven.app.screen.query_one("#outcomes").scroll_visible(animate=False)
        await driven.settle()
        await driven.pilot.click("#outcomes", offset=(4, 0))
        await driven.settle()
        assert "Found: pilot is out" in driven.text()


async def test_what_was_checked_is_there_when_one_comes_back(bench: At) -> None:
    async with bench("6", "2", "q") as driven:
        assert isinstance(driven.app.screen, ExamineScreen)
        await driven.press("b")
        assert "✓ is it this: pilot is out, with the gas on: no" in driven.text()


async def test_the_checks_of_one_symptom_do_not_count_for_another(bench: At) -> None:
    async with bench("6", "2", "s", "9") as driven:
        assert "✓" not in driven.text()


async def test_an_outcome_is_in_the_case_before_the_next_check_shows(bench: At) -> None:
    async with bench("6", "2") as driven:
        assert driven.file()["bench"] == {
            "symptoms": [
                {"symptom": "one_burner_dead"},
                {"symptom": "one_burner_dead", "check": "pilot_out", "outcome": "not_seen"},
            ]
        }


async def test_what_was_recorded_is_said_in_the_list(bench: At) -> None:
    async with bench("6", "2", "s") as driven:
        listed = driven.app.screen.query_one(Numbered).choices
        assert [each.detail for each in listed[:6]] == ["", "", "", "", "", "in the record, 1 checked"]


async def test_a_base_without_bench_tables_says_so(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("b")
        assert "This base tells of no faults." in driven.title()
        await driven.press("p")
        assert "This base tells of no parts." in driven.title()
        await driven.press("q", "t")
        assert "a set-up sheet needs" in driven.title()


async def test_every_key_of_the_bench_is_explained(bench: At) -> None:
    async with bench("h") as driven:
        assert "Parts: Does a part fit this range" in driven.text()


async def test_the_footer_fits_the_screen(bench: At) -> None:
    async with bench("6") as driven:
        keys = list(driven.app.screen.query_one(Footer).children)
        assert max(key.region.right for key in keys) <= driven.app.size.width


async def test_a_page_that_is_left_late_takes_no_page_away_that_was_opened_over_it(bench: At) -> None:
    async with bench() as driven:
        below = driven.app.screen_stack[-2]
        assert isinstance(below, ExamineScreen)
        below.dismiss(None)
        await driven.settle()
        assert isinstance(driven.app.screen, BenchScreen)


async def test_a_key_right_behind_the_one_for_the_bench_answers_no_look(opened: Open, shipped: Compiled) -> None:
    async with opened(text=FARM, compiled=shipped) as driven:
        before = driven.file()["observations"]
        await driven.pilot.press("b", "6")
        await driven.settle()
        assert isinstance(driven.app.screen, BenchScreen)
        assert driven.file()["observations"] == before


async def test_nothing_is_turned_to_while_a_symptom_is_looked_up(bench: At) -> None:
    async with bench() as driven:
        await driven.pilot.press("1", "t")
        await driven.settle()
        assert isinstance(driven.app.screen, BenchScreen)
        assert "STOP" in driven.text()
