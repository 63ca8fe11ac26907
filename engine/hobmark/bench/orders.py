"""Where to look for a part, and what a supplier is told of it: donors, and the dimensions of an order."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hobmark.bench.fit import PartFit
from hobmark.bench.fit_places import QUARTER
from hobmark.bench.part_words import tested_words
from hobmark.knowledge.schema.parts import Fits, Part
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import FitsAs, Hand, MeasuredOn
from hobmark.reasoning.statements import applies_in

_DONATES = (FitsAs.EXACT, FitsAs.INTERCHANGES)


@dataclass(frozen=True, slots=True)
class Donor:
    """A variant that left the works with the part, or with one that goes in its place, in these years.

    `ranges`: how many were made, where that is known.
    """

    variant: str
    part: str
    first: int
    last: int
    ranges: float | None
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Blank:
    """One dimension of an order: what the papers ask, what was measured, and on what; either may be missing."""

    measure: str
    on: MeasuredOn
    wanted: str | None
    found: str | None
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderFor:
    """What an order is told beside the case: the place and the hand, as one stands facing the range, and how many."""

    place: JetPlace | None = None
    hand: Hand | None = None
    quantity: int | None = None


def places_for(fit: PartFit) -> tuple[JetPlace, ...]:
    """Where the part may stand."""
    return fit.part.places or fit.kind.places


def donors(fit: PartFit) -> list[Donor]:
    """Ranges to look for as donors, the commonest first: those with the part itself, then those with one for it.

    What is left alone on a range is left alone on a donor.
    """
    if fit.kind.left_alone is not None:
        return []
    folder = fit.base.makers[fit.maker]
    own = [donor for fits in fit.part.fits if fits.as_ in _DONATES for donor in _carriers(fit, fit.part, fits)]
    stand_ins = [
        donor
        for part in replacing(fit)
        for fits in part.fits
        if fits.as_ in _DONATES
        for donor in _carriers(fit, part, fits)
    ]
    order = list(folder.variants)
    return [
        donor
        for group in (own, stand_ins)
        for donor in sorted(group, key=lambda d: (-(d.ranges or 0.0), order.index(d.variant), d.first))
    ]


def replacing(fit: PartFit) -> list[Part]:
    """The parts that papers let go in its place: later ones in its chain, and those it goes both ways with."""
    parts = fit.base.makers[fit.maker].acting_parts
    found: dict[str, Part] = {}
    ahead = [fit.part.id]
    while ahead:
        name = ahead.pop()
        later = [p for p in parts.values() if any(x.part == name and x.break_ is None for x in p.supersedes)]
        both = [x.part for x in parts[name].supersedes if not x.one_way and x.break_ is None] if name in parts else []
        for other in (*later, *(parts[each] for each in both if each in parts)):
            if other.id not in found and other.id != fit.part.id:
                found[other.id] = other
                ahead.append(other.id)
    return list(found.values())


def _carriers(fit: PartFit, part: Part, fits: Fits) -> list[Donor]:
    folder = fit.base.makers[fit.maker]
    cells = fit.examination.compiled.model.cells
    years = cells.year[cells.maker == cells.makers.index(fit.maker)]
    starts = np.arange(years.min(), years.max() + 1, QUARTER)
    found = []
    for name in sorted(folder.variants_meant(fits.of) & set(folder.variants)):
        made = folder.variants[name].made_in(starts, QUARTER)
        carrying = made * applies_in(fits.made, starts, QUARTER)
        if carrying.any():
            within = starts[carrying > 0]
            units = folder.variants[name].units
            count = units * float(carrying.sum() / made.sum()) if units is not None else None
            found.append(Donor(name, part.id, int(within[0]), int(within[-1]), count, fits.sources))
    return found


def blanks(fit: PartFit) -> list[Blank]:
    """Every dimension that a supplier asks of the kind, with what is known of it and what is left to fill in."""
    taken = {
        (entry.measure, entry.on): entry.value
        for entry in fit.examination.case.measures
        if entry.kind == fit.part.kind or (entry.part or "").rpartition("/")[2] == fit.part.id
    }
    needs = {(need.measure, need.on): need for need in fit.part.needs}
    rows: list[Blank] = []
    for measure in fit.kind.dimensions:
        places = [on for on in MeasuredOn if (measure, on) in needs or (measure, on) in taken] or [MeasuredOn.PART]
        for on in places:
            need = needs.get((measure, on))
            wanted = tested_words(need) if need is not None else None
            sources = (need.sources or fit.part.sources) if need is not None else ()
            rows.append(Blank(measure, on, wanted, taken.get((measure, on)), sources))
    return rows
