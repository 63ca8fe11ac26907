"""What the user wants to know, as a partition of the cells, and when it counts as known."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hobmark.dates import read_span
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.cells import Cells, Group, Ints
from hobmark.reasoning.ranking import Ranking

YEAR_WINDOW = 3
"""Years in a row that settle the goal `year`: the exact one is rarely knowable, so it is never promised."""


@dataclass(frozen=True, slots=True)
class Claim:
    """What somebody says the range is: a variant, a maker, a date of making in EDTF, or several of these at once."""

    maker: str | None = None
    variant: str | None = None
    made: str | None = None

    def holds_in(self, cells: Cells) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """In which cells the whole claim is true, shape (H,)."""
        holds = np.ones(len(cells), dtype=np.bool_)
        if self.maker is not None:
            k = cells.makers.index(self.maker)
            holds &= cells.maker == k
            if self.variant is not None:
                holds &= cells.of_group(Group(self.maker, self.variant))
        if self.made is not None:
            span = read_span(self.made)
            holds &= cells.year >= (span.first_year if span.first_year is not None else cells.year.min())
            holds &= cells.year <= (span.last_year if span.last_year is not None else cells.year.max())
        return holds


def partition(cells: Cells, goal: Goal, claim: Claim | None = None) -> Ints:
    """The part each cell belongs to, shape (H,), numbered from 0. The goal `claim` needs a claim (ValueError)."""
    if goal is Goal.VARIANT:
        return cells.group
    if goal is Goal.YEAR:
        return np.asarray(cells.year - cells.year.min())
    if goal is Goal.MAKER:
        return cells.maker
    if claim is None:
        raise ValueError("the goal 'claim' needs a claim")
    return claim.holds_in(cells).astype(np.int64)


@dataclass(frozen=True, slots=True)
class YearWindow:
    """The best stretch of consecutive years and what it holds of the probability."""

    first: int
    last: int
    probability: float


def best_window(by_year: dict[int, float], width: int = YEAR_WINDOW) -> YearWindow:
    """The stretch of `width` years in a row with the most probability; the earliest of equals."""
    best = max(by_year, key=lambda first: (round(_mass(by_year, first, width), 12), -first))
    return YearWindow(best, best + width - 1, _mass(by_year, best, width))


def _mass(by_year: dict[int, float], first: int, width: int) -> float:
    return sum(by_year.get(year, 0.0) for year in range(first, first + width))


def likeliest(ranking: Ranking, goal: Goal, claim: Claim | None = None) -> float:
    """How probable the likeliest part of the goal is (for `year`, the best three-year window)."""
    if goal is Goal.YEAR:
        return best_window(ranking.by_year).probability
    parts = partition(ranking.model.cells, goal, claim)
    return float(np.bincount(parts, ranking.posterior).max())
