"""The first of the ranked looks without working all of them out: the same look, found by bounds.

No look can tell more about a goal than about the cells the goal is made of, EIG_f(G) <= EIG_f(cells), and

EIG_f(cells) = H(answers) - sum_h p(h | O) H(answers | h, O)

takes one product of a matrix and a vector while nothing is known of the assembly. Once something is, the answers of a
cell mix its own and a donor's in known shares, and by concavity H(answers | h, O) is at least the same mix of the two
entropies. Looks are worked out in order of bound over cost until no bound left reaches the best.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from hobmark.knowledge.base import KnowledgeBase
from hobmark.reasoning.cells import Floats, Ints
from hobmark.reasoning.questions import (
    CELL_SHARE,
    Block,
    Expectation,
    Look,
    LookTable,
    answers_and_donated,
    cannot_tell,
    expectations,
    look_at,
    order,
)
from hobmark.reasoning.ranking import Ranking

SLACK = 1e-9
"""Bits that rounding may put between a bound and what it bounds; looks nearer than this are all worked out."""

Chained = Callable[[str], Expectation | None]
"""Works a look out by what its answers would set off; None where they set off nothing."""


def best_look(
    base: KnowledgeBase,
    table: LookTable,
    ranking: Ranking,
    parts: Ints,
    seconds: Mapping[str, float],
    chained: Mapping[str, Chained] | None = None,
) -> Look | None:
    """The best of the looks that cost `seconds`, as `ranked_looks` orders them; None where there is none.

    `chained` has the looks that may set off rules: what they tell is bounded by the number of their answers alone.
    """
    chained = chained or {}
    bounds = cell_bits_bounds(table, ranking)
    most = {}
    for feature, cost in seconds.items():
        bits = bounds[feature] if feature not in chained else float(np.log2(len(base.features[feature].value_ids)))
        most[feature] = (1 - cannot_tell(base, feature)) * (1 + CELL_SHARE) * (bits + SLACK) / cost
    best: Look | None = None
    for feature in sorted(seconds, key=lambda feature: (-most[feature], feature)):
        if best is not None and most[feature] < best.index:
            break
        expected = chained[feature](feature) if feature in chained else None
        if expected is None:
            expected = expectations(table, ranking, parts, {feature})[feature]
        look = look_at(base, feature, expected, seconds[feature])
        best = look if best is None else min(best, look, key=order)
    return best


def cell_bits_bounds(table: LookTable, ranking: Ranking) -> dict[str, float]:
    """At least EIG_f(cells) of every look, before b_f, and never more than log2 K."""
    found: dict[str, float] = {}
    for a, block in enumerate(table.blocks):
        if block is None:
            continue
        answers, donated = answers_and_donated(block, ranking, a)
        answers = answers / np.maximum(np.add.reduceat(answers, block.starts), 1e-300)[block.feature_of_row]
        whole = np.add.reduceat(_entropies(answers), block.starts)
        if a in ranking.touched:
            given = _mixed_entropy(block, ranking, a, donated)
        else:
            given = block.blank_entropy @ ranking.posterior
        values = np.bincount(block.feature_of_row)
        bits = np.clip(whole - given, 0, np.log2(values))
        found |= {feature: float(bits[f]) for f, feature in enumerate(block.features)}
    return found


def _mixed_entropy(block: Block, ranking: Ranking, a: int, donated: Floats) -> Floats:
    """At most sum_h p(h | O) H(answers | h, O) of a block's looks, shape (F,)."""
    model = ranking.model
    weight = ranking.posterior / ranking.likelihood[a]
    own = weight * (1 - model.sigma[a]) * ranking.own_together[a]
    given = block.own_entropy @ own
    if model.sigma[a] > 0:
        brought = np.add.reduceat(donated, block.starts, axis=1)  # sigma R of each maker, alike for all looks
        mixed = donated / np.maximum(brought, 1e-300)[:, block.feature_of_row]
        entropy = np.add.reduceat(_entropies(mixed), block.starts, axis=1)
        by_maker = np.bincount(model.cells.maker, weight, minlength=len(donated))
        given = given + by_maker @ (brought * entropy)
    return np.asarray(given, dtype=np.float64)


def _entropies(mass: Floats) -> Floats:
    return np.asarray(-(mass * np.log2(np.maximum(mass, 1e-300))))
