"""Cells: one for each variant and year it was made, and for the ranges the base does not list; with their prior.

Notation (shared by every docstring of this room): a cell h = (v, y) is variant v made in year y, H cells in all;
pi(h) is the prior; k numbers the makers, and the last k stands for a maker the base does not know.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hobmark.dates import read_span
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.works import Variant

Floats = NDArray[np.float64]
"""An array of float64; the docstring beside it gives the shape."""
Ints = NDArray[np.int64]
"""An array of int64."""


@dataclass(frozen=True, slots=True)
class Group:
    """One line of a ranking: a variant, or what is not listed of one maker, or of no maker at all."""

    maker: str | None
    variant: str | None

    @property
    def unlisted(self) -> bool:
        """Whether it stands for "not one I know"."""
        return self.variant is None


@dataclass(frozen=True, slots=True)
class Cells:
    """The cells, sorted by group and year. Arrays have shape (H,); `donors` has shape (makers + 1, H)."""

    makers: tuple[str, ...]
    groups: tuple[Group, ...]
    group: Ints
    maker: Ints
    year: Ints
    prior: Floats
    donors: Floats

    def __len__(self) -> int:
        """H, the number of cells."""
        return len(self.year)

    def of_group(self, wanted: Group) -> NDArray[np.bool_]:
        """Which cells belong to a group."""
        return np.asarray(self.group == self.groups.index(wanted))


def variant_years(variant: Variant, life: str) -> tuple[Ints, Floats]:
    """The years a variant was made in and how much of each, clipped to the life of its maker."""
    span = read_span(life)
    if span.first_year is None or span.last_year is None:
        raise ValueError(f"the life {life} is open")
    years = np.arange(span.first_year, span.last_year + 1)
    share = variant.made_in(years)
    return years[share > 0], share[share > 0]


def build_cells(base: KnowledgeBase) -> Cells:
    """Cells and prior: pi(h) in proportion to units(v) share(y | v); makers weigh equally; unlisted cells beside them.

    Each maker gives `unlisted_variant` of its mass to unlisted cells, one for each year of its life; a maker the base
    does not know has `unlisted_maker` of all, over every year of the base. Raises ValueError for a variant that was
    made in no year of its maker's life.
    """
    numbers = base.wording.model
    makers = tuple(base.makers)
    groups: list[Group] = []
    columns: list[tuple[int, int, Ints, Floats]] = []  # group, maker, years, mass
    for k, (maker, folder) in enumerate(base.makers.items()):
        mass_of_maker = (1 - numbers.unlisted_maker) / len(makers)
        units = _units(list(folder.variants.values()))
        for (vid, variant), weight in zip(folder.variants.items(), units, strict=True):
            years, share = variant_years(variant, folder.maker.life)
            if not len(years):
                raise ValueError(f"{maker}/{vid} was made in no year of {folder.maker.life}")
            mass = mass_of_maker * (1 - numbers.unlisted_variant) * weight * share / share.sum()
            groups.append(Group(maker, vid))
            columns.append((len(groups) - 1, k, years, mass))
        years = _life_years(folder.maker.life)
        groups.append(Group(maker, None))
        mass = np.full(len(years), mass_of_maker * numbers.unlisted_variant / len(years))
        columns.append((len(groups) - 1, k, years, mass))
    lives = [_life_years(folder.maker.life) for folder in base.makers.values()]
    every_year = np.arange(min(y[0] for y in lives), max(y[-1] for y in lives) + 1)
    groups.append(Group(None, None))
    unknown = np.full(len(every_year), numbers.unlisted_maker / len(every_year))
    columns.append((len(groups) - 1, len(makers), every_year, unknown))
    group = np.concatenate([np.full(len(years), g) for g, _, years, _ in columns])
    maker_of = np.concatenate([np.full(len(years), k) for _, k, years, _ in columns])
    year = np.concatenate([years for _, _, years, _ in columns])
    prior = np.concatenate([mass for *_, mass in columns])
    prior = prior / prior.sum()
    return Cells(
        makers, tuple(groups), group, maker_of, year, prior, _donors(prior, maker_of, len(makers), numbers.donor_within)
    )


def _life_years(life: str) -> Ints:
    span = read_span(life)
    if span.first_year is None or span.last_year is None:
        raise ValueError(f"the life {life} is open")
    return np.arange(span.first_year, span.last_year + 1)


def _units(variants: list[Variant]) -> Floats:
    """Share of each variant: by units where known, the mean of the known ones elsewhere."""
    known = [variant.units for variant in variants if variant.units is not None]
    mean = float(np.mean(known)) if known else 1.0
    units = np.array([variant.units if variant.units is not None else mean for variant in variants])
    return np.asarray(units / units.sum(), dtype=np.float64)


def _donors(prior: Floats, maker: Ints, makers: int, within: float) -> Floats:
    """Where a swapped assembly comes from: delta_k = within * pi inside maker k + (1 - within) * pi over all."""
    rows = []
    for k in range(makers + 1):
        own = np.where(maker == k, prior, 0.0)
        own_share = own / own.sum() if own.sum() > 0 else prior
        rows.append(within * own_share + (1 - within) * prior)
    return np.vstack(rows)
