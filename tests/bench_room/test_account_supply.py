"""What a case and its record tell of regulator, pressure, clues, leak check and the places to be asked for."""

from __future__ import annotations

import pytest
from hobmark.bench.account import account_of
from hobmark.bench.release import JetsFact, LeakFact, RegulatorFact, SetFor, Stop
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord

from .bases import examined
from .records import LEAK_CHECK, LOOKS, account, record, released, with_jet


@pytest.mark.parametrize(
    ("seen", "fact"),
    [
        ({"is": "absent"}, RegulatorFact.NONE),
        ({"is": "rear_add_on"}, RegulatorFact.UNMARKED),
        ({"removed": "true"}, RegulatorFact.GONE),
        ({"unseen": "true"}, RegulatorFact.NOT_SEEN),
        ({"is": "absent", "sure": "guess"}, RegulatorFact.NOT_SEEN),
        ({"is": ["absent", "built_in"]}, RegulatorFact.NOT_SEEN),
    ],
)
def test_a_certain_look_of_the_case_tells_of_the_regulator(seen: dict[str, object], fact: RegulatorFact) -> None:
    look = Observation.model_validate({"feature": "regulator", **seen})
    assert account_of(examined(look, **LOOKS), BenchRecord()).facts.regulator is fact


def test_a_variant_that_should_have_a_regulator_is_no_look() -> None:
    assert account(regulator=None).facts.regulator is RegulatorFact.NOT_SEEN


def test_case_and_record_that_differ_about_the_regulator_contradict_each_other() -> None:
    look = Observation.model_validate({"feature": "regulator", "is": "absent"})
    found = account_of(examined(look, **LOOKS), record())
    assert found.against == ("it is told of the range's regulator that it is none and that it is fitted.",)


def test_a_regulator_for_another_pressure_is_a_wrong_one() -> None:
    own = {"state": "fitted", "gas": "natural", "outlet": "11 in wc"}
    assert Stop.WRONG_REGULATOR in released(regulator=own).stopped_by


@pytest.mark.parametrize("gas", ["natural", "bottled"])
def test_a_regulator_that_has_gone_stops(gas: str) -> None:
    assert Stop.REGULATOR_GONE in released(gas, regulator={"state": "gone"}).stopped_by


@pytest.mark.parametrize(
    ("clue", "value"), [("owner", "bottled"), ("plate_words", "manufactured"), ("conversion", "to_bottled")]
)
def test_a_clue_can_only_speak_against(clue: str, value: str) -> None:
    told = [{"clue": clue, "value": value}]
    assert Stop.CLUES in released(clues=told).stopped_by
    assert account(jets=[], clues=told).facts.set_for is SetFor.NOT_KNOWN


def test_an_owners_word_for_the_gas_adds_nothing() -> None:
    word = [{"clue": "owner", "value": "natural"}]
    assert (
        released(jets=with_jet("oven", found=None), clues=word).missing
        == released(jets=with_jet("oven", found=None)).missing
    )


def test_a_hood_on_a_needle_holds_no_bottled_gas() -> None:
    found = account("bottled", jets=with_jet("front_left", "bottled", hood="adjustable"))
    assert found.facts.jets is JetsFact.AMISS


@pytest.mark.parametrize(
    ("otherwise", "fact"),
    [
        ({}, LeakFact.HOLDS),
        ({"tight": "no"}, LeakFact.LEAKS),
        ({"end": "8.5 in wc"}, LeakFact.LEAKS),
        ({"start": "0 in wc", "end": "0 in wc"}, LeakFact.NOT_DONE),
        ({"start": "10 psi", "end": "10 psi"}, LeakFact.NOT_DONE),
        ({"by": "the owner"}, LeakFact.NOT_DONE),
        ({"by": " "}, LeakFact.NOT_DONE),
        ({"date": "1950?"}, LeakFact.NOT_DONE),
        ({"date": "XXXX"}, LeakFact.NOT_DONE),
        ({"method": "meter", "start": "half full", "end": "half full", "minutes": "20"}, LeakFact.NOT_DONE),
        ({"minutes": "2"}, LeakFact.NOT_DONE),
        ({"method": "meter", "start": "0.12", "end": "0.12", "minutes": "14"}, LeakFact.NOT_DONE),
        ({"method": "meter", "start": "0.12", "end": "0.12", "minutes": "15"}, LeakFact.HOLDS),
        ({"method": "fluid", "start": "no bubble", "end": "no bubble", "minutes": "20"}, LeakFact.NOT_DONE),
        ({"by": None}, LeakFact.NOT_DONE),
        ({"date": None}, LeakFact.NOT_DONE),
        ({"start": None}, LeakFact.NOT_DONE),
        ({"opened_since": "yes"}, LeakFact.DUE_AGAIN),
    ],
)
def test_a_leak_check_counts_whole_or_not_at_all(otherwise: dict[str, object], fact: LeakFact) -> None:
    told = {name: value for name, value in (LEAK_CHECK | otherwise).items() if value is not None}
    assert account(leak_check=told).facts.leak_check is fact


@pytest.mark.parametrize(("stood", "fact"), [("9 in wc", LeakFact.HOLDS), ("11 in wc", LeakFact.NOT_DONE)])
def test_on_bottled_gas_the_gauge_is_let_down_first(stood: str, fact: LeakFact) -> None:
    assert account("bottled", leak_check=LEAK_CHECK | {"start": stood, "end": stood}).facts.leak_check is fact


@pytest.mark.parametrize("by", ["tank", "tank_regulator"])
def test_a_tank_is_no_evidence_of_natural_gas(by: str) -> None:
    with pytest.raises(ValueError, match="a tank or its regulator means bottled gas, not natural"):
        record(laid_on={"gas": "natural", "by": by})


@pytest.mark.parametrize(
    ("looks", "places"),
    [
        ({"oven_place": "double"}, {"second_oven", "second_oven_pilot"}),
        ({"pilot_count": "two"}, {"second_top_pilot"}),
        ({"broiler_style": "waist_high"}, {"broiler"}),
        ({"griddle": "fixed"}, {"centre"}),
        ({"deep_well": "convertible"}, {"well"}),
        ({"burner_layout": "six"}, {"front_centre", "rear_centre"}),
    ],
)
def test_what_a_range_has_more_of_is_asked_for(looks: dict[str, str], places: set[str]) -> None:
    found = account_of(examined(**(LOOKS | looks)), record())
    assert {each.place.value for each in found.not_gauged} == places
    assert not found.release.allowed


@pytest.mark.parametrize(
    ("pressure", "allowed"),
    [
        ({"at": "house", "reads": "7 in wc"}, True),
        ({"at": "house", "reads": "25 in wc"}, False),
        ({"at": "inlet", "reads": "2 psi"}, False),
        ({"reads": "4.6 in wc", "lit": []}, True),
        ({"reads": "4.6 in wc", "lit": ["front_left"]}, False),
        ({"reads": "4.6 in wc"}, False),
        ({"reads": "12 in wc", "lit": []}, False),
        ({"reads": "2 in wc", "lit": []}, False),
    ],
)
def test_a_pressure_is_held_against_what_may_be_there_where_it_was_read(
    pressure: dict[str, object], allowed: bool
) -> None:
    assert released(pressures=[pressure]).allowed is allowed


def test_a_locked_up_regulator_shows_no_pressure_of_the_jets() -> None:
    assert account(pressures=[{"reads": "4.6 in wc", "lit": []}]).pressure is None


@pytest.mark.parametrize(
    "words", ["smell of gas at the union, not mended", "rotten eggs behind it", "valve will not shut off"]
)
@pytest.mark.parametrize("field", ["not_done", "tag"])
def test_words_that_stop_everything_stop_it_wherever_they_were_written(field: str, words: str) -> None:
    text: object = [words] if field == "not_done" else words
    assert Stop.SYMPTOM in released(**{field: text}).stopped_by


def test_a_plate_that_has_its_reason_speaks_against_nothing() -> None:
    plate = {"clue": "plate_words", "value": "manufactured"}
    assert Stop.CLUES in released(clues=[plate]).stopped_by
    assert released(clues=[plate | {"explained": "converted in 1951, tag on the manifold; B. Reed"}]).allowed


def test_up_high_the_gas_of_a_jet_is_not_in_doubt() -> None:
    assert account(altitude="7200 ft").facts.set_for is SetFor.NATURAL


def test_a_regulator_that_lets_by_with_nothing_lit_is_a_finding() -> None:
    let_by = {"at": "manifold", "reads": "11 in wc", "lit": []}
    assert Stop.PRESSURE in released(pressures=[let_by]).stopped_by


def test_one_that_locks_up_a_little_above_what_it_gives_is_sound() -> None:
    assert released(pressures=[{"at": "manifold", "reads": "4.8 in wc", "lit": []}]).allowed


@pytest.mark.parametrize("outlet", ["2 psi", "5 psi", "30 in wc"])
def test_an_outlet_is_held_against_the_gas_laid_on_where_the_regulator_tells_no_gas(outlet: str) -> None:
    assert Stop.WRONG_REGULATOR in released(house_regulator={"state": "fitted", "outlet": outlet}).stopped_by
