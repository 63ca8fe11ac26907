"""What it costs to tell things apart by asking: the exact optimum, plain information gain, and the project's own looks.

Noise-free: a look at a thing gives its value for certain, and the cost of a thing is that of all looks taken on the
way to it. Asking ends when only one part of the goal is left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Situation
from hobmark.reasoning.evidence import Message, direct_messages
from hobmark.reasoning.model import Model
from hobmark.reasoning.questions import LookTable, expectations, look_table, ranked_looks
from hobmark.reasoning.ranking import rank

ALIVE = 1e-9
"""Probability above which a part still counts as possible; noise-free, the rest is rounding."""


@dataclass
class Asking:
    """`answers[f][i]` is what look f shows on thing i; `weight` and `part` by thing, `cost` by look."""

    answers: Sequence[Sequence[int]]
    weight: Sequence[float]
    cost: Sequence[float]
    part: Sequence[int]
    known: dict[int, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        things = range(len(self.weight))
        self.holds = [
            [sum(1 << i for i in things if row[i] == value) for value in sorted(set(row))] for row in self.answers
        ]
        self.parts = [sum(1 << i for i in things if self.part[i] == part) for part in sorted(set(self.part))]
        self.all = (1 << len(self.weight)) - 1
        wide = sum(len(sets) > 2 for sets in self.holds)
        alike = len(set(self.weight)) == 1 and set(self.cost) == {1}
        self.even = alike and len(self.parts) == len(self.weight) and wide <= 1

    def mass(self, among: int) -> float:
        """Weight of a set of things, given as bits."""
        return sum(w for i, w in enumerate(self.weight) if among >> i & 1)

    def told(self, among: int) -> bool:
        """Whether a set lies inside one part."""
        return any(among & part == among for part in self.parts)

    def splits(self, among: int) -> list[tuple[float, tuple[int, ...]]]:
        """The looks that part a set: (cost, the sets it leaves), each way of parting once and at its cheapest."""
        ways: dict[tuple[int, ...], float] = {}
        for cost, sets in zip(self.cost, self.holds, strict=True):
            left = tuple(sorted(here for s in sets if (here := among & s)))
            if len(left) > 1:
                ways[left] = min(cost, ways.get(left, math.inf))
        return [(cost, left) for left, cost in ways.items()]

    def optimum(self) -> float:
        """The least expected cost of any way of asking, by memoised dynamic programming."""
        return self._least(self.all, math.inf) / self.mass(self.all)

    def _least(self, among: int, cap: float) -> float:
        """The least cost of a set if it is below `cap`, else some number from `cap` up to that cost."""
        if self.told(among):
            return 0.0
        if among in self.known:
            return self.known[among]
        paid, best, beyond = self.mass(among), math.inf, math.inf
        ways = [(cost * paid + sum(map(self._floor, left)), cost * paid, left) for cost, left in self.splits(among)]
        for bound, spent, left in sorted(ways):
            if bound >= min(best, cap):
                beyond = min(beyond, bound)
                break
            floors = [self._floor(here) for here in left]
            for place, here in enumerate(left):
                rest = sum(floors[place + 1 :])
                spent += self._least(here, min(best, cap) - spent - rest)
                if spent + rest >= min(best, cap):
                    beyond = min(beyond, spent + rest)
                    break
            else:
                best = spent
        if best == math.inf:
            return beyond
        self.known[among] = best
        return best

    def _floor(self, among: int) -> float:
        """A lower bound of the cost of a set: Huffman's where things and costs are even, else that of one look."""
        if among in self.known:
            return self.known[among]
        if not self.even:
            return 0.0 if self.told(among) else self.mass(among) * min(self.cost)
        several = max((len(left) for _, left in self.splits(among)), default=1)
        return self.weight[0] * (huffman(among.bit_count()) if several == 2 else _one_wide(among.bit_count(), several))

    def greedy(self) -> float:
        """Expected cost of always taking the look with the most bits about the thing; the first of equals."""
        return self._greedy(self.all) / self.mass(self.all)

    def _greedy(self, among: int) -> float:
        if self.told(among):
            return 0.0
        ways = self.splits(among)
        _, left = max(ways, key=lambda way: round(self._bits(way[1]), 9))
        return self.mass(among) + sum(map(self._greedy, left))

    def _bits(self, left: Sequence[int]) -> float:
        whole = sum(map(self.mass, left))
        return -sum(self.mass(s) / whole * math.log2(self.mass(s) / whole) for s in left)


def huffman(things: int) -> int:
    """Sum of the questions to tell `things` equal things apart by yes or no (Huffman 1952)."""
    if things < 2:
        return 0
    deep = things.bit_length() - 1
    return things * deep + 2 * (things - (1 << deep))


def _one_wide(things: int, several: int) -> int:
    """The same where one look parts into `several`: by Kraft's sum it saves most as the first, on even shares."""
    share, over = divmod(things, several)
    return min(huffman(things), things + over * huffman(share + 1) + (several - over) * huffman(share))


@dataclass(frozen=True)
class Walk:
    """The project's looks followed to the end on every thing of a base."""

    base: KnowledgeBase
    model: Model
    parts: np.ndarray
    table: LookTable

    def expected_cost(self, messages: tuple[Message, ...] = ()) -> float:
        """Expected seconds from here until one part is left, always taking the first of the ranked looks."""
        ranking = rank(self.model, messages)
        if (np.bincount(self.parts, ranking.posterior) > ALIVE).sum() == 1:
            return 0.0
        asked = {message.feature for message in messages}
        found = expectations(self.table, ranking, self.parts, set(self.base.features) - asked)
        look = ranked_looks(self.base, found, Situation.BENCH)[0]
        after = 0.0
        for value, chance in zip(self.model.features[look.feature].values, found[look.feature].answers, strict=True):
            if chance > ALIVE:
                seen = Observation.model_validate({"feature": look.feature, "is": value})
                after += chance * self.expected_cost((*messages, *direct_messages(self.base, self.model, [seen])))
        return look.seconds + after


def walk(base: KnowledgeBase, model: Model, parts: np.ndarray) -> float:
    """Expected seconds of the project's looks from the start."""
    return Walk(base, model, parts, look_table(model)).expected_cost()
