"""What a case says of a symptom before anything is asked: what the range has not, what was gauged or written down."""

from __future__ import annotations

from typing import NamedTuple

import pytest
from hobmark.bench.symptom_evidence import JetsJudged, evidence_for
from hobmark.bench.symptoms import CaseEvidence, search
from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination
from hobmark.reports.setup import set_up
from hypothesis import given, settings
from hypothesis import strategies as st

from .bases import base, compiled, examined
from .fault_finding import SOUGHT, TABLE, causes, look, outcomes_of, recorded, walked


class Without(NamedTuple):
    """A look, a symptom, and what it can then no longer be."""

    values: dict[str, str]
    symptom: str
    gone: set[str]


NO_OVEN_PILOT = {"oven_pilot_out", "thermocouple_weak", "safety_tripped", "insects"}
ABSENT = [
    Without({"regulator": "absent"}, "all_weak", {"regulator_range"}),
    Without({"regulator": "absent"}, "nothing_lights", {"regulator_range"}),
    Without({"oven_lighting": "match_hole"}, "oven_will_not_light", NO_OVEN_PILOT),
    Without({"oven_lighting": "match_hole"}, "delayed_boom", {"oven_pilot_scale"}),
    Without({"oven_lighting": "pilot"}, "oven_will_not_light", {"thermocouple_weak", "safety_tripped"}),
    Without({"oven_lighting": "pilot"}, "oven_pilot_drops", {"thermocouple_weak", "safety_tripped"}),
    Without({"pilot_count": "absent"}, "one_burner_dead", {"pilot_out", "flash_tube_off", "flash_tube_blocked"}),
    Without({"pilot_count": "absent"}, "delayed_boom", {"pilot_low", "flash_tube_off", "flash_tube_bent"}),
    Without({"flash_tubes": "absent"}, "one_burner_dead", {"flash_tube_off", "flash_tube_blocked"}),
    Without({"clock": "absent"}, "oven_will_not_light", {"clock_on_automatic"}),
    Without({"clock": "wind_up"}, "oven_will_not_light", {"clock_on_automatic"}),
    Without({"oven_control_type": "absent"}, "oven_will_not_light", {"control_grease"}),
    Without({"oven_control_type": "rod_tube"}, "oven_slow", {"bulb_misplaced"}),
    Without(
        {"oven_control_type": "absent"},
        "oven_runs_hot",
        {"dial_slipped", "bulb_misplaced", "bypass_high", "control_worn", "control_off"},
    ),
]


@pytest.mark.parametrize("case", ABSENT, ids=lambda case: f"{case.values} {case.symptom}")
def test_what_is_absent_cannot_be_the_cause(case: Without) -> None:
    told = evidence_for(examined(**case.values), case.symptom)
    assert causes(search(base(), case.symptom)) - causes(search(base(), case.symptom, case=told)) == case.gone


@pytest.mark.parametrize("case", ABSENT, ids=lambda case: f"{case.values} {case.symptom}")
def test_what_is_there_may_still_be_the_cause(case: Without) -> None:
    told = evidence_for(examined(), case.symptom)
    assert case.gone <= causes(search(base(), case.symptom, case=told))


@pytest.mark.parametrize(
    ("values", "symptom"),
    [
        ({"oven_lighting": "match_hole"}, "oven_pilot_drops"),
        ({"pilot_count": "absent"}, "pilot_goes_out"),
        ({"pilot_count": "absent"}, "pair_dead"),
    ],
)
def test_a_symptom_that_the_range_cannot_have_leaves_something_else_alone(values: dict[str, str], symptom: str) -> None:
    found = search(base(), symptom, may_light=True, case=evidence_for(examined(**values), symptom))
    assert (causes(found), found.none_left, found.next) == ({"something_else"}, True, None)


@pytest.mark.parametrize("check", ["oven_pilot_seen", "stays_while_held"])
def test_no_pilot_of_a_match_lit_oven_is_asked_for(check: str) -> None:
    told = evidence_for(examined(oven_lighting="match_hole"), "oven_will_not_light")
    assert check not in list(walked("oven_will_not_light", may_light=True, case=told))


@pytest.mark.parametrize("sure", ["likely", "guess"])
def test_a_look_that_is_not_certain_rules_no_regulator_out(sure: str) -> None:
    unsure = look(feature="regulator", is_="absent", sure=sure)
    assert "regulator_range" not in evidence_for(recorded(None, unsure), "all_weak").cannot


@pytest.mark.parametrize(
    "seen_of_it",
    [
        look(feature="regulator", removed=True),
        look(feature="regulator", is_not=["rear_add_on", "built_in"]),
        look(feature="regulator", is_="absent", original=False),
    ],
    ids=["removed", "is not", "not its own"],
)
def test_a_regulator_that_is_not_there_now_is_not_at_fault(seen_of_it: Observation) -> None:
    assert "regulator_range" in evidence_for(recorded(None, seen_of_it), "all_weak").cannot


@pytest.mark.parametrize("state", ["none", "gone"])
def test_so_it_is_by_the_record(state: str) -> None:
    assert "regulator_range" in evidence_for(recorded({"regulator": {"state": state}}), "all_weak").cannot


def test_a_regulator_told_of_both_ways_may_be_at_fault() -> None:
    told = recorded({"regulator": {"state": "fitted"}}, regulator="absent")
    assert "regulator_range" not in evidence_for(told, "all_weak").cannot


def test_looks_that_contradict_each_other_rule_nothing_out() -> None:
    both = [look(feature="oven_lighting", is_="pilot_safety"), look(feature="oven_lighting", is_="match_hole")]
    assert evidence_for(recorded(None, *both), "oven_will_not_light").cannot.isdisjoint(NO_OVEN_PILOT)


def test_a_part_that_such_a_range_hardly_ever_has_is_not_at_fault() -> None:
    """No clock was looked at; of the ranges it may be none starts and stops its oven, invented."""
    path = knowledge_root() / "brindlemere" / "cases" / "heron-1940-drawn-front-bar-handles.yaml"
    told = Examination(compiled(), read_case(path, base()).case)
    assert "clock" not in told.case.answered()
    assert "clock_on_automatic" in evidence_for(told, "oven_will_not_light").cannot


def test_of_a_range_of_which_nothing_is_known_nothing_is_ruled_out() -> None:
    assert evidence_for(examined(), "oven_will_not_light") == CaseEvidence()


# what was gauged


@pytest.mark.parametrize(
    ("symptom", "judged", "small", "large"),
    [
        ("all_weak", "right", "not_seen", None),
        ("all_weak", "too_small", "seen", None),
        ("all_weak", "too_large", "not_seen", None),
        ("flames_lift", "right", None, "not_seen"),
        ("flames_lift", "too_large", None, "seen"),
        ("flames_lift", "too_small", None, "not_seen"),
        ("pilot_goes_out", "too_large", None, None),
    ],
)
def test_jets_gauged_answer_for_jets(symptom: str, judged: JetsJudged, small: str | None, large: str | None) -> None:
    told = dict(evidence_for(examined(), symptom, jets_judged=judged).found)
    assert (told.get("jet_too_small"), told.get("jet_too_large")) == (small, large)


class Read(NamedTuple):
    """A pressure read with these places alight, the gas laid on, and what it answers."""

    gas: Gas | None
    reads: str
    lit: tuple[str, ...]
    manometer: str | None
    high: str | None


LIT = ("front_left",)


@pytest.mark.parametrize(
    "read",
    [
        Read(Gas.NATURAL, "2 in wc", LIT, "low", "not_seen"),
        Read(Gas.NATURAL, "3.5 in wc", LIT, "right", "not_seen"),
        Read(Gas.NATURAL, "4 in wc", LIT, "right", "not_seen"),
        Read(Gas.NATURAL, "10 mbar", LIT, "high", "seen"),
        Read(Gas.NATURAL, "11 in wc", LIT, "high", "seen"),
        Read(Gas.BOTTLED, "11 in wc", LIT, "right", "not_seen"),
        Read(Gas.BOTTLED, "4 in wc", LIT, "low", "not_seen"),
        Read(None, "4 in wc", LIT, None, None),
        Read(Gas.NATURAL, "11 in wc", (), None, None),
        Read(Gas.NATURAL, "4 in wc", (), None, None),
        Read(Gas.NATURAL, "2 in wc", (), "low", "not_seen"),
    ],
    ids=str,
)
def test_a_pressure_is_held_against_the_band_of_the_gas_laid_on(read: Read) -> None:
    """With nothing alight a reading that is enough shows nothing: a weak supply falls when gas flows."""
    bench: dict[str, object] = {"pressures": [{"reads": read.reads, "lit": read.lit}]}
    case = recorded(bench | ({"laid_on": {"gas": read.gas.value}} if read.gas is not None else {}))
    weak, lifting = evidence_for(case, "all_weak").found, evidence_for(case, "flames_lift").found
    assert (dict(weak).get("manometer"), dict(lifting).get("pressure_high")) == (read.manometer, read.high)


def test_the_last_reading_at_the_manifold_counts() -> None:
    reads = [{"reads": "2 in wc", "lit": LIT}, {"reads": "4 in wc", "lit": LIT}, {"at": "house", "reads": "9 in wc"}]
    case = recorded({"laid_on": {"gas": "natural"}, "pressures": reads})
    assert evidence_for(case, "all_weak").found == (("manometer", "right"),)


def test_what_was_gauged_is_not_asked_again() -> None:
    case = recorded({"laid_on": {"gas": "natural"}, "pressures": [{"reads": "4 in wc", "lit": LIT}]})
    told = evidence_for(case, "flames_lift", jets_judged="right")
    assert {"jet_too_large", "pressure_high"}.isdisjoint(walked("flames_lift", may_light=True, case=told))


# what was recorded


def test_an_outcome_recorded_of_this_symptom_is_taken_as_found() -> None:
    record = {"symptoms": [{"symptom": "valve_stiff", "check": "knob_off", "outcome": "free"}]}
    assert evidence_for(recorded(record), "valve_stiff").found == (("knob_off", "free"),)


@pytest.mark.parametrize(
    "entry",
    [
        {"symptom": "one_burner_dead", "check": "pilot_out", "outcome": "seen"},
        {"symptom": "valve_stiff"},
        {"symptom": "valve_stiff", "check": "no_such_check", "outcome": "free"},
        {"symptom": "valve_stiff", "check": "knob_off", "outcome": "no_such"},
        {"symptom": "valve_stiff", "check": "something_else", "outcome": "seen"},
    ],
    ids=["another symptom", "told only", "unknown check", "unknown outcome", "something else"],
)
def test_what_is_no_outcome_of_it_is_passed_over(entry: dict[str, str]) -> None:
    assert evidence_for(recorded({"symptoms": [entry]}), "valve_stiff").found == ()


def test_what_is_told_now_comes_on_top_of_the_record() -> None:
    record = {"symptoms": [{"symptom": "valve_stiff", "check": "knob_off", "outcome": "free"}]}
    told = evidence_for(recorded(record), "valve_stiff")
    assert "valve_dry" in causes(search(base(), "valve_stiff", [("knob_off", "still")], case=told))


def test_a_jet_gauged_goes_before_one_that_was_written_down() -> None:
    """It was too large at the first visit, was changed, and is right now."""
    record = {"symptoms": [{"symptom": "flames_lift", "check": "jet_too_large", "outcome": "seen"}]}
    told = evidence_for(recorded(record), "flames_lift", jets_judged="right")
    assert told.found == (("jet_too_large", "not_seen"),)


def test_the_sheet_takes_the_case_as_evidence() -> None:
    shown = set_up(examined(oven_lighting="match_hole"), "x", symptom="oven_will_not_light").symptom
    assert shown is not None
    assert NO_OVEN_PILOT.isdisjoint({each.id for each in shown.causes})


@pytest.mark.parametrize("symptom", SOUGHT)
@settings(max_examples=25)
@given(data=st.data())
def test_no_contradiction_is_too_much(symptom: str, data: st.DataObject) -> None:
    """Chances add up to one whatever is said, and what was seen itself is found."""
    every = outcomes_of(symptom)
    told = data.draw(st.lists(st.sampled_from(every), max_size=8))
    cannot = data.draw(st.frozensets(st.sampled_from([name for name, _ in every])))
    found = search(
        base(), symptom, told, may_light=data.draw(st.booleans()), case=CaseEvidence(cannot, tuple(told[:2]))
    )
    assert sum(each.chance for each in found.causes) == pytest.approx(1)
    proofs = {name: outcome for name, outcome in (*told[:2], *told) if name in TABLE.symptoms[symptom].causes}
    assert (found.found is not None) == ("seen" in proofs.values())
