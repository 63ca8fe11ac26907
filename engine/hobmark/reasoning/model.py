"""The compiled model: cells and factory tables of a whole base, as arrays that ranking and questions work on."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Specimen
from hobmark.reasoning.cells import Cells, Floats, Group, build_cells
from hobmark.reasoning.factory import OwnParts, Parts, factory_parts, factory_table, specimen_years, swap_rate
from hobmark.reasoning.reading import likelihood, slip_confusion

OWN_PART_ROUNDS = 2
"""Rounds of expectation-maximisation for gamma; the third moves no table by a thousandth on the shipped base."""


@dataclass(frozen=True, slots=True)
class FeatureTable:
    """One feature, K values: `phi` (K, H), slip confusion `slips` (K, K), s_f `swapped_alone`.

    `stated` tells whether any maker's statements speak of it; an unstated feature is known to the rules and to a few
    specimens only.
    """

    id: str
    assembly: int
    values: tuple[str, ...]
    phi: Floats
    slips: Floats
    swapped_alone: float
    stated: bool


@dataclass(frozen=True, slots=True)
class Model:
    """Everything that is worked out once for a base. sigma has shape (A,); `own` is gamma by specimen and assembly."""

    cells: Cells
    assemblies: tuple[str, ...]
    sigma: Floats
    features: dict[str, FeatureTable]
    floor: float
    own: OwnParts

    def message(self, feature_id: str, reading: Floats, *, alone: bool = True) -> Floats:
        """m_f(h) = sum_x lambda_f(x) Phi^_f(x | h), shape (makers + 1, H): row k holds it for a range of maker k.

        A part swapped on its own brings the donors' value, which depends on the maker of the range it sits on.
        """
        table = self.features[feature_id]
        plain = reading @ table.phi
        rate = table.swapped_alone if alone else 0.0
        donated = self.cells.donors @ plain
        return np.asarray((1 - rate) * plain[None, :] + rate * donated[:, None], dtype=np.float64)


def compile_model(base: KnowledgeBase) -> Model:
    """Work the whole base out: cells, then factory tables with the specimens' own parts found by EM (gamma)."""
    cells = build_cells(base)
    parts = {feature: factory_parts(base, cells, feature) for feature in base.features}
    model = _with_tables(base, cells, parts, {})
    if _in_doubt(base):
        for _ in range(OWN_PART_ROUNDS):
            model = _with_tables(base, cells, parts, _own_parts(base, model))
    return model


def _in_doubt(base: KnowledgeBase) -> bool:
    """Whether any specimen shows a part of which its record does not say whether it is the specimen's own."""
    specimens = (specimen for folder in base.makers.values() for specimen in folder.specimens)
    return any(seen.original is None for specimen in specimens for seen in specimen.observations if seen.is_reading)


def retabled(base: KnowledgeBase, model: Model, features: Collection[str]) -> Model:
    """The model of a base that differs from the model's own in what it says of `features`: only those are redone.

    Cells stay, and so does gamma of every specimen, which one entry more or less hardly moves.
    """
    tables = dict(model.features)
    for feature in features:
        parts = factory_parts(base, model.cells, feature)
        phi = factory_table(base, model.cells, feature, parts, model.own)
        tables[feature] = replace(tables[feature], phi=phi)
    return replace(model, features=tables)


def _with_tables(base: KnowledgeBase, cells: Cells, parts: Mapping[str, Parts], own: OwnParts) -> Model:
    assemblies = tuple(base.assemblies)
    stated = {feature for folder in base.makers.values() for feature in folder.stated_features}
    swapped = base.wording.swapped
    features = {
        feature_id: FeatureTable(
            id=feature_id,
            assembly=assemblies.index(feature.assembly),
            values=feature.value_ids,
            phi=factory_table(base, cells, feature_id, parts[feature_id], own),
            slips=slip_confusion(base, feature_id),
            swapped_alone=swapped[feature.swapped_alone] if feature.swapped_alone is not None else 0.0,
            stated=feature_id in stated,
        )
        for feature_id, feature in base.features.items()
    }
    sigma = np.array([swap_rate(base, assembly) for assembly in base.assemblies])
    return Model(cells, assemblies, sigma, features, base.wording.model.floor, own)


def _own_parts(base: KnowledgeBase, model: Model) -> dict[tuple[str, str], float]:
    """gamma for each specimen and assembly: P(not swapped | what it shows, its known variant and years)."""
    own: dict[tuple[str, str], float] = {}
    for maker, folder in base.makers.items():
        for specimen in folder.specimens:
            for assembly, probability in _own_of(base, model, maker, specimen).items():
                own[specimen.id, assembly] = probability
    return own


def _own_of(base: KnowledgeBase, model: Model, maker: str, specimen: Specimen) -> dict[str, float]:
    cells = model.cells
    where = cells.of_group(Group(maker, specimen.known.variant))
    years = specimen_years(specimen, cells.year[where])
    if years.sum() == 0:
        return {}
    k = cells.makers.index(maker)
    found = {}
    for a, assembly in enumerate(model.assemblies):
        together = np.ones(len(cells))
        for seen in specimen.observations:
            if seen.feature is None or not seen.is_reading:
                continue
            traces_on = base.features[seen.feature].traces_on if seen.removed else None
            if assembly == (traces_on or base.features[seen.feature].assembly):
                reading = likelihood(base, seen.feature, seen)
                together = together * model.message(seen.feature, reading, alone=traces_on is None)[k]
        donated = float(cells.donors[k] @ together)
        own = (1 - model.sigma[a]) * together[where]
        found[assembly] = float(years @ (own / np.maximum(own + model.sigma[a] * donated, 1e-300)))
    return found
