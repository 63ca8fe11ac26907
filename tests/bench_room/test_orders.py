"""Donors, and the order sheet that a supplier is sent."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hobmark.bench.orders import OrderFor, blanks, donors
from hobmark.case import Case
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Hand
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit import FitReport
from hobmark.reports.fit_findings import fit_report
from hobmark.reports.fit_order import withheld
from hobmark.reports.fit_text import order_text
from hobmark.reports.fit_words import FITTER_FIRST
from hobmark.reports.html import order_page
from hobmark.reports.writing import orders_text

from .fitting import FARM, held, kept, measured, read, report, shipped, the_range

KESTREL = kept("kestrel-1950-crossed-bars-and-click")
FIFTIES = kept("kestrel-1940-with-a-control-of-the-fifties")
GRAND = kept("heron-grand-1938-chromed-lid")
CAPS = kept("kestrel-1956-squared-corners-loose-caps")
AVOCET = kept("avocet-1959-built-in-regulator")
BOTTLED = kept("heron-bottled-1937-pressed-pilot-cover")


def test_donors_are_ranges_that_left_the_works_with_the_part() -> None:
    found = {(donor.variant, donor.first, donor.last) for donor in donors(held(the_range(FARM), "wx-p-gr2"))}
    assert found == {("hazel_plain", 1938, 1953), ("hazel_farm", 1939, 1955)}


def test_the_commonest_donor_comes_first() -> None:
    own = [donor for donor in donors(held(the_range(FARM), "wx-p-tb1")) if donor.part == "wx-p-tb1"]
    assert [donor.ranges for donor in own] == sorted((donor.ranges for donor in own), reverse=True)  # type: ignore[type-var]


def test_a_later_part_that_takes_its_place_can_be_had_from_donors_too() -> None:
    assert "wx-p-tb2" in {donor.part for donor in donors(held(the_range(FARM), "wx-p-tb1"))}


def test_beyond_a_break_there_is_no_donor() -> None:
    assert "wx-p-tb3" not in {donor.part for donor in donors(held(the_range(FARM), "wx-p-tb2"))}


def ordered(part: str) -> FitReport:
    """Ordered for the farm range, whose rail was looked at: no open rail forbids the valve."""
    return fit_report(the_range(FARM, seen={"valve_rail": "enclosed"}), "a case", [part], order=True)


def test_no_order_sheet_is_made_for_a_critical_part_while_something_may_forbid_it() -> None:
    found = report(FARM, "W 503", order=True)
    assert found.orders == []
    assert "On an open rail" in found.not_ordered[0]


def test_an_order_leaves_blank_what_nobody_measured() -> None:
    rows = blanks(held(the_range(FARM, measures=measured("valve", {"body_length": "67 mm"})), "wx-p-va3"))
    assert {row.measure: row.found for row in rows}["body_length"] == "67 mm"
    assert {row.measure for row in rows} == set(shipped().base.kinds["valve"].dimensions)
    assert [row.found for row in rows].count(None) == len(rows) - 1


def test_an_order_gives_the_title_of_each_paper_it_cites() -> None:
    (sheet,) = ordered("W 503").orders
    cited = {source.partition(":")[0] for told in (*sheet.dimensions, *sheet.must_not) for source in told.sources}
    titles = {f"wexcombe/{name}": shipped().base.makers["wexcombe"].sources[name].title for name in cited}
    assert {source.id: source.title for source in sheet.sources} == titles


def test_the_titles_stand_on_the_order_in_plain_text() -> None:
    (sheet,) = ordered("W 503").orders
    assert f"{sheet.sources[0].id}: {sheet.sources[0].title}" in order_text(sheet, width=1000)


def test_an_order_sheet_asks_what_a_supplier_asks() -> None:
    (sheet,) = ordered("W 503").orders
    assert (sheet.maker, sheet.hand, sheet.numbers) == ("Wexcombe Foundry", "either", ["W 503"])
    assert "Hazel Farm" in sheet.model
    assert any("rule" in picture for picture in sheet.pictures)
    assert "only original" in (sheet.exchange or "")


def test_an_order_of_a_critical_part_says_how_it_is_tested_once_on() -> None:
    (sheet,) = ordered("wx-p-va3").orders
    assert sheet.test_after == f"{FITTER_FIRST} {held(the_range(FARM), 'wx-p-va3').part.proved_by}"
    assert f"Test once it is on: {sheet.test_after}" in " ".join(order_text(sheet).split())


def test_a_serial_of_the_case_stands_on_the_order() -> None:
    examination = the_range(kept("kestrel-1952-wearing-a-plovers-plate"))
    (sheet,) = fit_report(examination, "a case", ["bm-p-gr7"], order=True).orders
    assert sheet.serials == [seen.serial for seen in examination.case.observations if seen.serial]


def test_no_order_sheet_is_made_for_a_part_that_must_not_be_put_there() -> None:
    found = report(FARM, "JH-1", order=True)
    assert (found.orders, len(found.not_ordered)) == ([], 1)


def test_no_critical_part_is_ordered_for_a_range_that_nobody_looked_at() -> None:
    found = fit_report(Examination(shipped(), Case(hobmark="1")), "a case", ["jet_hood"], order=True)
    assert (found.orders, len(found.not_ordered)) == ([], 1)


def test_an_order_names_the_maker_of_the_part_and_a_variant_that_papers_list_it_for() -> None:
    (sheet,) = fit_report(Examination(shipped(), Case(hobmark="1")), "a case", ["bm-p-gr7"], order=True).orders
    assert sheet.maker == "Brindlemere Range Works"
    assert (sheet.model or "").startswith("Brindlemere")


@pytest.mark.parametrize("made", [order_page, orders_text], ids=["page", "text"])
def test_a_model_that_nobody_knows_is_left_blank(made: Callable[[FitReport], str]) -> None:
    found = ordered("W 503")
    blank = found.orders[0].model_copy(update={"model": None, "model_probability": None, "years": ""})
    assert ("not known yet" in made(found), "not known yet" in made(found.model_copy(update={"orders": [blank]}))) == (
        False,
        True,
    )


# ---------------------------------------------------------------- place, hand, quantity


def sheets(part: str, wanted: OrderFor, **more: Any) -> FitReport:
    return fit_report(the_range(CAPS, **more), "a case", [part], order=True, wanted=wanted)


def asks(found: FitReport) -> dict[str, str | None]:
    (sheet,) = found.orders
    return {ask.id: ask.value for ask in sheet.asks}


def test_place_and_quantity_are_blanks_to_be_asked_first_where_nobody_told_them() -> None:
    found = sheets("bm-p-gr7", OrderFor())
    assert (asks(found)["place"], asks(found)["quantity"], found.orders[0].quantity) == (None, None, None)
    text = " ".join(order_text(found.orders[0]).split())
    assert "place, as one stands facing the range: ASK FIRST ______" in text
    assert "quantity of the set: ASK FIRST ______" in text


def test_place_and_quantity_stand_on_the_order_as_they_were_told() -> None:
    found = sheets("bm-p-gr7", OrderFor(place=JetPlace.REAR_LEFT, quantity=4))
    assert (asks(found)["place"], asks(found)["quantity"]) == ("rear left", "4")
    assert "Part 4 x grate of the Kestrel" in " ".join(order_text(found.orders[0]).split())


def test_one_is_ordered_for_one_place() -> None:
    assert sheets("bm-p-gr7", OrderFor(place=JetPlace.REAR_LEFT)).orders[0].quantity == 1


def test_one_is_ordered_of_what_has_one_place_on_a_range() -> None:
    assert sheets("bm-p-od5", OrderFor()).orders[0].quantity == 1


@pytest.mark.parametrize(
    ("case", "part", "place", "said"),
    [
        (CAPS, "bm-p-gr7", JetPlace.OVEN, "does not stand at oven"),
        (GRAND, "bm-p-tb5", JetPlace.FRONT_LEFT, "does not stand at front_left. It stands at front_right."),
        (CAPS, "bm-p-ra2", JetPlace.OVEN, "has no several places"),
        (CAPS, "bm-p-gr7", JetPlace.FRONT_CENTRE, "this range has nothing at front_centre"),
    ],
    ids=["a grate in the oven", "the right front burner at the left", "a rack at a place", "a place that is not there"],
)
def test_nothing_is_ordered_for_a_place_where_it_does_not_stand(
    case: Path, part: str, place: JetPlace, said: str
) -> None:
    assert said in (withheld(held(the_range(case), part), OrderFor(place=place)) or "")


SIDE = {"measures": measured("hinge", {"side": "left", "hole_centres": "89 mm"})}


def test_a_part_of_a_hand_is_ordered_once_the_hand_was_told() -> None:
    (sheet,) = sheets("bm-p-hi3", OrderFor(hand=Hand.LEFT), **SIDE).orders
    assert sheet.hand == "left"


@pytest.mark.parametrize("hand", [Hand.RIGHT, Hand.EITHER])
def test_a_part_of_another_hand_is_not_ordered(hand: Hand) -> None:
    found = sheets("bm-p-hi3", OrderFor(hand=hand), **SIDE)
    assert (found.orders, "This is the left one, and" in found.not_ordered[0]) == ([], True)


@pytest.mark.parametrize(("hand", "part"), [(Hand.LEFT, "bm-p-hi3"), (Hand.RIGHT, "bm-p-hi4")])
def test_of_a_kind_the_one_of_the_hand_that_was_told_is_ordered(hand: Hand, part: str) -> None:
    assert [sheet.part for sheet in sheets("hinge", OrderFor(hand=hand)).orders] == [part]


def test_a_door_that_is_for_either_hand_asks_the_hand_first() -> None:
    found = sheets("bm-p-do3", OrderFor())
    assert ("hand" in asks(found), asks(found)["hand"]) == (True, None)


# ---------------------------------------------------------------- what a supplier asks of a kind

SEEN_KINDS = {
    *("knob", "oven_handle", "handle", "oven_dial", "door", "latch"),
    *("grate", "drip_pan", "well_pot", "griddle_plate", "backguard_panel", "leg", "rack"),
}


@pytest.mark.parametrize(
    ("kind", "asked"),
    [
        ("jet_hood", {"gas", "heat", "height", "pressure", "drill"}),
        ("oven_jet_hood", {"gas", "heat", "height", "pressure", "drill"}),
        ("pilot", {"gas", "height", "pressure", "drill"}),
        ("thermostat", {"scale_range", "dial_marks", "threads"}),
        ("regulator", {"outlet", "gas", "capacity"}),
        ("safety_valve", {"millivolts", "drop_out"}),
        ("thermocouple", {"millivolts", "drop_out"}),
        ("insulation_pad", {"thickness", "heat_rating"}),
    ],
)
def test_a_kind_asks_what_its_supplier_does(kind: str, asked: set[str]) -> None:
    assert asked <= set(shipped().base.kinds[kind].ask)


def test_a_blank_bears_its_unit() -> None:
    text = " ".join(order_text(sheets("thermostat", OrderFor()).orders[0]).split())
    assert "range of the scale, lowest to highest mark: ______ F" in text


def test_a_number_that_is_filled_in_names_its_source() -> None:
    found = sheets("bm-p-tb4", OrderFor(), seen={"burner_bracket": "two_screw"})
    (heat,) = [ask for ask in found.orders[0].asks if ask.id == "heat"]
    assert (heat.value, "Fitters' handbook" in (heat.source or "")) == ("9,000 Btu/h", True)


def test_a_regulators_order_gives_the_outlet_of_the_gas_laid_on_with_its_source() -> None:
    bench = {"laid_on": {"gas": "natural", "by": "bill"}}
    number = read("regulator", *held(the_range(AVOCET), "bm-p-rg2").part.numbers)
    examination = the_range(AVOCET, numbers=number, bench=bench)
    (sheet,) = fit_report(examination, "a case", ["bm-p-rg2"], order=True).orders
    told = {ask.id: ask for ask in sheet.asks}
    assert (told["outlet"].value, bool(told["outlet"].source)) == ("3.5 to 4 in. w.c.", True)


def test_every_order_gives_the_year_guess() -> None:
    assert "Year guess" in order_text(sheets("bm-p-gr7", OrderFor()).orders[0])


def test_the_order_of_a_grate_asks_its_finish() -> None:
    assert "finish: enamel and its colour" in " ".join(order_text(sheets("bm-p-gr7", OrderFor()).orders[0]).split())


def test_finish_is_asked_of_what_is_seen_on_the_range_and_of_nothing_else() -> None:
    assert {name for name, kind in shipped().base.kinds.items() if "finish" in kind.ask} == SEEN_KINDS


def test_of_a_kind_the_likeliest_is_ordered() -> None:
    assert [sheet.part for sheet in report(FARM, "grate", order=True).orders] == ["wx-p-gr2"]


def test_each_dimension_of_an_order_has_a_source_or_is_not_given() -> None:
    (sheet,) = ordered("W 503").orders
    assert all(row.sources for row in sheet.dimensions if row.wanted is not None)
