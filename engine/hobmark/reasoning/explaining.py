"""Why: decibans between two cells or two lines of the ranking, shared out exactly among the looks.

10 log10 of the prior ratio + sum_a 10 log10 L_a(h1)/L_a(h2) = 10 log10 of the posterior odds. Inside an assembly the
looks are credited by exact Shapley values. Between variants the best cells are compared, and one line, the freedom of
year, holds the rest. (Deciban: General Report on Tunny, 1945, p. 39.)
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from hobmark.reasoning.cells import Floats
from hobmark.reasoning.evidence import Message
from hobmark.reasoning.model import Model
from hobmark.reasoning.ranking import Ranking, rank

MOST_SHARED = 12
"""Looks at one assembly that are credited one by one; beyond it the weakest share one line. 2^12 subsets take 0.1 s."""


def decibans(ratio: float) -> float:
    """10 log10 of a factor on the odds."""
    return 10 * math.log10(ratio) if ratio > 0 else -math.inf


@dataclass(frozen=True, slots=True)
class Share:
    """What one message adds to the odds, in decibans, inside its assembly; `messages` are its places in the ranking."""

    messages: tuple[int, ...]
    assembly: int
    decibans: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """The odds of one line of the ranking over another: prior + the shares + freedom of year = total, in decibans."""

    first: int
    second: int
    first_cell: int
    second_cell: int
    prior: float
    shares: tuple[Share, ...]
    freedom_of_year: float

    @property
    def total(self) -> float:
        """10 log10 of P(first | O) / P(second | O)."""
        return self.prior + sum(share.decibans for share in self.shares) + self.freedom_of_year


def compare(ranking: Ranking, first: int, second: int) -> Comparison:
    """Compare two groups by their best cells; raises ValueError for one and the same."""
    if first == second:
        raise ValueError("a variant cannot be compared with itself")
    cells, posterior = ranking.model.cells, ranking.posterior
    h1 = _best_cell(cells.group == first, posterior)
    h2 = _best_cell(cells.group == second, posterior)
    freedom = _freedom(ranking, first, h1) - _freedom(ranking, second, h2)
    return Comparison(
        first, second, h1, h2, decibans(float(cells.prior[h1] / cells.prior[h2])), shares(ranking, h1, h2), freedom
    )


def _best_cell(where: np.ndarray[tuple[int], np.dtype[np.bool_]], posterior: Floats) -> int:
    return int(np.argmax(np.where(where, posterior, -1.0)))


def _freedom(ranking: Ranking, group: int, cell: int) -> float:
    return decibans(float(ranking.by_group[group] / ranking.posterior[cell])) if ranking.posterior[cell] > 0 else 0.0


Worths = Callable[[Sequence[Floats]], Floats]
"""From n factors of shape (makers + 1, H) to the worth in decibans of each subset of them, shape (2^n,)."""


def shares(ranking: Ranking, h1: int, h2: int) -> tuple[Share, ...]:
    """Each message's Shapley share of 10 log10 L_a(h1)/L_a(h2), strongest first."""
    found: list[Share] = []
    for assembly in sorted(ranking.touched):
        found += assembly_shares(ranking, assembly, partial(_subset_worths, ranking.model, assembly, h1, h2))
    return tuple(sorted(found, key=lambda share: (-abs(share.decibans), share.messages)))


def assembly_shares(ranking: Ranking, assembly: int, worths: Worths) -> list[Share]:
    """What each message on one assembly adds to a worth, by exact Shapley values; they add up to the whole worth."""
    places = [i for i, message in enumerate(ranking.messages) if message.assembly == assembly]
    players = [[place] for place in places]
    if len(players) > MOST_SHARED:
        players = _weakest_together(ranking, places, worths)
    worth = worths([_product(ranking.messages, player, ranking.model) for player in players])
    return [
        Share(tuple(player), assembly, value)
        for player, value in zip(players, _shapley(worth, len(players)), strict=True)
    ]


def _product(messages: Sequence[Message], places: Sequence[int], model: Model) -> Floats:
    together = np.ones((len(model.cells.makers) + 1, len(model.cells)))
    for place in places:
        together = together * messages[place].values
    return together


def _weakest_together(ranking: Ranking, places: Sequence[int], worths: Worths) -> list[list[int]]:
    """The strongest looks one by one, by what each says alone, and the rest as one."""
    alone = {place: abs(float(worths([ranking.messages[place].values])[1])) for place in places}
    order = sorted(places, key=lambda place: (-alone[place], place))
    return [[place] for place in order[: MOST_SHARED - 1]] + [order[MOST_SHARED - 1 :]]


def subset_products(factors: Sequence[Floats]) -> Iterator[Floats]:
    """The product of every subset of n >= 1 factors, 2^n of them; bit i of the place stands for factor i."""
    products = [np.ones_like(factors[0])]
    for factor in factors:
        products += [product * factor for product in products]
    return iter(products)


def _subset_worths(model: Model, assembly: int, h1: int, h2: int, factors: Sequence[Floats]) -> Floats:
    """10 log10 L_a(h1; S)/L_a(h2; S) for every subset S of the factors."""
    cells, sigma = model.cells, float(model.sigma[assembly])
    k1, k2 = int(cells.maker[h1]), int(cells.maker[h2])

    def likelihood(row: Floats, k: int, h: int) -> float:
        return (1 - sigma) * float(row[h]) + sigma * float(cells.donors[k] @ row)

    rows = [factor[[k1, k2]] for factor in factors]
    return np.array([decibans(likelihood(r[0], k1, h1) / likelihood(r[1], k2, h2)) for r in subset_products(rows)])


def _shapley(worth: Floats, players: int) -> list[float]:
    """Exact Shapley values of a set function on `players` players (Shapley 1953), shape of `worth` (2^players,)."""
    subsets = np.arange(len(worth))
    sizes = np.array([int(s).bit_count() for s in subsets])
    weights = np.array([math.factorial(n) * math.factorial(players - n - 1) for n in range(players)], dtype=float)
    weights /= math.factorial(players)
    values = []
    for i in range(players):
        without = subsets[(subsets >> i & 1) == 0]
        values.append(float((weights[sizes[without]] * (worth[without | 1 << i] - worth[without])).sum()))
    return values


@dataclass(frozen=True, slots=True)
class Hinge:
    """The message whose removal would move the leading line most, and by how many decibans of its odds."""

    message: int
    decibans: float
    leader_after: int


def hinge(ranking: Ranking) -> Hinge | None:
    """What the answer hangs on; None without evidence."""
    if not ranking.messages:
        return None
    found = []
    now = _odds(float(ranking.by_group[ranking.leader]))
    for place in range(len(ranking.messages)):
        rest = [message for i, message in enumerate(ranking.messages) if i != place]
        after = rank(ranking.model, rest, near=ranking)
        moved = decibans(_odds(float(after.by_group[ranking.leader])) / now)
        found.append(Hinge(place, moved, after.leader))
    return min(found, key=lambda h: (h.leader_after == ranking.leader, -abs(h.decibans), h.message))


def _odds(probability: float) -> float:
    return max(probability, 1e-300) / max(1 - probability, 1e-300)
