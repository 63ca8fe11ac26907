"""Looks once the goal has a name: those that would best expose a range the base does not know."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

import numpy as np

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.vocabulary import Access, Situation
from hobmark.reasoning.cells import Ints
from hobmark.reasoning.questions import Look, LookTable, costs_here, expectations, ranked_looks
from hobmark.reasoning.ranking import Ranking


def doubted(ranking: Ranking) -> tuple[Ranking, Ints]:
    """The ranking as if it were even odds that the range is none listed, and the parts {listed, unlisted}, (H,).

    Once a goal is settled, the look most worth taking is the one that would expose a range the base does not know;
    at its settled posterior every look about that would seem worthless.
    """
    cells = ranking.model.cells
    outside = np.array([group.unlisted for group in cells.groups])[cells.group]
    masses = [ranking.posterior[~outside].sum(), ranking.posterior[outside].sum()]
    if min(masses) <= 0:
        return ranking, outside.astype(np.int64)
    even = ranking.posterior * np.where(outside, 0.5 / masses[1], 0.5 / masses[0])
    return replace(ranking, posterior=even), outside.astype(np.int64)


def exposing_looks(
    base: KnowledgeBase,
    table: LookTable,
    ranking: Ranking,
    features: Collection[str],
    situation: Situation,
    also: Collection[Access],
) -> list[Look]:
    """The looks that would best expose a range the base does not know, best first.

    Until enough assemblies were looked at they are at assemblies not seen yet, where any such look can be had: a
    stranger, or a marriage, shows where nobody has looked.
    """
    costs = costs_here(base, features, situation, also)
    found = expectations(table, *doubted(ranking), exposing(base, ranking, costs))
    return ranked_looks(base, found, situation, also=also)


def exposing(base: KnowledgeBase, ranking: Ranking, costs: Mapping[str, float]) -> Mapping[str, float]:
    """Of the looks with these costs, those that may expose a stranger: see `exposing_looks`."""
    if is_tested(base, ranking):
        return costs
    places = ranking.model.features
    elsewhere = {f: seconds for f, seconds in costs.items() if places[f].assembly not in ranking.touched}
    return elsewhere or costs


def is_tested(base: KnowledgeBase, ranking: Ranking) -> bool:
    """Whether so many assemblies were looked at that a high probability counts as settled."""
    return len(ranking.touched) >= base.wording.stop.assemblies
