"""A part that gas burns at: the gas laid on, the pressure, the height, the heat to be given and the bore in hand."""

from __future__ import annotations

from typing import Any

import pytest
from hobmark.bench.fit import PartFit, part_fits, parts_meant
from hobmark.bench.gas import Supply
from hobmark.bench.orders import OrderFor
from hobmark.knowledge.quantities import Unit, quantity
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.fit import FitReport
from hobmark.reports.fit_findings import fit_finding, fit_report

from .fitting import kept, measured, read, shipped, the_range

KESTREL = kept("kestrel-1950-crossed-bars-and-click")
AVOCET = kept("avocet-1959-built-in-regulator")
NATURAL: dict[str, Any] = {
    "laid_on": {"gas": "natural", "by": "bill"},
    "altitude": "600 ft",
    "pressures": [{"reads": "4 in wc"}],
}
BOTTLED = {"laid_on": {"gas": "bottled", "by": "tank"}}
SEEN = {"regulator": "absent"}
GAUGED = measured("jet_hood", {"bore": "1.39 mm"}, on="part")


def hood(
    bench: dict[str, Any] | None = None,
    bore: str | None = "1.39 mm",
    part: str = "bm-p-jh1",
    *,
    place: JetPlace | None = None,
    gas: Gas | None = None,
) -> PartFit:
    """The hood JH-1 by its number on a Kestrel; `bore` is that of the one in hand."""
    measures = measured("jet_hood", {"bore": bore}, on="part") if bore is not None else []
    examination = the_range(
        KESTREL, SEEN, measures, read("jet_hood", "JH-1"), bench=NATURAL if bench is None else bench
    )
    (fit,) = part_fits(examination, parts_meant(shipped().base, part), place=place, gas=gas)
    return fit


def without(name: str) -> dict[str, Any]:
    return {key: value for key, value in NATURAL.items() if key != name}


def asked(fit: PartFit) -> str:
    return " ".join(fit_finding(fit).find_out)


def test_number_bore_gas_height_and_pressure_together_confirm_a_hood() -> None:
    assert (hood().verdict, hood().guards) == ("exact", ())


def test_a_hood_is_not_proven_by_its_number_alone() -> None:
    fit = hood(bore=None)
    assert (fit.verdict, bool(fit.proof)) == ("unproven", True)
    assert "keeps its number when it is drilled out" in asked(fit)


def test_the_bore_in_hand_is_asked_for_also_where_papers_do_not_have_it() -> None:
    fit = hood(bore=None, part="bm-p-jh3")
    assert "bore" in [look.id for look in fit_finding(fit).next if look.needed]


@pytest.mark.parametrize(
    ("bench", "words"),
    [
        (without("laid_on"), "the gas laid on"),
        (NATURAL | {"laid_on": {"gas": "natural"}}, "the gas laid on"),
        (without("altitude"), "the height above the sea"),
        (without("pressures"), "the pressure ahead of the range"),
    ],
    ids=["gas", "how the gas is known", "height", "pressure where no regulator is"],
)
def test_what_is_not_known_confirms_no_hood_and_is_asked_for(bench: dict[str, Any], words: str) -> None:
    fit = hood(bench)
    assert fit.verdict == "unproven"
    assert words in asked(fit)


def test_a_heat_that_nobody_states_confirms_no_hood() -> None:
    fit = hood(part="bm-p-wj1", place=JetPlace.WELL)
    assert fit.verdict == "unproven"
    assert "the heat that the burner at well is to give" in asked(fit)


def test_nothing_that_is_asked_for_before_release_lights_anything() -> None:
    told = asked(hood({}, bore=None)).casefold()
    assert [word for word in ("light", "match", "flame on", "alight") if word in told] == []


def test_the_pressure_that_was_measured_counts_and_not_the_tables() -> None:
    fit = hood(NATURAL | {"pressures": [{"reads": "7 in wc"}]})
    assert fit.verdict == "does_not_fit"
    assert "at 7 in. w.c. as measured" in fit_finding(fit).says


def test_the_heat_that_is_told_is_the_supplys_own() -> None:
    bore = quantity(1.39, Unit.MILLIMETRE).to(Unit.INCH)
    share = Supply(1000, 0.60, 7.0, 600.0).share_of(bore, 9000)
    fit = hood(NATURAL | {"pressures": [{"reads": "7 in wc"}]})
    assert f"gives {share:.2f} times the heat of 9,000 Btu/h" in fit_finding(fit).says


def test_a_heating_value_that_was_told_counts() -> None:
    poor = {"laid_on": {"gas": "natural", "by": "supplier", "heating_value": "830 Btu/ft3"}}
    fit = hood(NATURAL | poor)
    assert fit.verdict == "does_not_fit"
    assert "830 Btu/ft3 as told" in fit_finding(fit).says


def test_up_high_a_hood_gives_too_much() -> None:
    assert hood(NATURAL | {"altitude": "7200 ft"}).verdict == "does_not_fit"


def test_too_hot_at_any_height_is_refused_though_the_height_is_not_known() -> None:
    assert hood(without("altitude"), bore="1.42 mm", part="bm-p-jh5").verdict == "does_not_fit"


def test_too_weak_at_the_sea_may_be_right_up_high_and_is_not_refused_while_that_is_not_known() -> None:
    weak = hood(
        without("altitude") | {"jets": [{"place": "front_left", "heat": "10600 Btu/h"}]}, place=JetPlace.FRONT_LEFT
    )
    assert weak.verdict == "unproven"


@pytest.mark.parametrize(("heat", "verdict"), [("8600 Btu/h", "exact"), ("8000 Btu/h", "does_not_fit")])
def test_a_heat_read_on_the_plate_goes_before_the_papers(heat: str, verdict: str) -> None:
    fit = hood(NATURAL | {"jets": [{"place": "front_left", "heat": heat}]}, place=JetPlace.FRONT_LEFT)
    assert fit.verdict == verdict


def test_where_burners_differ_the_place_is_asked_for() -> None:
    fit = hood(NATURAL | {"jets": [{"place": "front_left", "heat": "12000 Btu/h"}]})
    assert fit.verdict == "unproven"
    assert "at which place it is to stand" in asked(fit)


def test_a_hood_for_another_gas_is_refused_by_what_papers_make_it_for() -> None:
    fit = hood(NATURAL | BOTTLED, bore=None)
    assert fit.verdict == "does_not_fit"
    assert "made for natural gas, and bottled gas (propane) is laid on" in fit_finding(fit).says


def test_of_manufactured_gas_no_figure_is_published_and_no_hood_is_confirmed() -> None:
    town = NATURAL | {"laid_on": {"gas": "manufactured", "by": "supplier"}}
    assert hood(town, part="bm-p-jh2").verdict == "unproven"


@pytest.mark.parametrize(("gas", "verdict"), [("natural", "exact"), ("bottled", "does_not_fit")])
def test_a_pilot_goes_by_the_gas_that_papers_bore_it_for(gas: str, verdict: str) -> None:
    bench = NATURAL | {"laid_on": {"gas": gas, "by": "meter"}}
    measures = measured("pilot", {"tube_diameter": "4.7 mm"}) + measured("pilot", {"orifice": "0.45 mm"}, on="part")
    examination = the_range(KESTREL, SEEN, measures, bench=bench)
    (fit,) = part_fits(examination, parts_meant(shipped().base, "bm-p-pl1"))
    assert fit.verdict == verdict


def test_a_pilots_bore_is_that_of_the_one_in_hand() -> None:
    examination = the_range(KESTREL, SEEN, numbers=read("pilot", "PL-1"), bench=NATURAL)
    (fit,) = part_fits(examination, parts_meant(shipped().base, "bm-p-pl1"))
    assert (fit.verdict, bool(fit.proof)) == ("unproven", True)


def test_what_a_jet_gives_stands_in_the_trace_with_its_source() -> None:
    (step,) = [step for step in fit_finding(hood(place=JetPlace.REAR_LEFT)).trace if step.kind == "heat"]
    assert step.gives == ["gives 1.01 times the heat that is to be given"]
    assert "Fitters' handbook" in step.sources[0]


@pytest.mark.parametrize("part", ["bm-p-rg1", "bm-p-ob5"], ids=["regulator", "oven burner"])
def test_what_is_made_for_one_gas_goes_by_the_gas_though_it_has_no_jet(part: str) -> None:
    assert hood(part=part).verdict in ("does_not_fit", "prohibited")


# ---------------------------------------------------------------- orders


def ordered(
    bench: dict[str, Any], part: str, bore: str | None = None, at: JetPlace | None = JetPlace.FRONT_LEFT
) -> FitReport:
    measures = measured("jet_hood", {"bore": bore}, on="part") if bore is not None else []
    examination = the_range(KESTREL, SEEN, measures, bench=bench)
    return fit_report(examination, "a case", [part], order=True, wanted=OrderFor(place=at))


def asks(report: FitReport) -> dict[str, str | None]:
    (sheet,) = report.orders
    return {ask.id: ask.value for ask in sheet.asks}


def test_a_new_hood_is_ordered_with_gas_heat_height_pressure_and_drill() -> None:
    told = asks(ordered(NATURAL, "JH-1"))
    assert told["gas"] == "natural gas, laid on, by bill"
    assert (told["heat"], told["height"], told["pressure"]) == ("9,000 Btu/h", "600 ft", "4 in. w.c.")
    assert (told["drill"] or "").startswith("no. 54, 0.0550 in.")


def grounds(bench: dict[str, Any], name: str) -> str | None:
    (sheet,) = ordered(bench, "JH-1").orders
    return {ask.id: ask.source for ask in sheet.asks}[name]


AT_HOUSE = NATURAL | {"pressures": [{"at": "house", "reads": "4 in wc"}]}


def test_a_pressure_read_at_the_manifold_is_that_at_the_jet_and_says_what_was_lit() -> None:
    bench = NATURAL | {"pressures": [{"reads": "4 in wc", "lit": ["front_left", "oven"]}]}
    assert asks(ordered(bench, "JH-1"))["pressure"] == "4 in. w.c."
    assert grounds(bench, "pressure") == "as measured at the manifold with front left, oven lit"


def test_a_pressure_read_at_the_house_is_not_called_that_at_the_jet() -> None:
    assert asks(ordered(AT_HOUSE, "JH-1"))["pressure"] == "not read there; ahead of it 4 in. w.c."
    assert grounds(AT_HOUSE, "pressure") == "as measured at the house's meter or tank with nothing lit"


@pytest.mark.parametrize(("bench", "told"), [(AT_HOUSE, True), (NATURAL, False)], ids=["house", "manifold"])
def test_a_drill_worked_out_with_a_pressure_read_elsewhere_says_so(bench: dict[str, Any], told: bool) -> None:
    assert ("the pressure was not read at the jet" in (grounds(bench, "drill") or "")) == told


@pytest.mark.parametrize("part", ["JH-1", "bm-p-pl1", "bm-p-ob3"], ids=["hood", "pilot", "oven burner"])
def test_nothing_that_goes_by_the_gas_is_ordered_while_the_owners_word_speaks_against_it(part: str) -> None:
    report = ordered(NATURAL | {"clues": [{"clue": "owner", "value": "bottled"}]}, part, at=None)
    assert report.orders == []
    assert "the owner's word (bottled) speaks against natural gas" in report.not_ordered[0]


def test_what_contradicts_itself_about_the_gas_is_said_of_a_hood_that_fits() -> None:
    fit = hood(NATURAL | {"clues": [{"clue": "owner", "value": "bottled"}]})
    assert "the owner's word (bottled) speaks against natural gas" in asked(fit)


def test_what_does_not_go_by_the_gas_is_ordered_though_clues_disagree() -> None:
    bench = NATURAL | {"clues": [{"clue": "owner", "value": "bottled"}]}
    assert len(ordered(bench, "grate", at=None).orders) == 1


@pytest.mark.parametrize("missing", ["laid_on", "altitude", "pressures"])
def test_no_hood_is_ordered_while_its_bore_cannot_be_judged(missing: str) -> None:
    report = ordered(without(missing), "JH-1")
    assert report.orders == []
    assert "Still to be found out" in report.not_ordered[0]


def test_no_hood_is_ordered_that_the_set_up_sheet_would_flag() -> None:
    assert ordered(NATURAL, "JH-1", "1.47 mm").orders == []


def test_no_hood_is_ordered_whose_papers_let_it_be_bored_too_large() -> None:
    bench = NATURAL | {"jets": [{"place": "front_left", "heat": "8600 Btu/h"}]}
    report = ordered(bench, "JH-1")
    assert report.orders == []
    assert "It may be off" in report.not_ordered[0]


def test_no_hood_is_ordered_before_it_is_known_for_which_burner() -> None:
    report = ordered(NATURAL, "JH-1", at=None)
    assert "Which place: ask first" in report.not_ordered[0]


def test_a_conversion_is_ordered_for_the_gas_that_is_wanted_and_says_so() -> None:
    examination = the_range(AVOCET, bench=NATURAL | {"wanted": "bottled"})
    report = fit_report(examination, "a case", ["jet_hood"], order=True, wanted=OrderFor(place=JetPlace.FRONT_LEFT))
    (sheet,) = report.orders
    assert sheet.part == "bm-p-jh3"
    assert (sheet.for_gas or "").startswith(
        "For a conversion to bottled gas (propane), which is wanted. Now natural gas"
    )
    assert asks(report)["gas"] == "bottled gas (propane), as wanted"
    assert (asks(report)["drill"] or "").startswith("no. 66")


def test_a_gas_that_is_wanted_confirms_nothing() -> None:
    fit = hood(without("laid_on") | {"wanted": "natural"})
    assert fit.verdict == "unproven"


def test_a_hood_for_the_gas_laid_on_is_not_ordered_for_a_conversion() -> None:
    assert ordered(NATURAL | {"wanted": "bottled"}, "JH-1").orders == []
