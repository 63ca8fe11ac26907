"""Which blocks of a maker a number as it was read may be of, and what it may stand for there."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from hobmark.dates import read_span
from hobmark.dating.serial_lines import Floats, Line, completions, line_of
from hobmark.knowledge.base import MakerFolder
from hobmark.knowledge.schema.serials import Anchor, Fitting, SerialFormat

LONGEST = 80
"""Longest text, in characters, that is read as a number."""

_LABEL = re.compile(r"\s*(?:(?:serial|ser|number|no|nr)\b[.:]*\s*|[#:]\s*)+", re.IGNORECASE)


@dataclass(frozen=True)
class Fit:
    """A block whose pattern a text fits, and the numbers it may stand for there: in the block, or none of them is.

    `pattern`: the one it fits. `weight`: how many numbers those are.
    """

    line: Line
    pattern: str
    numbers: Floats
    weight: float
    inside: bool

    @property
    def block(self) -> SerialFormat:
        """The block."""
        return self.line.block

    @property
    def anchors(self) -> tuple[Anchor, ...]:
        """The anchors next below and above what the text may stand for, rising; one number may have several."""
        return tuple(self.block.anchors[at] for at in self.places)

    @cached_property
    def places(self) -> tuple[int, ...]:
        """Where those anchors stand in the block; none for a number outside it."""
        numbers = self.line.numbers
        if not len(numbers) or not self.inside:
            return ()
        below = numbers[max(int(np.searchsorted(numbers, self.numbers.min(), "right")) - 1, 0)]
        above = numbers[min(int(np.searchsorted(numbers, self.numbers.max())), len(numbers) - 1)]
        order = sorted(range(len(self.block.anchors)), key=lambda at: self.block.numbers[at])
        return tuple(at for at in order if self.block.numbers[at] in (below, above))


def life_years(folder: MakerFolder) -> NDArray[np.int64]:
    """The years of the maker's life."""
    life = read_span(folder.maker.life)
    return np.arange(life.first_year or 0, (life.last_year or 0) + 1)


def fits_of(folder: MakerFolder, text: str) -> tuple[tuple[int, int], list[Fit]]:
    """Where the number stands in the text, and the blocks it fits.

    Of the numbers it may stand for only those in a block count; if none is in one, all of them do.
    """
    label = _LABEL.match(text)
    for start in (0, label.end()) if label else (0,):
        bare = text[start:]
        digits = [(block, block.fits(bare)) for block in folder.serials] if len(bare) <= LONGEST else []
        if fitting := [(block, found) for block, found in digits if found is not None]:
            place = (start + len(bare) - len(bare.lstrip()), start + len(bare.rstrip()))
            return place, _in_blocks(folder, fitting)
    return (0, 0), []


def _in_blocks(folder: MakerFolder, fitting: Sequence[tuple[SerialFormat, Fitting]]) -> list[Fit]:
    life = read_span(folder.maker.life)
    every, inside = [], []
    for block, (pattern, digits) in fitting:
        line = line_of(block, life)
        numbers, count = completions(digits)
        held = line.holds(numbers)
        every.append(Fit(line, pattern, numbers, float(count), inside=False))
        if held.any():
            inside.append(Fit(line, pattern, numbers[held], count * float(held.mean()), inside=True))
    return inside or every
