"""The swap model by brute force, written apart from the project's ranking: every pattern of what was swapped, and for
each of them every cell of the range and every donor.

A pattern says which assemblies came from another range and which single parts were swapped on their own. Under it a
range of cell h takes each assembly from h or from one donor h', drawn by the donor weights of h's maker, and each
single part likewise. Slips and the sureness of a reading come last. A piece of evidence hangs on one assembly: on its
features, on one that keeps the traces of a thing removed, or on what a rule concludes.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.model import Model

SURE = {"certain": 1.0, "likely": 0.8, "guess": 0.6}


@dataclass(frozen=True)
class Piece:
    """One piece of evidence: its chance by the cell that its assembly came from (H,), and, where its part may be
    swapped alone, by the cell that the part came from (H,).
    """

    assembly: str
    from_assembly: np.ndarray
    part: str | None = None
    from_part: np.ndarray | None = None


def reading_chances(base: KnowledgeBase, seen: Observation) -> np.ndarray:
    """P(this is reported | true value) up to a constant, shape (K,)."""
    feature = base.features[seen.feature]
    if seen.removed:
        there = np.array([float(value != "absent") for value in feature.value_ids])
        return SURE[seen.sure] * there + (1 - SURE[seen.sure]) * there.sum() / len(there)
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


def piece_of(base: KnowledgeBase, model: Model, feature: str, chances: np.ndarray, traces_on: str | None) -> Piece:
    """A feature that shows each of its values with these chances (K,); traces are never swapped by themselves."""
    says = chances @ model.features[feature].phi
    if traces_on is not None:
        return Piece(traces_on, says)
    alone = base.features[feature].swapped_alone is not None
    return Piece(base.features[feature].assembly, says, feature if alone else None, says if alone else None)


def pieces_of(base: KnowledgeBase, model: Model, observations: Sequence[Observation]) -> list[Piece]:
    """What was seen."""
    return [
        piece_of(
            base,
            model,
            seen.feature,
            reading_chances(base, seen),
            base.features[seen.feature].traces_on if seen.removed else None,
        )
        for seen in observations
    ]


def concluded(base: KnowledgeBase, model: Model, maker: str, conclusion: dict[str, Any]) -> Piece:
    """What one maker's rule concludes, as rules.yaml writes it; other makers' cells take its mean over the prior.

    A part that came by itself is of whoever made it, so what a rule says of a part binds no donor of it.
    """
    cells = model.cells
    mine = np.array([h for h in range(len(cells)) if cells.groups[cells.group[h]].maker == maker])
    if "feature" in conclusion:
        feature, word = conclusion["feature"], base.wording.often[conclusion["how"]]
        values = base.features[feature].value_ids
        rest = (1 - word) / max(1, len(values) - 1)
        plain = piece_of(
            base, model, feature, np.array([word if v == conclusion["is"] else rest for v in values]), None
        )
    else:
        year, variant = cells.year, [cells.groups[g].variant for g in cells.group]
        fits = [
            year[h] >= int(conclusion.get("not_before", 0))
            and year[h] <= int(conclusion.get("not_after", 9999))
            and variant[h] not in conclusion.get("rules_out", ())
            for h in range(len(cells))
        ]
        plain = Piece(conclusion["of"], np.where(fits, 1.0, base.wording.model.floor))
    mean = np.average(plain.from_assembly[mine], weights=cells.prior[mine])
    own = np.full(len(cells), mean)
    own[mine] = plain.from_assembly[mine]
    return Piece(plain.assembly, own, plain.part, plain.from_part)


def enumerate_patterns(base: KnowledgeBase, model: Model, observations: Sequence[Observation]) -> Enumerated:
    """Every pattern that could have led to these observations, weighed."""
    return enumerate_pieces(base, model, pieces_of(base, model, observations))


def enumerate_pieces(
    base: KnowledgeBase, model: Model, pieces: Sequence[Piece], may_be: np.ndarray | None = None
) -> Enumerated:
    """Every pattern, cell and donor, each laid out as one array with an axis for the cell and one for each donor.

    `may_be` (H,) marks the cells a range may be of, where these are not all; donors are of any.
    """
    prior = model.cells.prior if may_be is None else np.where(may_be, model.cells.prior, 0.0)
    count, assemblies = len(model.cells), list(base.assemblies)
    delta = donor_weights(base, model)
    found = Enumerated(np.zeros(count), np.zeros(len(assemblies)), np.zeros((len(assemblies), count)))
    for whole, alone, chance in patterns(base, [piece.part for piece in pieces if piece.part is not None]):
        drawn = [*whole, *alone]  # axis 1, 2, ... belongs to the donor of each of these
        mass = chance * prior.reshape([count] + [1] * len(drawn))
        for axis in range(1, len(drawn) + 1):
            shape = [count] + [1] * len(drawn)
            shape[axis] = count
            mass = mass * delta.reshape(shape)
        for piece in pieces:
            bearer = piece.part if piece.part in alone else piece.assembly if piece.assembly in whole else None
            says = piece.from_part if piece.part in alone else piece.from_assembly
            shape = [1] * (len(drawn) + 1)
            shape[0 if bearer is None else drawn.index(bearer) + 1] = count
            mass = mass * says.reshape(shape)
        found.cells[:] += mass.sum(axis=tuple(range(1, len(drawn) + 1)))
        for place, assembly in enumerate(whole):
            a = assemblies.index(assembly)
            found.swapped[a] += mass.sum()
            found.donor[a] += mass.sum(axis=tuple(axis for axis in range(len(drawn) + 1) if axis != place + 1))
    return found


def patterns(base: KnowledgeBase, parts: Sequence[str]) -> Iterator[tuple[tuple[str, ...], tuple[str, ...], float]]:
    """(assemblies swapped, single parts swapped, chance of just this); what cannot be swapped never is."""
    rates = {
        name: base.wording.swapped[assembly.swapped]
        for name, assembly in base.assemblies.items()
        if assembly.swapped is not None
    }
    singles = {part: base.wording.swapped[base.features[part].swapped_alone] for part in parts}
    every = rates | singles
    for bits in itertools.product((False, True), repeat=len(every)):
        swapped = [name for name, bit in zip(every, bits, strict=True) if bit]
        chance = np.prod([rate if name in swapped else 1 - rate for name, rate in every.items()])
        yield tuple(n for n in swapped if n in rates), tuple(n for n in swapped if n in singles), float(chance)
