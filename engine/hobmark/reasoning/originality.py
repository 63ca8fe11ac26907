"""Originality: which assemblies are the range's own, where the others seem to come from, and whether two were joined.

odds of "not its own" = sigma_a / (1 - sigma_a) * sum_h w_a(h) R_a / sum_h w_a(h) M_a(h), w_a = p(h | O)/L_a(h): what
all other assemblies say of the cell. The factor is shared out among the looks at the assembly by exact Shapley values.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.looks import REPLACED
from hobmark.knowledge.vocabulary import Originality, SwapWord
from hobmark.reasoning.cells import Floats, Group
from hobmark.reasoning.explaining import Share, assembly_shares, decibans, subset_products
from hobmark.reasoning.ranking import Ranking

NOT_ITS_OWN = 0.5
"""From this probability on an assembly is said not to be the range's own."""
DOUBTFUL = 0.2
"""From this probability on it is mentioned; see `is_doubtful`."""
HELD = 0.95
"""A date strip's years are the shortest stretch that holds so much; two strips without a common year are apart."""

WORST_FIRST = (
    Originality.MARRIED,
    Originality.REPLACED,
    Originality.LATER_CORRECT,
    Originality.EARLIER_CORRECT,
    Originality.DOUBTFUL,
)
"""Verdicts by what they take from a range."""


@dataclass(frozen=True, slots=True)
class Part:
    """One assembly that something is known of.

    `swapped` is P(s_a | O); `strip` its own years, `first` to `last` the stretch that holds HELD of them; `donors` has
    shape (H,); `shares` credit its looks, in decibans towards "not its own"; `apart` are assemblies with no year in
    common; `dates`: whether it is so seldom changed that a range may be dated by it.
    """

    assembly: int
    swapped: float
    verdict: Originality
    strip: Mapping[int, float]
    first: int
    last: int
    donors: Floats
    shares: tuple[Share, ...]
    apart: tuple[int, ...]
    dates: bool


@dataclass(frozen=True, slots=True)
class Whole:
    """The range as a whole: its parts in the order of the base, and those that make a marriage (empty for none)."""

    parts: tuple[Part, ...]
    married: tuple[int, ...]

    @property
    def verdict(self) -> Originality:
        """The worst that is said of any assembly, but for those that are changed too often to judge a range by."""
        verdicts = {part.verdict for part in self.parts if part.dates}
        return next((verdict for verdict in WORST_FIRST if verdict in verdicts), Originality.AS_LEFT_THE_WORKS)


def originality(base: KnowledgeBase, ranking: Ranking) -> Whole:
    """Judge every assembly that was looked at."""
    touched = sorted(ranking.touched)
    strips = {a: ranking.date_strip(a) for a in touched}
    spans = {a: held_years(strip) for a, strip in strips.items()}
    married = _married(base, ranking, spans)
    parts = [
        Part(
            assembly=a,
            swapped=float(ranking.swapped[a]),
            verdict=_verdict(base, ranking, a, married),
            strip=strips[a],
            first=spans[a][0],
            last=spans[a][1],
            donors=ranking.donors_of(a),
            shares=swap_shares(ranking, a) if is_doubtful(ranking, a) else (),
            apart=tuple(b for b in touched if b != a and _are_apart(spans[a], spans[b])),
            dates=base.assemblies[ranking.model.assemblies[a]].swapped is not SwapWord.MOSTLY,
        )
        for a in touched
    ]
    return Whole(tuple(parts), married)


def is_doubtful(ranking: Ranking, assembly: int) -> bool:
    """Whether an assembly is worth a word: from DOUBTFUL on, and not on the bare rate at which such are changed."""
    least = max(DOUBTFUL, min(NOT_ITS_OWN, 1.5 * float(ranking.model.sigma[assembly])))
    return bool(ranking.swapped[assembly] >= least)


def held_years(strip: Mapping[int, float], held: float = HELD) -> tuple[int, int]:
    """First and last year of the shortest stretch that holds so much of a strip; of equals the earliest."""
    years = sorted(strip)
    sums = np.concatenate([[0.0], np.cumsum([strip[year] for year in years])])
    best = (years[0], years[-1])
    for low in range(len(years)):
        high = int(np.searchsorted(sums, sums[low] + held - 1e-12))
        if high <= len(years) and years[high - 1] - years[low] < best[1] - best[0]:
            best = (years[low], years[high - 1])
    return best


def _are_apart(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return one[1] < other[0] or other[1] < one[0]


def _married(base: KnowledgeBase, ranking: Ranking, spans: Mapping[int, tuple[int, int]]) -> tuple[int, ...]:
    """What makes a marriage: two or more assemblies that join ranges, or one whose years are apart from the body's."""
    names = ranking.model.assemblies
    foreign = [a for a in sorted(spans) if ranking.swapped[a] >= NOT_ITS_OWN and base.assemblies[names[a]].joins]
    if len(foreign) >= 2:
        return tuple(foreign)
    bodies = [a for a in spans if base.assemblies[names[a]].is_the_range]
    return tuple(a for a in foreign if any(_are_apart(spans[a], spans[body]) for body in bodies))


def _verdict(base: KnowledgeBase, ranking: Ranking, a: int, married: Sequence[int]) -> Originality:
    if a in married:
        return Originality.MARRIED
    if ranking.swapped[a] < NOT_ITS_OWN:
        return Originality.DOUBTFUL if is_doubtful(ranking, a) else Originality.AS_LEFT_THE_WORKS
    if base.assemblies[ranking.model.assemblies[a]].replaced != REPLACED:
        return Originality.REPLACED  # enamel laid on again is never a part of the right type
    cells, donors = ranking.model.cells, ranking.donors_of(a)
    leader = cells.group == ranking.leader
    if cells.groups[ranking.leader].unlisted or donors[leader].sum() < 0.5:
        return Originality.REPLACED
    made = float(ranking.posterior[leader] @ cells.year[leader] / ranking.posterior[leader].sum())
    given = float(donors[leader] @ cells.year[leader] / donors[leader].sum())
    return Originality.LATER_CORRECT if given >= made else Originality.EARLIER_CORRECT


def swap_shares(ranking: Ranking, assembly: int) -> tuple[Share, ...]:
    """What each look at an assembly adds to the odds that it is not the range's own, strongest first."""
    found = assembly_shares(ranking, assembly, partial(_swap_worths, ranking, assembly))
    return tuple(sorted(found, key=lambda share: (-abs(share.decibans), share.messages)))


def swap_prior(ranking: Ranking, assembly: int) -> float:
    """The odds beforehand that such an assembly is not its range's own, in decibans."""
    sigma = float(ranking.model.sigma[assembly])
    return decibans(sigma / (1 - sigma))


def _swap_worths(ranking: Ranking, assembly: int, factors: Sequence[Floats]) -> Floats:
    """10 log10 of sum_h w R / sum_h w M for every subset of the factors, shape (2^n,)."""
    cells = ranking.model.cells
    weight = ranking.posterior / ranking.likelihood[assembly]
    by_maker = np.bincount(cells.maker, weight, minlength=len(cells.makers) + 1)
    every = np.arange(len(cells))

    def worth(product: Floats) -> float:
        donated = (cells.donors * product).sum(axis=1)
        return decibans(float(by_maker @ donated / (weight @ product[cells.maker, every])))

    return np.array([worth(product) for product in subset_products(factors)])


def donor_groups(ranking: Ranking, part: Part, least: float = 0.05, most: int = 3) -> Iterable[tuple[Group, float]]:
    """The likeliest groups that a part came from, if it is not the range's own, each with its probability."""
    cells = ranking.model.cells
    mass = np.bincount(cells.group, part.donors, minlength=len(cells.groups))
    order = sorted(range(len(mass)), key=lambda g: (-mass[g], g))
    return [(cells.groups[g], float(mass[g])) for g in order[:most] if mass[g] >= least]
