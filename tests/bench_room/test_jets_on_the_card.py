"""Jets by place on the card: found, to be given, for which gas, pressure and height, and what was not gauged."""

from __future__ import annotations

import pytest
from hobmark.bench.gas import AMISS, jet_input
from hobmark.bench.jets import altitude_of, read_gauged
from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.record_entries import PressureRead
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination
from hobmark.reports.html import setup_page
from hobmark.reports.setup import set_up
from hobmark.reports.setup_gas_shape import PlaceShown
from hobmark.reports.setup_shape import SetupReport
from hobmark.reports.setup_text import setup_text

from .bases import base, compiled
from .records import gauged, laid_on, plain, record
from .sheets import unknown


def plain_text(report: SetupReport, *, whole: bool = False) -> str:
    return " ".join(setup_text(report, whole=whole).split())


def hazel(*sizes: str, gas: Gas | None = Gas.NATURAL, height: str | None = None) -> SetupReport:
    """A Hazel with these jets; its paper, invented, states 7000 Btu/h for a top burner."""
    path = next((knowledge_root() / "wexcombe" / "cases").glob("hazel*.yaml"))
    case = read_case(path, base()).case
    return set_up(Examination(compiled(), case), "x", record=gauged(*sizes, gas=gas, altitude=height))


def place(report: SetupReport, name: str = "front_left") -> PlaceShown:
    return next(each for each in report.gas.places if each.place.value == name)


def share(found: PlaceShown) -> float:
    assert found.share is not None
    assert found.share.aim is not None
    return found.share.aim


@pytest.mark.parametrize("drill", ["50", "54", "56", "60", "70"])
@pytest.mark.parametrize("gas", list(Gas))
def test_its_heat_is_what_the_formula_gives_over_what_is_wanted(drill: str, gas: Gas) -> None:
    (jet,) = read_gauged(drill, base())
    expected = jet_input(jet.inches, base().bench.gases[gas]) / 7000
    assert share(place(hazel(drill, gas=gas))) == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(("drill", "amiss"), [("54", True), ("55", True), ("56", False), ("57", True), ("60", True)])
def test_a_jet_too_large_or_too_small_is_warned_of(drill: str, amiss: bool) -> None:
    found = place(hazel(drill))
    assert (found.amiss, found.warning) == (amiss, "more than 10% off (our estimate, no source)" if amiss else None)


def test_at_a_height_a_jet_found_is_set_against_what_is_to_be_given_there() -> None:
    assert share(place(hazel("54", height="5000 ft"))) > share(place(hazel("54", height="300 ft")))


@pytest.mark.parametrize("heat", [5000, 7000, 9000, 12000])
@pytest.mark.parametrize("height", ["300 ft", "5000 ft", "7200 ft", "9900 ft"])
@pytest.mark.parametrize("gas", ["natural", "bottled"])
def test_the_jet_that_is_named_is_never_one_that_would_be_flagged(heat: int, height: str, gas: str) -> None:
    """At 7,200 ft for 9,000 Btu/h no number drill is within a tenth: a metric one is the answer."""
    wanted = record(gas, altitude=height, jets=[{"place": "front_left", "heat": f"{heat} Btu/h"}])
    named = place(set_up(plain(), "x", record=wanted)).drill
    assert named is not None
    there = [{"place": "front_left", "found": named.removeprefix("no. "), "heat": f"{heat} Btu/h"}]
    found = place(set_up(plain(), "x", record=record(gas, altitude=height, jets=there)))
    assert not found.amiss
    assert abs(share(found) - 1) <= AMISS


def test_up_high_a_metric_drill_is_the_answer_where_no_number_drill_is() -> None:
    wanted = record(altitude="7200 ft", jets=[{"place": "front_left", "heat": "9000 Btu/h"}])
    assert place(set_up(plain(), "x", record=wanted)).drill == "1.25 mm"


def test_a_measured_pressure_enters_every_figure_and_says_so() -> None:
    high = record().with_pressure(PressureRead(reads="7 in wc"))
    found = place(set_up(plain(), "x", record=high))
    assert share(found) == pytest.approx(1.35, abs=0.005)
    assert found.share is not None
    assert "7 in wc as measured" in found.share.source


def test_the_jet_that_is_named_is_for_the_pressure_that_was_measured() -> None:
    high = record().with_pressure(PressureRead(reads="7 in wc"))
    named = [place(set_up(plain(), "x", record=each)).drill for each in (record(), high)]
    assert named == ["no. 54", "no. 56"]


def test_a_jet_that_is_amiss_stands_on_the_card_with_its_warning() -> None:
    told = plain_text(hazel("54"))
    assert "!! front left: more than 10% off (our estimate, no source)" in told
    assert "heat of what is to be given: front left 1.31 times." in told


def test_it_stands_on_the_page_too() -> None:
    assert "more than 10% off (our estimate, no source)" in setup_page(hazel("54"))


def test_what_was_not_gauged_is_counted_and_said() -> None:
    told = plain_text(hazel("56", "56"))
    assert "2 of 7 places gauged; not gauged: rear left, rear right, oven, top pilot, oven pilot" in told


@pytest.mark.parametrize(
    ("height", "said"),
    [
        (None, "height: not told; reckoned at sea level"),
        ("5000 ft", "height: 5000 ft (1,520 m)"),
    ],
)
def test_the_card_says_for_what_height_it_is(height: str | None, said: str) -> None:
    assert said in plain_text(hazel(height=height))


def test_a_height_that_is_none_is_told_how_to_be_written() -> None:
    with pytest.raises(ValueError, match=r"'high' is no height\. Write it with its unit, as 5000 ft or 1500 m"):
        altitude_of("high")


def test_the_jets_of_each_group_bear_its_chance() -> None:
    report = set_up(unknown(), "x", record=laid_on(Gas.NATURAL))
    chances = [jet.chance for jet in report.jets if "top" in jet.burner]
    (rest,) = [each.chance for each in report.no_jets if "top" in each.burner]
    assert sum(chances) + rest == pytest.approx(1, abs=0.05)


def test_of_a_range_that_is_not_listed_only_its_plate_or_paper_tells() -> None:
    text = plain_text(set_up(unknown(), "x", record=laid_on(Gas.NATURAL)), whole=True)
    assert "Input of a top burner, any other range (" in text
    assert "): no figure; only its plate or paper tells" in text
