"""Ranking with swapped assemblies and single parts against brute force over every pattern (see enumeration.py)."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.model import compile_model
from hobmark.reasoning.ranking import Ranking

from .enumeration import Enumerated, donor_weights, enumerate_patterns, reading_chances
from .tables import random_base, random_observations, ranked

every_base = pytest.mark.parametrize("seed", range(60))


@cache
def both_ways(seed: int) -> tuple[KnowledgeBase, list[Observation], Ranking, Enumerated]:
    """A random base with 1 to 6 readings, ranked by the project and by enumeration."""
    base = random_base(seed)
    seen = random_observations(base, seed, 1 + seed % 6)
    model = compile_model(base)
    return base, seen, ranked(base, model, seen), enumerate_patterns(base, model, seen)


@every_base
def test_the_posterior_is_that_of_all_patterns(seed: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    assert ranking.posterior == pytest.approx(counted.cells / counted.cells.sum(), abs=1e-10)


@every_base
def test_the_evidence_is_that_of_all_patterns(seed: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    assert ranking.log_evidence == pytest.approx(np.log(counted.cells.sum()), abs=1e-10)


@every_base
def test_swapped_is_as_probable_as_the_patterns_that_swap_it(seed: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    assert ranking.swapped == pytest.approx(counted.swapped / counted.cells.sum(), abs=1e-10)


@every_base
@pytest.mark.parametrize("assembly", [1, 2])
def test_a_donor_is_as_probable_as_the_patterns_that_draw_it(seed: int, assembly: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    expected = counted.donor[assembly] / counted.donor[assembly].sum()
    assert ranking.donors_of(assembly) == pytest.approx(expected, abs=1e-10)


@every_base
def test_what_a_donors_assembly_shows_is_one_number_for_each_maker(seed: int) -> None:
    """R: for a range of cell h, the chance of an assembly's readings where it came whole from some donor."""
    base, seen, ranking, _ = both_ways(seed)
    model, delta = ranking.model, donor_weights(base, ranking.model)
    expected = np.empty((len(model.cells), len(base.assemblies)))
    for h in range(len(model.cells)):
        for a, assembly in enumerate(base.assemblies):
            shown = np.ones(len(model.cells))
            for one in seen:
                feature = base.features[one.feature]
                if feature.assembly == assembly:
                    rate = base.wording.swapped[feature.swapped_alone] if feature.swapped_alone else 0.0
                    says = reading_chances(base, one) @ model.features[one.feature].phi
                    shown *= (1 - rate) * says + rate * (delta[h] @ says)
            expected[h, a] = delta[h] @ shown
    assert ranking.donated[model.cells.maker] == pytest.approx(expected, abs=1e-10)
