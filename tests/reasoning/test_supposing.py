"""Supposed positions: what an answer that nobody gave yet would make of the cells."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.evidence import direct_messages
from hobmark.reasoning.examination import compile_base
from hobmark.reasoning.ground import ground_of
from hobmark.reasoning.questions import expectations
from hobmark.reasoning.ranking import rank
from hobmark.reasoning.supposing import Supposed, opening, supposed

from .ahead_ground import compiled_random, every_base, every_goal, ground, position, ranked
from .small_base import base_of, feature, said, works


@every_base
@every_goal
def test_a_supposed_position_expects_the_answers_that_the_ranking_does(seed: int, goal: Goal) -> None:
    ranking, here = position(seed, goal)
    found = expectations(compiled_random(seed).looks, ranking, here.ground.parts, here.ground.features)
    expected = np.concatenate([found[feature].answers for feature in here.ground.features])
    assert here.standing.joint.sum(axis=0) == pytest.approx(expected, abs=1e-12)


@every_base
@every_goal
def test_its_bits_are_those_of_the_look(seed: int, goal: Goal) -> None:
    ranking, here = position(seed, goal)
    found = expectations(compiled_random(seed).looks, ranking, here.ground.parts, here.ground.features)
    told = [float(1 - here.ground.blind[f]) * found[name].goal_bits for f, name in enumerate(here.ground.features)]
    assert here.standing.bits == pytest.approx(told, abs=1e-9)


@every_base
def test_after_an_answer_it_is_the_position_of_the_ranking_then(seed: int) -> None:
    ranking, here = position(seed)
    compiled = compiled_random(seed)
    asked = {message.feature for message in ranking.messages}
    f = next(f for f, name in enumerate(here.ground.features) if name not in asked)
    value = compiled.base.features[here.ground.features[f]].value_ids[0]
    seen = Observation.model_validate({"feature": here.ground.features[f], "is": value})
    then = rank(compiled.model, [*ranking.messages, *direct_messages(compiled.base, compiled.model, [seen])])
    there = supposed(here.ground, then, here.ground.features, forgotten=0.0)
    after = here.after(f, 0)
    assert after.standing.by_part == pytest.approx(there.standing.by_part[np.isin(there.parts, after.parts)], abs=1e-4)
    assert after.standing.joint.sum(axis=0) == pytest.approx(there.standing.joint.sum(axis=0), abs=1e-4)


@every_base
def test_two_answers_ahead_are_one_answer_and_then_another(seed: int) -> None:
    _, here = position(seed)
    joint = here.joints_after(2)
    chance = float(here.standing.joint[:, here.ground.rows[2].start].sum())
    after = here.after(2, 0)
    kept = np.isin(here.parts, after.parts)
    assert joint[kept, 0] / chance == pytest.approx(after.standing.joint, abs=1e-4)


def test_every_part_likely_enough_is_kept() -> None:
    ranking = ranked(4, 5)
    here = supposed(ground(4), ranking, compiled_random(4).base.features)
    assert here.chances.sum() == pytest.approx(1)


GATED = {
    "well": feature("body", "absent", "pot"),
    "lid": feature("body", "alder", "birch", needs={"well": ["pot"]}),
    "clip": feature("control", "alder", "birch"),
}


@cache
def gated() -> Supposed:
    traits = [said(name, v, v) for name in ("lid", "clip") for v in ("alder", "birch")] + [said("well", "all", "pot")]
    base = base_of(GATED, works({"heron": {"alder": {}, "birch": {}}}, traits=traits))
    found = ground_of(compile_base(base), Situation.SALE, Goal.VARIANT)
    assert found is not None
    return opening(found)


def names(here: Supposed) -> set[str]:
    return {name for name, is_open in zip(here.ground.features, here.open_looks, strict=True) if is_open}


@pytest.mark.parametrize(("value", "left"), [(0, {"clip"}), (1, {"clip", "lid"})], ids=["absent", "pot"])
def test_an_answer_opens_or_shuts_what_it_is_the_gate_of(value: int, left: set[str]) -> None:
    assert names(gated().after(gated().ground.place["well"], value)) == left


def test_an_answer_behind_a_gate_answers_the_gate() -> None:
    assert names(gated().after(gated().ground.place["lid"], 0)) == {"clip"}


def test_a_gate_that_could_not_be_seen_shuts_what_is_behind_it() -> None:
    assert names(gated().unseen(gated().ground.place["well"])) == {"clip"}
