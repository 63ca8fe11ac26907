"""Does a part fit, and the set-up sheet, as pages of the bench; on both small screens."""

from __future__ import annotations

from hobmark_tui.screens.bench_parts import PartsScreen
from hobmark_tui.screens.bench_sheet import SheetScreen
from textual.widgets import Button, Input

from .conftest import At
from .driving import BEGUN, FARM


async def test_a_part_is_found_by_its_number_however_it_is_typed(bench: At) -> None:
    async with bench("p", "f") as driven:
        driven.app.screen.query_one(Input).value = "w601"
        await driven.settle()
        assert driven.numbered() == ["heat wheel, cast ring"]


async def test_a_kind_shows_its_parts_likeliest_first_with_their_cautions(bench: At) -> None:
    async with bench("p") as driven:
        await driven.find("every jet hood of a top")
        assert driven.numbered() == [
            ">99%  UNPROVEN: jet hood, universal (W 512)",
            " <1%  PROHIBITED: jet hood, fixed (W 511)",
            " <1%  PROHIBITED: jet hood, fixed, of the Hazel (W 513)",
        ]
        assert "Caution. Local codes and a licensed fitter come first." in driven.text()


async def test_a_critical_part_is_never_confirmed_by_looks_and_says_so(bench: At) -> None:
    async with bench("p") as driven:
        await driven.find("w601")
        assert "UNPROVEN: wx-p-th1" in driven.text()
        assert "no critical part goes by looks" in driven.text()
        assert ">99% for what left the works >99% for what is on it now" in driven.text()


async def test_a_verdict_shows_donors_and_why(bench: At) -> None:
    async with bench("p") as driven:
        await driven.find("w601")
        assert "Donors to look for Alder 1931-1939" in driven.text()
        assert "Why papers hazel_farm: listed for Hazel Farm" in driven.text()


async def test_a_measure_that_would_settle_it_goes_into_the_case_and_moves_the_verdict(bench: At) -> None:
    async with bench("p") as driven:
        await driven.find("w601")
        await driven.press("1", "enter", "1")
        await driven.type("49 mm")
        assert driven.file()["measures"] == [
            {"kind": "thermostat", "measure": "pilot_port", "value": "absent"},
            {"kind": "thermostat", "measure": "body_pattern", "value": "49 mm"},
        ]
        assert "EXACT: wx-p-th1" in driven.text()


async def test_what_is_no_length_is_refused_and_the_case_left_alone(bench: At) -> None:
    async with bench("p") as driven:
        await driven.find("w601")
        await driven.press("2")
        await driven.type("about two")
        assert "is not a length" in driven.label("refused")
        assert "measures" not in driven.file()


async def test_a_number_read_on_the_old_part_goes_into_the_case(bench: At) -> None:
    async with bench("p") as driven:
        await driven.find("w601")
        await driven.press("3")
        await driven.type("W 601")
        assert driven.file()["numbers"] == [{"kind": "thermostat", "number": "W 601"}]
        assert "EXACT: wx-p-th1" in driven.text()


async def test_the_last_measure_is_taken_back_and_no_answer_with_it(bench: At) -> None:
    async with bench("p") as driven:
        await driven.find("w601")
        await driven.press("1", "enter", "u", "u")
        assert "measures" not in driven.file()
        assert len(driven.file()["observations"]) == FARM.count("feature:")  # type: ignore[arg-type]
        assert "Answers are taken back on the page of looks." in driven.said()


async def test_a_look_that_would_settle_it_is_asked_on_the_page_of_looks(bench: At) -> None:
    async with bench("p", text=BEGUN.replace("legs", "base").replace("recess", "toe_recess")) as driven:
        await driven.find("bm-p-tb3")
        page = driven.app.screen
        assert isinstance(page, PartsScreen)
        assert page.view is not None
        place, look = next((n, each) for n, each in enumerate(page.view.to_find) if each.feature is not None)
        page.action_pick(place + 1)
        await driven.settle()
        assert driven.asked() == look.feature


async def test_the_sheet_cannot_tell_the_gas_until_it_is_named(bench: At) -> None:
    async with bench("t") as driven:
        assert "Cannot tell which gas" in driven.label("says")
        await driven.press("g", "down", "down", "enter")
        assert driven.label("says").startswith("Set out for bottled gas (propane), as you named it.")
        assert "GAS: Set out for bottled gas" in driven.text()


async def test_clues_name_the_gas_and_the_last_is_taken_back(bench: At) -> None:
    async with bench("t", "c", "down", "enter") as driven:
        await driven.type("69,69")
        assert driven.label("says").startswith("Set for bottled gas (propane), by the clues given.")
        await driven.press("u")
        assert driven.label("says").startswith("Cannot tell")


async def test_a_clue_that_contradicts_the_named_gas_stands_above_the_sheet(bench: At) -> None:
    async with bench("t", "c", "down", "enter") as driven:
        await driven.type("69,69")
        await driven.press("g", "down", "enter")
        assert driven.label("says").startswith("!! you named natural gas; the clues say bottled gas (propane).")


async def test_a_clue_that_is_none_is_refused_with_what_to_write(bench: At) -> None:
    async with bench("t", "c", "down", "enter") as driven:
        await driven.type("a thin one")
        assert "is no drill and no length. Write 54 or 1.4 mm." in driven.label("refused")


async def test_a_height_changes_the_jets_and_is_shown(bench: At) -> None:
    async with bench("t", "a") as driven:
        await driven.type("5000 ft")
        assert "JETS at 5000 ft" in driven.text()
        assert "5000 ft" in str(driven.app.screen.query_one("#altitude", Button).label)


async def test_a_height_that_is_none_is_refused(bench: At) -> None:
    async with bench("t", "a") as driven:
        await driven.type("up the hill")
        assert driven.label("refused")
        assert isinstance(driven.app.screen_stack[-2], SheetScreen)
