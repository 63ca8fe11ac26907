"""Which parts a name speaks of, the two answers, what to measure next, and what is printed."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hobmark.bench.fit import part_fits, parts_meant
from hobmark.bench.fit_places import cells_now
from hobmark.bench.fit_writing import kinds_spoken_of
from hobmark.bench.part_looks import bits_of, measure_looks, number_look, range_looks, settling_pair, unmeasured
from hobmark.knowledge.schema.fit_rules import FitConclusion
from hobmark.problems import Refused
from hobmark.reasoning.chaining import engine_in_use
from hobmark.reports.fit import FitReport
from hobmark.reports.fit_findings import is_warning
from hobmark.reports.fit_text import fit_text

from .fitting import FARM, GREEN, held, kept, measured, read, report, shipped, the_range, told

KESTREL = kept("kestrel-1950-crossed-bars-and-click")
CAPS = kept("kestrel-1956-squared-corners-loose-caps")
FIFTIES = kept("kestrel-1940-with-a-control-of-the-fifties")


def meant(name: str) -> list[str]:
    return [part for _, part in parts_meant(shipped().base, name)]


# ---------------------------------------------------------------- names


@pytest.mark.parametrize("name", ["bm-p-va4", "brindlemere/bm-p-va4", "V-3C", "v 3c"])
def test_a_part_is_named_by_id_or_by_number(name: str) -> None:
    assert meant(name) == ["bm-p-va4"]


def test_a_kind_names_all_its_parts_of_every_maker() -> None:
    names = meant("regulator")
    assert names == ["bm-p-rg1", "bm-p-rg2", "wx-p-rg1"]


def test_an_unknown_name_is_refused_with_the_closest() -> None:
    with pytest.raises(Refused, match="Did you mean 'top_burner'"):
        parts_meant(shipped().base, "top_burnr")


def test_parts_come_best_verdict_first_and_then_by_chance() -> None:
    fits = part_fits(the_range(FARM, numbers=read("top_burner", "W 401")), parts_meant(shipped().base, "top_burner"))
    assert [fit.part.id for fit in fits][:2] == ["wx-p-tb1", "wx-p-tb2"]


def test_a_part_asked_for_twice_is_told_once() -> None:
    assert len(part_fits(the_range(FARM), [*parts_meant(shipped().base, "W 401")] * 2)) == 1


# ---------------------------------------------------------------- the two answers


def test_cells_of_what_is_on_it_now_are_a_distribution() -> None:
    ranking = the_range(FIFTIES).ranking
    assert [cells_now(ranking, a).sum() for a in range(len(ranking.model.assemblies))] == pytest.approx(
        [1.0] * len(ranking.model.assemblies)
    )


def test_of_the_body_what_is_on_it_now_is_what_left_the_works() -> None:
    ranking = the_range(FIFTIES).ranking
    body = ranking.model.assemblies.index("body")
    assert np.allclose(cells_now(ranking, body), ranking.posterior)


def test_a_dial_goes_with_the_control_that_is_on_it_and_not_with_its_own() -> None:
    now, works = told(the_range(FIFTIES), "bm-p-od5"), told(the_range(FIFTIES), "bm-p-od3")
    assert (now.now.probability > 0.9, now.works.probability < 0.1) == (True, True)
    assert (works.now.probability < 0.1, works.works.probability > 0.5) == (True, True)


def test_a_number_read_on_it_tells_of_what_is_on_it_and_not_of_what_left_the_works() -> None:
    found = told(the_range(KESTREL, {"valve_rail": "enclosed"}, numbers=read("valve", "V-3C")), "bm-p-va4")
    assert (found.now.verdict, found.works.verdict) == ("exact", "unproven")


def test_variants_of_one_per_cent_and_more_are_held_against_papers_one_by_one() -> None:
    places = held(the_range(GREEN), "bm-p-jh1").places
    assert {place.group.variant for place in places} >= {"heron_plain", "heron_bottled", "heron_deluxe"}


def test_the_chance_of_a_part_is_the_mass_of_the_places_that_papers_list_it_for() -> None:
    fit = held(the_range(GREEN), "bm-p-ob3")
    listed = sum(place.works for place in fit.places if place.listed("bm-p-ob3"))
    assert fit.works.probability == pytest.approx(listed)


def test_papers_change_within_a_year() -> None:
    fit = held(the_range(KESTREL), "bm-p-va4")
    assert len({(place.first, place.last) for place in fit.places}) > 2


def test_a_trace_is_chained_by_the_projects_own_engine() -> None:
    assert {place.derivation.engine for place in held(the_range(KESTREL), "bm-p-va4").places} == {engine_in_use()}


def test_a_measure_stands_in_the_trace_with_its_unit() -> None:
    found = told(the_range(FARM, measures=measured("top_burner", {"seat_depth": "7/8 in"})), "wx-p-tb1")
    assert any("7/8 in" in used for step in found.trace for used in step.from_)


# ---------------------------------------------------------------- what to find out next


def brute_bits(prior: float, passes: list[tuple[float, float]]) -> float:
    """I(F; answers) from the joint table, term by term."""
    told_bits = 0.0
    for answers in itertools.product([0, 1], repeat=len(passes)):
        row = [
            (prior if fits else 1 - prior)
            * math.prod(
                (p if yes else 1 - p) for yes, pair in zip(answers, passes, strict=True) for p in [pair[1 - fits]]
            )
            for fits in (0, 1)
        ]
        for joint, own in zip(row, (1 - prior, prior), strict=True):
            told_bits += joint * math.log2(joint / (sum(row) * own)) if joint > 0 else 0.0
    return told_bits


@pytest.mark.parametrize("prior", [0.05, 0.5, 0.9])
@pytest.mark.parametrize("passes", [[(0.95, 0.5)], [(0.95, 0.05), (0.9, 0.4)], [(0.95, 0.95)]])
def test_bits_are_the_mutual_information_of_answers_and_fit(prior: float, passes: list[tuple[float, float]]) -> None:
    assert bits_of(prior, passes) == pytest.approx(brute_bits(prior, passes))


def test_two_measures_tell_at_least_as_much_as_one() -> None:
    assert bits_of(0.6, [(0.95, 0.3), (0.95, 0.6)]) >= bits_of(0.6, [(0.95, 0.3)])


def test_two_measures_are_named_that_are_not_taken_yet() -> None:
    fit = held(the_range(FARM, measures=measured("valve", {"inlet_thread": "1/4 pipe"})), "wx-p-va3")
    assert len(settling_pair(fit)) == 2
    assert "inlet_thread" not in {look.id for look in settling_pair(fit)}


def test_of_two_measures_that_tell_alike_the_quicker_comes_first() -> None:
    looks = measure_looks(held(the_range(FARM), "wx-p-va3"))
    assert [look.index for look in looks] == sorted((look.index for look in looks), reverse=True)


def test_what_is_measured_is_not_asked_again() -> None:
    fit = held(the_range(FARM, measures=measured("top_burner", {"seat_depth": "22 mm"})), "wx-p-tb1")
    assert unmeasured(fit) == [1]


def test_the_number_is_asked_until_one_is_read() -> None:
    assert number_look(held(the_range(FARM), "wx-p-tb1")) is not None
    assert number_look(held(the_range(FARM, numbers=read("top_burner", "W 402")), "wx-p-tb1")) is None


def test_a_look_that_could_forbid_a_critical_part_is_needed() -> None:
    looks = range_looks(held(the_range(KESTREL), "bm-p-va4"))
    assert [look.id for look in looks if look.needed] == ["valve_rail"]


def test_looks_at_the_range_part_the_variants_with_the_part_from_those_without() -> None:
    assert range_looks(held(the_range(GREEN), "bm-p-ob3"))[0].bits > 0.02


def test_from_a_listing_a_measure_is_not_to_be_had() -> None:
    examination = the_range(GREEN, situation="listing")
    assert [look.here for look in measure_looks(held(examination, "bm-p-ob3"))] == [False] * 3


# ---------------------------------------------------------------- what is printed


def test_the_text_says_verdict_both_answers_and_cautions() -> None:
    text = fit_text(report(FARM, "W 402"))
    assert "UNPROVEN: wx-p-tb2" in text
    assert "for what left the works" in text
    assert "for what is on it now" in text
    assert "No flame near gas" in text


@pytest.mark.parametrize("width", [50, 78])
def test_the_text_keeps_to_the_width(width: int) -> None:
    text = fit_text(report(FARM, "valve", "JH-1", "grate", order=True), width)
    assert max(map(len, text.splitlines())) <= width


def test_the_report_is_the_same_read_back() -> None:
    found = report(FARM, "thermostat", order=True)
    assert FitReport.model_validate_json(found.model_dump_json(by_alias=True)) == found


def test_of_a_kind_parts_of_a_maker_that_it_cannot_be_are_left_out() -> None:
    (asked,) = report(FARM, "top_burner").asked
    assert {part.maker for part in asked.parts} == {"wexcombe"}


def test_it_warns_where_what_was_asked_for_does_not_fit() -> None:
    assert is_warning(report(FARM, "W 402", "JH-1"))


def test_of_a_kind_it_warns_for_the_likeliest_only() -> None:
    assert not is_warning(report(FARM, "jet_hood"))


def test_a_remark_of_a_rule_is_told_with_the_part() -> None:
    found = told(the_range(FARM, numbers=read("valve", "W 503")), "wx-p-va3")
    assert any("strips" in remark for remark in found.remarks)


@pytest.mark.parametrize("part", ["bm-p-tb4", "bm-p-dp3"], ids=["burner", "pan"])
def test_a_rule_that_only_remarks_is_told_with_every_kind_it_speaks_of(part: str) -> None:
    found = told(the_range(CAPS, {"burner_head": "loose_cap", "drip_pan_depth": "shallow"}), part)
    assert any("Loose-cap burners over shallow pans" in remark and "bm-f07" in remark for remark in found.remarks)


@pytest.mark.parametrize("part", ["bm-p-ft1", "bm-p-tb6"], ids=["tube", "burner"])
def test_a_straight_tube_under_a_strap_is_remarked_on(part: str) -> None:
    found = told(the_range(GREEN, {"flash_tubes": "straight", "burner_bracket": "strap"}), part)
    assert any("Lay a straightedge on it" in remark and "bm-f09" in remark for remark in found.remarks)


def test_a_remark_is_not_told_with_a_kind_that_its_conditions_do_not_speak_of() -> None:
    found = told(the_range(CAPS, {"burner_head": "loose_cap", "drip_pan_depth": "shallow"}), "bm-p-lv2")
    assert found.remarks == []


def test_a_remark_is_not_told_before_all_its_conditions_were_seen() -> None:
    found = told(the_range(CAPS, {"burner_head": "loose_cap"}), "bm-p-tb4")
    assert not any("bm-f07" in remark for remark in found.remarks)


def test_a_caution_beside_a_refusal_is_told_with_other_kinds_it_speaks_of() -> None:
    found = told(the_range(FARM), "wx-p-rg1")
    assert any(caution.status == "by rule wexcombe/wx-f08" for caution in found.cautions)


def test_every_rule_that_only_remarks_or_warns_speaks_of_some_kind_of_part() -> None:
    base = shipped().base
    words = [
        (folder, rule)
        for folder in base.makers.values()
        for rule in folder.acting_fit_rules
        if any(not isinstance(conclusion, FitConclusion) for conclusion in rule.then)
    ]
    assert len(words) >= 4
    assert [rule.id for folder, rule in words if not kinds_spoken_of(base, folder, rule)] == []


def test_a_caution_of_a_rule_is_told_with_the_part() -> None:
    found = told(the_range(FARM), "wx-p-pl1")
    assert any(caution.status == "by rule wexcombe/wx-f08" for caution in found.cautions)


# ---------------------------------------------------------------- cautions that hang on the range

NO_SAFETY = "NO SAFETY SHUT-OFF"


def warned(part: str, **seen: str) -> list[str]:
    return [caution.short for caution in told(the_range(KESTREL, seen), part).cautions]


@pytest.mark.parametrize("part", ["bm-p-sv2", "bm-p-tc1", "bm-p-ob3", "bm-p-cv1"])
def test_no_oven_that_was_seen_to_have_a_safety_is_said_to_have_none(part: str) -> None:
    assert [short for short in warned(part, oven_lighting="pilot_safety") if NO_SAFETY in short] == []


@pytest.mark.parametrize("part", ["bm-p-sv2", "bm-p-tc1"])
def test_neither_a_safety_valve_nor_its_sensor_is_called_no_safety(part: str) -> None:
    assert [short for short in warned(part) if NO_SAFETY in short] == []


def test_an_oven_burner_on_an_oven_lit_by_a_match_warns_that_nothing_stops_the_gas() -> None:
    assert any(short.startswith(NO_SAFETY) for short in warned("bm-p-ob3", oven_lighting="match_hole"))


def test_where_nobody_looked_how_the_oven_is_lit_the_warning_says_on_what_it_hangs() -> None:
    (short,) = [short for short in warned("bm-p-ob3") if NO_SAFETY in short]
    assert short.startswith("If the ")


@pytest.mark.parametrize("part", ["bm-p-sv2", "bm-p-tc1", "bm-p-th3", "bm-p-pl3"])
@pytest.mark.parametrize("lighting", ["match_hole", "pilot", "pilot_safety"])
def test_the_warning_of_mercury_stands_however_the_oven_was_seen_to_be_lit(part: str, lighting: str) -> None:
    assert any("mercury" in short for short in warned(part, oven_lighting=lighting))
