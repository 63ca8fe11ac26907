"""Over made-up bench records that reach releases: evidence taken away and contrary clues never release."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache

import pytest
from hobmark.bench.account import account_of
from hobmark.bench.release import Release
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import ClueRecord, RegulatorSeen, SymptomRecord
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination
from hypothesis import find, given, settings
from hypothesis import strategies as st

from .bases import examined
from .records import LEAK_CHECK, LOOKS, PLACES, jets, record

Change = Callable[[dict[str, object]], None]


@cache
def range_() -> Examination:
    return examined(**LOOKS)


def release(of: BenchRecord) -> Release:
    return account_of(range_(), of).release


def put(name: str, value: object) -> Change:
    def change(fields: dict[str, object]) -> None:
        fields[name] = value

    return change


def jet(place: str, **changed: object) -> Change:
    def change(fields: dict[str, object]) -> None:
        told = fields["jets"]
        assert isinstance(told, list)
        fields["jets"] = [each | changed if each["place"] == place else each for each in told]

    return change


def without_jet(place: str) -> Change:
    def change(fields: dict[str, object]) -> None:
        told = fields["jets"]
        assert isinstance(told, list)
        fields["jets"] = [each for each in told if each["place"] != place]

    return change


places = st.sampled_from(PLACES)
sizes = st.sampled_from(["47", "54", "55", "56", "58", "66", "78", "1.2 mm"])
gases = st.sampled_from([gas.value for gas in Gas])
regulators = st.one_of(
    st.sampled_from(["none", "gone", "not_seen", "fitted"]).map(lambda state: {"state": state}),
    gases.map(lambda gas: {"state": "fitted", "gas": gas}),
)
CHANGES: st.SearchStrategy[Change] = st.one_of(
    st.builds(put, st.sampled_from(["regulator", "house_regulator"]), regulators),
    st.builds(put, st.just("wanted"), gases),
    st.builds(put, st.just("altitude"), st.sampled_from([None, "300 ft", "5000 ft"])),
    st.builds(
        put,
        st.just("pressures"),
        st.lists(st.sampled_from(["3.5 in wc", "4 in wc", "7 in wc", "11 in wc"]), max_size=2).map(
            lambda read: [{"reads": each} for each in read]
        ),
    ),
    st.builds(
        put,
        st.just("laid_on"),
        st.one_of(
            st.none(),
            st.builds(lambda gas, by: {"gas": gas, "by": by}, gases, st.sampled_from(["bill", "meter", "supplier"])),
            gases.map(lambda gas: {"gas": gas}),
        ),
    ),
    st.builds(
        put,
        st.just("leak_check"),
        st.one_of(
            st.none(), st.sampled_from([LEAK_CHECK, {**LEAK_CHECK, "tight": "no"}, {**LEAK_CHECK, "minutes": "1"}])
        ),
    ),
    st.builds(
        put,
        st.just("clues"),
        st.sampled_from([[], [{"clue": "owner", "value": "natural"}], [{"clue": "stamp", "value": "bottled"}]]),
    ),
    st.builds(lambda place, size: jet(place, found=size), places, sizes),
    st.builds(lambda place, size: jet(place, left=size), places, sizes),
    st.builds(lambda place, gas: jet(place, gas=gas, by="stamp"), places, gases),
    st.builds(lambda place: jet(place, out_of_use="B. Reed, 2026-11-30"), places),
    st.builds(
        lambda place, seat: jet(place, hood="universal", seat=seat), places, st.sampled_from(["home", "backed_out"])
    ),
    st.builds(without_jet, places),
)
"""One thing put otherwise than in a record that releases."""


@st.composite
def records(draw: st.DrawFn) -> BenchRecord:
    gas = draw(st.sampled_from(["natural", "bottled"]))
    fields: dict[str, object] = record(gas).model_dump(mode="json", exclude_defaults=True)
    fields["jets"] = jets(gas)
    for change in draw(st.lists(CHANGES, max_size=3)):
        change(fields)
    told = {name: value for name, value in fields.items() if value is not None}
    told["jets"] = [
        {name: value for name, value in each.items() if value is not None}
        for each in fields["jets"]  # type: ignore[attr-defined]
    ]
    return BenchRecord.model_validate(told)


@pytest.mark.parametrize("gas", [Gas.NATURAL, Gas.BOTTLED])
def test_the_records_made_up_here_reach_releases_that_are_not_the_one_they_began_with(gas: Gas) -> None:
    def reached(made: BenchRecord) -> bool:
        laid_on = made.laid_on is not None and made.laid_on.gas is gas
        return laid_on and made not in (record("natural"), record("bottled")) and release(made).allowed

    assert release(find(records(), reached)).allowed


def poorer(of: BenchRecord) -> Iterator[BenchRecord]:
    """The record with one piece of evidence taken away, for each piece there is."""
    yield of.model_copy(update={"laid_on": None})
    yield of.model_copy(update={"altitude": None})
    yield of.model_copy(update={"leak_check": None})
    yield of.model_copy(update={"pressures": ()})
    yield of.model_copy(update={"regulator": RegulatorSeen()})
    yield of.model_copy(update={"house_regulator": RegulatorSeen()})
    for at, each in enumerate(of.jets):
        yield of.model_copy(update={"jets": (*of.jets[:at], *of.jets[at + 1 :])})
        for gone in ({"found": None, "left": None}, {"gas": None, "by": None}, {"heat": None}):
            changed = each.model_copy(update=gone)
            yield of.model_copy(update={"jets": (*of.jets[:at], changed, *of.jets[at + 1 :])})


@settings(max_examples=60)
@given(records())
def test_evidence_taken_away_fills_no_gap(made: BenchRecord) -> None:
    """What was refused for a gap stays refused; only what nothing but the piece itself stopped can be released."""
    if release(made).missing:
        assert [less for less in poorer(made) if release(less).allowed] == []


@settings(max_examples=60)
@given(records())
def test_evidence_taken_away_from_a_release_is_missed_or_was_not_needed(made: BenchRecord) -> None:
    if release(made).allowed:
        assert not release(made.model_copy(update={"leak_check": None})).allowed
        assert not release(made.model_copy(update={"laid_on": None})).allowed
        assert not release(made.model_copy(update={"jets": ()})).allowed
        assert not release(made.model_copy(update={"regulator": RegulatorSeen()})).allowed


CONTRARY = [
    ClueRecord(clue="conversion", value="to_natural"),
    ClueRecord(clue="conversion", value="to_bottled"),
    ClueRecord(clue="stamp", value="manufactured"),
    ClueRecord(clue="owner", value="bottled"),
]


@pytest.mark.parametrize("clue", CONTRARY, ids=str)
@settings(max_examples=30)
@given(made=records())
def test_a_clue_that_is_added_never_turns_a_refusal_into_a_release(clue: ClueRecord, made: BenchRecord) -> None:
    before = release(made)
    if not before.allowed and not any(each.clue == clue.clue for each in made.clues):
        assert not release(made.with_clue(clue)).allowed


@settings(max_examples=30)
@given(made=records(), wanted=st.sampled_from([None, *Gas]))
def test_a_plan_changes_no_release(made: BenchRecord, wanted: Gas | None) -> None:
    assert release(made.model_copy(update={"wanted": wanted})) == release(made)


@settings(max_examples=30)
@given(made=records(), symptom=st.sampled_from(["smell_of_gas", "co_alarm"]))
def test_a_symptom_that_stops_everything_stops_every_record(made: BenchRecord, symptom: str) -> None:
    assert not release(made.with_symptom(SymptomRecord(symptom=symptom))).allowed
