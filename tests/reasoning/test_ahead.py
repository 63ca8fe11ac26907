"""Thinking ahead: supposed positions are the real ones, the outlook keeps its promises, and prepared looks are fit."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest
from hobmark.case import Case
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.ahead import Prepared, Thinker, answers_likeliest_first, prepare, thinker
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.outlook import learned_outlook, one_deep, plain_outlook
from hobmark.reasoning.supposing import opening

from ..outside.tables import random_observations
from .ahead_ground import CLAIM, compiled_random, every_base, every_goal, ground
from .small_base import base_of, examine, feature, look, rule, said, wording, works

# The outlook


@every_base
def test_what_is_settled_costs_nothing_more_but_for_the_chance_that_it_is_wrong(seed: int) -> None:
    outlook = replace(plain_outlook(ground(seed)), wrong=0.0)
    chances, parts = np.array([0.99, 0.01]), np.array([0, 1])
    assert outlook.seconds(ground(seed), chances, parts, 0) == 0


def test_a_name_on_too_few_assemblies_still_costs_one_look_for_each() -> None:
    outlook = replace(plain_outlook(ground(1)), wrong=0.0)
    chances, parts = np.array([0.99, 0.01]), np.array([0, 1])
    assert float(outlook.seconds(ground(1), chances, parts, 3)) == pytest.approx(3 * outlook.each)


def test_an_open_goal_costs_more_the_more_is_open() -> None:
    outlook, parts = plain_outlook(ground(1)), np.arange(3)
    chances = np.array([[0.9, 0.34], [0.05, 0.33], [0.05, 0.33]])
    nearly, wide_open = outlook.seconds(ground(1), chances, parts, 0)
    assert nearly < wide_open


def test_what_is_learned_is_the_same_each_time() -> None:
    one, other = (learned_outlook(ground(2), games=20) for _ in range(2))
    assert one is not None
    assert other is not None
    assert np.array_equal(one.shared, other.shared)


def test_learning_can_be_called_off() -> None:
    assert learned_outlook(ground(2), games=20, stop=lambda: True) is None


def test_one_deep_a_look_costs_its_seconds_and_what_follows() -> None:
    here = opening(ground(3)).standing
    outlook = plain_outlook(ground(3))
    assert (one_deep(here, outlook) >= here.ground.seconds).all()


# Prepared looks


def case_of(seed: int, count: int, goal: Goal = Goal.VARIANT) -> Examination:
    seen = random_observations(compiled_random(seed).base, seed, count)
    case = Case.model_validate({"hobmark": "1", "observations": seen})
    return Examination(compiled_random(seed), case, goal, CLAIM)


def prepared(seed: int, goal: Goal = Goal.VARIANT, **more: object) -> tuple[Examination, Prepared]:
    examination = case_of(seed, seed % 3, goal)
    return examination, prepare(examination, examination.looks[0].feature, **more)  # type: ignore[arg-type]


def after(examination: Examination, asked: str, value: str | None) -> Examination:
    return examination.with_answer(look(asked, unseen=True) if value is None else look(asked, value))


@every_base
@every_goal
def test_every_answer_has_a_look_that_is_offered_after_it(seed: int, goal: Goal) -> None:
    examination, found = prepared(seed, goal)
    offered = {value: {one.feature for one in after(examination, found.look, value).looks} for value in found.next}
    assert found.whole
    assert all(deeper is None or deeper.feature in offered[value] for value, deeper in found.next.items())


@every_base
def test_it_is_prepared_for_every_value_and_for_none(seed: int) -> None:
    examination, found = prepared(seed)
    assert set(found.next) == {*examination.compiled.base.features[found.look].value_ids, None}


@every_base
def test_nothing_is_prepared_after_an_answer_that_settles_it(seed: int) -> None:
    examination, found = prepared(seed)
    settled = {value for value in found.next if after(examination, found.look, value).settled}
    assert all(found.next[value] is None for value in settled)


@every_base
def test_the_likeliest_answer_comes_first(seed: int) -> None:
    examination, found = prepared(seed)
    assert list(found.next) == answers_likeliest_first(examination, found.look)


@every_base
def test_the_same_budget_prepares_the_same(seed: int) -> None:
    assert prepared(seed, budget=50)[1] == prepared(seed, budget=50)[1]


@every_base
def test_no_budget_leaves_greedy(seed: int) -> None:
    examination, found = prepared(seed, budget=0)
    greedy = {value: after(examination, found.look, value).looks[0].feature for value, d in found.next.items() if d}
    assert {value: deeper.feature for value, deeper in found.next.items() if deeper} == greedy


def test_a_larger_budget_thinks_deeper() -> None:
    deep = [max(d.deep for d in prepared(0, budget=budget)[1].next.values() if d) for budget in (0, 60, 3000)]
    assert deep == sorted(set(deep))


def test_told_to_stop_it_stops() -> None:
    assert prepared(1, stop=lambda: True)[1] == Prepared(prepared(1)[1].look, {}, False)


def test_with_its_time_over_it_stops() -> None:
    assert not prepared(1, seconds=0.0)[1].whole


def test_stopped_half_way_the_likeliest_answers_are_there() -> None:
    examination = case_of(1, 0)
    asked = examination.looks[0].feature
    calls = iter([False] * 1 + [True] * 999)
    found = prepare(examination, asked, stop=lambda: next(calls))
    assert list(found.next) == answers_likeliest_first(examination, asked)[:1]


def test_stopped_half_way_greedy_stands_where_there_was_no_time_to_think() -> None:
    examination = case_of(1, 0)
    asked = examination.looks[0].feature
    calls = iter([False] * 1 + [True] * 999)
    (deeper,) = prepare(examination, asked, stop=lambda: next(calls)).next.values()
    assert deeper is not None
    assert deeper.deep == 1


def test_four_threads_prepare_what_one_does() -> None:
    examination = case_of(1, 1)
    asked, thinking = examination.looks[0].feature, thinker(examination, learn=False)
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda _: prepare(examination, asked, thinking=thinking), range(4)))
    assert found == [prepare(examination, asked)] * 4


def test_where_no_look_is_offered_there_is_nothing_to_think_with() -> None:
    only_tools = {"clip": feature("body", "alder", "birch", access="tool")}
    base = base_of(only_tools, works({"heron": {"alder": {}, "birch": {}}}))
    assert thinker(examine(base, situation="listing")) is None


def test_a_look_that_only_rules_understand_stays_first_where_greedy_puts_it() -> None:
    """No statement speaks of the mark, so what is supposed, which fires no rules, cannot judge it."""
    parts = {
        "mark": feature("body", "absent", "ring"),
        "control": feature("body", "wheel", "bulb", access="tool"),
        "clip": feature("iron", "studs", "clips", access="tool"),
        "door": feature("control", "flat", "framed"),
    }
    sets_off = {"ring": "bulb", "absent": "wheel"}
    rules = [rule(f"r{x}", [{"mark": x}], {"feature": "control", "is": y}) for x, y in sets_off.items()]
    traits = [said("control", "alder", "wheel"), said("control", "birch", "bulb"), said("clip", "alder", "studs")]
    folder = works({"heron": {"alder": {}, "birch": {}}}, traits=traits, rules=rules)
    examination = examine(base_of(parts, folder, words=wording({"unlisted_variant": 0, "unlisted_maker": 0})))
    found = prepare(examination, "door")
    assert {deeper.feature for deeper in found.next.values() if deeper} == {"mark"}


def test_a_thinker_that_learned_serves_another_case() -> None:
    thinking = Thinker(ground(2), learned_outlook(ground(2), games=20) or plain_outlook(ground(2)))
    examination = case_of(2, 1)
    found = prepare(examination, examination.looks[0].feature, thinking=thinking)
    assert found.whole
