"""The factory table Phi: how probable each value of each feature is on a range of each cell as it left the works.

Phi[f, . | h] = (alpha0 U + sum_s kappa_s D_s + sum_k gamma_k e_k) / (sum of the same weights), with a floor. U is what
the maker used over all its range, D_s the camps of statements, e_k the documented specimens weighted by gamma_k, the
probability that the part is the specimen's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hobmark.dates import overlap, read_span
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.observations import Specimen
from hobmark.knowledge.schema.works import Trait
from hobmark.knowledge.vocabulary import HowOften
from hobmark.reasoning.cells import Cells, Floats, Group, Ints
from hobmark.reasoning.reading import likelihood
from hobmark.reasoning.statements import Camp, by_year, camps_of, spoken_of

MONTHS = 12
"""Statements are laid out by the month, so that one that holds to March counts for a quarter of that year."""
OwnParts = Mapping[tuple[str, str], float]
"""gamma: (specimen id, assembly) -> probability that this assembly is the specimen's own."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """One specimen's value of one feature: `reading` (K,) and `share` over its variant's years (Y,), both sum to 1.

    `gamma` is None where the record does not say whether the part is the specimen's own.
    """

    specimen: str
    reading: Floats
    share: Floats
    gamma: float | None


@dataclass(frozen=True, slots=True)
class MakerPart:
    """What one maker says of one feature: by variant the camps and the sightings, and U, the mean of what it used.

    A range that is not listed keeps to its time (dials of moulded resin do not appear in 1930), so its Phi is made of
    what was used in its year or the nearest one.
    """

    camps: Mapping[str, tuple[Camp, ...]]
    sightings: Mapping[str, tuple[Sighting, ...]]
    used_mean: Floats
    used_by_year: Mapping[int, Floats]

    def used_in(self, years: Ints) -> Floats:
        """What the maker used in each of these years, or in the nearest one it made anything in; shape (K, Y)."""
        if not self.used_by_year:
            return np.repeat(self.used_mean[:, None], len(years), axis=1)
        nearest = [min(self.used_by_year, key=lambda made: (abs(made - int(year)), made)) for year in years]
        return np.stack([self.used_by_year[year] for year in nearest], axis=1)


Parts = Mapping[str, MakerPart]
"""By maker, what it says of one feature."""


def factory_parts(base: KnowledgeBase, cells: Cells, feature_id: str) -> Parts:
    """Everything Phi of one feature is made of, but for gamma."""
    return {maker: _maker_part(base, folder, cells, feature_id) for maker, folder in base.makers.items()}


def factory_table(base: KnowledgeBase, cells: Cells, feature_id: str, parts: Parts, own: OwnParts) -> Floats:
    """Phi for one feature: shape (K values, H cells), columns summing to 1."""
    feature = base.features[feature_id]
    values = len(feature.value_ids)
    numbers = base.wording.model
    table = np.empty((values, len(cells)))
    for maker, part in parts.items():
        for variant, camps in part.camps.items():
            where = cells.of_group(Group(maker, variant))
            counts = _counts(base, feature, part.sightings[variant], own, (values, int(where.sum())))
            kappa = sum((camp.kappa for camp in camps), np.zeros(counts.shape[1]))
            used = np.repeat(part.used_mean[:, None], counts.shape[1], axis=1)
            top = numbers.used_weight * used + counts
            top = top + sum((camp.kappa * camp.distribution for camp in camps), np.zeros_like(counts))
            weight = numbers.used_weight + kappa + counts.sum(axis=0)
            table[:, where] = np.where(weight > 0, top / np.maximum(weight, 1e-300), used)
        rest = cells.of_group(Group(maker, None))
        mixed = numbers.unlisted_variant_used * part.used_in(cells.year[rest])
        table[:, rest] = mixed + (1 - numbers.unlisted_variant_used) / values
    outside = cells.of_group(Group(None, None))
    of_all = np.mean([part.used_in(cells.year[outside]) for part in parts.values()], axis=0)
    table[:, outside] = numbers.unlisted_maker_used * of_all + (1 - numbers.unlisted_maker_used) / values
    return np.asarray((1 - values * numbers.floor) * table + numbers.floor, dtype=np.float64)


def _counts(
    base: KnowledgeBase, feature: Feature, sightings: tuple[Sighting, ...], own: OwnParts, shape: tuple[int, int]
) -> Floats:
    """sum_k gamma_k e_k, shape (K, Y)."""
    counts = np.zeros(shape)
    for sighting in sightings:
        gamma = sighting.gamma
        if gamma is None:
            gamma = own.get((sighting.specimen, feature.assembly), 1 - swap_rate(base, feature.assembly))
            if feature.swapped_alone is not None:
                gamma *= 1 - base.wording.swapped[feature.swapped_alone]
        counts += gamma * sighting.reading[:, None] * sighting.share[None, :]
    return counts


def swap_rate(base: KnowledgeBase, assembly: str) -> float:
    """sigma_a; 0 for the assembly that is the range itself."""
    swapped = base.assemblies[assembly].swapped
    return base.wording.swapped[swapped] if swapped is not None else 0.0


def _maker_part(base: KnowledgeBase, folder: MakerFolder, cells: Cells, feature_id: str) -> MakerPart:
    feature = base.features[feature_id]
    traits = [trait for trait in folder.acting_traits if trait.feature == feature_id]
    used = used_values(base, folder, feature_id)
    camps: dict[str, tuple[Camp, ...]] = {}
    sightings: dict[str, tuple[Sighting, ...]] = {}
    mass = np.zeros(len(feature.value_ids))
    of_year: dict[int, Floats] = {}
    for variant in folder.variants:
        where = cells.of_group(Group(folder.maker.id, variant))
        years = cells.year[where]
        months = (years[:, None] + np.arange(MONTHS) / MONTHS).ravel()
        spoken = spoken_of(base, folder, traits, variant, feature, months, 1 / MONTHS)
        made = folder.variants[variant].made_in(months, 1 / MONTHS).reshape(len(years), MONTHS)
        found = tuple(by_year(camp, made) for camp in camps_of(spoken, used))
        camps[variant] = found
        sightings[variant] = tuple(_sightings(base, folder, variant, feature_id, years, _cited(found)))
        for camp in found:
            weighed = camp.distribution * (cells.prior[where] * camp.kappa)
            mass += weighed.sum(axis=1)
            for place, year in enumerate(years):
                of_year[int(year)] = of_year.get(int(year), 0.0) + weighed[:, place]
    used_mean = mass / mass.sum() if mass.sum() > 0 else np.full(len(mass), 1 / len(mass))
    by_year_used = {year: found / found.sum() for year, found in of_year.items() if found.sum() > 0}
    return MakerPart(camps, sightings, used_mean, by_year_used)


def _cited(camps: tuple[Camp, ...]) -> frozenset[str]:
    return frozenset(s.partition(":")[0] for camp in camps for trait in camp.traits for s in trait.sources)


def _sightings(
    base: KnowledgeBase, folder: MakerFolder, variant: str, feature_id: str, years: Ints, cited: frozenset[str]
) -> Iterator[Sighting]:
    """What the specimens of a variant show, but for those that a statement about this feature cites as its source.

    Of a feature that only the rules speak of nothing is counted: the rules weigh it, and it would count twice.
    """
    if feature_id in folder.tested_features - folder.stated_features:
        return
    for specimen in folder.specimens:
        if specimen.known.variant != variant or specimen.id in cited:
            continue
        seen = next((o for o in specimen.observations if o.feature == feature_id and o.is_reading), None)
        if seen is not None and not seen.removed:
            reading = likelihood(base, feature_id, seen)
            gamma = None if seen.original is None else float(seen.original)
            yield Sighting(specimen.id, reading / reading.sum(), specimen_years(specimen, years), gamma)


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


def specimen_years(specimen: Specimen, years: Ints) -> Floats:
    """How a specimen's making is shared out over `years` (Y,); sums to 1, or to 0 where they do not meet."""
    share = overlap(read_span(specimen.known.made), years)
    return np.asarray(share / share.sum() if share.sum() > 0 else share, dtype=np.float64)


def specimens_showing(folder: MakerFolder, variant: str, feature_id: str) -> list[str]:
    """The documented specimens of a variant that show a feature."""
    return [
        specimen.id
        for specimen in folder.specimens
        if specimen.known.variant == variant
        and any(seen.feature == feature_id and seen.is_reading for seen in specimen.observations)
    ]


def statements_about(folder: MakerFolder, variant: str, feature_id: str) -> tuple[Trait, ...]:
    """The acting statements that speak of a feature of a variant, the most specific first."""
    meant = [t for t in folder.acting_traits if t.feature == feature_id and variant in folder.variants_meant(t.of)]
    return tuple(sorted(meant, key=lambda t: (variant not in t.of, folder.family_of[variant] not in t.of, t.id)))
