"""House calls for a fault, each as a careful technician would have it go, and why."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest
from hobmark.bench.symptom_evidence import JetsJudged, evidence_for
from hobmark.bench.symptoms import Outcome, Search, deed_of, search

from .bases import base
from .fault_finding import TABLE, causes, recorded

PROPER = {"laid_on": {"gas": "natural"}, "pressures": [{"reads": "4 in wc", "lit": ["front_left"]}]}
TOO_HIGH = {"laid_on": {"gas": "natural"}, "pressures": [{"reads": "7 in wc", "lit": ["front_left"]}]}
SEEN_BEFORE = {"symptoms": [{"symptom": "one_burner_dead", "check": "pilot_out", "outcome": "not_seen"}]}


@dataclass(frozen=True)
class Call:
    """What was told and looked at, and what must come of it; `says` stands in the first act or in the next."""

    why: str
    words: str
    looks: dict[str, str] = field(default_factory=dict)
    bench: dict[str, Any] = field(default_factory=dict)
    jets: JetsJudged | None = None
    told: tuple[Outcome, ...] = ()
    may_light: bool = False
    next: str | None = None
    found: str | None = None
    none_left: bool = False
    stops_as: str | None = None
    never: frozenset[str] = frozenset()
    says: str = ""

    def __str__(self) -> str:
        return self.why


def in_vain(*names: str) -> tuple[Outcome, ...]:
    return tuple((name, "not_seen") for name in names)


CALLS = [
    Call(
        "a range without a regulator has none that could be at fault",
        "all burners are weak",
        looks={"regulator": "absent"},
        told=(*in_vain("shut_off_half"), ("elsewhere", "no")),
        next="jet_too_small",
        never=frozenset({"regulator_range"}),
    ),
    Call(
        "an oven lit by a match has no pilot to look at",
        "oven won't light",
        looks={"oven_lighting": "match_hole"},
        may_light=True,
        next="clock_on_automatic",
        never=frozenset({"oven_pilot_out", "thermocouple_weak", "safety_tripped", "insects"}),
    ),
    Call(
        "nor can its pilot drop out",
        "oven pilot drops",
        looks={"oven_lighting": "match_hole"},
        may_light=True,
        none_left=True,
    ),
    Call(
        "a pilot without a safety has no thermocouple to measure",
        "oven pilot goes out",
        looks={"oven_lighting": "pilot"},
        next="elsewhere",
        never=frozenset({"thermocouple_weak", "safety_tripped"}),
    ),
    Call(
        "a top without pilots and tubes is not asked for either",
        "burner won't light",
        looks={"pilot_count": "absent"},
        next="burner_not_seated",
        never=frozenset({"pilot_out", "flash_tube_off", "flash_tube_blocked"}),
    ),
    Call(
        "jets that were just gauged, and are right, are not gauged again",
        "weak flames",
        jets="right",
        told=(*in_vain("shut_off_half"), ("elsewhere", "no")),
        may_light=True,
        next="regulator_range",
        never=frozenset({"jet_too_small"}),
    ),
    Call(
        "jets gauged too large are found, and the range stops",
        "flames lift",
        jets="too_large",
        found="jet_too_large",
    ),
    Call(
        "a pressure read too high with a burner alight is found, and the range stops",
        "flames roar",
        bench=TOO_HIGH,
        jets="right",
        found="pressure_high",
    ),
    Call(
        "flames that lift begin at the jet, not at the shutter",
        "flames lift",
        may_light=True,
        next="jet_too_large",
        says="Gauge each jet",
    ),
    Call(
        "with jet and pressure right the ports come before the shutter",
        "flames lift",
        bench=PROPER,
        jets="right",
        may_light=True,
        told=(("one_or_all", "one"),),
        next="ports_clogged",
    ),
    Call(
        "the shutter comes last of all",
        "flames lift",
        bench=PROPER,
        jets="right",
        may_light=True,
        told=(("one_or_all", "one"), *in_vain("ports_clogged")),
        next="air_too_much",
    ),
    Call(
        "a pressure that may not be read holds back what comes after it",
        "yellow flames",
        jets="right",
        told=in_vain("jet_off_centre"),
    ),
    Call(
        "when every look came out clean it is something else, and that is said",
        "valve is stiff",
        told=in_vain("valve_dry", "valve_grease", "valve_scored", "knob_binds", "stem_bent"),
        none_left=True,
    ),
    Call(
        "the last cause of the list is not condemned unseen",
        "stiff valve",
        told=in_vain("valve_dry", "valve_grease", "valve_scored", "stem_bent"),
        next="knob_binds",
    ),
    Call(
        "no light comes through a hood on its valve, so the fitter takes it off",
        "burner is weak",
        jets="right",
        told=in_vain("ports_clogged", "lint_in_tube"),
        next="jet_clogged",
        says="takes the hood off its valve",
    ),
    Call(
        "a dial is judged with the door shut",
        "the oven runs hot",
        may_light=True,
        told=in_vain("dial_slipped", "bulb_misplaced"),
        next="dial_turned",
        says="door shut all the while",
    ),
    Call(
        "a pilot that is out still lets gas out with every knob at off",
        "the pilot keeps going out",
        next="pilot_cover_missing",
        says="The range's own shut-off is closed first",
    ),
    Call(
        "what the first visit has shown is not asked at the second",
        "burner won't light",
        bench=SEEN_BEFORE,
        next="flash_tube_off",
        never=frozenset({"pilot_out"}),
    ),
    Call("mercury that was spilt stops everything", "silvery beads under the broiler", stops_as="mercury_spilt"),
    Call("a valve that will not shut off stops everything", "the knob won't turn off", stops_as="valve_will_not_shut"),
    Call("a headache beside yellow flames stops everything", "yellow flames, and a headache", stops_as="co_alarm"),
    Call("hissing is gas", "hissing at the back", stops_as="smell_of_gas"),
]


def answer(call: Call) -> Search:
    told = evidence_for(recorded(call.bench, **call.looks), call.words, jets_judged=call.jets)
    return search(base(), call.words, call.told, may_light=call.may_light, case=told)


@pytest.mark.parametrize("call", CALLS, ids=str)
def test_the_call_goes_on_as_it_should(call: Call) -> None:
    found = answer(call)
    assert (found.next and found.next.id, found.found, found.none_left) == (call.next, call.found, call.none_left)


@pytest.mark.parametrize("call", CALLS, ids=str)
def test_it_stops_where_it_should_and_only_there(call: Call) -> None:
    found = answer(call)
    assert (found.symptom if found.stop else None) == call.stops_as


@pytest.mark.parametrize("call", [call for call in CALLS if call.never], ids=str)
def test_what_cannot_be_is_not_among_its_causes(call: Call) -> None:
    assert causes(answer(call)).isdisjoint(call.never)


@pytest.mark.parametrize("call", [call for call in CALLS if call.says], ids=str)
def test_its_next_act_or_its_first_is_one_that_can_show_it(call: Call) -> None:
    found = answer(call)
    deed = deed_of(base(), found.next).do if found.next is not None else ""
    assert call.says in f"{deed} {TABLE.symptoms[found.symptom].do[0]}"


@pytest.mark.parametrize("call", [call for call in CALLS if call.stops_as is None], ids=str)
def test_something_else_is_never_ruled_out_before_a_cause_was_seen(call: Call) -> None:
    found = answer(call)
    assert ("something_else" in causes(found)) == (found.found is None)
