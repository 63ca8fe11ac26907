"""The looks that are offered, stacked for thinking ahead: all that stays the same whatever is answered."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from hobmark.knowledge.vocabulary import Access, Goal, Situation
from hobmark.reasoning.cells import Floats, Ints
from hobmark.reasoning.goals import YEAR_WINDOW, Claim, partition
from hobmark.reasoning.model import Model
from hobmark.reasoning.questions import Block, cannot_tell, cost_of, seconds_of

if TYPE_CHECKING:
    from hobmark.reasoning.examination import Compiled

Flags = NDArray[np.bool_]
"""An array of bool."""


@dataclass(frozen=True, slots=True)
class Gate:
    """Look `gated` is open where look `gate` has one of the values `inside` (K,)."""

    gated: int
    gate: int
    inside: Flags


@dataclass(frozen=True)
class Ground:
    """Everything about the looks offered that stays the same whatever is known; F looks, their values as rows.

    `blocks` holds for each assembly the places of its rows in the table of looks; `rows` each look's rows here.
    """

    model: Model
    goal: Goal
    parts: Ints
    unlisted: Flags  # by part: whether nothing in it is listed
    features: tuple[str, ...]
    assembly: Ints
    seconds: Floats
    blind: Floats  # b_f
    rows: tuple[slice, ...]
    blocks: Mapping[int, tuple[Block, Ints, slice]]
    gates: tuple[Gate, ...]
    settled: float
    enough: int
    worth: float

    @cached_property
    def place(self) -> Mapping[str, int]:
        """The number of each look."""
        return {feature: f for f, feature in enumerate(self.features)}

    @cached_property
    def starts(self) -> Ints:
        """The first row of each look, shape (F,)."""
        return np.array([rows.start for rows in self.rows], dtype=np.int64)

    @cached_property
    def look_of_row(self) -> Ints:
        """The look that each row belongs to."""
        return np.repeat(np.arange(len(self.rows)), [rows.stop - rows.start for rows in self.rows])

    @cached_property
    def usual_seconds(self) -> float:
        """What a look at one more assembly usually costs: the median of each assembly's cheapest."""
        return float(np.median([self.seconds[self.assembly == a].min() for a in self.blocks]))

    def answer_messages(self, f: int) -> Floats:
        """m_f(h) of each certain answer to a look, shape (K, makers + 1, H)."""
        block, places, rows = self.blocks[int(self.assembly[f])]
        own = places[self.rows[f].start - rows.start : self.rows[f].stop - rows.start]
        alone = block.alone[own][:, None, None]
        return np.asarray(
            (1 - alone) * block.answers[own][:, None, :] + alone * block.mean_answers.T[own][:, :, None],
            dtype=np.float64,
        )

    def likeliest(self, chances: Floats, parts: Ints) -> Floats:
        """How probable the likeliest answer to the goal is; `chances` has shape (G, ...) over these parts."""
        if self.goal is not Goal.YEAR:
            return np.asarray(chances.max(axis=0))
        ahead = parts[None, :] - parts[:, None]
        window = ((ahead >= 0) & (ahead < YEAR_WINDOW)).astype(np.float64)
        return np.asarray(np.tensordot(window, chances, (1, 0)).max(axis=0))


def ground_of(
    compiled: Compiled,
    situation: Situation,
    goal: Goal,
    claim: Claim | None = None,
    *,
    also: Collection[Access] = (),
    features: Collection[str] | None = None,
) -> Ground | None:
    """The ground of a base, a situation and a goal, or None where no look is offered.

    `also` adds access levels asked for, `features` keeps to some of the looks.
    """
    base, model = compiled.base, compiled.model
    costs = {}
    for feature in base.features if features is None else features:
        seconds = cost_of(base, feature, situation)
        if seconds is None and base.features[feature].access in also:
            seconds = seconds_of(base, feature)
        if seconds is not None:
            costs[feature] = seconds
    if not costs:
        return None
    names, rows, blocks = _stacked(compiled, costs)
    parts = partition(model.cells, goal, claim)
    listed = np.array([not group.unlisted for group in model.cells.groups])[model.cells.group]
    stop = base.wording.stop
    return Ground(
        model=model,
        goal=goal,
        parts=parts,
        unlisted=np.bincount(parts, listed) == 0,
        features=names,
        assembly=np.array([model.features[feature].assembly for feature in names]),
        seconds=np.array([costs[feature] for feature in names]),
        blind=np.array([cannot_tell(base, feature) for feature in names]),
        rows=rows,
        blocks=blocks,
        gates=_gates(compiled, names),
        settled=stop.settled,
        enough=stop.assemblies,
        worth=stop.worth_a_look,
    )


def _stacked(
    compiled: Compiled, wanted: Collection[str]
) -> tuple[tuple[str, ...], tuple[slice, ...], dict[int, tuple[Block, Ints, slice]]]:
    names: list[str] = []
    rows: list[slice] = []
    blocks: dict[int, tuple[Block, Ints, slice]] = {}
    for a, block in enumerate(compiled.looks.blocks):
        kept = [f for f, feature in enumerate(block.features) if feature in wanted] if block is not None else []
        if block is None or not kept:
            continue
        first = rows[-1].stop if rows else 0
        places = [np.flatnonzero(block.feature_of_row == f) for f in kept]
        for f, own in zip(kept, places, strict=True):
            names.append(block.features[f])
            row = rows[-1].stop if rows else 0
            rows.append(slice(row, row + len(own)))
        blocks[a] = block, np.concatenate(places), slice(first, rows[-1].stop)
    return tuple(names), tuple(rows), blocks


def _gates(compiled: Compiled, names: tuple[str, ...]) -> tuple[Gate, ...]:
    base, place = compiled.base, {feature: f for f, feature in enumerate(names)}
    return tuple(
        Gate(place[feature], place[gate], np.array([value in values for value in base.features[gate].value_ids]))
        for feature in names
        for gate, values in base.features[feature].needs.items()
        if gate in place
    )
