"""Which gas a range is set for, as a careful technician would say it."""

from __future__ import annotations

from typing import NamedTuple

import pytest
from hobmark.bench.fuel import LEANING, Evidence, FuelVerdict, judge, read_evidence
from hobmark.knowledge.vocabulary import Gas
from hypothesis import given, settings
from hypothesis import strategies as st

from .bases import base

MEASURED = {"jet_size", "pressure"}


def told(*clues: str) -> FuelVerdict:
    return judge([read_evidence(clue, base()) for clue in clues], base())


class HouseCall(NamedTuple):
    """A call as it was written down, and the gas a technician would name."""

    name: str
    clues: tuple[str, ...]
    gas: Gas | None
    because: str = ""


CALLS = [
    HouseCall("nothing is known", (), None, "nothing was measured"),
    HouseCall("only the owner's word", ("owner=natural",), None, "nothing was measured"),
    HouseCall(
        "plate, word and hood, nothing measured",
        ("plate_words=natural", "owner=natural", "jet_hood=adjustable"),
        None,
        "nothing was measured",
    ),
    HouseCall("one measurement alone", ("jet_size=54",), None, "one clue alone"),
    HouseCall("jets of natural gas and the owner says so", ("jet_size=54,55,54", "owner=natural"), Gas.NATURAL),
    HouseCall("jets of bottled gas and high pressure", ("jet_size=66,67", "pressure=11 in wc"), Gas.BOTTLED),
    HouseCall(
        "farm range with a regulator and a needle home",
        ("jet_size=68,66", "regulator=rear_add_on", "needle=screwed_home"),
        Gas.BOTTLED,
    ),
    HouseCall(
        "old city range: large jets, stamp, no regulator",
        ("jet_size=47,48", "stamp=manufactured", "regulator=absent"),
        Gas.MANUFACTURED,
    ),
    HouseCall(
        "jets for natural gas, bottled gas laid on",
        ("jet_size=54", "pressure=11 in wc"),
        None,
        "contradict each other",
    ),
    HouseCall(
        "jets for bottled gas, owner says natural",
        ("jet_size=66", "owner=natural"),
        None,
        "contradict each other",
    ),
    HouseCall("half converted", ("jet_size=54,66", "pressure=4 in wc"), None, "converted by halves"),
    HouseCall(
        "plate of town gas on a range with natural jets",
        ("jet_size=54,54", "plate_words=manufactured", "pressure=4 in wc"),
        None,
        "gas named on the plate (manufactured) speaks against natural gas",
    ),
    HouseCall(
        "natural jets and a regulator added at the rear",
        ("jet_size=54,55", "regulator=rear_add_on", "jet_hood=universal"),
        None,
        "regulator on the range (rear add on) speaks against natural gas",
    ),
    HouseCall("natural jets in hoods with two seats", ("jet_size=54,55", "jet_hood=universal"), Gas.NATURAL),
    HouseCall(
        "one jet, however much bears it out",
        ("jet_size=54", "stamp=natural", "owner=natural", "plate_words=natural"),
        None,
        "one jet was gauged",
    ),
    HouseCall("a jet between two gases", ("jet_size=50", "jet_hood=adjustable"), None, "more than one gas"),
    HouseCall("the same with a stamp", ("jet_size=54,54", "stamp=natural", "jet_hood=adjustable"), Gas.NATURAL),
    HouseCall("flame colour and nothing else", ("flame_colour=blue",), None, "nothing was measured"),
    HouseCall("flame colour beside one measurement", ("flame_colour=yellow", "jet_size=54"), None, "one clue alone"),
    HouseCall("pressure and word, no jet gauged", ("pressure=4 in wc", "owner=natural"), None, "no jet was gauged"),
    HouseCall(
        "small jets for natural gas, bottled gas laid on and a regulator for it",
        ("jet_size=56", "pressure=11 in wc", "regulator=rear_add_on"),
        None,
        "speaks against natural gas, to which the rest points",
    ),
    HouseCall(
        "natural jets, an owner who speaks of a tank",
        ("jet_size=58", "needle=backed_out", "stamp=natural", "owner=bottled"),
        None,
        "contradict each other",
    ),
    HouseCall(
        "all for natural gas but the owner's word, against no single clue",
        ("jet_size=56", "regulator=absent", "plate_words=natural", "jet_hood=fixed", "owner=bottled"),
        None,
        "the owner's word (bottled) speaks against",
    ),
    HouseCall("pressure in millibars", ("pressure=27 mbar", "jet_size=0.84 mm,0.84 mm"), Gas.BOTTLED),
]


@pytest.mark.parametrize("call", CALLS, ids=lambda call: call.name)
def test_a_house_call_is_answered_as_a_careful_technician_would(call: HouseCall) -> None:
    verdict = told(*call.clues)
    assert verdict.gas is call.gas
    assert call.because in " ".join(verdict.why)


def test_the_colour_of_a_flame_is_refused_with_the_reason() -> None:
    (said,) = told("flame_colour=blue").refused
    assert said.startswith("colour of the flame: The colour of a flame tells of its air, not of its gas")


def test_the_colour_of_a_flame_changes_nothing() -> None:
    without, with_it = told("jet_size=54", "owner=natural"), told("jet_size=54", "owner=natural", "flame_colour=yellow")
    assert (without.chances, without.gas) == (with_it.chances, with_it.gas)


def test_what_would_settle_it_is_measured_first() -> None:
    assert [each.clue for each in told("jet_size=54").settling[:2]] == ["jet_size", "plate_words"]


@pytest.mark.parametrize("clues", [(), ("jet_size=54",), ("jet_size=54,55",)])
def test_no_lit_look_and_no_owners_word_is_ever_named_to_settle_it(clues: tuple[str, ...]) -> None:
    assert {"pressure", "owner"}.isdisjoint(each.clue for each in told(*clues).settling)


@pytest.mark.parametrize("clue", ["pressure=11 in wc", "owner=bottled"])
def test_a_pressure_and_an_owners_word_move_no_chance_of_what_jets_are_for(clue: str) -> None:
    assert told("jet_size=54,55", clue).chances == told("jet_size=54,55").chances


def test_before_anything_else_a_jet_is_gauged() -> None:
    assert told().settling[0].clue == "jet_size"


@pytest.mark.parametrize("clues", [(), ("owner=natural",), ("jet_size=54",)], ids=str)
def test_no_burner_is_lit_for_a_pressure_before_jets_were_gauged(clues: tuple[str, ...]) -> None:
    assert "pressure" not in {each.clue for each in told(*clues).settling}


def test_after_one_jet_another_is_asked_for() -> None:
    assert told("jet_size=54").settling[0].clue == "jet_size"


def test_a_clue_of_one_mind_with_none_is_not_said_to_speak_against_it() -> None:
    """Natural and bottled gas are as probable as each other."""
    assert [each for each in told("regulator=rear_add_on", "jet_hood=universal").why if "against" in each] == []


def test_a_clue_given_is_not_asked_for_again() -> None:
    assert "pressure" not in {each.clue for each in told("pressure=4 in wc").settling}


def test_no_jet_is_ever_to_be_reamed() -> None:
    assert "never ream" in base().bench.fuel.clues["jet_size"].do  # type: ignore[union-attr]


def clues_known() -> st.SearchStrategy[list[Evidence]]:
    table = base().bench.fuel
    assert table is not None
    given_ = [
        Evidence(name, value) for name, clue in table.clues.items() if name not in MEASURED for value in clue.values
    ]
    given_ += [Evidence("pressure", f"{inches} in wc") for inches in (3, 4, 7, 11)]
    given_ += [Evidence("jet_size", size) for size in ("47", "50", "54", "56", "58", "60", "66", "70")]
    given_.append(Evidence("flame_colour", "blue"))
    return st.lists(st.sampled_from(given_), max_size=8)


@pytest.mark.parametrize("size", ["47", "54", "66", "1.4 mm"])
@settings(max_examples=60)
@given(data=st.data())
def test_one_jet_alone_never_gets_a_gas_named(size: str, data: st.DataObject) -> None:
    others = [each for each in data.draw(clues_known()) if each.clue != "jet_size"]
    assert judge([Evidence("jet_size", size), *others], base()).gas is None


@settings(max_examples=300)
@given(clues_known())
def test_without_a_measurement_nothing_is_ever_named(clues: list[Evidence]) -> None:
    assert judge([each for each in clues if each.clue not in MEASURED], base()).gas is None


def rather_one_gas() -> st.SearchStrategy[tuple[list[Evidence], Evidence]]:
    """A jet and clues, each once and mostly of one mind, so that a gas is often named; and one of them to leave out."""
    table = base().bench.fuel
    assert table is not None
    others = {name: sorted(clue.values) for name, clue in table.clues.items() if name not in MEASURED and clue.values}
    others["pressure"] = ["4 in wc", "7 in wc", "11 in wc"]
    clue = st.sampled_from([(name, value) for name, values in others.items() for value in values])
    jet = st.sampled_from(("47,47", "54,54", "56,56", "58,58", "60,60", "66,66"))
    return st.tuples(jet, st.lists(clue, min_size=1, max_size=6, unique_by=lambda each: each[0])).flatmap(
        lambda drawn: st.tuples(
            st.just([Evidence("jet_size", drawn[0]), *(Evidence(*each) for each in drawn[1])]),
            st.sampled_from([Evidence(*each) for each in drawn[1]]),
        )
    )


@settings(max_examples=600)
@given(rather_one_gas())
def test_a_clue_taken_away_that_spoke_for_a_gas_never_gets_it_named(drawn: tuple[list[Evidence], Evidence]) -> None:
    clues, gone = drawn
    before, after = judge(clues, base()), judge([each for each in clues if each != gone], base())
    said = next((each for each in before.weighed if each.clue == gone.clue), None)
    if said is not None and after.gas is not None and said.chances[after.gas] == max(said.chances.values()):
        assert before.gas is after.gas


@settings(max_examples=600)
@given(rather_one_gas())
def test_a_clue_taken_away_never_turns_one_gas_into_another(drawn: tuple[list[Evidence], Evidence]) -> None:
    clues, gone = drawn
    before, after = judge(clues, base()).gas, judge([each for each in clues if each != gone], base()).gas
    assert before is None or after in (before, None)


@settings(max_examples=300)
@given(rather_one_gas())
def test_no_gas_is_named_that_the_jets_alone_lean_away_from(drawn: tuple[list[Evidence], Evidence]) -> None:
    verdict = judge(drawn[0], base())
    (jets,) = [each for each in verdict.weighed if each.clue == "jet_size"]
    assert verdict.gas is None or verdict.gas in jets.speaks_for(LEANING)


@settings(max_examples=300)
@given(rather_one_gas())
def test_no_gas_is_named_that_any_clue_leans_away_from(drawn: tuple[list[Evidence], Evidence]) -> None:
    verdict = judge(drawn[0], base())
    assert verdict.gas is None or not [each for each in verdict.weighed if each.speaks_against(verdict.gas)]


def test_a_clue_that_spoke_against_a_gas_held_its_name_back() -> None:
    """Whoever leaves out what speaks against a gas gets it named: a verdict knows only what was given."""
    clues = ("jet_size=54,54", "stamp=natural")
    assert (told(*clues, "owner=bottled").gas, told(*clues).gas) == (None, Gas.NATURAL)


@settings(max_examples=300)
@given(clues_known())
def test_no_gas_is_named_against_a_measurement(clues: list[Evidence]) -> None:
    verdict, table = judge(clues, base()), base().bench.fuel
    assert table is not None
    measured = [each.speaks_for(table.strong) for each in verdict.weighed if each.measured]
    assert all(verdict.gas is None or verdict.gas in gases for gases in measured)


@settings(max_examples=200)
@given(clues_known())
def test_the_order_of_the_clues_does_not_matter(clues: list[Evidence]) -> None:
    first, second = judge(clues, base()), judge(clues[::-1], base())
    assert first.gas is second.gas
    assert list(first.chances.values()) == pytest.approx(list(second.chances.values()))


@settings(max_examples=200)
@given(clues_known())
def test_the_chances_add_up(clues: list[Evidence]) -> None:
    assert sum(judge(clues, base()).chances.values()) == pytest.approx(1)


@pytest.mark.parametrize(
    ("clue", "said"),
    [
        ("colour=blue", "unknown clue 'colour'"),
        ("owner=petrol", "unknown value 'petrol' for owner"),
        ("owner", "'owner' has no value"),
        ("jet_size=999", "is no drill and no length"),
        ("jet_size=9 mm", "is no jet of a range"),
        ("pressure=3/8 in", "is no pressure"),
        ("pressure=5 psi", "more than any gas has inside a house"),
    ],
)
def test_a_clue_that_cannot_be_is_refused(clue: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        read_evidence(clue, base())
