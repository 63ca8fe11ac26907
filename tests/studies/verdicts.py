"""Probabilities that something is so, held against whether it was: how often they are right, and how well they fit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

BINS = 10
CALLED = 0.5
"""What is said with at least this probability counts as called."""


@dataclass(frozen=True, slots=True)
class Bin:
    """One line of a calibration curve: so many probabilities between two edges, their mean, and how many came true."""

    low: float
    high: float
    count: int
    said: float
    true: float


@dataclass(frozen=True, slots=True)
class Verdicts:
    """`said` (N,) probabilities and `true` (N,) whether it was so."""

    said: np.ndarray
    true: np.ndarray

    @property
    def precision(self) -> float:
        """Of what was called, the share that was so."""
        return _share(self.true[self.said >= CALLED])

    @property
    def recall(self) -> float:
        """Of what was so, the share that was called."""
        return self.recall_among(np.ones(len(self.said), dtype=bool))

    def recall_among(self, kept: np.ndarray) -> float:
        """Recall over those (N,) marked."""
        return _share(self.said[self.true & kept] >= CALLED)

    @property
    def brier(self) -> float:
        """Mean squared distance of what was said from what was so."""
        return float(((self.said - self.true) ** 2).mean())

    @property
    def false_alarms(self) -> int:
        """How many were called and were not so."""
        return int(((self.said >= CALLED) & ~self.true).sum())

    @property
    def curve(self) -> tuple[Bin, ...]:
        """The calibration curve over BINS bins of equal width, empty ones left out."""
        place = np.minimum((self.said * BINS).astype(int), BINS - 1)
        return tuple(self._bin(place == b, b / BINS, (b + 1) / BINS) for b in range(BINS) if (place == b).any())

    @property
    def curve_of_equal_counts(self) -> tuple[Bin, ...]:
        """The same over BINS bins that hold equally many."""
        order = np.argsort(self.said, kind="stable")
        found = []
        for inside in np.array_split(order, BINS):
            if len(inside):
                found.append(self._bin(inside, float(self.said[inside[0]]), float(self.said[inside[-1]])))
        return tuple(found)

    def _bin(self, inside: np.ndarray, low: float, high: float) -> Bin:
        said, true = self.said[inside], self.true[inside]
        return Bin(low, high, len(said), float(said.mean()), float(true.mean()))


def calibration_error(curve: tuple[Bin, ...]) -> float:
    """ECE: how far what is said lies from what is so, on average over all that was said."""
    return sum(line.count * abs(line.said - line.true) for line in curve) / sum(line.count for line in curve)


def _share(flags: np.ndarray) -> float:
    return float(flags.mean()) if len(flags) else float("nan")
