"""Symptoms found by everyday words, those that stop everything before all others, and what is done first."""

from __future__ import annotations

import contextlib

import pytest
from hobmark.bench.symptom_words import symptom_id_of
from hobmark.bench.symptoms import symptom_called
from hobmark.reports.setup import set_up
from hypothesis import given
from hypothesis import strategies as st

from .fault_finding import TABLE
from .sheets import unknown


@pytest.mark.parametrize(
    "symptom",
    [
        *("one_burner_dead", "pair_dead", "nothing_lights", "all_weak", "pilot_goes_out", "oven_will_not_light"),
        *("oven_pilot_drops", "delayed_boom", "simmer_goes_out", "valve_will_not_shut"),
    ],
)
def test_where_a_pilot_may_be_out_the_ranges_own_shut_off_is_closed_and_then_it_is_aired(symptom: str) -> None:
    acts = " ".join(TABLE.symptoms[symptom].do)
    assert 0 <= acts.index("own shut-off") < acts.index(" air")


@pytest.mark.parametrize(
    ("words", "symptom"),
    [
        *((words, "smell_of_gas") for words in ("gas smell", "smell of gas", "I smell gas", "smells like gas")),
        *((words, "smell_of_gas") for words in ("rotten eggs", "hissing", "Hissing behind the range", "smell-of-gas")),
        *((words, "co_alarm") for words in ("headache", "alarm", "CO alarm", "dizzy", "we all feel sick")),
        *((words, "valve_will_not_shut") for words in ("valve won't shut off", "knob won't turn off")),
        ("the valve on the left does not shut", "valve_will_not_shut"),
        ("knob won\u2019t turn off", "valve_will_not_shut"),
        ("\uff53\uff4d\uff45\uff4c\uff4c of gas", "smell_of_gas"),
        ("smell\u00a0of g\u200bas", "smell_of_gas"),
        ("sm\u00adell of gas", "smell_of_gas"),
        ("there are silver drops on the oven floor", "mercury_spilt"),
        ("the mercury ran out of the capillary", "mercury_spilt"),
        ("burner won't light", "one_burner_dead"),
        ("MY BURNER WILL NOT LIGHT", "one_burner_dead"),
        ("one burner dead", "one_burner_dead"),
        ("the left burners won't light", "pair_dead"),
        ("the oven burner won't light", "oven_will_not_light"),
        ("the pilot won't stay lit, it goes out", "pilot_goes_out"),
    ],
)
def test_a_symptom_is_found_by_everyday_words(words: str, symptom: str) -> None:
    assert symptom_id_of(TABLE, words) == symptom


@pytest.mark.parametrize(
    ("words", "symptom"),
    [(words, name) for name, entry in TABLE.symptoms.items() for words in (name, entry.label, *entry.says)],
)
def test_every_symptom_is_found_by_its_own_words(words: str, symptom: str) -> None:
    assert symptom_id_of(TABLE, f"  {words.upper()} ") == symptom


@pytest.mark.parametrize(
    ("words", "symptom"),
    [
        ("the burner won't light and it smells of gas", "smell_of_gas"),
        ("yellow flames and a headache", "co_alarm"),
        ("stiff valve that won't shut off", "valve_will_not_shut"),
        ("no smell of gas", "smell_of_gas"),
    ],
)
def test_what_stops_everything_goes_before_all_else(words: str, symptom: str) -> None:
    assert symptom_called(TABLE, words) is TABLE.symptoms[symptom]


def test_words_that_tell_of_several_symptoms_name_them() -> None:
    with pytest.raises(ValueError, match=r"may be any of these: yellow_flames, lazy_flames\. Name one"):
        symptom_id_of(TABLE, "soot and lazy flames")


@pytest.mark.parametrize("words", ["", " ", "the", "oven door won't close", "smell_of_gaz"])
def test_words_that_tell_of_none_name_all(words: str) -> None:
    with pytest.raises(ValueError, match="Those there are: smell_of_gas, co_alarm"):
        symptom_id_of(TABLE, words)


@given(st.text(max_size=200))
def test_no_words_are_too_much(words: str) -> None:
    with contextlib.suppress(ValueError):
        assert symptom_id_of(TABLE, words) in TABLE.symptoms


def test_a_sheet_asked_for_in_everyday_words_stops() -> None:
    shown = set_up(unknown(), "x", symptom="I have a headache").symptom
    assert shown is not None
    assert (shown.id, shown.stop) == ("co_alarm", True)
