"""Supposed positions: what would be known after answers nobody has given yet, in numbers that are quick to go on from.

A position holds p(h | O) and, for every look offered, P(answer x | h, O); both are exact for single certain answers.
Cells stand in a grid, a row for each part of the goal, and parts that are next to impossible are left out. Rules are
not chained: what a supposed answer would set off is not seen here.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from hobmark.reasoning.cells import Floats, Ints
from hobmark.reasoning.ground import Flags, Ground
from hobmark.reasoning.questions import GATE_HOLDS
from hobmark.reasoning.ranking import Ranking, rank

FORGOTTEN = 1e-5
"""Parts of the goal less probable than this are left out of supposed positions: no two answers bring them back."""


@dataclass(frozen=True)
class Standing:
    """What a choice of the next look goes by: P(answer, part | O) `joint` (G, rows), P(part | O) `by_part` (G,).

    `parts` (G,) names the parts, `touched` the assemblies about which something is known, `open_looks` is (F,).
    """

    ground: Ground
    parts: Ints
    by_part: Floats
    joint: Floats
    touched: frozenset[int]
    open_looks: Flags

    @property
    def named(self) -> bool:
        """Whether the likeliest answer is as probable as a settled one must be."""
        return bool(self.ground.likeliest(self.by_part, self.parts) >= self.ground.settled)

    @property
    def lacking(self) -> int:
        """How many more assemblies must be looked at before a name counts."""
        return max(0, self.ground.enough - len(self.touched))

    @cached_property
    def fresh(self) -> Flags:
        """Which looks are at assemblies about which nothing is known, shape (F,)."""
        return ~np.isin(self.ground.assembly, list(self.touched))

    @cached_property
    def bits(self) -> Floats:
        """Expected bits about the goal of every look, b_f allowed for, shape (F,)."""
        answers = self.joint.sum(axis=0)
        rows = plogp(self.joint).sum(axis=0) - plogp(answers)
        bits = np.add.reduceat(rows, self.ground.starts) - plogp(self.by_part).sum()
        return np.asarray(np.maximum(bits, 0) * (1 - self.ground.blind))

    def unseen(self, f: int) -> Standing:
        """The same after a look that told nothing."""
        return replace(self, open_looks=shut(self.ground, self.open_looks, f))


@dataclass(frozen=True)
class Supposed:
    """One position. `chances` p(h | O) has shape (G, Y), `answers` P(x | h, O) (G, Y, rows), `open_looks` (F,).

    `cells` and `makers` (G, Y) name the cells in the grid, `parts` (G,) its rows; `together` is M_a by assembly.
    """

    ground: Ground
    parts: Ints
    cells: Ints
    makers: Ints
    chances: Floats
    answers: Floats
    together: Mapping[int, Floats]
    touched: frozenset[int]
    open_looks: Flags

    @cached_property
    def standing(self) -> Standing:
        """What a choice goes by."""
        joint = np.asarray(np.matmul(self.chances[:, None, :], self.answers)[:, 0])
        return Standing(self.ground, self.parts, self.chances.sum(axis=1), joint, self.touched, self.open_looks)

    def after(self, f: int, value: int) -> Supposed:
        """The position after one more answer."""
        ground, a = self.ground, int(self.ground.assembly[f])
        chances = self.chances * self.answers[:, :, ground.rows[f].start + value]
        kept = np.flatnonzero(chances.sum(axis=1) > FORGOTTEN * chances.sum())
        chances = chances[kept] / chances[kept].sum()
        cells, makers, answers = self.cells[kept], self.makers[kept], self.answers[kept]  # copies
        together = self.together.get(a, 1.0) * ground.answer_messages(f)[value]
        answers[:, :, ground.blocks[a][2]] = answers_given(ground, a, together[None], cells, makers)[0]
        return Supposed(
            ground,
            self.parts[kept],
            cells,
            makers,
            chances,
            answers,
            {**self.together, a: np.asarray(together)},
            self.touched | {a},
            self.open_after(f)[value],
        )

    def unseen(self, f: int) -> Supposed:
        """The position after a look that told nothing."""
        return replace(self, open_looks=shut(self.ground, self.open_looks, f))

    def open_after(self, f: int) -> Flags:
        """The looks that are open after each answer to a look, shape (K, F)."""
        rows = self.ground.rows[f]
        left = np.repeat(self.open_looks[None, :], rows.stop - rows.start, axis=0)
        left[:, f] = False
        for gate in self.ground.gates:
            if gate.gate == f:
                left[:, gate.gated] = gate.inside
            if gate.gated == f:  # its answer answers the gate
                left[:, gate.gate] = False
        return left

    def joints_after(self, f: int) -> Floats:
        """P(first answer, second answer, part | O) of a look and every other one, shape (G, K, rows)."""
        ground, a = self.ground, int(self.ground.assembly[f])
        first = np.ascontiguousarray((self.chances[:, :, None] * self.answers[:, :, ground.rows[f]]).swapaxes(1, 2))
        joint = np.matmul(first, self.answers)
        if ground.model.sigma[a] > 0:  # else the looks at one assembly say nothing of each other in one cell
            together = self.together.get(a, 1.0) * ground.answer_messages(f)
            given = answers_given(ground, a, together, self.cells, self.makers)
            joint[:, :, ground.blocks[a][2]] = np.einsum("gky,kgyr->gkr", first, given)
        return np.asarray(joint)


def shut(ground: Ground, open_looks: Flags, f: int) -> Flags:
    """The looks that are open after one that told nothing: not it, and not those it is the gate of."""
    left = open_looks.copy()
    left[f] = False
    for gate in ground.gates:
        if gate.gate == f:
            left[gate.gated] = False
    return left


def answers_given(ground: Ground, a: int, together: Floats, cells: Ints, makers: Ints) -> Floats:
    """P(x | h, O) of an assembly's looks where M_a is `together` (N, makers + 1, H); shape (N, G, Y, rows)."""
    block, places, _ = ground.blocks[a]
    sigma = float(ground.model.sigma[a])
    own = block.own_answers.T[cells[..., None], places]
    if sigma == 0:
        return np.broadcast_to(own, (len(together), *own.shape))
    donors = ground.model.cells.donors * together
    donated = donors.sum(axis=-1)
    alone = block.alone[places]
    carried = (1 - alone) * (donors @ block.answers[places].T)
    carried += alone * block.mean_answers[:, places] * donated[:, :, None]
    kept = (1 - sigma) * together[:, makers, cells]
    likelihood = kept + sigma * donated[:, makers]
    return np.asarray(
        (kept[..., None] * own + sigma * carried[:, makers]) / np.maximum(likelihood, 1e-300)[..., None],
        dtype=np.float64,
    )


def plogp(mass: Floats) -> Floats:
    """m log2 m, with 0 log 0 = 0."""
    return np.asarray(mass * np.log2(np.maximum(mass, 1e-300)))


def supposed(
    ground: Ground, ranking: Ranking, open_features: Collection[str], *, forgotten: float = FORGOTTEN
) -> Supposed:
    """The position a ranking stands for; parts of the goal not likelier than `forgotten` are left out."""
    by_part = np.bincount(ground.parts, ranking.posterior)
    parts = np.flatnonzero(by_part > forgotten)
    inside = [np.flatnonzero(ground.parts == part) for part in parts]
    cells = np.zeros((len(parts), max(map(len, inside))), dtype=np.int64)
    chances = np.zeros(cells.shape)
    for row, found in enumerate(inside):
        cells[row, : len(found)] = found
        chances[row, : len(found)] = ranking.posterior[found]
    makers = ground.model.cells.maker[cells]
    answers = np.empty((*cells.shape, ground.rows[-1].stop))
    for a, (_, _, rows) in ground.blocks.items():
        answers[:, :, rows] = answers_given(ground, a, ranking.together[None, :, a, :], cells, makers)[0]
    return Supposed(
        ground,
        parts,
        cells,
        makers,
        chances / chances.sum(),
        answers,
        {a: ranking.together[:, a, :] for a in ranking.touched},
        ranking.touched,
        np.array([feature in open_features for feature in ground.features]),
    )


def opening(ground: Ground) -> Supposed:
    """Before any look."""
    blank = supposed(ground, rank(ground.model, ()), ground.features)
    left = blank.open_looks.copy()
    for gate in ground.gates:
        chance = blank.standing.joint.sum(axis=0)[ground.rows[gate.gate]]
        left[gate.gated] &= chance[gate.inside].sum() >= GATE_HOLDS * chance.sum()
    return replace(blank, open_looks=left)
