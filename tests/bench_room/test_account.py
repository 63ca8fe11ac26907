"""The five facts of the gas as a case and its record have them, and what each of them never is."""

from __future__ import annotations

import pytest
from hobmark.bench.account import account_of
from hobmark.bench.release import Missing, PressureFact, Release, SetFor, Stop
from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination

from .bases import base, compiled, examined
from .records import LOOKS, PLACES, account, jets, record, released, with_jet


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
    assert released(jets=with_jet("oven", found=None, heat=None, out_of_use="B. Reed, 2026-11-30")).allowed


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
    bare = [{name: value for name, value in each.items() if name != "hood"} for each in jets("bottled")]
    found = account_of(examined(**LOOKS, jet_hood="universal"), record("bottled", jets=bare))
    assert [each.place.value for each in found.to_light if each.set_for is None] == list(PLACES[:4])


@pytest.mark.parametrize("pilot", ["top_pilot", "oven_pilot"])
def test_a_jet_wider_than_any_pilots_stops(pilot: str) -> None:
    assert Stop.JETS_AMISS in released(jets=with_jet(pilot, found="40")).stopped_by


def test_an_oven_whose_pilot_is_out_of_use_is_not_to_be_lit() -> None:
    assert Stop.CLUES in released(jets=with_jet("oven_pilot", out_of_use="B. Reed, 2026-11-30")).stopped_by


@pytest.mark.parametrize("pilot", ["top_pilot", "oven_pilot"])
def test_a_pilot_that_was_not_gauged_is_set_for_nothing_that_is_known(pilot: str) -> None:
    """A stamp outlives the drill."""
    assert released(jets=with_jet(pilot, found=None)).missing == (Missing.SET_FOR,)


def test_a_pilot_as_wide_as_a_burners_jet_stops() -> None:
    wide = [each | ({"found": "69"} if "pilot" in str(each["place"]) else {}) for each in jets("bottled")]
    assert Stop.JETS_AMISS in released("bottled", jets=wide).stopped_by


def test_on_bottled_gas_the_kind_of_every_top_hood_is_asked_for() -> None:
    bare = [{name: value for name, value in each.items() if name != "hood"} for each in jets("bottled")]
    assert released("bottled", jets=bare).missing == (Missing.SET_FOR,)


def test_a_hood_of_the_record_that_a_look_contradicts_is_told() -> None:
    found = account_of(examined(**LOOKS, jet_hood="universal"), record("bottled"))
    assert "the record has a hood at front left that is fixed, and by a look it is universal." in found.against


def test_an_oven_that_is_lit_by_a_match_has_no_pilot_to_be_gauged() -> None:
    looks = LOOKS | {"oven_lighting": "match_hole"}
    no_pilot = [each for each in jets() if each["place"] != "oven_pilot"]
    assert account_of(examined(**looks), record(jets=no_pilot)).release.allowed


def test_a_broiler_with_a_burner_of_its_own_gives_what_ovens_give() -> None:
    broiler: dict[str, object] = {"place": "broiler", "found": "51", "heat": "14000 Btu/h"}
    assert Stop.CLUES not in released(jets=[*jets(), broiler]).stopped_by


@pytest.mark.parametrize("day", ["2026-12-15", "2027-01-02"])
def test_what_was_put_right_on_a_later_day_makes_the_leak_check_due_again(day: str) -> None:
    cleared = [{"symptom": "smell_of_gas", "cleared": f"B. Reed, fitter, {day}"}]
    assert released(symptoms=cleared).missing == (Missing.LEAK_CHECK,)
