"""The next look: expected bits about the goal for each look, over what the look costs.

With alpha_a = p(h | O)/L_a(h) (1 - sigma_a) M_a(h), w_a = p(h | O)/L_a(h), q_f = C_f Phi^_f the answer
probabilities and rho_f(x) = sigma_a sum_h delta(h) M_a(h) q_f(x | h):

J_f(x, g) = sum_{h in g} alpha_a(h) q_f(x | h) + rho_f(x) sum_{h in g} w_a(h)
EIG_f(G) = (1 - b_f) [H(J over g) + H(J over x) - H(J)] bits, b_f = chance of "can't tell"
index = (EIG_f(G) + 0.2 EIG_f(cells)) / cost_f
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.vocabulary import Access, Situation
from hobmark.reasoning.cells import Floats, Ints
from hobmark.reasoning.model import Model
from hobmark.reasoning.ranking import Ranking

CELL_SHARE = 0.2
"""Weight of the bits about single cells beside those about the goal: two features that only tell together need it."""
GATE_HOLDS = 0.9
"""How probable a gate must be for a gated look to be offered before the gate itself was looked at."""


@dataclass(frozen=True, slots=True)
class Look:
    """One look that could be taken: bits about the goal, the seconds it costs and its index (higher is better)."""

    feature: str
    bits: float
    seconds: float
    index: float


@dataclass(frozen=True, slots=True)
class Block:
    """The looks at one assembly, stacked: F features in `starts`, rows = their values one after another."""

    features: tuple[str, ...]
    starts: Ints
    feature_of_row: Ints
    answers: Floats  # C Phi, (rows, H)
    own_answers: Floats  # C Phi^ with the cell's own maker as the range's, (rows, H)
    mean_answers: Floats  # C Phi averaged over the donors of each maker, (makers + 1, rows)
    alone: Floats  # s_f of each row
    own_entropy: Floats  # H(x | h) of own_answers in bits, (F, H)
    blank_entropy: Floats  # the same while nothing is known of the assembly, which may be a donor's, (F, H)

    def only(self, wanted: Collection[str]) -> Block:
        """The block of some of its looks."""
        kept = [f for f, feature in enumerate(self.features) if feature in wanted]
        if len(kept) == len(self.features):
            return self
        ends = [*self.starts[1:].tolist(), len(self.alone)]
        rows = np.concatenate([np.arange(self.starts[f], ends[f]) for f in kept])
        sizes = [ends[f] - int(self.starts[f]) for f in kept]
        return Block(
            tuple(self.features[f] for f in kept),
            np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.int64),
            np.repeat(np.arange(len(kept)), sizes),
            self.answers[rows],
            self.own_answers[rows],
            self.mean_answers[:, rows],
            self.alone[rows],
            self.own_entropy[kept],
            self.blank_entropy[kept],
        )


@dataclass(frozen=True, slots=True)
class LookTable:
    """Answer probabilities of every look, stacked by assembly; worked out once for a model."""

    model: Model
    blocks: tuple[Block | None, ...]


def look_table(model: Model) -> LookTable:
    """Stack the answer probabilities q_f of all features."""
    return LookTable(model, tuple(_block(model, a) for a in range(len(model.assemblies))))


def _block(model: Model, assembly: int) -> Block | None:
    tables = [table for table in model.features.values() if table.assembly == assembly]
    if not tables:
        return None
    answers = np.vstack([table.slips @ table.phi for table in tables])
    sizes = [len(table.values) for table in tables]
    alone = np.repeat([table.swapped_alone for table in tables], sizes)
    mean = model.cells.donors @ answers.T
    own = (1 - alone)[:, None] * answers + alone[:, None] * mean[model.cells.maker].T
    starts = np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.int64)
    sigma = model.sigma[assembly]
    blank = (1 - sigma) * own + sigma * mean[model.cells.maker].T
    return Block(
        tuple(table.id for table in tables),
        starts,
        np.repeat(np.arange(len(tables)), sizes),
        answers,
        own,
        mean,
        alone,
        np.add.reduceat(_entropies(own), starts),
        np.add.reduceat(_entropies(blank), starts),
    )


def _entropies(mass: Floats) -> Floats:
    """-m log2 m, with 0 log 0 = 0."""
    return np.asarray(-(mass * np.log2(np.maximum(mass, 1e-300))), dtype=np.float64)


def _entropy_sums(mass: Floats) -> Floats:
    """-sum m log2 m along the last axis."""
    return np.asarray(_entropies(mass).sum(axis=-1), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Expectation:
    """For one look, before b_f: bits about the goal and about the cells, and P(answer | O) over its values.

    `overturns` is the probability that the answer makes another part of the goal the likeliest.
    """

    goal_bits: float
    cell_bits: float
    answers: Floats
    overturns: float


def expectations(table: LookTable, ranking: Ranking, parts: Ints, wanted: Collection[str]) -> dict[str, Expectation]:
    """Expected bits of every feature in `wanted`, about the parts (H,) of a goal and about the cells themselves."""
    found: dict[str, Expectation] = {}
    for a, whole in enumerate(table.blocks):
        if whole is None or not any(feature in wanted for feature in whole.features):
            continue
        block = whole.only(wanted)
        joint, donated = _joint(block, ranking, a)
        grouped, marginal = _grouped(ranking, a, joint, donated, parts)
        goal_bits = _bits(block, grouped, marginal)
        turned = grouped.argmax(axis=1) != int(marginal.argmax())
        cell_joint = joint + _donated_cells(ranking, a, donated)
        cell_bits = _bits(block, cell_joint, ranking.posterior)
        row_sums = cell_joint.sum(axis=1)
        for f, feature in enumerate(block.features):
            rows = block.feature_of_row == f
            overturns = float(row_sums[rows] @ turned[rows])
            found[feature] = Expectation(float(goal_bits[f]), float(cell_bits[f]), row_sums[rows], overturns)
    return found


def answer_chances(table: LookTable, ranking: Ranking, wanted: Collection[str]) -> dict[str, Floats]:
    """P(answer | O) over the values of every feature in `wanted`, without what it would tell."""
    found: dict[str, Floats] = {}
    for a, whole in enumerate(table.blocks):
        if whole is not None and any(feature in wanted for feature in whole.features):
            block = whole.only(wanted)
            answers, _ = answers_and_donated(block, ranking, a)
            for f, feature in enumerate(block.features):
                found[feature] = answers[block.feature_of_row == f]
    return found


def answers_and_donated(block: Block, ranking: Ranking, a: int) -> tuple[Floats, Floats]:
    """P(answer | O) of a block's rows, shape (rows,), and rho(x) for each maker, shape (makers + 1, rows)."""
    kept = _weights(ranking, a) * (1 - ranking.model.sigma[a]) * ranking.own_together[a]
    donated = _donated(block, ranking, a)
    makers = ranking.model.cells.maker
    by_maker = np.bincount(makers, _weights(ranking, a), minlength=len(donated))
    return np.asarray(block.own_answers @ kept + by_maker @ donated), donated


def _joint(block: Block, ranking: Ranking, a: int) -> tuple[Floats, Floats]:
    """alpha(h) q(x | h), shape (rows, H), and rho(x) for each maker of the range, shape (makers + 1, rows)."""
    weight = _weights(ranking, a)
    joint = block.own_answers * (weight * (1 - ranking.model.sigma[a]) * ranking.own_together[a])[None, :]
    return joint, _donated(block, ranking, a)


def _donated(block: Block, ranking: Ranking, a: int) -> Floats:
    model, sigma = ranking.model, ranking.model.sigma[a]
    if sigma == 0:
        return np.zeros((len(model.cells.makers) + 1, len(block.alone)))
    donors = model.cells.donors * ranking.together[:, a, :]
    carried = (1 - block.alone) * (donors @ block.answers.T)
    carried += block.alone * block.mean_answers * ranking.donated[:, a][:, None]
    return np.asarray(sigma * carried)


def _weights(ranking: Ranking, a: int) -> Floats:
    return np.asarray(ranking.posterior / ranking.likelihood[a])


def _donated_cells(ranking: Ranking, a: int, donated: Floats) -> Floats:
    if not donated.any():
        return np.zeros((donated.shape[1], 1))
    return donated[ranking.model.cells.maker].T * _weights(ranking, a)[None, :]


def _grouped(ranking: Ranking, a: int, joint: Floats, donated: Floats, parts: Ints) -> tuple[Floats, Floats]:
    """J_f(x, g), shape (rows, G), and P(g | O), shape (G,)."""
    count = int(parts.max()) + 1
    order = np.argsort(parts, kind="stable")
    starts = np.searchsorted(parts[order], np.arange(count))
    present = np.bincount(parts, minlength=count) > 0
    grouped = np.zeros((joint.shape[0], count))
    grouped[:, present] = np.add.reduceat(joint[:, order], starts[present], axis=1)
    makers = ranking.model.cells.maker
    weights = np.zeros((donated.shape[0], count))
    np.add.at(weights, (makers, parts), _weights(ranking, a))
    marginal = np.asarray(np.bincount(parts, ranking.posterior, minlength=count), dtype=np.float64)
    return grouped + donated.T @ weights, marginal


def _bits(block: Block, joint: Floats, marginal: Floats) -> Floats:
    """H(g) + H(x) - H(J) for each feature of a block, never below 0."""
    row_entropy = _entropy_sums(joint)
    answer_entropy = _entropy_sums(joint.sum(axis=1)[:, None])
    both = np.add.reduceat(answer_entropy - row_entropy, block.starts)
    return np.maximum(0.0, both + _entropy_sums(marginal))


def cost_of(base: KnowledgeBase, feature_id: str, situation: Situation) -> float | None:
    """Seconds of a look in a situation; None where the situation does not offer it."""
    wording = base.wording.situations[situation]
    access = base.features[feature_id].access
    if access not in wording.offers:
        return None
    return wording.seconds_each if wording.seconds_each is not None else seconds_of(base, feature_id)


def seconds_of(base: KnowledgeBase, feature_id: str) -> float:
    """Seconds of a look for a person standing there: the feature's own, else its access level's."""
    feature = base.features[feature_id]
    return feature.seconds if feature.seconds is not None else base.wording.seconds[feature.access]


def cannot_tell(base: KnowledgeBase, feature_id: str) -> float:
    """b_f: the chance that the look tells nothing."""
    feature = base.features[feature_id]
    return feature.cannot_tell if feature.cannot_tell is not None else base.wording.cannot_tell[feature.access]


def ranked_looks(
    base: KnowledgeBase, found: dict[str, Expectation], situation: Situation, *, also: Collection[Access] = ()
) -> list[Look]:
    """The looks that can be had in a situation, best index first, ties by id; `also` adds access levels asked for."""
    costs = costs_here(base, found, situation, also)
    return sorted((look_at(base, feature, found[feature], seconds) for feature, seconds in costs.items()), key=order)


def costs_here(
    base: KnowledgeBase, features: Collection[str], situation: Situation, also: Collection[Access]
) -> dict[str, float]:
    """The seconds of those of the features that can be had in a situation; `also` adds access levels asked for."""
    costs = {}
    for feature in features:
        seconds = cost_of(base, feature, situation)
        if seconds is None and base.features[feature].access in also:
            seconds = seconds_of(base, feature)
        if seconds is not None:
            costs[feature] = seconds
    return costs


def look_at(base: KnowledgeBase, feature: str, expected: Expectation, seconds: float) -> Look:
    """A look that is expected to tell so much and costs so many seconds."""
    told = 1 - cannot_tell(base, feature)
    index = told * (expected.goal_bits + CELL_SHARE * expected.cell_bits) / seconds
    return Look(feature, told * expected.goal_bits, seconds, index)


def order(look: Look) -> tuple[float, str]:
    """The key that sorts looks: best index first, ties by id."""
    return -round(look.index, 12), look.feature
