"""Simulated ranges, drawn from a compiled base as its model says ranges come about.

A range is a cell from the prior; each assembly may be a donor's, whole (sigma), each single part a donor's by
itself (s_f); the values come from Phi, the readings from the slip confusion, and some looks tell nothing (b_f).
Only features that some maker's statements speak of are drawn: of the others, which only rules speak of, nothing
true is known to draw. So the rules are silent here, and what is measured is statements, ranking and choice of looks.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from hobmark.reasoning.cells import Floats, Group, Ints
from hobmark.reasoning.examination import Compiled
from hobmark.reasoning.questions import cannot_tell


@dataclass(frozen=True, slots=True)
class SimulatedRange:
    """One drawn range: what it is, which assemblies and single parts are not its own, and what it shows.

    `shows` holds the value now on the range, `own` the one it left the works with (another only where a part came from
    elsewhere and differs), `readings` what a person says who looks (None: cannot tell).
    """

    number: int
    group: Group
    year: int
    swapped: frozenset[str]
    swapped_alone: frozenset[str]
    shows: Mapping[str, str]
    own: Mapping[str, str]
    readings: Mapping[str, str | None]

    def answer(self, feature: str) -> str | None:
        """The value a person reads, the same whoever asks and whenever; None where they cannot tell."""
        return self.readings.get(feature)


@dataclass(frozen=True, slots=True)
class _Tables:
    """Cumulated probabilities of F drawn features, padded to K values with infinity."""

    features: tuple[str, ...]
    assembly: Ints  # (F,)
    last_value: Ints  # (F,), each feature's number of values less 1
    alone: Floats  # s_f, (F,)
    blind: Floats  # b_f, (F,)
    factory: Floats  # Phi cumulated over values, (F, K, H)
    donated: Floats  # the donors' mean of Phi, cumulated, (makers + 1, F, K)
    slips: Floats  # C cumulated over readings, (F, K readings, K true values)
    donors: Floats  # delta cumulated over cells, (makers + 1, H)


def drawn_features(compiled: Compiled) -> tuple[str, ...]:
    """The features that a simulated range shows: those of which some statement speaks.

    Where only specimens show a feature that rules speak of, its table is a guess, and a drawn guess would fire rules.
    """
    folders = compiled.base.makers.values()
    stated = frozenset[str]().union(*(folder.stated_features for folder in folders))
    return tuple(feature for feature in compiled.model.features if feature in stated)


def _tables(compiled: Compiled) -> _Tables:
    model = compiled.model
    tables = [model.features[feature] for feature in drawn_features(compiled)]
    most = max(len(table.values) for table in tables)
    factory = np.full((len(tables), most, len(model.cells)), np.inf)
    donated = np.full((len(model.cells.donors), len(tables), most), np.inf)
    slips = np.full((len(tables), most, most), np.inf)
    for f, table in enumerate(tables):
        values = len(table.values)
        factory[f, :values] = np.cumsum(table.phi, axis=0)
        donated[:, f, :values] = np.cumsum(model.cells.donors @ table.phi.T, axis=1)
        slips[f, :values, :values] = np.cumsum(table.slips, axis=0)
    return _Tables(
        features=tuple(table.id for table in tables),
        assembly=np.array([table.assembly for table in tables]),
        last_value=np.array([len(table.values) - 1 for table in tables]),
        alone=np.array([table.swapped_alone for table in tables]),
        blind=np.array([cannot_tell(compiled.base, table.id) for table in tables]),
        factory=factory,
        donated=donated,
        slips=slips,
        donors=np.cumsum(model.cells.donors, axis=1),
    )


def draw_ranges(
    compiled: Compiled, count: int, seed: int, groups: Collection[Group] | None = None
) -> tuple[SimulatedRange, ...]:
    """Draw `count` ranges of the given groups (default: every listed variant), each from its own stream.

    Range number i of a seed is the same however many are drawn. ValueError for a group that is not in the base.
    """
    cells = compiled.model.cells
    wanted = [group for group in cells.groups if not group.unlisted] if groups is None else list(groups)
    if unknown := set(wanted) - set(cells.groups):
        raise ValueError(f"not in this base: {', '.join(f'{group.maker}/{group.variant}' for group in unknown)}")
    inside = np.isin(cells.group, [cells.groups.index(group) for group in wanted])
    mass = np.cumsum(np.where(inside, cells.prior, 0.0))
    tables = _tables(compiled)
    return tuple(
        _drawn(compiled, tables, mass / mass[-1], number, np.random.default_rng([seed, number]))
        for number in range(count)
    )


def _drawn(
    compiled: Compiled, tables: _Tables, mass: Floats, number: int, stream: np.random.Generator
) -> SimulatedRange:
    model, base = compiled.model, compiled.base
    cells = model.cells
    rows = np.arange(len(tables.features))
    cell = int(np.searchsorted(mass, stream.random(), side="right"))
    maker = cells.maker[cell]
    swapped = stream.random(len(model.assemblies)) < model.sigma
    donor = np.searchsorted(tables.donors[maker], stream.random(len(swapped)), side="right")
    source = np.where(swapped, np.minimum(donor, len(cells) - 1), cell)[tables.assembly]
    alone = stream.random(len(rows)) < tables.alone
    chances = np.where(alone[:, None], tables.donated[maker], tables.factory[rows, :, source])
    uniform = stream.random(len(rows))
    value = _picked(chances, uniform, tables.last_value)
    own = _picked(tables.factory[rows, :, cell], uniform, tables.last_value)
    reading = _picked(tables.slips[rows, :, value], stream.random(len(rows)), tables.last_value)
    blind = stream.random(len(rows)) < tables.blind
    shows: dict[str, str] = {}
    left_with: dict[str, str] = {}
    read: dict[str, str | None] = {}
    for f, feature in enumerate(tables.features):
        values = model.features[feature].values
        shows[feature], left_with[feature] = values[value[f]], values[own[f]]
        read[feature] = None if blind[f] else values[reading[f]]
    for feature in tables.features:
        gates = base.features[feature].needs.items()
        if not all(shows.get(gate) in wanted for gate, wanted in gates):
            read[feature] = None
    return SimulatedRange(
        number=number,
        group=cells.groups[cells.group[cell]],
        year=int(cells.year[cell]),
        swapped=frozenset(np.array(model.assemblies)[swapped].tolist()),
        swapped_alone=frozenset(np.array(tables.features)[alone].tolist()),
        shows=shows,
        own=left_with,
        readings=read,
    )


def _picked(chances: Floats, uniform: Floats, last: Ints) -> Ints:
    """One value a row from cumulated chances (F, K) and uniform numbers (F,); shape (F,)."""
    return np.asarray(np.minimum((uniform[:, None] >= chances).sum(axis=1), last), dtype=np.int64)
