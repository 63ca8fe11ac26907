"""Does a part fit, as a page of the bench; on both small screens."""

from __future__ import annotations

from hobmark_tui.screens.bench_parts import PartsScreen
from textual.widgets import Input

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
