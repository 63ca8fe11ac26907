"""What must hold of ranking and looks whatever the base: small random bases with swaps, single parts swapped on their
own, slips, floor and cells for what is not listed all on.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.evidence import Message, direct_messages
from hobmark.reasoning.goals import Claim, partition
from hobmark.reasoning.model import Model, compile_model
from hobmark.reasoning.questions import Expectation, expectations, look_table
from hobmark.reasoning.ranking import Ranking, rank

from ..outside.enumeration import enumerate_patterns
from ..outside.tables import random_base, random_observations, ranked

SEEDS = range(24)
every_base = pytest.mark.parametrize("seed", SEEDS)
every_goal = pytest.mark.parametrize("goal", list(Goal), ids=str)
CLAIM = Claim(maker="one", made="1930")


@cache
def examined(seed: int) -> tuple[KnowledgeBase, Model, list[Observation], Ranking]:
    """A random base and 0 to 5 of its 6 looks taken, so that touched and untouched assemblies occur."""
    base = random_base(seed)
    model = compile_model(base)
    seen = random_observations(base, seed, seed % 6)
    return base, model, seen, ranked(base, model, seen)


def open_looks(seed: int) -> list[str]:
    base, _, seen, _ = examined(seed)
    return [f for f in base.features if f not in {one.feature for one in seen}]


@cache
def expected(seed: int, goal: Goal) -> dict[str, Expectation]:
    _, model, _, ranking = examined(seed)
    parts = partition(model.cells, goal, CLAIM)
    return expectations(look_table(model), ranking, parts, open_looks(seed))


@cache
def after(seed: int, feature: str) -> list[tuple[float, Ranking]]:
    """Each answer a look may give: P(answer | O) from the evidence, and the ranking after it."""
    base, model, seen, ranking = examined(seed)
    found = []
    for value in base.features[feature].value_ids:
        answer = Observation.model_validate({"feature": feature, "is": value})
        outcome = ranked(base, model, [*seen, answer])
        found.append((math.exp(outcome.log_evidence - ranking.log_evidence), outcome))
    return found


def entropy(mass: np.ndarray) -> float:
    mass = mass[mass > 0]
    return float(-(mass * np.log2(mass)).sum())


def bits_left(ranking: Ranking, parts: np.ndarray) -> float:
    return entropy(np.bincount(parts, ranking.posterior))


# Ranking


@every_base
def test_the_posterior_makes_one(seed: int) -> None:
    assert examined(seed)[3].posterior.sum() == pytest.approx(1, abs=1e-12)


@every_base
def test_the_order_of_answers_does_not_matter(seed: int) -> None:
    base, model, seen, ranking = examined(seed)
    shuffled = [seen[place] for place in np.random.default_rng(seed).permutation(len(seen))]
    assert ranked(base, model, shuffled).posterior == pytest.approx(ranking.posterior, rel=1e-12)


@every_base
def test_what_could_not_be_seen_changes_nothing(seed: int) -> None:
    base, model, seen, ranking = examined(seed)
    unseen = [Observation.model_validate({"feature": f, "unseen": True}) for f in open_looks(seed)]
    assert np.array_equal(ranked(base, model, [*seen, *unseen]).posterior, ranking.posterior)


@every_base
def test_a_reading_that_allows_every_value_alike_changes_nothing(seed: int) -> None:
    base, model, seen, ranking = examined(seed)
    empty = [
        Message(model.features[f].assembly, model.message(f, np.ones(len(base.features[f].value_ids))), f)
        for f in open_looks(seed)
    ]
    found = rank(model, [*direct_messages(base, model, seen), *empty])
    assert found.posterior == pytest.approx(ranking.posterior, rel=1e-12)


@pytest.mark.parametrize("kind", ["is", "is_not"])
@every_base
def test_a_value_named_twice_says_no_more_than_once(seed: int, kind: str) -> None:
    base, model, _, _ = examined(seed)
    once, twice = (
        Observation.model_validate({"feature": "look0", kind: ["v0"] * times, "sure": "likely"}) for times in (1, 2)
    )
    assert ranked(base, model, [twice]).posterior == pytest.approx(ranked(base, model, [once]).posterior, rel=1e-9)


@every_base
def test_decibans_add_up_from_prior_and_assemblies_to_the_posterior_odds(seed: int) -> None:
    """I. J. Good, Probability and the Weighing of Evidence (1950): weights of evidence add on the log scale."""
    _, model, _, ranking = examined(seed)
    prior, likelihood = model.cells.prior, ranking.likelihood
    of_prior = 10 * np.log10(prior[:, None] / prior)
    of_assemblies = 10 * np.log10(likelihood[:, :, None] / likelihood[:, None, :])
    odds = 10 * np.log10(ranking.posterior[:, None] / ranking.posterior)
    assert of_prior + of_assemblies.sum(axis=0) == pytest.approx(odds, abs=1e-9)


@every_base
def test_every_chance_that_a_part_is_not_its_own_is_a_probability(seed: int) -> None:
    swapped = examined(seed)[3].swapped
    assert np.all((swapped >= 0) & (swapped <= 1 + 1e-12))


@every_base
def test_what_nothing_was_seen_of_is_swapped_as_often_as_before(seed: int) -> None:
    _, model, _, ranking = examined(seed)
    untouched = [a for a in range(len(model.assemblies)) if a not in ranking.touched]
    assert ranking.swapped[untouched] == pytest.approx(model.sigma[untouched], abs=1e-12)


@every_base
def test_a_certain_true_observation_never_lowers_the_expected_log_score(seed: int) -> None:
    """Truth is drawn by enumeration of every pattern of swaps; the score is the log of the project's probability."""
    base, model, seen, ranking = examined(seed)
    truth = enumerate_patterns(base, model, seen).cells
    before = truth @ np.log(ranking.posterior) / truth.sum()
    gains = []
    for feature in open_looks(seed):
        later = 0.0
        for value in base.features[feature].value_ids:
            answer = Observation.model_validate({"feature": feature, "is": value})
            joint = enumerate_patterns(base, model, [*seen, answer]).cells / truth.sum()
            later += joint @ np.log(ranked(base, model, [*seen, answer]).posterior)
        gains.append(later - before)
    assert min(gains) >= -1e-12


# Looks


@every_goal
@every_base
def test_the_answers_to_a_look_make_one(seed: int, goal: Goal) -> None:
    sums = [look.answers.sum() for look in expected(seed, goal).values()]
    assert sums == pytest.approx([1] * len(sums), abs=1e-12)


@every_base
def test_the_answers_are_as_probable_as_the_evidence_says(seed: int) -> None:
    """P(x | O) = P(O, x) / P(O)."""
    found = [p for feature in open_looks(seed) for p in expected(seed, Goal.VARIANT)[feature].answers]
    counted = [chance for feature in open_looks(seed) for chance, _ in after(seed, feature)]
    assert found == pytest.approx(counted, abs=1e-12)


@every_goal
@every_base
def test_no_look_is_expected_to_tell_less_than_nothing(seed: int, goal: Goal) -> None:
    assert min(look.goal_bits for look in expected(seed, goal).values()) >= 0


@every_goal
@every_base
def test_a_look_tells_no_more_about_the_goal_than_about_the_cells(seed: int, goal: Goal) -> None:
    """Data processing: a goal is a partition of the cells."""
    looks = expected(seed, goal).values()
    assert min(look.cell_bits - look.goal_bits for look in looks) >= -1e-12


@every_goal
@every_base
def test_expected_bits_about_the_goal_are_those_of_ranking_after_every_answer(seed: int, goal: Goal) -> None:
    _, model, _, ranking = examined(seed)
    parts = partition(model.cells, goal, CLAIM)
    before = bits_left(ranking, parts)
    told = [
        before - sum(chance * bits_left(outcome, parts) for chance, outcome in after(seed, feature))
        for feature in open_looks(seed)
    ]
    found = [expected(seed, goal)[feature].goal_bits for feature in open_looks(seed)]
    assert found == pytest.approx(told, abs=1e-9)


@every_base
def test_expected_bits_about_the_cells_are_those_of_ranking_after_every_answer(seed: int) -> None:
    _, _, _, ranking = examined(seed)
    before = entropy(ranking.posterior)
    told = [
        before - sum(chance * entropy(outcome.posterior) for chance, outcome in after(seed, feature))
        for feature in open_looks(seed)
    ]
    found = [expected(seed, Goal.VARIANT)[feature].cell_bits for feature in open_looks(seed)]
    assert found == pytest.approx(told, abs=1e-9)
