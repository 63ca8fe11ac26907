"""What is told of a range holds its release until all was looked at that needs no flame, and what was found mended."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hobmark.bench.account import Account, account_of
from hobmark.bench.record_words import with_cleared
from hobmark.bench.release import Stop
from hobmark.bench.standing import Standing
from hobmark.bench.symptom_words import symptoms_in
from hobmark.bench.symptoms import NOT_IT, PROVEN, search
from hobmark.knowledge.schema.bench import Work
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.reports.setup_release import RELEASED, release_shown

from .bases import base
from .records import plain, record

HELD = sorted(name for name, entry in base().bench.faults.symptoms.items() if entry.looks_first)
OTHERS = sorted(name for name, entry in base().bench.faults.symptoms.items() if not (entry.looks_first or entry.stop))


def told(*entries: tuple[str, str | None, str | None]) -> BenchRecord:
    """The record that releases, with symptoms told before its leak check was made."""
    return record(symptoms=[{"symptom": name, "check": check, "outcome": outcome} for name, check, outcome in entries])


def stand(of: BenchRecord) -> Account:
    return account_of(plain(), of)


def test_what_may_collect_gas_make_monoxide_or_stay_open_is_looked_at_first() -> None:
    assert HELD == [
        "delayed_boom",
        "lazy_flames",
        "oven_pilot_drops",
        "oven_runs_hot",
        "oven_uneven",
        "oven_will_not_light",
        "pilot_goes_out",
        "pops_on_shut_off",
        "valve_stiff",
        "yellow_flames",
    ]


@pytest.mark.parametrize("symptom", HELD)
def test_a_symptom_that_nobody_went_through_holds_the_release(symptom: str) -> None:
    assert stand(told((symptom, None, None))).release.stopped_by == (Stop.NOT_GONE_THROUGH,)


@pytest.mark.parametrize("symptom", OTHERS)
def test_one_that_is_found_by_lighting_holds_none(symptom: str) -> None:
    assert stand(told((symptom, None, None))).release.allowed


@pytest.mark.parametrize("symptom", HELD)
def test_once_all_was_looked_at_that_needs_no_flame_the_fitter_goes_on(symptom: str) -> None:
    of = told((symptom, None, None))
    for _ in range(20):
        standing = stand(of).standing[0]
        if standing.next is None:
            break
        outcome = NOT_IT if standing.next.is_proof else min(base().bench.faults.checks[standing.next.id].results)
        of = of.model_copy(update={"symptoms": (*of.symptoms, *told((symptom, standing.next.id, outcome)).symptoms)})
    assert len(of.symptoms) > 1
    assert stand(of).release.allowed


@pytest.mark.parametrize("symptom", HELD)
def test_a_cause_that_was_found_holds_it_until_it_is_put_right(symptom: str) -> None:
    table = base().bench.faults
    mendable = (name for name in table.symptoms[symptom].causes if table.causes[name].who is not Work.STOP)
    cause = next(name for name in mendable if not table.causes[name].lights)
    found = told((symptom, cause, PROVEN))
    assert Stop.NOT_GONE_THROUGH in stand(found).release.stopped_by
    cleared = with_cleared(found, f"{symptom}=B. Reed, fitter, 2026-11-30")
    assert stand(cleared.model_copy(update={"leak_check": record().leak_check})).release.allowed


def test_a_cause_that_is_put_right_by_lighting_is_for_the_fitter_who_is_released() -> None:
    found = told(("oven_will_not_light", "oven_pilot_out", PROVEN))
    assert base().bench.faults.causes["oven_pilot_out"].lights
    assert stand(found).release.allowed


def test_what_is_held_back_is_the_next_look_of_the_search() -> None:
    of = told(("valve_stiff", None, None))
    assert stand(of).standing == (Standing("valve_stiff", None, search(base(), "valve_stiff").next),)


def test_one_that_is_told_beside_the_record_is_held_with_what_was_found_of_it() -> None:
    looked = account_of(plain(), record(), symptom="delayed_boom", found=[("ports_clogged", PROVEN)])
    assert looked.standing == (Standing("delayed_boom", "ports_clogged", None),)


def called(label: str) -> Account:
    found = plain()
    return account_of(replace(found, case=found.case.model_copy(update={"label": label})), record())


def test_words_of_a_case_stop_as_its_record_does() -> None:
    stops = called("kitchen, hissing behind the range").stopped_by
    assert stops == ("smell of gas, as is written: kitchen, hissing behind the range",)


def test_a_town_is_not_ill() -> None:
    assert called("range of a diner in Springfield, Ill., by the rail").release.allowed


@pytest.mark.parametrize(
    "words",
    [
        "safety button held in by a wire",
        "vent plugged with a screw",
        "fitted backwards",
        "flue blocked by a nest",
        "cracked manifold",
    ],
)
def test_what_a_hurried_hand_writes_down_stops_it(words: str) -> None:
    assert stand(record(not_done=[words])).release.stopped_by == (Stop.SYMPTOM,)


@pytest.mark.parametrize(
    "words",
    [
        "oven door spring weak",
        "pilot burns well, a quarter inch",
        "no smell, no leak found",
        "burner cap chipped",
        "one grate cracked",
    ],
)
def test_what_is_harmless_stops_nothing(words: str) -> None:
    assert stand(record(not_done=[words])).release.allowed


def test_beside_a_release_stands_what_the_record_has_in_words() -> None:
    notes = [f"left undone {number}" for number in range(6)]
    says = release_shown(base(), stand(record(not_done=notes))).says
    assert says.endswith(
        "The fitter reads first what else is recorded: 'left undone 0', 'left undone 1', 'left undone 2', "
        "'left undone 3', 'left undone 4', 'left undone 5'."
    )
    assert release_shown(base(), stand(record())).says == RELEASED


@pytest.mark.parametrize(
    "words", ["jet of the oven still natural", "regulator to be changed", "union behind the range"]
)
def test_what_was_left_undone_at_the_gas_holds_the_release(words: str) -> None:
    found = stand(record(not_done=[words]))
    assert Stop.NOT_GONE_THROUGH in found.release.stopped_by
    assert words in release_shown(base(), found).stopped_by[-1].says


def test_a_symptom_that_holds_nothing_stands_beside_the_release_all_the_same() -> None:
    says = release_shown(base(), stand(told(("one_burner_dead", None, None)))).says
    assert "one burner will not light (not put right)" in says


@pytest.mark.parametrize(
    "text", ["oven booms and flames are yellow", "valve stiff, yellow flames", "soot, lights with a bang"]
)
def test_two_symptoms_in_one_line_are_both_told(text: str) -> None:
    assert len(symptoms_in(base().bench.faults, text)) == 2


@pytest.mark.parametrize(
    "text",
    [
        "no smell of gas",
        "no gas leak",
        "no soot, no yellow tips",
        "lights at once, no boom",
        "smoke detector fitted in hall",
        "alarm clock on the backguard works",
        "cover stays on",
        "customer confused by the two dials",
        "estate of the late J. Sick",
    ],
)
def test_what_a_fitter_writes_of_a_sound_range_tells_of_nothing(text: str) -> None:
    assert symptoms_in(base().bench.faults, text) == ()


@pytest.mark.parametrize(
    "text", ["no smell of gas until the oven is lit", "no, it smells of gas", "gas smell, no doubt"]
)
def test_what_is_only_half_denied_is_told(text: str) -> None:
    assert symptoms_in(base().bench.faults, text) == ("smell_of_gas",)
