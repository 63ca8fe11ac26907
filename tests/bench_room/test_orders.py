"""Donors, and the order sheet that a supplier is sent."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hobmark.bench.orders import blanks, donors
from hobmark.case import Case
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit import FitReport
from hobmark.reports.fit_findings import fit_report
from hobmark.reports.fit_text import order_text
from hobmark.reports.html import order_page
from hobmark.reports.writing import orders_text

from .fitting import FARM, held, kept, measured, report, shipped, the_range

KESTREL = kept("kestrel-1950-crossed-bars-and-click")
FIFTIES = kept("kestrel-1940-with-a-control-of-the-fifties")


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
    assert sheet.test_after == held(the_range(FARM), "wx-p-va3").part.proved_by
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


def test_of_a_kind_the_likeliest_is_ordered() -> None:
    assert [sheet.part for sheet in report(FARM, "grate", order=True).orders] == ["wx-p-gr2"]


def test_each_dimension_of_an_order_has_a_source_or_is_not_given() -> None:
    (sheet,) = ordered("W 503").orders
    assert all(row.sources for row in sheet.dimensions if row.wanted is not None)
