"""The factory table Phi: how probable each value of each feature is on a range of each cell as it left the works.

Phi[f, . | h] = (alpha0 U + sum_s kappa_s D_s + sum_k gamma_k e_k) / (sum of the same weights), with a floor. U is what
the maker used over all its range, D_s the camps of statements, e_k the documented specimens weighted by gamma_k, the
probability that the part is the specimen's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hobmark.dates import overlap, read_span
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.observations import Observation, Specimen
from hobmark.knowledge.schema.works import Trait
from hobmark.knowledge.vocabulary import HowOften
from hobmark.reasoning.cells import Cells, Floats, Group, Ints
from hobmark.reasoning.reading import likelihood
from hobmark.reasoning.statements import Camp, camps_of, spoken_of

OwnParts = Mapping[tuple[str, str], float]
"""gamma: (specimen id, assembly) -> probability that this assembly is the specimen's own."""


@dataclass(frozen=True, slots=True)
class _MakerPart:
    """What one maker says of one feature: camps for each variant, their mean U, and the specimens' counts."""

    camps: dict[str, list[Camp]]
    used_mean: Floats


def factory_table(base: KnowledgeBase, cells: Cells, feature_id: str, own: OwnParts) -> Floats:
    """Phi for one feature: shape (K values, H cells), columns summing to 1."""
    feature = base.features[feature_id]
    values = len(feature.value_ids)
    numbers = base.wording.model
    table = np.empty((values, len(cells)))
    means = []
    for maker, folder in base.makers.items():
        part = _maker_part(base, folder, cells, feature_id)
        means.append(part.used_mean)
        for variant in folder.variants:
            where = cells.of_group(Group(maker, variant))
            camps = part.camps.get(variant, [])
            counts = _specimen_counts(base, folder, variant, feature_id, cells.year[where], own, _cited(folder, camps))
            kappa = sum((camp.kappa for camp in camps), np.zeros(where.sum()))
            top = numbers.used_weight * part.used_mean[:, None] + counts
            top = top + sum((camp.kappa * camp.distribution for camp in camps), np.zeros_like(counts))
            weight = numbers.used_weight + kappa + counts.sum(axis=0)
            unknown_here = part.used_mean[:, None].repeat(len(weight), axis=1)
            table[:, where] = np.where(weight > 0, top / np.maximum(weight, 1e-300), unknown_here)
        mixed = numbers.unlisted_variant_used * part.used_mean + (1 - numbers.unlisted_variant_used) / values
        table[:, cells.of_group(Group(maker, None))] = mixed[:, None]
    of_all = np.mean(means, axis=0)
    unknown = numbers.unlisted_maker_used * of_all + (1 - numbers.unlisted_maker_used) / values
    table[:, cells.of_group(Group(None, None))] = unknown[:, None]
    return np.asarray((1 - values * numbers.floor) * table + numbers.floor, dtype=np.float64)


def _maker_part(base: KnowledgeBase, folder: MakerFolder, cells: Cells, feature_id: str) -> _MakerPart:
    feature = base.features[feature_id]
    traits = [trait for trait in folder.acting_traits if trait.feature == feature_id]
    used = used_values(base, folder, feature_id)
    camps: dict[str, list[Camp]] = {}
    mass = np.zeros(len(feature.value_ids))
    for variant in folder.variants:
        where = cells.of_group(Group(folder.maker.id, variant))
        found = camps_of(spoken_of(base, folder, traits, variant, feature, cells.year[where]), used)
        camps[variant] = found
        for camp in found:
            mass += camp.distribution @ (cells.prior[where] * camp.kappa)
    uniform = np.full(len(mass), 1 / len(mass))
    return _MakerPart(camps, mass / mass.sum() if mass.sum() > 0 else uniform)


def used_values(base: KnowledgeBase, folder: MakerFolder, feature_id: str) -> NDArray[np.bool_]:
    """Which values (K,) a maker is known to have used: any statement says more than `never`, or a specimen shows it."""
    feature = base.features[feature_id]
    often = base.wording.often
    used: set[str] = set()
    for trait in folder.acting_traits:
        if trait.feature == feature_id:
            spoken = dict(trait.values) or dict.fromkeys(trait.named, trait.how or HowOften.ALWAYS)
            used |= {value for value, how in spoken.items() if often[how] > often[HowOften.NEVER]}
    for specimen in folder.specimens:
        for seen in specimen.observations:
            if seen.feature == feature_id and seen.original is not False and seen.is_ is not None:
                used |= set(seen.is_)
    return np.array([value in used for value in feature.value_ids])


def _cited(folder: MakerFolder, camps: list[Camp]) -> frozenset[str]:
    cited = {source.partition(":")[0] for camp in camps for trait in camp.traits for source in trait.sources}
    return frozenset(cited)


def _specimen_counts(
    base: KnowledgeBase, folder: MakerFolder, variant: str, feature_id: str, years: Ints, own: OwnParts,
    cited: frozenset[str],
) -> Floats:
    """sum_k gamma_k e_k, shape (K, Y): each specimen's value, shared out over its possible years.

    A specimen that a statement about this feature cites as its source is counted in that statement already.
    """
    feature = base.features[feature_id]
    counts = np.zeros((len(feature.value_ids), len(years)))
    for specimen in folder.specimens:
        if specimen.known.variant != variant or specimen.id in cited:
            continue
        seen = next((o for o in specimen.observations if o.feature == feature_id and o.is_reading), None)
        if seen is None or seen.removed:
            continue
        gamma = own_part(base, specimen, seen, feature, own)
        reading = likelihood(base, feature_id, seen)
        share = specimen_years(specimen, years)
        counts += gamma * (reading / reading.sum())[:, None] * share[None, :]
    return counts


def own_part(base: KnowledgeBase, specimen: Specimen, seen: Observation, feature: Feature, own: OwnParts) -> float:
    """gamma: 1 or 0 where the specimen's record says so, else the probability given, else 1 - sigma of the assembly."""
    if seen.original is not None:
        return 1.0 if seen.original else 0.0
    swapped = base.assemblies[feature.assembly].swapped
    prior = 1.0 - (base.wording.swapped[swapped] if swapped is not None else 0.0)
    return own.get((specimen.id, feature.assembly), prior)


def specimen_years(specimen: Specimen, years: Ints) -> Floats:
    """How a specimen's making is shared out over `years` (Y,); sums to 1, or to 0 where they do not meet."""
    share = overlap(read_span(specimen.known.made), years)
    return np.asarray(share / share.sum() if share.sum() > 0 else share, dtype=np.float64)


def statements_about(folder: MakerFolder, variant: str, feature_id: str) -> tuple[Trait, ...]:
    """The acting statements that speak of a feature of a variant, the most specific first."""
    meant = [t for t in folder.acting_traits if t.feature == feature_id and variant in folder.variants_meant(t.of)]
    return tuple(sorted(meant, key=lambda t: (variant not in t.of, folder.family_of[variant] not in t.of, t.id)))
