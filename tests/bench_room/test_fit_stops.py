"""What goes before a part: a stop that stands, who tests it and when, and a part whose place it must not take."""

from __future__ import annotations

from typing import Any

import pytest
from hobmark.bench.fit_gas import bears_gas
from hobmark.knowledge.vocabulary import PartClass
from hobmark.reports.fit import FitReport
from hobmark.reports.fit_findings import fit_finding, fit_report
from hobmark.reports.fit_text import fit_text
from hobmark.reports.fit_words import FITTER_FIRST
from hobmark.reports.html import order_page
from hobmark.reports.writing import orders_text

from .fitting import FARM, held, kept, measured, read, shipped, the_range

KESTREL = kept("kestrel-1950-crossed-bars-and-click")

# ---------------------------------------------------------------- what stops, and what comes before a test

SMELL = {"symptoms": [{"symptom": "smell_of_gas"}]}
CLEARED = {"symptoms": [{"symptom": "smell_of_gas", "cleared": "leak mended by a licensed fitter, 2026-03-02"}]}
GAS_ASSEMBLIES = ("burners", "gas_train")
CRITICAL = [
    part.id
    for folder in shipped().base.makers.values()
    for part in folder.acting_parts.values()
    if part.class_ is PartClass.CRITICAL
]


def stopped(part: str, bench: dict[str, Any] | None = None) -> FitReport:
    examination = the_range(FARM, seen={"valve_rail": "enclosed"}, bench=SMELL if bench is None else bench)
    return fit_report(examination, "a case", [part], order=True)


@pytest.mark.parametrize("part", ["W 503", "grate"], ids=["a valve", "a grate"])
def test_every_answer_opens_with_what_stops(part: str) -> None:
    assert fit_text(stopped(part)).startswith("STOP stands: smell of gas. Nothing is lit or opened")


def test_nothing_stops_once_it_is_cleared() -> None:
    found = stopped("W 503", CLEARED)
    assert (found.stop, len(found.orders)) == (None, 1)


@pytest.mark.parametrize("part", ["W 503", "top_burner", "thermostat", "thermocouple", "regulator"])
def test_no_part_that_bears_gas_is_ordered_while_anything_stops(part: str) -> None:
    found = stopped(part)
    assert (found.orders, "STOP stands: smell of gas" in found.not_ordered[0]) == ([], True)


def test_the_order_of_what_bears_no_gas_opens_with_what_stops() -> None:
    assert orders_text(stopped("grate")).startswith("STOP stands: smell of gas.")


def test_what_stops_stands_on_the_page_of_such_an_order() -> None:
    assert '<p class="box stop">STOP stands: smell of gas.' in order_page(stopped("grate"))


def test_whatever_belongs_to_burners_or_gas_train_bears_gas() -> None:
    kinds = shipped().base.kinds
    assert [name for name, kind in kinds.items() if kind.assembly in GAS_ASSEMBLIES and not bears_gas(kind)] == []


@pytest.mark.parametrize("part", CRITICAL)
def test_every_test_with_gas_is_a_fitters_and_comes_after_the_leak_check(part: str) -> None:
    found = fit_finding(held(the_range(FARM), part))
    assert (found.test_after or "").startswith(FITTER_FIRST)
    assert (found.test_after or "").count(FITTER_FIRST) == 1


def test_who_makes_the_test_stands_on_the_page() -> None:
    assert FITTER_FIRST in order_page(stopped("W 503", CLEARED))


# ---------------------------------------------------------------- in place of another

SAFETY = {"oven_lighting": "pilot_safety"}


def test_no_valve_is_ordered_while_the_one_whose_place_it_must_not_take_may_be_there() -> None:
    found = fit_report(the_range(KESTREL, seen=SAFETY), "a case", ["bm-p-sv2"], order=True)
    assert found.orders == []
    assert "whether what is there now is bm-p-sv1" in found.not_ordered[0]
    assert "by its sensor, by looking, nothing touched" in found.not_ordered[0]


def test_it_is_ordered_once_somebody_saw_that_it_is_not_there() -> None:
    seen = the_range(KESTREL, seen=SAFETY, measures=measured("safety_valve", {"sensor": "thermocouple"}))
    assert len(fit_report(seen, "a case", ["bm-p-sv2"], order=True).orders) == 1


def test_it_does_not_fit_where_somebody_saw_that_it_is_there() -> None:
    seen = the_range(KESTREL, seen=SAFETY, measures=measured("safety_valve", {"sensor": "capillary"}))
    assert fit_report(seen, "a case", ["bm-p-sv2"], order=True).orders == []


@pytest.mark.parametrize(("number", "open_"), [("TH-3", 0), (None, 1)], ids=["its own number", "no number"])
def test_a_number_that_was_read_settles_what_is_there(number: str | None, open_: int) -> None:
    numbers = read("thermostat", number) if number is not None else []
    fit = held(the_range(KESTREL, numbers=numbers), "bm-p-th3")
    assert len([guard for guard in fit.guards if "bm-p-th4" in guard.find_out]) == open_
