"""What a maker's statements say of one variant and feature, as distributions over its values for each year.

The curators' words are Dirichlet pseudo-counts: statements that are not rivals join into one distribution D, with the
more specific one speaking first; rivals (`against:`) stay side by side, weighted by certainty.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from hobmark.dates import Starts, changed_by, read_ends, read_span, share_of_years
from hobmark.knowledge.base import EVERY_VARIANT, KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.works import Change, Trait
from hobmark.knowledge.vocabulary import HowOften
from hobmark.reasoning.cells import Floats

MOST_RIVALS = 10
"""Rival statements about one feature of one variant; more would make every reading of them 2^n camps."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """One statement laid out for one variant: `word` and `named` have shape (K values, Y years), `applies` (Y,)."""

    trait: Trait
    level: int
    weight: float
    word: Floats
    named: NDArray[np.bool_]
    applies: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Camp:
    """Statements that agree to be read together: D of shape (K, Y) and kappa of shape (Y,), 0 where they are silent."""

    traits: tuple[Trait, ...]
    distribution: Floats
    kappa: Floats


def level_of(trait: Trait, variant: str, family: str) -> int | None:
    """2 where the statement names the variant, 1 its family, 0 every variant; None where it speaks of others."""
    if variant in trait.of:
        return 2
    if family in trait.of:
        return 1
    return 0 if EVERY_VARIANT in trait.of else None


def spoken_of(
    base: KnowledgeBase,
    folder: MakerFolder,
    traits: Sequence[Trait],
    variant: str,
    feature: Feature,
    years: Starts,
    width: float = 1.0,
) -> list[Spoken]:
    """Lay out those of `traits` (all about `feature`) that speak of `variant`, over stretches [y, y + width)."""
    laid_out = []
    for trait in traits:
        level = level_of(trait, variant, folder.family_of[variant])
        if level is None:
            continue
        word, named = _words(base, trait, feature.value_ids, years, width)
        applies = applies_in(trait.made, years, width)
        laid_out.append(Spoken(trait, level, base.wording.certainty[trait.certainty], word, named, applies))
    return laid_out


def applies_in(made: str | None, years: Starts, width: float = 1.0) -> NDArray[np.bool_]:
    """Where a statement holds; an uncertain end counts from its middle, one unknown moment over all its span."""
    if made is None:
        return np.ones(len(years), dtype=np.bool_)
    span = read_span(made)
    if not span.lasting:
        return np.asarray((years + width / 2 > span.earliest) & (years + width / 2 < span.latest))
    return np.asarray(share_of_years(*read_ends(made), years, width) >= 0.5)


def _words(
    base: KnowledgeBase, trait: Trait, values: tuple[str, ...], years: Starts, width: float
) -> tuple[Floats, NDArray[np.bool_]]:
    often = base.wording.often
    word = np.zeros((len(values), len(years)))
    named = np.zeros((len(values), len(years)), dtype=np.bool_)
    if trait.run:
        first, changes = trait.run[0], [step for step in trait.run if isinstance(step, Change)]
        stage = [np.ones(len(years))]
        for change in changes:
            after = changed_by(read_span(change.from_), change.run_out / 12, years, width)
            stage.append(np.minimum(after, stage[-1]))
        stage.append(np.zeros(len(years)))
        sure = often[trait.how or HowOften.ALWAYS]
        for i, value in enumerate([first, *(change.value for change in changes)]):
            row = values.index(str(value))
            word[row] += sure * (stage[i] - stage[i + 1])
            named[row] |= (stage[i] - stage[i + 1]) > 0
        return word, named
    spoken = {trait.value: trait.how or HowOften.ALWAYS} if trait.value is not None else dict(trait.values)
    for value, how in spoken.items():
        row = values.index(str(value))
        word[row] = often[how]
        named[row] = True
    return word, named


def camps_of(spoken: Sequence[Spoken], used: NDArray[np.bool_]) -> list[Camp]:
    """Join statements into camps: one where nothing is in dispute, else one for each way to side with the rivals.

    `used` (K,) marks the values this maker is known to have used: they share what no statement names. In years of
    which no rival speaks, what is not in dispute stands by itself.
    """
    if not spoken:
        return []
    sides = _sides(tuple((s.trait.id, s.trait.against) for s in spoken))
    disputed = sorted({i for members in sides for i in members.rivals})
    camps = []
    for members in sides:
        side = [spoken[i] for i in members.all]
        rivals = [spoken[i] for i in members.rivals]
        distribution, stated = _joined(side, used)
        if rivals:
            stated &= np.any([s.applies for s in rivals], axis=0)
        kappa = np.where(stated, _mean_weight(rivals or side), 0.0)
        camps.append(Camp(tuple(s.trait for s in side), distribution, kappa))
    calm = [s for i, s in enumerate(spoken) if i not in disputed]
    if disputed and calm:
        distribution, stated = _joined(calm, used)
        stated &= ~np.any([spoken[i].applies for i in disputed], axis=0)
        if stated.any():
            camps.append(Camp(tuple(s.trait for s in calm), distribution, np.where(stated, _mean_weight(calm), 0.0)))
    return camps


def by_year(camp: Camp, made: Floats) -> Camp:
    """A camp laid out over parts of years, drawn together to years: each part counts by its kappa and by `made`.

    `made` (years, parts) is how much of each part the variant was made in: what was used in months without production
    says nothing of the range.
    """
    kappa = camp.kappa.reshape(made.shape) * made
    shape = (len(camp.distribution), *made.shape)
    weighed = (camp.distribution.reshape(shape) * kappa).sum(axis=2)
    total = kappa.sum(axis=1)
    evenly = camp.distribution.reshape(shape).mean(axis=2)
    of_made = total / np.maximum(made.sum(axis=1), 1e-300)
    return Camp(camp.traits, np.where(total > 0, weighed / np.maximum(total, 1e-300), evenly), of_made)


@dataclass(frozen=True, slots=True)
class _Side:
    all: tuple[int, ...]
    rivals: tuple[int, ...]


@lru_cache(maxsize=4096)
def _sides(statements: tuple[tuple[str, tuple[str, ...]], ...]) -> tuple[_Side, ...]:
    """The maximal sets of statements of which none is against another."""
    place = {trait_id: i for i, (trait_id, _) in enumerate(statements)}
    against = {frozenset((i, place[r])) for i, (_, rivals) in enumerate(statements) for r in rivals if r in place}
    disputed = sorted({i for pair in against for i in pair})[:MOST_RIVALS]
    calm = [i for i in range(len(statements)) if i not in disputed]
    if not disputed:
        return (_Side(tuple(calm), ()),)
    free = [
        frozenset(disputed[b] for b in range(len(disputed)) if bits >> b & 1) for bits in range(1, 1 << len(disputed))
    ]
    free = [side for side in free if not any(pair <= side for pair in against)]
    largest = [side for side in free if not any(side < other for other in free)]
    return tuple(_Side(tuple(sorted([*calm, *side])), tuple(sorted(side))) for side in largest)


def _mean_weight(side: Sequence[Spoken]) -> Floats:
    applies = np.array([s.applies for s in side], dtype=np.float64)
    weights = np.array([s.weight for s in side])
    count = applies.sum(axis=0)
    return np.asarray(weights @ applies / np.maximum(count, 1.0), dtype=np.float64)


def _joined(side: Sequence[Spoken], used: NDArray[np.bool_]) -> tuple[Floats, NDArray[np.bool_]]:
    """One distribution (K, Y) from statements that do not contradict: from the widest to the most specific.

    What a level names takes its words' numbers (normalised if they say more than all); what is left over goes by the
    level below, and at the bottom evenly to the values the maker used that nobody named.
    """
    values, years = side[0].word.shape
    stated = np.zeros(years, dtype=np.bool_)
    below = np.repeat((used if used.any() else np.ones(values, dtype=np.bool_)).astype(float)[:, None], years, axis=1)
    below /= below.sum(axis=0)
    for level in (0, 1, 2):
        here = [s for s in side if s.level == level]
        if not here:
            continue
        word = np.sum([np.where(s.applies, s.word, 0.0) for s in here], axis=0)
        named = np.any([s.named & s.applies for s in here], axis=0)
        says = np.any([s.applies for s in here], axis=0)
        total = word.sum(axis=0)
        word = np.where(total > 1, word / np.maximum(total, 1e-12), word)
        rest = np.where(named, 0.0, below)
        rest_total = rest.sum(axis=0)
        left = np.maximum(0.0, 1 - word.sum(axis=0))
        joined = np.where(
            rest_total > 0,
            word + left * rest / np.maximum(rest_total, 1e-12),
            word / np.maximum(word.sum(axis=0), 1e-12),
        )
        below = np.where(says, joined, below)
        stated |= says
    return below, stated
