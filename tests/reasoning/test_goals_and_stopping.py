"""Goals as partitions of the cells, when one counts as known, when to stop, and what is said then."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.cells import build_cells
from hobmark.reasoning.examination import claim_of
from hobmark.reasoning.goals import Claim, best_window, partition
from hobmark.reasoning.stopping import outside_look, pair_tells, smallest_set, verdict

from .small_base import PLAIN, base_of, examine, feature, look, said, wording, works

FOUR = ("alder", "birch", "cedar", "larch")
WIDTHS = {"width": feature("body", *FOUR), "lamp": feature("body", "absent", "fixed", access="panel_off")}


def four_variants(features: dict[str, Any] = WIDTHS, *traits: Any, **stop: float) -> KnowledgeBase:
    """Four variants told apart by width unless `traits` says otherwise, and a maker of one variant beside."""
    told = traits or [said("width", variant, variant) for variant in FOUR]
    folder = works({"heron": {variant: {} for variant in FOUR}}, life="1937/1940", traits=told)
    other = works({"wren": {"rowan": {}}}, maker="wexcombe", life="1939/1942")
    return base_of(features, folder, other, words=wording(PLAIN, stop))


# Goals


@pytest.mark.parametrize(
    ("goal", "parts"), [(Goal.VARIANT, 5), (Goal.YEAR, 6), (Goal.MAKER, 2), (Goal.CLAIM, 2)], ids=str
)
def test_a_goal_parts_the_cells(goal: Goal, parts: int) -> None:
    cells = build_cells(four_variants())
    whole = partition(cells, goal, Claim("brindlemere"))
    assert len(np.unique(whole[cells.prior > 0])) == parts


def test_the_goal_claim_needs_a_claim() -> None:
    with pytest.raises(ValueError, match="needs a claim"):
        partition(build_cells(four_variants()), Goal.CLAIM)


@pytest.mark.parametrize(
    ("claim", "share"),
    [
        (Claim("wexcombe"), 0.5),
        (Claim("brindlemere", "alder"), 0.125),
        (Claim(made="1937"), 0.125),
        (Claim(made="../1938"), 0.25),
        (Claim("brindlemere", "alder", "1938/1939"), 0.0625),
        (Claim(made="1950"), 0),
    ],
    ids=str,
)
def test_a_claim_holds_in_the_cells_it_speaks_of(claim: Claim, share: float) -> None:
    cells = build_cells(four_variants())
    assert cells.prior[claim.holds_in(cells)].sum() == pytest.approx(share)


@pytest.mark.parametrize(
    ("claims", "expected"),
    [
        ({}, None),
        ({"maker": "wexcombe"}, Claim("wexcombe")),
        ({"variant": "rowan"}, Claim("wexcombe", "rowan")),
        ({"variant": "brindlemere/alder", "made": "1939"}, Claim("brindlemere", "alder", "1939")),
        ({"made": "1939"}, Claim(made="1939")),
    ],
    ids=str,
)
def test_what_a_case_claims_is_one_claim(claims: dict[str, str], expected: Claim | None) -> None:
    base = four_variants()
    assert claim_of(base, examine(base, claims=claims).case) == expected


# The best three years


def test_the_best_window_holds_most_of_three_years_in_a_row() -> None:
    window = best_window({1937: 0.1, 1938: 0.2, 1939: 0.4, 1940: 0.3})
    assert (window.first, window.last, window.probability) == (1938, 1940, pytest.approx(0.9))


def test_of_equal_windows_the_earliest_is_best() -> None:
    assert best_window(dict.fromkeys(range(1937, 1943), 1 / 6)).first == 1937


def test_a_window_does_not_reach_over_years_of_which_nothing_was_made() -> None:
    assert best_window({1938: 0.5, 1946: 0.3, 1947: 0.2}).probability == pytest.approx(0.5)


def test_the_year_is_settled_by_three_years_and_not_by_one() -> None:
    body = {"edge": feature("body", "square", "round", slips="hardly")}
    run = said("edge", "all", run=["square", {"from": "1940", "value": "round"}])
    folder = works({"heron": {"alder": {}}}, life="1937/1942", traits=[run])
    examination = examine(base_of(body, folder), look("edge", "square"), goal=Goal.YEAR)
    assert (examination.settled, max(examination.ranking.by_year.values()) < 0.5) == (True, True)


# What holds 95 in a hundred


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ([0.5, 0.3, 0.2], (0, 1, 2)),
        ([0.01, 0.96, 0.03], (1,)),
        ([0.03, 0.05, 0.92], (2, 1)),
        ([0.5, 0.45, 0.05], (0, 1)),
        ([0.25, 0.25, 0.25, 0.25], (0, 1, 2, 3)),
    ],
)
def test_the_smallest_set_holds_enough_likeliest_first(parts: list[float], expected: tuple[int, ...]) -> None:
    assert smallest_set(np.array(parts), 0.95) == expected


def test_the_smallest_set_that_holds_all_is_all() -> None:
    assert smallest_set(np.array([0.5, 0.25, 0.25]), 1.0) == (0, 1, 2)


# Stopping


def test_a_settled_variant_stops() -> None:
    base = four_variants(WIDTHS, *[said("width", v, v) for v in FOUR], said("width", "all", "larch"), settled=0.5)
    judged = verdict(examine(base, look("width", "alder")))
    assert (judged.settled, judged.stop) == (True, True)


def test_a_look_worth_taking_goes_on() -> None:
    judged = verdict(examine(four_variants()))
    assert (judged.settled, judged.stop) == (False, False)


def test_with_every_look_taken_it_stops_unsettled() -> None:
    judged = verdict(examine(four_variants(), look("width", unseen=True), look("lamp", unseen=True)))
    assert (judged.settled, judged.stop) == (False, True)


def test_it_then_names_everything_that_cannot_be_told_apart() -> None:
    judged = verdict(examine(four_variants(), look("width", unseen=True), look("lamp", unseen=True)))
    assert len(judged.together) == 5


@pytest.mark.parametrize(("worth", "stop"), [(0.5, False), (1.0, True)])
def test_what_is_worth_a_look_can_be_set(worth: float, stop: bool) -> None:
    assert verdict(examine(four_variants(worth_a_look=worth))).stop is stop


# Pairs of looks


def exclusive_or() -> KnowledgeBase:
    """Alder and birch have one of two runs each way round: neither look tells of the variant, the two together do."""
    features = {"rim": feature("body", "open", "rolled"), "clip": feature("body", "studs", "clips")}
    change = {"from": "1939"}
    traits = [
        said("rim", "all", run=["open", {**change, "value": "rolled"}]),
        said("clip", "alder", run=["studs", {**change, "value": "clips"}]),
        said("clip", "birch", run=["clips", {**change, "value": "studs"}]),
    ]
    folder = works({"heron": {"alder": {}, "birch": {}}}, life="1937/1940", traits=traits)
    return base_of(features, folder)


def test_two_looks_that_tell_only_together_tell_nothing_alone() -> None:
    assert max(one.bits for one in examine(exclusive_or()).looks) < 0.001


def test_two_looks_that_tell_only_together_keep_it_going() -> None:
    assert verdict(examine(exclusive_or())).stop is False


def test_looks_that_tell_nothing_make_no_pair() -> None:
    idle = {"rim": feature("body", "open", "rolled"), "clip": feature("body", "studs", "clips")}
    assert not pair_tells(examine(base_of(idle, works({"heron": {"alder": {}, "birch": {}}}))))


def test_a_pair_counts_what_the_second_look_tells_where_the_first_cannot() -> None:
    """Two unrelated looks of 0.012 bit each make a pair worth 0.02."""
    features = {name: feature("body", "plain", "fancy", slips="rarely", cannot_tell=0.5) for name in ("rim", "clip")}
    traits = [
        said(name, variant, values={"plain": often, "fancy": rest})
        for name in features
        for variant, often, rest in (("alder", "often", "often"), ("birch", "often", "sometimes"))
    ]
    base = base_of(features, works({"heron": {"alder": {}, "birch": {}}}, traits=traits))
    examination = examine(base)
    worth = 0.95 * sum(one.bits for one in examination.looks)
    told = base.model_copy(update={"wording": wording(PLAIN, {"worth_a_look": worth})})
    assert pair_tells(examine(told))


# The look outside


def outside(*accesses: str) -> KnowledgeBase:
    features = {f"part_{access}": feature("body", *FOUR, access=access) for access in accesses}
    traits = [said(name, variant, variant) for name in features for variant in FOUR]
    return four_variants(features, *traits)


def test_a_look_this_situation_does_not_offer_is_named_when_it_stops() -> None:
    judged = verdict(examine(outside("panel_off")))
    assert judged.outside is not None
    assert judged.outside.feature == "part_panel_off"


def test_the_cheapest_of_them_is_named() -> None:
    found = outside_look(examine(outside("panel_off", "tool", "hand"), situation="listing"))
    assert found is not None
    assert found.feature == "part_hand"


def test_one_that_tells_little_is_not_named() -> None:
    assert outside_look(examine(four_variants())) is None


def test_on_the_bench_nothing_is_outside() -> None:
    assert outside_look(examine(outside("panel_off"), situation="bench")) is None
