"""The swap model by brute force, written apart from the project's ranking: every pattern of what was swapped, and for
each of them every cell of the range and every donor.

A pattern says which assemblies came from another range and which single parts were swapped on their own. Under it a
range of cell h takes each assembly from h or from one donor h', drawn by the donor weights of h's maker, and each
single part likewise. Slips and the sureness of a reading come last.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.model import Model

SURE = {"certain": 1.0, "likely": 0.8, "guess": 0.6}


def reading_chances(base: KnowledgeBase, seen: Observation) -> np.ndarray:
    """P(this is reported | true value) up to a constant, shape (K,)."""
    feature = base.features[seen.feature]
    slip, values = base.wording.slips[feature.slips], list(feature.value_ids)
    read_as = [[1 - slip if v == x else slip / (len(values) - 1) for x in values] for v in values]
    named = [v for v in values if v in (seen.is_ or ()) or (seen.is_ is None and v not in seen.is_not)]
    sure = SURE[seen.sure]
    each = [sure * np.array(read_as[values.index(v)]) + (1 - sure) / len(values) for v in named]
    return np.sum(each, axis=0)


@dataclass(frozen=True)
class Enumerated:
    """Sums over all patterns: P(h, O), shape (H,); P(a swapped, O), (A,); P(a came from h', O), (A, H)."""

    cells: np.ndarray
    swapped: np.ndarray
    donor: np.ndarray


def donor_weights(base: KnowledgeBase, model: Model) -> np.ndarray:
    """delta(h' | h), shape (H, H): within the maker of h as told, the rest over all cells."""
    cells, within = model.cells, base.wording.model.donor_within
    rows = []
    for h in range(len(cells)):
        own = np.array([cells.prior[j] if cells.maker[j] == cells.maker[h] else 0.0 for j in range(len(cells))])
        rows.append(within * own / own.sum() + (1 - within) * cells.prior)
    return np.array(rows)


def enumerate_patterns(base: KnowledgeBase, model: Model, observations: Sequence[Observation]) -> Enumerated:
    """Every pattern, cell and donor, each laid out as one array with an axis for the cell and one for each donor."""
    count, assemblies = len(model.cells), list(base.assemblies)
    delta = donor_weights(base, model)
    found = Enumerated(np.zeros(count), np.zeros(len(assemblies)), np.zeros((len(assemblies), count)))
    for whole, alone, chance in patterns(base, observations):
        drawn = [*whole, *alone]  # axis 1, 2, ... belongs to the donor of each of these
        mass = chance * model.cells.prior.reshape([count] + [1] * len(drawn))
        for axis in range(1, len(drawn) + 1):
            shape = [count] + [1] * len(drawn)
            shape[axis] = count
            mass = mass * delta.reshape(shape)
        for seen in observations:
            says = reading_chances(base, seen) @ model.features[seen.feature].phi
            assembly = base.features[seen.feature].assembly
            bearer = seen.feature if seen.feature in alone else assembly if assembly in whole else None
            axis = 0 if bearer is None else drawn.index(bearer) + 1
            shape = [1] * (len(drawn) + 1)
            shape[axis] = count
            mass = mass * says.reshape(shape)
        found.cells[:] += mass.sum(axis=tuple(range(1, len(drawn) + 1)))
        for place, assembly in enumerate(whole):
            a = assemblies.index(assembly)
            found.swapped[a] += mass.sum()
            found.donor[a] += mass.sum(axis=tuple(axis for axis in range(len(drawn) + 1) if axis != place + 1))
    return found


def patterns(
    base: KnowledgeBase, observations: Sequence[Observation]
) -> Iterator[tuple[tuple[str, ...], tuple[str, ...], float]]:
    """(assemblies swapped, observed single parts swapped, chance of just this); what cannot be swapped never is."""
    rates = {
        name: base.wording.swapped[assembly.swapped]
        for name, assembly in base.assemblies.items()
        if assembly.swapped is not None
    }
    singles = {
        seen.feature: base.wording.swapped[base.features[seen.feature].swapped_alone]
        for seen in observations
        if base.features[seen.feature].swapped_alone is not None
    }
    every = rates | singles
    for bits in itertools.product((False, True), repeat=len(every)):
        swapped = [name for name, bit in zip(every, bits, strict=True) if bit]
        chance = np.prod([rate if name in swapped else 1 - rate for name, rate in every.items()])
        yield tuple(n for n in swapped if n in rates), tuple(n for n in swapped if n in singles), float(chance)
