"""The release at the head of the bench's pages: it follows every fact at once, and a second visit finds it again."""

from __future__ import annotations

import pytest
from hobmark_tui.screens.bench_sheet import SheetScreen
from hobmark_tui.widgets.bench import Lettered
from textual.widgets import Label

from .conftest import At
from .records import STOPPED, Fields, jets, released


async def test_what_is_missing_for_a_release_stands_at_the_head(bench: At) -> None:
    async with bench("t") as driven:
        assert driven.release().startswith(
            "NOT RELEASED: nothing is lit. - missing: which gas is laid on is not known by supplier, bill, meter"
        )


async def test_the_places_that_were_not_gauged_stand_at_the_head(bench: At) -> None:
    async with bench("t") as driven:
        assert "0 of 7 places gauged; not gauged: front left, front right" in driven.release()


async def test_a_range_of_which_all_is_known_is_released_to_a_fitter(bench: At) -> None:
    async with bench("t", text=released()) as driven:
        assert driven.release().startswith("RELEASED to a licensed fitter, by the local code")
        assert "7 of 7 places gauged, pilots included." in driven.release()


async def test_natural_jets_with_bottled_gas_laid_on_are_not_released(bench: At) -> None:
    corners: dict[str, Fields] = {
        place: {"found": "56"} for place in ("front_left", "front_right", "rear_left", "rear_right")
    }
    laid_on = {"gas": "bottled", "by": "tank"}
    async with bench("t", text=released(laid_on=laid_on, jets=jets(**corners))) as driven:
        assert driven.release().startswith("NOT RELEASED")
        assert "stopped: the range is set for natural gas, and bottled gas (propane) is laid on." in driven.text()


async def test_one_jet_never_speaks_for_all(bench: At) -> None:
    one = [{"place": "front_left", "found": "56", "heat": "7000 Btu/h"}]
    async with bench("t", text=released(jets=one)) as driven:
        assert driven.release().startswith("NOT RELEASED")
        assert "1 of 7 places gauged; not gauged: front right, rear left" in driven.release()


async def test_bottled_gas_with_its_regulator_gone_stops(bench: At) -> None:
    record = {"laid_on": {"gas": "bottled", "by": "tank"}, "regulator": {"state": "gone"}}
    async with bench("t", text=released(**record)) as driven:
        assert "stopped: the range had a regulator, and it has gone." in driven.release()


async def test_a_pressure_that_is_read_withdraws_the_release_at_once(bench: At) -> None:
    async with bench("t", "m", text=released()) as driven:
        await driven.choose("manifold", "4 in wc", "none")
        assert driven.release().startswith("NOT RELEASED")
        assert (
            "RELEASE WITHDRAWN. missing: the gas was interrupted or a joint opened after the leak check"
            in driven.said()
        )


async def test_a_jet_that_is_changed_withdraws_the_release_at_once(bench: At) -> None:
    async with bench("t", "j", text=released()) as driven:
        await driven.choose("oven", "left", "43")
        assert "RELEASE WITHDRAWN." in driven.said()


async def test_a_release_that_was_withdrawn_is_said_once(bench: At) -> None:
    async with bench("t", "m", text=released()) as driven:
        await driven.choose("manifold", "4 in wc", "none")
        await driven.press("q")
        assert driven.said().count("RELEASE WITHDRAWN") == 1


async def test_a_change_that_is_taken_back_releases_again(bench: At) -> None:
    async with bench("t", "m", text=released()) as driven:
        await driven.choose("manifold", "4 in wc", "none")
        await driven.press("u")
        assert driven.release().startswith("RELEASED")


async def test_a_second_visit_finds_the_set_up_page_as_it_was_left(bench: At) -> None:
    async with bench("t", "l") as driven:
        await driven.choose("bottled", "tank", "")
        await driven.press("j")
        await driven.choose("front_left", "found", "54")
        await driven.press("escape")
        left = (driven.label("release"), driven.numbered(), driven.text())
        assert driven.path is not None
        kept = driven.path.read_text(encoding="utf-8")
    async with bench("t", text=kept) as again:
        assert (again.label("release"), again.numbered(), again.text()) == left


async def test_a_second_visit_finds_checks_and_stop_as_they_were_left(bench: At) -> None:
    async with bench("6", "2") as driven:
        left = driven.text()
        await driven.press("s", "1")
        assert driven.path is not None
        kept = driven.path.read_text(encoding="utf-8")
    async with bench("6", text=kept) as again:
        assert again.text() == left
        assert again.label("stops").startswith("STOP stands: smell of gas.")


@pytest.mark.parametrize("keys", [(), ("6",), ("t",)])
async def test_what_stops_stands_at_the_head_until_it_is_put_right(bench: At, keys: tuple[str, ...]) -> None:
    async with bench(*keys, text=released(symptoms=STOPPED)) as driven:
        assert driven.label("stops").startswith("STOP stands: smell of gas. Nothing is lit.")
        assert driven.release().startswith("NOT RELEASED")


@pytest.mark.parametrize("keys", [(), ("1",), ("t",)])
async def test_what_was_put_right_no_longer_stands(bench: At, keys: tuple[str, ...]) -> None:
    async with bench(*keys, "x", text=released(symptoms=STOPPED)) as driven:
        await driven.type("B. Reed, fitter, 2026-12-01")
        assert not driven.app.screen.query_one("#stops", Label).display
        assert "the gas was interrupted or a joint opened after the leak check: it is due again." in driven.release()
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


async def test_a_sample_over_its_limit_stops_until_somebody_puts_it_right(bench: At) -> None:
    async with bench("t", text=released(combustion=[{"at": "room", "co": "90 ppm"}])) as driven:
        assert "over 35 ppm in the room" in driven.label("stops")
        await driven.press("x")
        await driven.type("B. Reed, fitter, 2026-12-01")
        assert not driven.app.screen.query_one("#stops", Label).display


async def test_a_later_sample_within_its_limit_takes_none_away(bench: At) -> None:
    async with bench("t", "n", text=released(combustion=[{"at": "room", "co": "90 ppm"}])) as driven:
        await driven.choose("combustion", "new", "room", "5", "", "", "B. Reed", "2026-12-01")
        assert "over 35 ppm in the room" in driven.label("stops")


async def test_without_a_stop_there_is_nothing_to_put_right(bench: At) -> None:
    async with bench("t", "x") as driven:
        assert isinstance(driven.app.screen, SheetScreen)
        assert "cleared" not in [each.id for each in driven.app.screen.query_one("#facts", Lettered).choices]
