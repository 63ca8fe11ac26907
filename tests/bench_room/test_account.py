"""The five facts of the gas as a case and its record have them, and what each of them never is."""

from __future__ import annotations

import pytest
from hobmark.bench.account import account_of
from hobmark.bench.release import JetsFact, LeakFact, Missing, PressureFact, RegulatorFact, Release, SetFor, Stop
from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord, PressureRead, RegulatorSeen, SymptomRecord
from hobmark.knowledge.schema.record_terms import JetPlace, RegulatorState
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination

from .bases import base, compiled, examined
from .records import LEAK_CHECK, LOOKS, PLACES, account, plain, record, with_jet


def released(gas: str = "natural", **otherwise: object) -> Release:
    return account(gas, **otherwise).release


@pytest.mark.parametrize("gas", ["natural", "bottled"])
def test_a_range_of_which_all_is_found_out_and_right_is_released(gas: str) -> None:
    assert released(gas) == Release((), ())


def test_natural_jets_in_a_house_with_bottled_gas_are_never_released() -> None:
    found = account(laid_on={"gas": "bottled", "by": "tank"})
    assert {Stop.WRONG_GAS, Stop.JETS_AMISS, Stop.WRONG_REGULATOR} <= set(found.release.stopped_by)
    assert found.places[0].share == pytest.approx(2.66, abs=0.01)


def test_a_plan_is_no_evidence_of_what_is_laid_on_or_set_for() -> None:
    found = account(laid_on=None, jets=[], wanted="natural")
    assert (found.facts.laid_on, found.facts.set_for) == (None, SetFor.NOT_KNOWN)


@pytest.mark.parametrize("wanted", [None, *Gas])
def test_what_is_wanted_changes_no_release(wanted: Gas | None) -> None:
    assert released(wanted=wanted).allowed


def test_a_gas_that_is_only_told_is_not_known_to_be_laid_on() -> None:
    assert released(laid_on={"gas": "natural"}).missing == (Missing.LAID_ON,)


@pytest.mark.parametrize("place", ["rear_right", "oven", "top_pilot", "oven_pilot"])
def test_a_place_that_was_not_gauged_and_bears_no_mark_is_not_known(place: str) -> None:
    found = account(jets=with_jet(place, found=None, gas=None, by=None))
    assert Missing.SET_FOR in found.release.missing
    assert [each.place.value for each in found.not_gauged] == [place]


def test_two_jets_never_speak_for_a_range_of_four_burners_and_an_oven() -> None:
    found = account(jets=with_jet("front_left")[:2])
    assert found.facts.set_for is SetFor.NOT_KNOWN
    assert len(found.not_gauged) == 5


def test_a_place_that_is_shut_off_and_labelled_is_not_to_be_lit() -> None:
    assert released(jets=with_jet("oven", found=None, heat=None, out_of_use="yes")).allowed


def test_jets_of_two_gases_stop_everything() -> None:
    assert Stop.SEVERAL_GASES in released(jets=with_jet("oven", found="56")).stopped_by


def test_a_stamp_against_the_bore_is_a_contradiction() -> None:
    found = account(jets=with_jet("oven", gas="bottled", by="stamp"))
    assert found.against == (
        "the jet at oven is marked for bottled gas (propane), and its bore is one for natural gas.",
    )
    assert Stop.CLUES in found.release.stopped_by


def test_a_new_jet_left_in_counts_and_not_the_one_that_was_found() -> None:
    assert released(jets=with_jet("oven", found="56", left="47")).allowed


def test_a_measured_pressure_enters_the_heat_of_every_jet() -> None:
    found = account(pressures=[{"reads": "7 in wc"}])
    assert [f"{each.share:.2f}" for each in found.places if each.share is not None] == ["1.35"] * 4 + ["1.37"]
    assert {Stop.PRESSURE, Stop.JETS_AMISS} <= set(found.release.stopped_by)


def test_a_pressure_is_no_evidence_of_what_the_jets_are_set_for() -> None:
    assert account(pressures=[{"reads": "7 in wc"}]).facts.set_for is SetFor.NATURAL


def test_without_a_regulator_the_pressure_of_the_house_is_that_of_the_jets() -> None:
    none: dict[str, object] = {"regulator": {"state": "none"}}
    assert released(**none).missing == (Missing.PRESSURE,)
    assert released(**none, pressures=[{"at": "house", "reads": "4 in wc"}]).allowed
    assert Stop.PRESSURE in released(**none, pressures=[{"at": "house", "reads": "7 in wc"}]).stopped_by


@pytest.mark.parametrize(
    ("read", "fact"),
    [
        ("3.5 in wc", PressureFact.IN_BAND),
        ("4 in wc", PressureFact.IN_BAND),
        ("0.996 kPa", PressureFact.IN_BAND),
        ("3.4 in wc", PressureFact.OUTSIDE),
        ("4.1 in wc", PressureFact.OUTSIDE),
        ("11 in wc", PressureFact.OUTSIDE),
    ],
)
def test_a_pressure_is_held_against_the_band_of_the_gas_laid_on(read: str, fact: PressureFact) -> None:
    assert account(pressures=[{"reads": read}]).facts.pressure is fact


def test_of_several_readings_the_last_one_counts() -> None:
    assert released(pressures=[{"reads": "7 in wc"}, {"reads": "4 in wc"}]).allowed


@pytest.mark.parametrize(("height", "amiss"), [("300 ft", False), ("7200 ft", True)])
def test_a_jet_that_is_right_below_gives_too_much_up_high(height: str, amiss: bool) -> None:
    assert account(altitude=height).places[0].amiss is amiss


def test_a_height_that_is_not_told_leaves_the_heat_unknown() -> None:
    assert released(altitude=None).missing == (Missing.HEAT,)


def test_a_heat_that_is_not_known_leaves_the_place_unknown() -> None:
    found = account(jets=with_jet("oven", heat=None))
    assert found.release.missing == (Missing.SET_FOR, Missing.HEAT)


def test_a_heating_value_that_is_given_enters_the_heat() -> None:
    share = account(laid_on={"gas": "natural", "by": "bill", "heating_value": "830 Btu/ft3"}).places[0].share
    assert share == pytest.approx(0.83 * 1.0174, abs=1e-3)


def test_the_height_is_not_taken_off_twice_where_the_heating_value_has_it_in_it() -> None:
    """At 5,280 ft a cubic foot holds .823 of what it holds below: 823 Btu/ft3 as metered there is the table's gas."""
    thin = {"gas": "natural", "by": "bill", "heating_value": "823.4 Btu/ft3"}
    there = [
        account(altitude="5280 ft", laid_on=gas).places[0].share for gas in ({"gas": "natural", "by": "bill"}, thin)
    ]
    assert there[0] is not None
    assert there[1] == pytest.approx(there[0], rel=1e-3)


def test_a_figure_for_standard_conditions_is_brought_to_the_height() -> None:
    told = {"gas": "natural", "by": "bill", "heating_value": "1000 Btu/ft3", "basis": "standard"}
    shares = [
        account(altitude="5280 ft", laid_on=gas).places[0].share for gas in (told, {"gas": "natural", "by": "bill"})
    ]
    assert shares[0] == shares[1]


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
    ("place", "found", "heat"),
    [("front_left", "54", "24000 Btu/h"), ("oven", "47", "46000 Btu/h"), ("front_left", "66", "3300 Btu/h")],
)
def test_a_heat_that_no_household_burner_gives_tells_no_gas_by_the_bore(place: str, found: str, heat: str) -> None:
    made = account("bottled", jets=with_jet(place, "bottled", found=found, heat=heat))
    assert Missing.SET_FOR in made.release.missing


def test_beyond_that_a_mark_tells_it() -> None:
    small = with_jet("rear_left", found="60", heat="4600 Btu/h", gas="natural", by="stamp")
    assert released(jets=small).allowed


def test_a_heat_against_the_paper_of_the_range_is_a_contradiction() -> None:
    path = next((knowledge_root() / "wexcombe" / "cases").glob("hazel*.yaml"))
    told = BenchRecord.model_validate({"jets": [{"place": "front_left", "found": "54", "heat": "9000 Btu/h"}]})
    found = account_of(Examination(compiled(), read_case(path, base()).case), told)
    assert found.against == ("the record has 9,000 Btu/h for front left, and the paper of this range 7,000 Btu/h.",)


@pytest.mark.parametrize("seat", [None, "backed_out"])
def test_a_hood_with_two_seats_is_not_told_by_its_bore_alone(seat: str | None) -> None:
    changed = with_jet("front_left", "bottled", hood="universal", seat=seat)
    assert not released("bottled", jets=changed).allowed


def test_on_its_seat_the_bore_that_the_gas_goes_through_tells_it() -> None:
    assert released("bottled", jets=with_jet("front_left", "bottled", hood="universal", seat="home")).allowed


def test_a_hood_that_was_looked_at_in_the_case_counts_for_the_top() -> None:
    found = account_of(examined(**LOOKS, jet_hood="universal"), record("bottled"))
    assert [each.place.value for each in found.to_light if each.set_for is None] == list(PLACES[:4])


@pytest.mark.parametrize("pilot", ["top_pilot", "oven_pilot"])
def test_a_jet_wider_than_any_pilots_stops(pilot: str) -> None:
    assert Stop.JETS_AMISS in released(jets=with_jet(pilot, found="40")).stopped_by


def test_an_oven_whose_pilot_is_out_of_use_is_not_to_be_lit() -> None:
    assert Stop.CLUES in released(jets=with_jet("oven_pilot", out_of_use="yes")).stopped_by


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
    capped = before.with_jet(before.jet_at(JetPlace.REAR_LEFT).model_copy(update={"out_of_use": True}))
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
