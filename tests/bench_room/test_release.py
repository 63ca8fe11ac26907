"""When anything may be lit: every combination of the facts, those that release one by one, all others refused."""

from __future__ import annotations

import itertools
from functools import cache

import pytest
from hobmark.bench.release import (
    GasFacts,
    JetsFact,
    LeakFact,
    Missing,
    PressureFact,
    RegulatorFact,
    SetFor,
    Stop,
    SymptomFact,
    release_of,
)
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.release_table import release_table
from hobmark.reports.release_table import released as listed

R, P = RegulatorFact, PressureFact
# Gas laid on and set for, regulator of the range, regulator of the house or tank, pressure. In all of them nothing
# stops, jets are right, clues agree, and the leak check holds.
RELEASED = [
    (Gas.NATURAL, R.NONE, R.NOT_SEEN, P.IN_BAND),
    (Gas.NATURAL, R.NONE, R.NONE, P.IN_BAND),
    (Gas.NATURAL, R.NONE, R.UNMARKED, P.IN_BAND),
    (Gas.NATURAL, R.NONE, R.NATURAL, P.IN_BAND),
    (Gas.NATURAL, R.NATURAL, R.NOT_SEEN, P.NOT_MEASURED),
    (Gas.NATURAL, R.NATURAL, R.NOT_SEEN, P.IN_BAND),
    (Gas.NATURAL, R.NATURAL, R.NONE, P.NOT_MEASURED),
    (Gas.NATURAL, R.NATURAL, R.NONE, P.IN_BAND),
    (Gas.NATURAL, R.NATURAL, R.UNMARKED, P.NOT_MEASURED),
    (Gas.NATURAL, R.NATURAL, R.UNMARKED, P.IN_BAND),
    (Gas.NATURAL, R.NATURAL, R.NATURAL, P.NOT_MEASURED),
    (Gas.NATURAL, R.NATURAL, R.NATURAL, P.IN_BAND),
    (Gas.BOTTLED, R.BOTTLED, R.BOTTLED, P.NOT_MEASURED),
    (Gas.BOTTLED, R.BOTTLED, R.BOTTLED, P.IN_BAND),
]


def as_facts(gas: Gas, own: R, house: R, pressure: P) -> GasFacts:
    return GasFacts(
        symptom=SymptomFact.NONE,
        laid_on=gas,
        set_for=SetFor(gas.value),
        regulator=own,
        house_regulator=house,
        pressure=pressure,
        jets=JetsFact.RIGHT,
        clues_agree=True,
        leak_check=LeakFact.HOLDS,
    )


STATES = (
    tuple(SymptomFact),
    (None, *Gas),
    tuple(SetFor),
    tuple(R),
    tuple(R),
    tuple(P),
    tuple(JetsFact),
    (True, False),
    tuple(LeakFact),
)


@cache
def every() -> tuple[GasFacts, ...]:
    return tuple(GasFacts(*states) for states in itertools.product(*STATES))


@cache
def allowed() -> frozenset[GasFacts]:
    return frozenset(facts for facts in every() if release_of(facts).allowed)


def test_exactly_the_listed_combinations_release_and_all_others_refuse() -> None:
    assert allowed() == {as_facts(*row) for row in RELEASED}


def test_the_table_for_a_reader_lists_the_same() -> None:
    assert set(listed()) == allowed()
    assert f"{len(RELEASED)} of 276,480 combinations" in release_table()


def test_a_refusal_always_says_why() -> None:
    unsaid = [
        facts
        for facts in every()
        if facts not in allowed() and not (release_of(facts).missing or release_of(facts).stopped_by)
    ]
    assert unsaid == []


# One state of one fact alone, in an otherwise released row of natural gas, and what the refusal names.
ALONE = [
    ("symptom", SymptomFact.STOPS, Stop.SYMPTOM),
    ("symptom", SymptomFact.OPEN, Stop.NOT_GONE_THROUGH),
    ("laid_on", None, Missing.LAID_ON),
    ("laid_on", Gas.BOTTLED, Stop.WRONG_GAS),
    ("laid_on", Gas.MANUFACTURED, Missing.FIGURES),
    ("set_for", SetFor.NOT_KNOWN, Missing.SET_FOR),
    ("set_for", SetFor.BOTTLED, Stop.WRONG_GAS),
    ("set_for", SetFor.MANUFACTURED, Stop.WRONG_GAS),
    ("set_for", SetFor.SEVERAL, Stop.SEVERAL_GASES),
    ("regulator", R.NOT_SEEN, Missing.REGULATOR),
    ("regulator", R.NONE, Missing.PRESSURE),
    ("regulator", R.UNMARKED, Missing.REGULATOR_GAS),
    ("regulator", R.GONE, Stop.REGULATOR_GONE),
    ("regulator", R.BOTTLED, Stop.WRONG_REGULATOR),
    ("regulator", R.OUTLET_OFF, Stop.WRONG_REGULATOR),
    ("house_regulator", R.GONE, Stop.REGULATOR_GONE),
    ("house_regulator", R.BOTTLED, Stop.WRONG_REGULATOR),
    ("pressure", P.OUTSIDE, Stop.PRESSURE),
    ("jets", JetsFact.NOT_KNOWN, Missing.HEAT),
    ("jets", JetsFact.AMISS, Stop.JETS_AMISS),
    ("clues_agree", False, Stop.CLUES),
    ("leak_check", LeakFact.NOT_DONE, Missing.LEAK_CHECK),
    ("leak_check", LeakFact.DUE_AGAIN, Missing.LEAK_CHECK),
    ("leak_check", LeakFact.LEAKS, Stop.LEAKS),
]


def otherwise(facts: GasFacts, name: str, state: object) -> GasFacts:
    fields = {each: getattr(facts, each) for each in GasFacts.__dataclass_fields__}
    return GasFacts(**{**fields, name: state})


@pytest.mark.parametrize(("name", "state", "named"), ALONE, ids=lambda each: str(each))
def test_one_state_alone_refuses_and_is_named(name: str, state: object, named: Stop | Missing) -> None:
    release = release_of(otherwise(as_facts(Gas.NATURAL, R.NATURAL, R.NATURAL, P.NOT_MEASURED), name, state))
    assert not release.allowed
    assert named in (*release.missing, *release.stopped_by)


@pytest.mark.parametrize(
    ("name", "state", "named"),
    [
        ("regulator", R.NONE, Stop.NO_REGULATOR),
        ("house_regulator", R.NONE, Stop.NO_REGULATOR),
        ("regulator", R.GONE, Stop.REGULATOR_GONE),
        ("house_regulator", R.NOT_SEEN, Missing.HOUSE_REGULATOR),
        ("house_regulator", R.UNMARKED, Missing.REGULATOR_GAS),
        ("set_for", SetFor.NATURAL, Stop.WRONG_GAS),
    ],
)
def test_bottled_gas_needs_its_regulators_and_its_jets(name: str, state: object, named: Stop | Missing) -> None:
    release = release_of(otherwise(as_facts(Gas.BOTTLED, R.BOTTLED, R.BOTTLED, P.IN_BAND), name, state))
    assert not release.allowed
    assert named in (*release.missing, *release.stopped_by)


WORSE = {
    "symptom": SymptomFact.STOPS,
    "laid_on": None,
    "set_for": SetFor.NOT_KNOWN,
    "regulator": R.NOT_SEEN,
    "jets": JetsFact.NOT_KNOWN,
    "clues_agree": False,
    "leak_check": LeakFact.NOT_DONE,
}
"""Each fact as it is with its evidence taken away, or with a contrary clue added."""


@pytest.mark.parametrize("name", WORSE)
def test_evidence_taken_away_or_a_contrary_clue_never_turns_a_refusal_into_a_release(name: str) -> None:
    turned = [facts for facts in every() if facts not in allowed() and otherwise(facts, name, WORSE[name]) in allowed()]
    assert turned == []


def test_a_reading_that_is_withheld_releases_only_what_nothing_but_that_reading_stopped() -> None:
    """A pressure is measured or it is not: leaving out one that is outside its band is no gap that anything fills."""
    turned = [
        facts
        for facts in every()
        if facts not in allowed() and otherwise(facts, "pressure", P.NOT_MEASURED) in allowed()
    ]
    assert {release_of(facts).stopped_by for facts in turned} == {(Stop.PRESSURE,)}
