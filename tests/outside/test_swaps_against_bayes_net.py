"""The swap model against exact inference in a Bayes net, by pyAgrum (pyagrum.gitlab.io), an independent program.

An optional job: pyAgrum comes with the extra `bayes` and brings much that nothing else here needs. The net says in so
many nodes what the model's formulas say in sums: a range has a cell, the cell a maker; each assembly is swapped or
not, has a donor, and so a source; a single part likewise; a feature follows its part's source, and a reading is
virtual evidence on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.model import Model, compile_model
from hobmark.reasoning.ranking import Ranking

from .enumeration import reading_chances
from .tables import random_base, random_observations, ranked

agrum = pytest.importorskip("pyagrum", reason="pyAgrum is not here; pip install -e '.[test,bayes]' brings it")

every_base = pytest.mark.parametrize("seed", range(12))
swappable = pytest.mark.parametrize("assembly", [1, 2])


class Net:
    """The swap model of a base as a net, over the features that were seen."""

    def __init__(self, base: KnowledgeBase, model: Model, seen: Sequence[Observation]) -> None:
        self.base, self.model, self.count = base, model, len(model.cells)
        self.net = agrum.BayesNet("swaps")
        self._add("cell", self.count)
        self._fill("cell", {}, model.cells.prior)
        makers = len(model.cells.makers) + 1
        self._add("maker", makers, "cell")
        for h, maker in enumerate(model.cells.maker):
            self._fill("maker", {"cell": h}, np.eye(makers)[maker])
        for name, assembly in base.assemblies.items():
            rate = 0.0 if assembly.swapped is None else base.wording.swapped[assembly.swapped]
            self._add_source(name, "cell", rate)
        for one in seen:
            self._add_look(one)

    def chances(self, node: str, seen: Sequence[Observation], **known: int) -> np.ndarray:
        """P(node | what was seen, what is known), by junction trees."""
        inference = agrum.LazyPropagation(self.net)
        for one in seen:
            inference.addEvidence(f"shows {one.feature}", reading_chances(self.base, one).tolist())
        for name, value in known.items():
            inference.addEvidence(f"swapped {name}", value)
        inference.makeInference()
        return np.array(inference.posterior(node).toarray())

    def _add_look(self, one: Observation) -> None:
        feature = self.base.features[one.feature]
        source = f"source {feature.assembly}"
        if feature.swapped_alone is not None:
            self._add_source(one.feature, source, self.base.wording.swapped[feature.swapped_alone])
            source = f"source {one.feature}"
        self._add(f"shows {one.feature}", len(feature.value_ids), source)
        for h in range(self.count):
            self._fill(f"shows {one.feature}", {source: h}, self.model.features[one.feature].phi[:, h])

    def _add_source(self, part: str, own: str, rate: float) -> None:
        """Where a part comes from: where its bearer comes from (node `own`), or a donor drawn for the maker."""
        self._add(f"swapped {part}", 2)
        self._fill(f"swapped {part}", {}, np.array([1 - rate, rate]))
        self._add(f"donor {part}", self.count, "maker")
        for maker in range(len(self.model.cells.makers) + 1):
            self._fill(f"donor {part}", {"maker": maker}, self._donors(maker))
        self._add(f"source {part}", self.count, f"swapped {part}", own, f"donor {part}")
        one = np.eye(self.count)
        for swapped, bearer, donor in np.ndindex(2, self.count, self.count):
            at = {f"swapped {part}": swapped, own: bearer, f"donor {part}": donor}
            self._fill(f"source {part}", at, one[donor if swapped else bearer])

    def _donors(self, maker: int) -> np.ndarray:
        prior, within = self.model.cells.prior, self.base.wording.model.donor_within
        same = np.where(self.model.cells.maker == maker, prior, 0.0)
        return within * same / same.sum() + (1 - within) * prior

    def _add(self, node: str, size: int, *parents: str) -> None:
        self.net.add(agrum.RangeVariable(node, node, 0, size - 1))
        for parent in parents:
            self.net.addArc(parent, node)

    def _fill(self, node: str, at: dict[str, int], chances: np.ndarray) -> None:
        table: Any = self.net.cpt(node)
        table[at] = chances.tolist()


@cache
def both_ways(seed: int) -> tuple[Ranking, Net, list[Observation]]:
    """A random base with 1 to 6 looks, more or less sure, ranked and laid out as a net."""
    base = random_base(seed)
    seen = random_observations(base, seed, 1 + seed % 6)
    model = compile_model(base)
    return ranked(base, model, seen), Net(base, model, seen), seen


@every_base
def test_the_posterior_is_the_nets(seed: int) -> None:
    ranking, net, seen = both_ways(seed)
    assert ranking.posterior == pytest.approx(net.chances("cell", seen), abs=1e-8)


@every_base
@swappable
def test_swapped_is_as_probable_as_in_the_net(seed: int, assembly: int) -> None:
    ranking, net, seen = both_ways(seed)
    expected = net.chances(f"swapped {ranking.model.assemblies[assembly]}", seen)[1]
    assert ranking.swapped[assembly] == pytest.approx(expected, abs=1e-8)


@every_base
@swappable
def test_the_donor_of_a_swapped_assembly_is_the_nets(seed: int, assembly: int) -> None:
    ranking, net, seen = both_ways(seed)
    name = ranking.model.assemblies[assembly]
    expected = net.chances(f"donor {name}", seen, **{name: 1})
    assert ranking.donors_of(assembly) == pytest.approx(expected, abs=1e-8)


@every_base
def test_the_range_itself_is_never_swapped_in_either(seed: int) -> None:
    ranking, net, seen = both_ways(seed)
    assert ranking.swapped[0] == net.chances(f"swapped {ranking.model.assemblies[0]}", seen)[1] == 0
