"""The quick ways to a ranking, the best look and a verdict give what working everything out gives."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hobmark.case import Case, read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.best_look import SLACK, cell_bits_bounds
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.evidence import direct_messages
from hobmark.reasoning.examination import Compiled, Examination, compile_base
from hobmark.reasoning.goals import Claim
from hobmark.reasoning.ground import ground_of
from hobmark.reasoning.questions import answer_chances, expectations
from hobmark.reasoning.ranking import rank
from hobmark.reasoning.rule_looks import features_in_rules
from hobmark.reasoning.stopping import _gained, _gained_by_answers
from hobmark.reasoning.supposing import supposed

from ..outside.tables import random_base, random_observations

SEEDS = range(24)
every_base = pytest.mark.parametrize("seed", SEEDS)
every_goal = pytest.mark.parametrize("goal", list(Goal), ids=str)
CASES = sorted(knowledge_root().glob("*/cases/*.yaml"))[::4]
every_case = pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)


@cache
def random_compiled(seed: int) -> Compiled:
    return compile_base(random_base(seed))


@cache
def shipped() -> Compiled:
    return load_compiled([knowledge_root()])


def examined(seed: int, goal: Goal, looks: int | None = None) -> Examination:
    """A random base with 0 to 5 of its 6 looks taken, so that touched and untouched assemblies occur."""
    compiled = random_compiled(seed)
    seen = random_observations(compiled.base, seed, seed % 6 if looks is None else looks)
    case = Case.model_validate({"hobmark": "1", "observations": seen})
    return Examination(compiled, case, goal, Claim(maker="one", made="1930"))


def of_case(path: Path, goal: Goal, looks: int | None = None) -> Examination:
    compiled = shipped()
    case = read_case(path, compiled.base).case
    case = case.model_copy(update={"observations": case.observations[:looks]})
    return Examination(compiled, case, goal, Claim(maker=next(iter(compiled.base.makers))))


# Ranking


@every_base
def test_one_more_message_ranks_as_all_of_them_do(seed: int) -> None:
    compiled = random_compiled(seed)
    messages = direct_messages(compiled.base, compiled.model, random_observations(compiled.base, seed, 6))
    quick, whole = rank(compiled.model, messages[:-1]).with_message(messages[-1]), rank(compiled.model, messages)
    assert np.abs(quick.posterior - whole.posterior).max() <= 1e-12
    assert np.abs(quick.log_likelihood - whole.log_likelihood).max() <= 1e-12
    assert quick.log_evidence == pytest.approx(whole.log_evidence, abs=1e-12)


@every_base
def test_a_ranking_near_one_with_other_messages_is_the_whole_one(seed: int) -> None:
    compiled = random_compiled(seed)
    messages = direct_messages(compiled.base, compiled.model, random_observations(compiled.base, seed, 6))
    near, whole = rank(compiled.model, messages[2:]), rank(compiled.model, messages[:4])
    quick = rank(compiled.model, messages[:4], near=near)
    assert np.abs(quick.together - whole.together).max() <= 1e-12
    assert np.abs(quick.donated - whole.donated).max() <= 1e-12
    assert np.abs(quick.posterior - whole.posterior).max() <= 1e-12


@every_case
def test_a_case_taken_further_is_ranked_as_if_it_were_new(path: Path) -> None:
    examination = of_case(path, Goal.VARIANT, 3)
    for seen in read_case(path, shipped().base).case.observations[3:]:
        examination.ranking  # noqa: B018 - worked out, so that the next one goes on from it
        examination = examination.with_answer(seen)
    anew = Examination(shipped(), examination.case, examination.goal, examination.claim)
    assert np.abs(examination.ranking.posterior - anew.ranking.posterior).max() <= 1e-12


def test_a_ranking_near_another_leaves_that_one_as_it_was() -> None:
    compiled = random_compiled(3)
    messages = direct_messages(compiled.base, compiled.model, random_observations(compiled.base, 3, 6))
    near = rank(compiled.model, messages[:3])
    before = near.together.copy()
    near.with_message(messages[4])
    assert np.array_equal(near.together, before)


# Looks


@every_base
@every_goal
def test_the_best_look_is_the_first_of_all(seed: int, goal: Goal) -> None:
    assert same(examined(seed, goal))


def same(examination: Examination) -> bool:
    """Whether the quick best look is the first of all, to the last digit that ranks them."""
    best = examination.best
    first = examination.looks[0] if examination.looks else None
    if best is None or first is None:
        return best is first
    return best.feature == first.feature and best.index == pytest.approx(first.index, abs=1e-12)


@every_case
@every_goal
def test_the_best_look_of_a_shipped_case_is_the_first_of_all(path: Path, goal: Goal) -> None:
    assert same(of_case(path, goal))


@every_case
@pytest.mark.parametrize("looks", [0, 2, 4])
def test_so_it_is_when_the_case_was_begun(path: Path, looks: int) -> None:
    assert same(of_case(path, Goal.VARIANT, looks))


@every_base
def test_no_look_tells_more_about_the_cells_than_its_bound(seed: int) -> None:
    examination = examined(seed, Goal.VARIANT)
    bounds = cell_bits_bounds(examination.compiled.looks, examination.ranking)
    assert all(expected.cell_bits <= bounds[f] + SLACK for f, expected in examination.expected.items())


@every_base
def test_the_bound_of_an_assembly_not_looked_at_is_what_it_tells(seed: int) -> None:
    examination = examined(seed, Goal.VARIANT, looks=0)
    bounds = cell_bits_bounds(examination.compiled.looks, examination.ranking)
    told = {feature: expected.cell_bits for feature, expected in examination.expected.items()}
    assert {f: bounds[f] for f in told} == pytest.approx(told, abs=1e-9)


@every_base
def test_one_look_by_itself_tells_what_it_tells_among_all(seed: int) -> None:
    examination = examined(seed, Goal.VARIANT)
    table, ranking, parts = examination.compiled.looks, examination.ranking, examination.parts
    whole = expectations(table, ranking, parts, examination.open_features)
    alone = {f: expectations(table, ranking, parts, {f})[f] for f in whole}
    assert {f: e.goal_bits for f, e in alone.items()} == pytest.approx({f: e.goal_bits for f, e in whole.items()})


@every_base
def test_the_answers_alone_are_those_of_the_expectations(seed: int) -> None:
    examination = examined(seed, Goal.VARIANT)
    answers = answer_chances(examination.compiled.looks, examination.ranking, examination.open_features)
    gaps = [np.abs(answers[f] - expected.answers).max() for f, expected in examination.expected.items()]
    assert max(gaps) <= 1e-12


@every_case
def test_what_can_be_had_is_what_is_ranked(path: Path) -> None:
    examination = of_case(path, Goal.VARIANT, 3)
    ranked = {look.feature for look in examination.looks}
    assert examination.named or ranked == set(examination.offered)


# Rules


@every_case
def test_an_answer_that_no_rule_minds_changes_nothing_that_weighs(path: Path) -> None:
    examination, compiled = of_case(path, Goal.VARIANT, 4), shipped()
    unminded = [
        (rules, feature, value)
        for rules in compiled.rules.values()
        for feature in features_in_rules(compiled) - examination.facts.keys()
        for value in compiled.base.features[feature].value_ids
        if not rules.minds(feature, value)
    ]
    before = {maker: rules.weighed(examination.facts) for maker, rules in compiled.rules.items()}
    assert unminded
    assert all(
        rules.weighed({**examination.facts, feature: frozenset({value})}) == before[rules.maker]
        for rules, feature, value in unminded
    )


# Pairs


@every_base
@every_goal
def test_what_a_second_look_gains_is_what_ranking_after_every_answer_says(seed: int, goal: Goal) -> None:
    examination = examined(seed, goal, looks=seed % 4)
    seconds = {look.feature: look for look in examination.looks}
    first = next(iter(seconds))
    ground = ground_of(examination.compiled, Situation.SALE, goal, examination.claim, features=seconds)
    assert ground is not None
    quick = _gained(supposed(ground, examination.ranking, seconds, forgotten=0.0), first)
    del quick[first]
    assert quick == pytest.approx(_gained_by_answers(examination, first, seconds), abs=1e-9)


def test_an_answer_is_seen_as_a_reading() -> None:
    """The quick way takes an answer's message from the stacked tables; it is that of the observation."""
    compiled = random_compiled(5)
    ground = ground_of(compiled, Situation.SALE, Goal.VARIANT)
    assert ground is not None
    table = compiled.model.features["look1"]
    seen = [Observation.model_validate({"feature": "look1", "is": value}) for value in table.values]
    told = [message.values for message in direct_messages(compiled.base, compiled.model, seen)]
    assert np.abs(ground.answer_messages(ground.place["look1"]) - np.array(told)).max() <= 1e-12
