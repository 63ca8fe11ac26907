"""The line through the dated numbers of one block: from a running number to the stretch of time it was made in.

Time is in decimal years, as in hobmark.dates. S numbers are looked at together; Y is the number of years.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hobmark.dates import Span, read_span
from hobmark.knowledge.schema.serials import CENTURY, UNREAD, SerialFormat

Floats = NDArray[np.float64]
"""An array of float64; the docstring beside it gives the shape."""

PACE = 2.0
"""Beyond the anchors numbers may have run so many times faster or slower than between them (our choice)."""
MOST_COMPLETIONS = 2000
"""Completions of a number with unread digits that are looked at; of more, so many at even steps through their order."""
SHORTEST = 1 / 12
"""Years to which a date at the edge of a block is known at best."""


@dataclass(frozen=True, slots=True)
class Line:
    """A block's anchors as two lines that rise with the number: the earliest and the latest date it can have.

    `numbers`, `earliest` and `latest` have one entry for each anchored number, rising; `begins` and `ends` bound the
    block, which holds the numbers `first` to `last`. `pace`: years a number, None where no two anchors tell it.
    """

    block: SerialFormat
    begins: float
    ends: float
    first: float
    last: float
    numbers: Floats
    earliest: Floats
    latest: Floats
    pace: float | None

    def holds(self, numbers: Floats) -> NDArray[np.bool_]:
        """Which of some numbers (or years, where the block opens with the year) lie in the block; shape (S,)."""
        if self.block.opens_with_year:
            return np.asarray((CENTURY + numbers + 1 > self.begins) & (CENTURY + numbers < self.ends))
        return np.asarray((numbers >= self.first) & (numbers <= self.last))

    def span(self, numbers: Floats) -> tuple[Floats, Floats]:
        """The earliest and latest date of some numbers, each of shape (S,) and rising with the number.

        Between anchors both run straight. Beyond them they drift apart, as the pace may have halved or doubled. Of a
        block without anchors, and of a number that lies outside the block, the block's years alone are known.
        """
        begins, ends = np.full(len(numbers), self.begins), np.full(len(numbers), self.ends)
        low, high, known = begins, ends, self.holds(numbers)
        if self.block.opens_with_year:
            low, high = CENTURY + numbers, CENTURY + numbers + 1
        elif len(self.numbers):
            low = np.interp(numbers, self.numbers, self.earliest)
            high = np.interp(numbers, self.numbers, self.latest)
            over = np.maximum(numbers - self.numbers[-1], 0.0)
            under = np.maximum(self.numbers[0] - numbers, 0.0)
            if self.pace is None:
                low, high = np.where(under > 0, begins, low), np.where(over > 0, ends, high)
            else:
                low = low + over * self.pace / PACE - under * self.pace * PACE
                high = high + over * self.pace * PACE - under * self.pace / PACE
        low, high = np.where(known, low, begins), np.where(known, high, ends)
        return np.clip(low, begins, ends - SHORTEST), np.clip(high, begins + SHORTEST, ends)

    def shares(self, numbers: Floats, years: NDArray[np.int64]) -> Floats:
        """How the making of a range with one of these numbers spreads over years; shape (S, Y), rows sum to 1.

        Even from the earliest to the latest date, moved by up to the block's error either way, within its years.
        `years` must run on and cover the block.
        """
        low, high = (end[:, None] for end in self.span(numbers))
        edges = np.clip(np.append(years, years[-1] + 1).astype(np.float64), self.begins, self.ends)
        moved = self.block.error / 12
        passed = (_moved(edges - low, moved) - _moved(edges - high, moved)) / (high - low)
        share = np.diff(passed, axis=1)
        return np.asarray(share / share.sum(axis=1, keepdims=True))


def _moved(since: Floats, by: float) -> Floats:
    """The integral of a step at 0 that is blurred evenly over -by..by."""
    if by <= 0:
        return np.maximum(since, 0.0)
    inside = np.clip(since + by, 0.0, 2 * by)
    return np.asarray(inside**2 / (4 * by) + np.maximum(since - by, 0.0))


def line_of(block: SerialFormat, life: Span) -> Line:
    """The line of one block of a maker with this life.

    Anchors that contradict each other are each widened over both; then no number is earlier than a lower one's
    earliest date, or later than a higher one's latest.
    """
    made = read_span(block.made) if block.made is not None else life
    begins, ends = max(made.earliest, life.earliest), min(made.latest, life.latest)
    spans = [read_span(anchor.date) for anchor in block.anchors]
    earliest = [max(span.earliest, begins) for span in spans]
    latest = [min(span.latest, ends) for span in spans]
    wide = list(zip(earliest, latest, strict=True))
    for pair in block.contradictions:
        for at in pair:
            others = (wide[at][0], wide[at][1], *(earliest[one] for one in pair), *(latest[one] for one in pair))
            wide[at] = min(others), max(others)
    numbers, place = np.unique(np.array(block.numbers, dtype=np.float64), return_inverse=True)
    low, high = np.full(len(numbers), -np.inf), np.full(len(numbers), np.inf)
    np.maximum.at(low, place, np.array([span[0] for span in wide]))
    np.minimum.at(high, place, np.array([span[1] for span in wide]))
    low, high = np.maximum.accumulate(low), np.minimum.accumulate(high[::-1])[::-1]
    first, last = (None if end is None else block.number(end) for end in (block.first, block.last))
    return Line(
        block,
        begins,
        ends,
        -np.inf if first is None else float(first),
        np.inf if last is None else float(last),
        numbers,
        low,
        high,
        _pace(numbers, (low + high) / 2),
    )


def _pace(numbers: Floats, middles: Floats) -> float | None:
    if len(numbers) < 2 or middles[-1] <= middles[0]:
        return None
    return float((middles[-1] - middles[0]) / (numbers[-1] - numbers[0]))


def completions(digits: str) -> tuple[Floats, int]:
    """The numbers that digits with some unread may stand for, rising, and how many there are.

    More than MOST_COMPLETIONS are stood for by so many at even steps through their order, which moves no share by
    more than one part in that number.
    """
    unread = [10 ** (len(digits) - 1 - place) for place, digit in enumerate(digits) if digit == UNREAD]
    known, count = int(digits.replace(UNREAD, "0")), 10 ** len(unread)
    looked_at = min(count, MOST_COMPLETIONS)
    found = []
    for at in range(looked_at):
        filled = str((2 * at + 1) * count // (2 * looked_at)).zfill(len(unread))
        found.append(known + sum(int(digit) * worth for digit, worth in zip(filled, unread, strict=False)))
    return np.array(found, dtype=np.float64), count
