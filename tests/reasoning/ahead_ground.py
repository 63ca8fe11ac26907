"""Random bases made ready to look ahead on."""

from __future__ import annotations

from functools import cache

import pytest
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.evidence import direct_messages
from hobmark.reasoning.examination import Compiled, compile_base
from hobmark.reasoning.goals import Claim
from hobmark.reasoning.ground import Ground, ground_of
from hobmark.reasoning.ranking import Ranking, rank
from hobmark.reasoning.supposing import Supposed, supposed

from ..outside.tables import random_base, random_observations

SEEDS = range(12)
every_base = pytest.mark.parametrize("seed", SEEDS)
every_goal = pytest.mark.parametrize("goal", list(Goal), ids=str)


CLAIM = Claim(maker="one", made="1930")


@cache
def compiled_random(seed: int) -> Compiled:
    return compile_base(random_base(seed))


def ground(seed: int, goal: Goal = Goal.VARIANT) -> Ground:
    found = ground_of(compiled_random(seed), Situation.SALE, goal, CLAIM)
    assert found is not None
    return found


def ranked(seed: int, count: int) -> Ranking:
    base, model = compiled_random(seed).base, compiled_random(seed).model
    return rank(model, direct_messages(base, model, random_observations(base, seed, count)))


def position(seed: int, goal: Goal = Goal.VARIANT) -> tuple[Ranking, Supposed]:
    """A random base after 0 to 4 of its 6 looks, nothing forgotten."""
    ranking = ranked(seed, seed % 5)
    return ranking, supposed(ground(seed, goal), ranking, compiled_random(seed).base.features, forgotten=0.0)
