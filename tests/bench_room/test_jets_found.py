"""Jets that were gauged beside those reckoned, for what height, and of which ranges there is no figure."""

from __future__ import annotations

import pytest
from hobmark.bench.fuel import Evidence
from hobmark.bench.gas import jet_input
from hobmark.bench.jets import Gauged, altitude_of, beside, jet_for, read_gauged
from hobmark.case import read_case
from hobmark.knowledge.quantities import read_quantity
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.bench import Gas
from hobmark.reasoning.examination import Examination
from hobmark.reports.html import setup_page
from hobmark.reports.setup import set_up
from hobmark.reports.setup_shape import JetShown, SetupReport
from hobmark.reports.setup_text import setup_text

from .bases import base, compiled
from .sheets import known, unknown

HEAT = read_quantity("7000 Btu/h")


def plain_text(report: SetupReport) -> str:
    return " ".join(setup_text(report).split())


def hazel(*sizes: str, gas: Gas | None = Gas.NATURAL, height: str | None = None) -> SetupReport:
    """A Hazel with these jets; its paper, invented, states 7000 Btu/h for a top burner."""
    path = next((knowledge_root() / "wexcombe" / "cases").glob("hazel*.yaml"))
    clues = [Evidence("jet_size", size) for size in sizes]
    altitude = altitude_of(height) if height is not None else None
    return set_up(
        Examination(compiled(), read_case(path, base()).case), "x", gas=gas, evidence=clues, altitude=altitude
    )


def top(report: SetupReport) -> JetShown:
    return next(
        jet for jet in report.jets if "top" in jet.burner and jet.gas is Gas.NATURAL and "Hazel" in jet.ranges[0]
    )


def test_a_jet_found_is_set_against_the_one_reckoned_by_flow_and_by_heat() -> None:
    (found,) = top(hazel("54")).found
    assert (found.called, found.bore.text) == ("no. 54", "0.0550 in. (1.4 mm)")
    assert (found.of_flow.text, found.of_heat.text) == ("1.40 times", "1.31 times")


@pytest.mark.parametrize("drill", ["50", "54", "56", "60", "70"])
@pytest.mark.parametrize("gas", list(Gas))
def test_its_heat_is_what_the_formula_gives_over_what_is_wanted(drill: str, gas: Gas) -> None:
    (jet,) = read_gauged(drill, base())
    found = beside(base(), jet_for(base(), HEAT, gas), jet)
    assert found.of_heat.stated[0].number == pytest.approx(jet_input(jet.inches, base().bench.gases[gas]) / 7000)


@pytest.mark.parametrize(("drill", "amiss"), [("54", True), ("55", True), ("56", False), ("57", True), ("60", True)])
def test_a_jet_too_large_or_too_small_is_warned_of(drill: str, amiss: bool) -> None:
    (found,) = top(hazel(drill)).found
    assert (found.amiss, found.warning) == (amiss, "more than 10% off (our estimate, no source)" if amiss else None)


def test_at_a_height_a_jet_found_is_set_against_the_jet_for_that_height() -> None:
    low, high = (
        beside(base(), jet_for(base(), HEAT, Gas.NATURAL, feet), Gauged("no. 54", 0.055)) for feet in (0, 5000)
    )
    assert high.of_heat.stated[0].number > low.of_heat.stated[0].number
    assert high.flow is None


def test_a_jet_found_stands_under_jets_with_its_warning_mark_and_cautions() -> None:
    told = plain_text(hazel("54"))
    told = told[
        told.index("!! more than 10% off (our estimate, no source): found: no. 54, 0.0550 in. (1.4 mm) passes") :
    ]
    assert "1.40 times the flow of no. 56 and 1.31 times the heat to be given [computed] ! " in told
    assert "right jets" in told[:260]


def test_a_jet_found_stands_on_the_page_too() -> None:
    page = setup_page(hazel("54"))
    assert "more than 10% off (our estimate, no source)" in page
    assert page.count('<span class="value">1.40 times</span>') == 1


def test_jets_that_are_right_for_no_burner_hold_everything_back() -> None:
    report = hazel("54,54")
    assert "the jets found (no. 54) are right for no top burner that is reckoned" in report.gas.contradictions[-1]
    assert not report.gas.known


def test_jets_that_are_right_speak_against_nothing() -> None:
    assert hazel("56,56").gas.contradictions == []


def test_no_jet_of_the_oven_is_set_against_those_of_the_top() -> None:
    report = set_up(known(), "x", evidence=[Evidence("jet_size", "70,70")])
    assert {bool(jet.found) for jet in report.jets if "oven" in jet.burner} == {False}


@pytest.mark.parametrize(
    ("height", "said"),
    [
        (None, "JETS at sea level; no height was given; to compare"),
        ("5000 ft", "JETS at 5000 ft (1,520 m); to compare"),
    ],
)
def test_the_jets_say_for_what_height_they_are(height: str | None, said: str) -> None:
    assert said in plain_text(hazel(height=height))


@pytest.mark.parametrize(
    ("height", "said"), [(None, "Jets at sea level; no height was given"), ("5000 ft", "Jets at 5000 ft (1,520 m)")]
)
def test_so_does_the_page(height: str | None, said: str) -> None:
    assert said in setup_page(hazel(height=height))


def test_a_height_that_is_none_is_told_how_to_be_written() -> None:
    with pytest.raises(ValueError, match=r"'high' is no height\. Write it with its unit, as 5000 ft or 1500 m"):
        altitude_of("high")


def test_the_jets_of_each_group_bear_its_chance() -> None:
    report = set_up(unknown(), "x", gas=Gas.NATURAL)
    chances = [jet.chance for jet in report.jets if "top" in jet.burner]
    (rest,) = [each.chance for each in report.no_jets if "top" in each.burner]
    assert sum(chances) + rest == pytest.approx(1, abs=0.05)


def test_of_a_range_that_is_not_listed_only_its_plate_or_paper_tells() -> None:
    text = plain_text(set_up(unknown(), "x", gas=Gas.NATURAL))
    assert "Input of a top burner, any other range (" in text
    assert "): no figure; only its plate or paper tells" in text
