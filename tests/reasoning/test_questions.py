"""Which looks are offered, what they cost, and in which order: gates, situations, chances of telling nothing, ties."""

from __future__ import annotations

from typing import Any

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Access, Goal, Situation
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.questions import CELL_SHARE, cannot_tell, cost_of

from .small_base import PLAIN, base_of, examine, feature, look, said, wording, works

ACCESSES = ("photo", "glance", "hand", "tool", "panel_off")
BY_ACCESS = {f"part_{access}": feature("body", "alder", "birch", access=access) for access in ACCESSES}
PAIR = {"heron": {"alder": {}, "birch": {}}}


def telling(features: dict[str, Any], **words: Any) -> KnowledgeBase:
    """Two variants that differ in every one of `features`."""
    traits = [said(name, variant, variant) for name in features for variant in ("alder", "birch")]
    return base_of(features, works(PAIR, traits=traits), words=wording(PLAIN, **words))


def offered(examination: Examination) -> set[str]:
    return {one.feature for one in examination.looks}


# Situations and costs


@pytest.mark.parametrize(
    ("situation", "count"), [(Situation.LISTING, 1), (Situation.SALE, 4), (Situation.BENCH, 5)], ids=str
)
def test_a_situation_offers_what_can_be_had_there(situation: Situation, count: int) -> None:
    assert offered(examine(telling(BY_ACCESS), situation=situation)) == {f"part_{a}" for a in ACCESSES[:count]}


@pytest.mark.parametrize(("access", "seconds"), list(zip(ACCESSES, (5, 5, 20, 90, 900), strict=True)))
def test_a_look_costs_the_seconds_of_its_access(access: str, seconds: float) -> None:
    assert cost_of(telling(BY_ACCESS), f"part_{access}", Situation.BENCH) == seconds


def test_in_a_listing_a_look_costs_one_request() -> None:
    assert cost_of(telling(BY_ACCESS), "part_photo", Situation.LISTING) == 60


def test_what_is_not_offered_has_no_cost() -> None:
    assert cost_of(telling(BY_ACCESS), "part_panel_off", Situation.SALE) is None


def test_a_panel_is_taken_off_at_a_sale_where_it_is_asked_for() -> None:
    asked = examine(telling(BY_ACCESS), also=frozenset({Access.PANEL_OFF}))
    assert {one.feature: one.seconds for one in asked.looks}["part_panel_off"] == 900


def test_what_is_asked_for_stays_asked_for_after_an_answer() -> None:
    asked = examine(telling(BY_ACCESS), also=frozenset({Access.PANEL_OFF}))
    assert "part_panel_off" in offered(asked.with_answer(look("part_hand", unseen=True)))


# Bits and order


def test_bits_are_those_of_the_answer_where_there_is_one() -> None:
    examination = examine(telling(BY_ACCESS))
    one = next(one for one in examination.looks if one.feature == "part_hand")
    assert one.bits == pytest.approx((1 - 0.08) * examination.expected["part_hand"].goal_bits)


def test_the_index_adds_a_fifth_of_the_bits_about_cells_and_divides_by_cost() -> None:
    examination = examine(telling(BY_ACCESS), goal=Goal.MAKER)
    one, expected = examination.looks[0], examination.expected[examination.looks[0].feature]
    told = 1 - cannot_tell(examination.compiled.base, one.feature)
    assert one.index == pytest.approx(told * (expected.goal_bits + CELL_SHARE * expected.cell_bits) / one.seconds)


def test_the_cheaper_of_two_looks_that_tell_the_same_comes_first() -> None:
    order = [one.feature for one in examine(telling(BY_ACCESS), situation="bench").looks]
    assert order == ["part_glance", "part_photo", "part_hand", "part_tool", "part_panel_off"]


def test_ties_break_by_id() -> None:
    same = {name: feature("body", "alder", "birch") for name in ("rim", "clip", "latch")}
    assert [one.feature for one in examine(telling(same)).looks] == ["clip", "latch", "rim"]


def test_a_look_that_often_tells_nothing_comes_later() -> None:
    same = {"clip": feature("body", "alder", "birch", cannot_tell=0.5), "rim": feature("body", "alder", "birch")}
    assert [one.feature for one in examine(telling(same)).looks] == ["rim", "clip"]


@pytest.mark.parametrize(("access", "chance"), list(zip(ACCESSES, (0.08, 0.05, 0.08, 0.1, 0.02), strict=True)))
def test_the_chance_of_telling_nothing_is_that_of_the_access(access: str, chance: float) -> None:
    assert cannot_tell(telling(BY_ACCESS), f"part_{access}") == chance


def test_a_features_own_chance_of_telling_nothing_stands_before_it() -> None:
    assert cannot_tell(telling({"rim": feature("body", "alder", "birch", cannot_tell=0.4)}), "rim") == 0.4


def test_a_perfect_look_at_two_even_variants_tells_one_bit() -> None:
    exact = wording({**PLAIN, "used_weight": 0}, often={"always": 1}, slips={"rarely": 0})
    base = telling({"rim": feature("body", "alder", "birch")}).model_copy(update={"wording": exact})
    assert examine(base).expected["rim"].goal_bits == pytest.approx(1)


def test_a_look_that_settles_two_even_variants_overturns_half_the_time() -> None:
    assert examine(telling({"rim": feature("body", "alder", "birch")})).expected["rim"].overturns == pytest.approx(0.5)


def test_a_look_that_agrees_with_everything_overturns_nothing() -> None:
    three = {name: feature("body", "alder", "birch") for name in ("rim", "clip", "latch")}
    sure = examine(telling(three), look("rim", "alder"), look("clip", "alder"))
    assert sure.expected["latch"].overturns == 0


# What was answered


@pytest.mark.parametrize(
    "seen", [look("part_photo", "alder"), look("part_photo", unseen=True), look("part_photo", is_not="alder")]
)
def test_what_was_looked_at_is_not_offered_again(seen: Observation) -> None:
    assert "part_photo" not in offered(examine(telling(BY_ACCESS), seen))


def test_a_second_answer_takes_the_place_of_the_first() -> None:
    changed = examine(telling(BY_ACCESS), look("part_photo", "alder")).with_answer(look("part_photo", "birch"))
    assert [one.is_ for one in changed.case.observations] == [("birch",)]


# Gates

GATED = {
    "well": feature("body", "absent", "pot", "lift", traces_on="iron"),
    "lid": feature("body", "alder", "birch", needs={"well": ["pot", "lift"]}),
    "grip": feature("body", "alder", "birch", needs={"lid": ["alder", "birch"]}),
}


def gated(*seen: Observation, always: str | None = None) -> set[str]:
    """What is offered; `always` is what the makers said of the gate."""
    traits = [said(name, v, v) for name in ("lid", "grip") for v in ("alder", "birch")]
    traits += [said("well", "all", always)] if always else []
    return offered(examine(base_of(GATED, works(PAIR, traits=traits)), *seen))


@pytest.mark.parametrize(
    "seen",
    [
        look("well", "pot"),
        look("well", ["pot", "lift"]),
        look("well", is_not="absent"),
        look("well", "pot", sure="guess"),
    ],
    ids=["a value", "a set inside", "not absent", "a guess"],
)
def test_a_gated_look_is_offered_once_its_gate_holds(seen: Observation) -> None:
    assert "lid" in gated(seen)


@pytest.mark.parametrize(
    "seen",
    [
        look("well", "absent"),
        look("well", ["absent", "pot"]),
        look("well", is_not="pot"),
        look("well", unseen=True),
        look("well", removed=True),
    ],
    ids=["absent", "perhaps absent", "not one of two", "unseen", "removed"],
)
def test_a_gated_look_is_not_offered_where_its_gate_may_not_hold(seen: Observation) -> None:
    assert "lid" not in gated(seen)


def test_a_gate_not_looked_at_holds_where_it_very_probably_does() -> None:
    assert "lid" in gated(always="pot")


def test_a_gate_not_looked_at_does_not_hold_where_it_is_open() -> None:
    assert "lid" not in gated()


def test_a_gate_is_shut_while_its_own_gate_is() -> None:
    assert "grip" not in gated(look("well", "absent"), always="pot")


def test_an_answer_behind_a_gate_answers_the_gate() -> None:
    assert "well" not in gated(look("lid", "alder"))
