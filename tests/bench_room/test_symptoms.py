"""From a symptom to its cause: what stops everything, what is looked at first, and what each outcome says."""

from __future__ import annotations

import re
from typing import NamedTuple

import pytest
from hobmark.bench.symptoms import Search, search
from hobmark.knowledge.schema.bench import Work

from .bases import base

STOPPING = ("smell_of_gas", "co_alarm", "valve_will_not_shut", "mercury_spilt", "regulator_unsound")


def looked(symptom: str, *found: str, may_light: bool = True) -> Search:
    told = [(each.partition("=")[0], each.partition("=")[2]) for each in found]
    return search(base(), symptom, told, may_light=may_light)


@pytest.mark.parametrize("symptom", STOPPING)
def test_a_smell_of_gas_or_an_alarm_stops_everything(symptom: str) -> None:
    found = looked(symptom)
    assert (found.stop, found.next, found.causes) == (True, None, ())


@pytest.mark.parametrize("symptom", STOPPING)
def test_what_is_done_at_once_comes_before_anything_else(symptom: str) -> None:
    assert len(base().bench.faults.symptoms[symptom].do) >= 3


def test_only_these_stop_everything_and_they_come_first() -> None:
    table = base().bench.faults.symptoms
    assert tuple(name for name, symptom in table.items() if symptom.stop) == STOPPING == tuple(table)[:5]


class House(NamedTuple):
    """A house call: symptom, what was found so far, and what a careful technician looks at next."""

    symptom: str
    found: tuple[str, ...]
    next: str


CALLS = [
    House("one_burner_dead", (), "pilot_out"),
    House("one_burner_dead", ("pilot_out=not_seen",), "flash_tube_off"),
    House("one_burner_dead", ("pilot_out=not_seen", "match_at_port=lights"), "flash_tube_off"),
    House("pair_dead", (), "pilot_out"),
    House("nothing_lights", (), "shut_off_closed"),
    House("all_weak", (), "shut_off_half"),
    House("all_weak", ("shut_off_half=not_seen",), "elsewhere"),
    House("delayed_boom", (), "burner_or_oven"),
    House("lazy_flames", (), "foil_on_bottom"),
    House("flames_lift", (), "jet_too_large"),
    House("yellow_flames", (), "one_or_all"),
    House("pops_on_shut_off", (), "jet_off_centre"),
    House("oven_will_not_light", (), "oven_pilot_seen"),
    House("oven_will_not_light", ("oven_pilot_seen=yes",), "clock_on_automatic"),
    House("oven_will_not_light", ("oven_pilot_seen=no",), "oven_pilot_out"),
    House("oven_runs_hot", ("dial_slipped=not_seen", "bulb_misplaced=not_seen"), "dial_turned"),
    House("valve_stiff", (), "knob_off"),
]


@pytest.mark.parametrize("call", CALLS, ids=str)
def test_the_next_look_is_a_careful_technicians(call: House) -> None:
    act = looked(call.symptom, *call.found).next
    assert act is not None
    assert act.id == call.next


def test_a_burner_that_a_match_lights_has_a_fault_in_its_ignition() -> None:
    found = looked("one_burner_dead", "match_at_port=lights")
    assert {each.id for each in found.causes} >= {"flash_tube_off", "flash_tube_blocked"}
    assert {each.id for each in found.causes}.isdisjoint({"jet_clogged", "valve_blocked", "ports_clogged"})


def test_a_burner_that_no_match_lights_gets_no_gas() -> None:
    found = looked("one_burner_dead", "match_at_port=does_not")
    no_gas = {"jet_clogged", "valve_blocked", "ports_clogged", "burner_not_seated"}
    assert {each.id for each in found.causes} == {*no_gas, "something_else"}


def test_a_cause_that_was_seen_ends_the_search() -> None:
    found = looked("one_burner_dead", "flash_tube_off=seen")
    assert (found.found, found.next) == ("flash_tube_off", None)


def test_nothing_is_condemned_because_nothing_else_is_left() -> None:
    """The last cause that is known is still to be seen itself."""
    found = looked("valve_stiff", "knob_off=free")
    assert {each.id for each in found.causes} == {"knob_binds", "something_else"}
    assert (found.found, found.next and found.next.id) == (None, "knob_binds")


def test_when_all_were_looked_at_in_vain_that_is_said() -> None:
    causes = base().bench.faults.symptoms["valve_stiff"].causes
    found = looked("valve_stiff", *(f"{cause}=not_seen" for cause in causes))
    assert (found.none_left, found.next, found.found) == (True, None, None)


def test_chances_add_up_and_fall() -> None:
    chances = [each.chance for each in looked("flames_lift").causes]
    assert sum(chances) == pytest.approx(1)
    assert chances == sorted(chances, reverse=True)


def test_no_symptom_is_left_out_where_one_is_not_known() -> None:
    with pytest.raises(ValueError, match="Those there are: ") as refused:
        looked("foo")
    assert [name for name in base().bench.faults.symptoms if name not in str(refused.value)] == []


@pytest.mark.parametrize(
    ("symptom", "found", "said"),
    [
        ("burner_dead", (), "unknown symptom 'burner_dead'. Did you mean"),
        ("one_burner_dead", ("match=lights",), "'match' is no check of this symptom"),
        ("one_burner_dead", ("match_at_port=maybe",), "unknown outcome 'maybe' for match_at_port. Write one of"),
        ("one_burner_dead", ("pilot_out=yes",), "unknown outcome 'yes' for pilot_out. Write one of: seen, not_seen"),
        ("one_burner_dead", ("manometer=low",), "'manometer' is no check of this symptom"),
    ],
)
def test_what_the_table_has_not_is_refused_with_what_it_has(symptom: str, found: tuple[str, ...], said: str) -> None:
    with pytest.raises(ValueError, match=said.replace(".", r"\.")):
        looked(symptom, *found)


def test_there_are_symptoms_and_causes_enough() -> None:
    table = base().bench.faults
    assert (len(table.symptoms) >= 14, len(table.causes) >= 40) == (True, True)


@pytest.mark.parametrize("cause", ["jet_clogged", "ports_clogged", "pilot_clogged", "oven_jet_scale"])
def test_nothing_is_ever_drilled_or_enlarged(cause: str) -> None:
    remedy = base().bench.faults.causes[cause].remedy
    assert any(words in remedy for words in ("never enlarged", "never a drill", "never drilled"))


@pytest.mark.parametrize(
    "cause",
    ["valve_blocked", "jet_clogged", "pilot_clogged", "thermocouple_weak", "manifold_blocked", "control_off"],
)
def test_what_touches_the_gas_train_is_not_for_the_owner(cause: str) -> None:
    assert base().bench.faults.causes[cause].who is Work.FITTER


@pytest.mark.parametrize(
    "cause",
    [
        *("jet_too_large", "jet_too_small", "pressure_high", "regulator_range", "regulator_house"),
        *("burner_cracked", "flue_blocked", "control_worn", "valve_scored"),
    ],
)
def test_what_may_kill_is_stopped(cause: str) -> None:
    assert base().bench.faults.causes[cause].who is Work.STOP


def test_a_safety_is_never_bridged() -> None:
    assert "never tied open or bridged" in base().bench.faults.causes["safety_tripped"].remedy


def test_every_check_is_of_use_to_some_symptom() -> None:
    table = base().bench.faults
    assert set(table.checks) == {check for symptom in table.symptoms.values() for check in symptom.checks}


def look_at(name: str) -> str:
    """What is done for a check, or for the proof of a cause."""
    table = base().bench.faults
    return table.checks[name].do if name in table.checks else table.causes[name].proof.do


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("jet_clogged", "takes the hood off its valve"),
        ("jet_too_large", "its bore seen clear"),
        ("jet_too_small", "A hood over a needle or with two seats is not told by its bore alone"),
        ("burner_not_seated", "do not judge by rocking"),
        ("burner_cracked", "A dull ring alone shows none"),
        ("flash_tube_blocked", "a curved one lets no soft cord through"),
        ("valve_blocked", "draws the plug"),
        ("pilot_out", "Where the gas is off a dark pilot tells nothing"),
        ("pilot_low", "sees its bore clear"),
        ("oven_pilot_scale", "A small flame alone does not show it"),
        ("safety_tripped", "a thermocouple that measured right"),
        ("shut_off_closed", "before anybody closed it"),
        ("shut_off_half", "before anybody closed it"),
        ("supply_off", "A meter that stands shows only that nothing burns"),
        ("supply_low", "with what the house has burning"),
        ("manometer", "with that valve open, while another burner burns"),
        ("bulb_misplaced", "look and do not touch"),
        ("door_leaks", "A gasket is not touched"),
        ("dial_turned", "door shut all the while"),
        *((control, "door shut") for control in ("bypass_high", "control_off", "control_worn", "control_grease")),
    ],
)
def test_a_look_can_show_what_it_is_to_show(name: str, words: str) -> None:
    assert words in look_at(name)


@pytest.mark.parametrize("name", [*base().bench.faults.causes, *base().bench.faults.checks])
def test_no_look_has_anyone_touch_what_may_hold_asbestos_or_mercury(name: str) -> None:
    touching = r"\b(?:pull|draw|lift|brush|scrape|turn)\w* (?:the |a )?(?:bulb|sensor|insulation|gasket)"
    assert not re.search(touching, look_at(name))


@pytest.mark.parametrize("cause", list(base().bench.faults.causes))
def test_a_source_is_one_that_a_stranger_can_look_for(cause: str) -> None:
    """It is named, or it is said that its name was not kept."""
    source = base().bench.faults.causes[cause].source
    assert source is None or re.search(r"\.(?:com|net|us)\b|not kept", source)
