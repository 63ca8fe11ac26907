"""Serial numbers: the years in which a range with this number was made, read off a line through dated numbers.

Between two anchors the date is taken to run straight with the number. That is a hypothesis, never a fact: numbers were
given out of turn, plates were stamped ahead, blocks were skipped. So every reading tells the anchors it rests on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hobmark.dating.evidence import Evidence
from hobmark.dating.serial_fits import Fit, fits_of, life_years
from hobmark.dating.serial_lines import Floats
from hobmark.dating.serial_words import (
    LINE_IS_NO_FACT,
    PLATE_ONLY,
    YEAR_IS_OF_THE_PLATE,
    block_words,
    contradictions,
    remarks,
    source_words,
)
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Wording
from hobmark.problems import Problem, Refused, one_of, shown

HELD = 0.95
"""Share of the probability that the years told of a number hold."""
TOO_WIDE = 0.5
"""Share of the maker's life beyond which such years bound nothing."""


@dataclass(frozen=True, slots=True)
class UsedAnchor:
    """A dated number that a reading rests on, and the block it is in."""

    block: str
    serial: str
    date: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SerialReading:
    """What a number says of its year, if this maker gave it.

    `formats`: the blocks it may be of. `years`: every year of the maker's life with its share; they sum to 1.
    `anchors`: the dated numbers next below and above, block by block. `contradictions`: which of the anchors there
    cannot both be right. `said`: what made the years wider, or what was assumed.
    """

    maker: str
    formats: tuple[str, ...]
    years: tuple[tuple[int, float], ...]
    evidence: Evidence
    anchors: tuple[UsedAnchor, ...]
    contradictions: tuple[str, ...]
    said: tuple[str, ...]


def read_serials(text: str, base: KnowledgeBase, maker: str | None = None) -> tuple[SerialReading, ...]:
    """What a number says of its year, once for each maker (or for the one named) with a block that it fits.

    Raises Refused for a maker that is not in the base. Where nothing fits, `no_format` says what would.
    """
    found = []
    for folder in _folders(base, maker):
        place, fits = fits_of(folder, text)
        if fits:
            found.append(_reading(folder, text, place, fits, base.wording))
    return tuple(found)


def density(folder: MakerFolder, text: str, years: NDArray[np.int64], wording: Wording) -> Floats | None:
    """How well each of some years goes with a number of this maker; shape of `years`, None where no block fits it.

    It is p(year | number) off the line, all years of the maker's life being alike beforehand, with the block's
    outliers spread evenly over that life: so it sums to 1 over the life, and is 0 outside. It is meant as the
    likelihood of the year. It was not divided by how many ranges a year's numbers were shared by: a year of large
    output, over which the line rises steeply, is weighed as one of small output.
    """
    _, fits = fits_of(folder, text)
    if not fits:
        return None
    life = life_years(folder)
    share = _density(fits, life, wording)
    at = np.asarray(years) - life[0]
    within = (at >= 0) & (at < len(life))
    return np.where(within, share[np.clip(at, 0, len(life) - 1)], 0.0)


def no_format(text: str, base: KnowledgeBase, maker: str | None = None) -> str:
    """In a sentence: this text fits no block, and what the numbers of the makers (or of the one named) look like."""
    looks = []
    for folder in _folders(base, maker):
        patterns = dict.fromkeys(pattern for block in folder.serials for pattern in block.pattern)
        looks.append(f"{folder.name}: {', '.join(patterns) if patterns else 'none is described'}")
    return f"'{shown(text)}' fits no serial number that is described. {'; '.join(looks)}."


def _folders(base: KnowledgeBase, maker: str | None) -> Sequence[MakerFolder]:
    if maker is None:
        return tuple(base.makers.values())
    if maker not in base.makers:
        raise Refused([Problem("hobmark", 1, 1, f"unknown maker '{shown(maker)}'.", one_of(maker, base.makers))])
    return (base.makers[maker],)


def _density(fits: Sequence[Fit], life: NDArray[np.int64], wording: Wording) -> Floats:
    """The mean over all that the text may stand for, with outliers; shape (years of the life,), sums to 1."""
    total = np.zeros(len(life))
    for fit in fits:
        stray = wording.slips[fit.block.outlier]
        share = fit.line.shares(fit.numbers, life).mean(axis=0)
        total += fit.weight * ((1 - stray) * share + stray / len(life))
    return np.asarray(total / total.sum())


def _reading(
    folder: MakerFolder, text: str, place: tuple[int, int], fits: Sequence[Fit], wording: Wording
) -> SerialReading:
    life = life_years(folder)
    share = _density(fits, life, wording)
    first, last = _holding(share)
    wide = last - first + 1 > TOO_WIDE * len(life)
    anchored = [source for fit in fits for anchor in fit.anchors for source in anchor.sources]
    sources = dict.fromkeys([*anchored, *(source for fit in fits for source in fit.block.sources)])
    dated = not all(fit.block.opens_with_year for fit in fits)
    evidence = Evidence(
        kind="serial",
        reading=text[slice(*place)],
        not_before=None if wide else str(life[first]),
        not_after=None if wide else str(life[last]),
        usually_until=None,
        proves=f"If {folder.name} gave it, made {'; or '.join(block_words(folder, fit) for fit in fits)}.",
        does_not_prove=f"{LINE_IS_NO_FACT if dated else YEAR_IS_OF_THE_PLATE} {PLATE_ONLY}",
        source="; ".join(source_words(folder, source) for source in sources),
        status="invented" if folder.maker.invented else "single",
        weighed=not wide,
        place=place,
    )
    return SerialReading(
        maker=folder.maker.id,
        formats=tuple(fit.block.id for fit in fits),
        years=tuple(zip(life.tolist(), share.tolist(), strict=True)),
        evidence=evidence,
        anchors=tuple(UsedAnchor(fit.block.id, a.serial, a.date, a.sources) for fit in fits for a in fit.anchors),
        contradictions=tuple(line for fit in fits for line in contradictions(fit)),
        said=tuple(remarks(folder, text, fits)),
    )


def _holding(share: Floats) -> tuple[int, int]:
    """The fewest years in a row that hold at least HELD, by place; the earliest of equally few."""
    passed = np.append(0.0, share.cumsum())
    ends = np.searchsorted(passed, passed[:-1] + HELD - 1e-9)
    starts = np.flatnonzero(ends <= len(share))
    best = starts[np.argmin(ends[starts] - starts)]
    return int(best), int(ends[best]) - 1
