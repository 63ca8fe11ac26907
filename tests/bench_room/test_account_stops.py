"""What closes a joint's leak check again, what stops until it is cleared, and looks that are not certain."""

from __future__ import annotations

import pytest
from hobmark.bench.account import account_of
from hobmark.bench.record_words import with_cleared
from hobmark.bench.release import LeakFact, Missing, Stop
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import LaidOn, PressureRead, RegulatorSeen, SymptomRecord
from hobmark.knowledge.schema.record_terms import JetPlace, LaidOnBy, RegulatorState
from hobmark.knowledge.vocabulary import Gas

from .bases import examined
from .records import LEAK_CHECK, LOOKS, account, plain, record, released, with_jet


def test_a_symptom_that_is_told_closes_the_shut_off_and_the_leak_check_is_due_again() -> None:
    told = account_of(plain(), record(), symptom="one_burner_dead")
    kept = account_of(plain(), record().with_symptom(SymptomRecord(symptom="one_burner_dead")))
    assert [each.facts.leak_check for each in (told, kept)] == [LeakFact.DUE_AGAIN] * 2


def test_a_leak_check_made_after_the_symptom_was_told_counts() -> None:
    kept = record().with_symptom(SymptomRecord(symptom="one_burner_dead"))
    again = kept.model_copy(update={"leak_check": record().leak_check})
    assert account_of(plain(), again, symptom="one_burner_dead").release.allowed


def test_a_regulator_that_was_fitted_where_there_was_none_opened_a_joint() -> None:
    before = record(regulator={"state": "none"}, pressures=[{"reads": "4 in wc"}])
    after = before.with_regulator(RegulatorSeen(state=RegulatorState.FITTED, gas=Gas.NATURAL))
    assert account_of(plain(), after).facts.leak_check is LeakFact.DUE_AGAIN


def test_to_cap_a_place_opens_a_joint() -> None:
    before = record()
    capped = before.with_jet(before.jet_at(JetPlace.REAR_LEFT).model_copy(update={"out_of_use": "B. Reed, 2026-11-30"}))
    assert account_of(plain(), capped).facts.leak_check is LeakFact.DUE_AGAIN


def test_to_gauge_a_jet_or_a_pressure_makes_the_leak_check_due_again() -> None:
    before = record()
    gauged = before.with_jet(before.jet_at(JetPlace.OVEN).model_copy(update={"left": "48"}))
    read = before.with_pressure(PressureRead(reads="4 in wc"))
    assert [account_of(plain(), each).facts.leak_check for each in (gauged, read)] == [LeakFact.DUE_AGAIN] * 2


def test_to_write_down_a_flame_opens_no_joint() -> None:
    before = record()
    seen = before.with_jet(before.jet_at(JetPlace.OVEN).model_copy(update={"flame": "steady"}))
    assert account_of(plain(), seen).release.allowed


@pytest.mark.parametrize(
    "told",
    [
        {"symptom": "smell_of_gas"},
        {"symptom": "co_alarm"},
        {"symptom": "one_burner_weak", "check": "burner_cracked", "outcome": "seen"},
    ],
)
def test_what_stops_everything_stands_until_it_is_cleared(told: dict[str, object]) -> None:
    assert Stop.SYMPTOM in released(symptoms=[told]).stopped_by
    assert released(symptoms=[told | {"cleared": "a licensed fitter, 2026-11-30"}]).allowed


@pytest.mark.parametrize(
    ("sample", "stopped"),
    [
        ({"at": "oven_vent", "co": "225 ppm", "o2": "18 percent"}, True),
        ({"at": "oven_vent", "co": "225 ppm"}, False),
        ({"at": "oven_vent", "co": "3000 ppm"}, True),
        ({"at": "top_burners", "co": "900 ppm"}, True),
        ({"at": "oven_vent", "co": "100 ppm", "o2": "12 percent"}, False),
        ({"at": "oven_vent", "co": "790 ppm"}, True),
        ({"at": "oven_vent", "co": "400 ppm", "o2": "9 percent"}, True),
        ({"at": "top_burners", "co": "750 ppm"}, True),
        ({"at": "room", "co": "30 ppm"}, True),
        ({"at": "oven_vent", "co": "100 ppm"}, False),
        ({"at": "room", "co": "36 ppm"}, True),
        ({"at": "room", "co": "9 ppm"}, False),
    ],
)
def test_carbon_monoxide_past_its_limit_stops(sample: dict[str, object], stopped: bool) -> None:
    assert (Stop.SYMPTOM in released(combustion=[sample]).stopped_by) is stopped


@pytest.mark.parametrize("samples", [("40 ppm", "0 ppm"), ("0 ppm", "40 ppm")])
def test_a_later_sample_takes_none_away_that_was_not_cleared(samples: tuple[str, str]) -> None:
    taken: list[dict[str, object]] = [{"at": "room", "co": each} for each in samples]
    assert Stop.SYMPTOM in released(combustion=taken).stopped_by
    cleared = [each | {"cleared": "B. Reed, 2026-11-30"} for each in taken]
    assert released(combustion=cleared).allowed


def test_the_places_of_a_range_are_told_by_looks() -> None:
    found = account_of(examined(**LOOKS), BenchRecord()).places
    assert [each.place.value for each in found] == [
        *("front_left", "front_right", "rear_left", "rear_right", "oven", "top_pilot", "oven_pilot")
    ]


@pytest.mark.parametrize("look", [name for name in LOOKS if name != "oven_lighting"])
def test_what_no_look_has_settled_may_be_there(look: str) -> None:
    found = account_of(examined(**{name: value for name, value in LOOKS.items() if name != look}), record())
    assert found.not_looked_at or found.not_gauged
    assert not found.release.allowed


@pytest.mark.parametrize("sure", ["likely", "guess"])
def test_a_look_that_is_not_certain_settles_no_place(sure: str) -> None:
    rest = {name: value for name, value in LOOKS.items() if name != "griddle"}
    look = Observation.model_validate({"feature": "griddle", "is": "absent", "sure": sure})
    assert not account_of(examined(look, **rest), record()).release.allowed


@pytest.mark.parametrize(
    "look",
    [
        {"feature": "griddle", "is": "fixed"},
        {"feature": "deep_well", "is": "pot_well"},
        {"feature": "burner_layout", "is": "four_and_well"},
        {"feature": "regulator", "is": "absent"},
        {"feature": "regulator", "removed": "true"},
    ],
)
def test_a_contrary_look_never_releases(look: dict[str, object]) -> None:
    assert not account_of(examined(Observation.model_validate(look), **LOOKS), record()).release.allowed


def test_regulators_told_of_in_three_ways_contradict_each_other() -> None:
    looks = [Observation.model_validate({"feature": "regulator", "is": value}) for value in ("absent", "rear_add_on")]
    assert Stop.CLUES in account_of(examined(*looks, **LOOKS), record()).release.stopped_by


@pytest.mark.parametrize("value", ["150 Btu/ft3", "600 Btu/ft3", "1800 Btu/ft3"])
def test_a_heating_value_that_no_such_gas_has_is_a_contradiction(value: str) -> None:
    gas = {"gas": "natural", "by": "bill", "heating_value": value}
    assert Stop.CLUES in released(laid_on=gas).stopped_by


def test_a_regulator_of_the_house_gives_what_the_supply_has() -> None:
    house = {"state": "fitted", "gas": "natural", "outlet": "7 in wc"}
    assert released(house_regulator=house).allowed


def test_a_cause_that_was_seen_is_not_unseen_by_a_later_answer() -> None:
    seen = record().with_symptom(SymptomRecord(symptom="one_burner_weak", check="burner_cracked", outcome="seen"))
    later = seen.with_symptom(SymptomRecord(symptom="one_burner_weak", check="burner_cracked", outcome="not_seen"))
    assert Stop.SYMPTOM in account_of(plain(), later).release.stopped_by


@pytest.mark.parametrize(
    "text",
    ["LPG", "LP-GAS", "L.P.GAS", "L. P. GAS", "LIQUEFIED PETROLEUM", "PROPANE GAS ONLY. DO NOT REMOVE THIS PLATE"],
)
def test_a_plate_for_bottled_gas_however_it_is_written_speaks_against_natural(text: str) -> None:
    plate = Observation.model_validate({"plate_text": text, "found_on": "rating_plate"})
    assert Stop.CLUES in account_of(examined(plate, **LOOKS), record()).release.stopped_by


def test_what_was_not_looked_at_is_asked_for_too() -> None:
    found = {each.place for each in account_of(examined(outside_colour="white"), BenchRecord()).places}
    assert {JetPlace.WELL, JetPlace.TOP_PILOT, JetPlace.OVEN_PILOT} <= found


def test_manufactured_gas_is_never_released_since_no_figure_of_it_has_a_source() -> None:
    assert Missing.FIGURES in released(laid_on={"gas": "manufactured", "by": "supplier"}).missing


@pytest.mark.parametrize(("seen", "tight"), [("bottled", LeakFact.DUE_AGAIN), ("natural", LeakFact.HOLDS)])
def test_another_regulator_than_there_was_opened_a_joint(seen: str, tight: LeakFact) -> None:
    fitted = RegulatorSeen(state=RegulatorState.FITTED, gas=Gas(seen))
    was = record(regulator={"state": "fitted", "gas": "natural"})
    assert account_of(plain(), was.with_regulator(fitted)).facts.leak_check is tight


def test_words_that_stop_everything_stop_it_as_a_reason_too() -> None:
    clue = {
        "clue": "plate_words",
        "value": "bottled",
        "explained": "an old plate; smell of gas behind it, A. Noe, 2026",
    }
    assert Stop.SYMPTOM in released(clues=[clue]).stopped_by


@pytest.mark.parametrize(
    "words", ["nobody cleared this 2026", "still smells, A. Noe 2026", "not mended 2026", "the owner 2026-11-30"]
)
def test_what_was_not_put_right_is_not_cleared(words: str) -> None:
    with pytest.raises(ValueError, match="Leave it out until one has"):
        record(symptoms=[{"symptom": "smell_of_gas", "cleared": words}])


@pytest.mark.parametrize("words", ["nobody cleared this 2026", "the owner 2026-11-30", "A. Noe"])
def test_what_was_not_put_right_is_not_cleared_by_what_is_typed_either(words: str) -> None:
    with pytest.raises(ValueError, match="does not say"):
        with_cleared(record(symptoms=[{"symptom": "smell_of_gas"}]), f"smell_of_gas={words}")


@pytest.mark.parametrize(
    ("gas", "by", "fact"), [("natural", "bill", LeakFact.HOLDS), ("bottled", "tank", LeakFact.DUE_AGAIN)]
)
def test_another_gas_that_came_on_makes_the_leak_check_due_again(gas: str, by: str, fact: LeakFact) -> None:
    """What was at the check is natural gas, and its pressure is one of either."""
    check = {**LEAK_CHECK, "start": "9 in wc", "end": "9 in wc"}
    told = record(leak_check=check).with_laid_on(LaidOn(gas=Gas(gas), by=LaidOnBy(by)))
    assert account_of(plain(), told).facts.leak_check is fact


def test_a_gas_that_was_taken_out_and_told_anew_leaves_no_check_standing() -> None:
    was = record()
    told = was.with_laid_on(None).with_laid_on(was.laid_on)
    assert account_of(plain(), told).facts.leak_check is LeakFact.DUE_AGAIN


def test_a_fitter_may_write_what_was_not_found() -> None:
    cleared = "no leak found, the owner was told; A. Noe, 2026-11-30"
    assert record(symptoms=[{"symptom": "smell_of_gas", "cleared": cleared}]).symptoms[0].cleared == cleared


@pytest.mark.parametrize(
    "by",
    [
        "my husband",
        "the homeowner",
        "unlicensed",
        "DIY",
        "owners",
        "xxx",
        "the son of the house",
        "neighbour Joe",
        "J. Doe, owner",
        "J. Doe (the tenant)",
    ],
)
def test_a_leak_check_is_no_laymans(by: str) -> None:
    assert account(leak_check={**LEAK_CHECK, "by": by}).facts.leak_check is LeakFact.NOT_DONE


def test_a_tank_has_no_meter_to_check_by() -> None:
    check = {**LEAK_CHECK, "method": "meter", "start": "1", "end": "1"}
    laid_on = {"gas": "bottled", "by": "tank"}
    assert account("bottled", laid_on=laid_on, leak_check=check).facts.leak_check is LeakFact.NOT_DONE


def test_a_place_out_of_use_that_was_lit_contradicts_itself() -> None:
    jets = with_jet("front_left", out_of_use="B. Reed, 2026-11-30")
    read = {"reads": "4 in wc", "lit": ["front_left"]}
    assert Stop.CLUES in released(jets=jets, pressures=[read]).stopped_by


@pytest.mark.parametrize(("heat", "stopped"), [("26000 Btu/h", True), ("15000 Btu/h", False)])
def test_a_heat_that_no_household_burner_gives_is_taken_for_a_slip(heat: str, stopped: bool) -> None:
    jets = with_jet("front_left", heat=heat, gas="natural", by="stamp")
    said = account(jets=jets).against
    assert any("no household burner" in each for each in said) is stopped


@pytest.mark.parametrize(
    "by", ["A. Mason", "O. Wner, gas fitter", "Sonny Field", "B. Reed, licence 12, for the owner of the house"]
)
def test_a_name_that_only_sounds_like_a_laymans_is_a_name(by: str) -> None:
    assert account(leak_check={**LEAK_CHECK, "by": by}).facts.leak_check is LeakFact.HOLDS


@pytest.mark.parametrize("why", ["x", "old plate", "converted by somebody", "1951"])
def test_a_clue_is_not_explained_away_without_reason_name_and_date(why: str) -> None:
    with pytest.raises(ValueError, match="does not say why, by whom and when"):
        record(clues=[{"clue": "plate_words", "value": "bottled", "explained": why}])


@pytest.mark.parametrize(
    "who", ["xxx 1", "J. Doe, owner, 2026-11-30", "my neighbour, 2026-11-30", "B. Reed", "A. Noe, soon, 3"]
)
def test_nothing_is_put_right_without_a_fitters_name_and_a_day(who: str) -> None:
    with pytest.raises(ValueError, match="does not say"):
        record(symptoms=[{"symptom": "smell_of_gas", "cleared": who}])


def test_a_leak_check_of_a_day_that_is_yet_to_come_is_none() -> None:
    assert account(leak_check={**LEAK_CHECK, "date": "2999-01-01"}).facts.leak_check is LeakFact.NOT_DONE
