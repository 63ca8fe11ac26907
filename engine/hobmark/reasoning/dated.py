"""Words and serials found on a part, as messages to the assembly they were found on.

Published bounds (patents, post, marks) say the same of every maker: 1 for a cell that satisfies them, epsilon
where not. A serial gives a density over the years of the maker whose numbering it fits; other makers' cells take the
mean.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hobmark.dates import read_span
from hobmark.dating.evidence import Evidence
from hobmark.dating.plate_text import bounds, read_words
from hobmark.dating.serials import density, read_serials
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.cells import Floats
from hobmark.reasoning.evidence import Message
from hobmark.reasoning.model import Model


@dataclass(frozen=True, slots=True)
class Dated:
    """Words or a serial on one assembly and what was found in them; a serial is read once for each maker it fits.

    `not_before` and `not_after` are the bounds of words together; `contradiction` says which of them cannot both hold,
    and then nothing of them is weighed.
    """

    assembly: str
    observation: Observation
    readings: tuple[tuple[str | None, Evidence], ...]
    not_before: str | None = None
    not_after: str | None = None
    contradiction: str | None = None

    @property
    def weighs(self) -> bool:
        """Whether anything in it bounds or spreads the years."""
        if self.observation.original is False or self.contradiction is not None:
            return False
        if self.observation.serial is not None:
            return bool(self.readings)
        return self.not_before is not None or self.not_after is not None


def dated(base: KnowledgeBase, observations: Iterable[Observation]) -> list[Dated]:
    """What the words and serials among the observations prove, in their order."""
    found = []
    for seen in observations:
        place = base.assembly_of(seen.found_on) if seen.found_on is not None else None
        if place is None:
            continue
        if seen.plate_text is not None:
            evidence = read_words(seen.plate_text, base.dating)
            found.append(Dated(place, seen, tuple((None, each) for each in evidence), *bounds(evidence)))
        elif seen.serial is not None:
            readings = read_serials(seen.serial, base)
            found.append(Dated(place, seen, tuple((reading.maker, reading.evidence) for reading in readings)))
    return found


def dated_messages(base: KnowledgeBase, model: Model, found: Iterable[Dated]) -> list[Message]:
    """One message for each text or serial that weighs; it holds for whatever range of whatever maker it sits on."""
    messages = []
    for each in found:
        if not each.weighs:
            continue
        serial = each.observation.serial
        row = _bounded(model, each) if serial is None else _numbered(base, model, serial)
        believed = base.wording.sure[each.observation.sure]
        row = believed * row + (1 - believed) * float(row @ model.cells.prior)
        values = np.broadcast_to(row, (len(model.cells.makers) + 1, len(row)))
        messages.append(Message(model.assemblies.index(each.assembly), values, dated=each.observation))
    return messages


def _bounded(model: Model, each: Dated) -> Floats:
    year = model.cells.year
    inside = np.ones(len(year), dtype=bool)
    if each.not_before is not None and (first := read_span(each.not_before).first_year) is not None:
        inside &= year >= first
    if each.not_after is not None and (last := read_span(each.not_after).last_year) is not None:
        inside &= year <= last
    return np.where(inside, 1.0, model.floor)


def _numbered(base: KnowledgeBase, model: Model, serial: str) -> Floats:
    """Each maker's density over its own cells, as a factor whose prior mean there is 1; 1 where no numbering fits."""
    cells = model.cells
    row = np.ones(len(cells))
    for k, maker in enumerate(cells.makers):
        own = cells.maker == k
        shares = density(base.makers[maker], serial, cells.year[own], base.wording)
        mean = float(shares @ cells.prior[own] / cells.prior[own].sum()) if shares is not None else 0.0
        if shares is not None and mean > 0:
            row[own] = np.maximum(shares / mean, model.floor)
    return row
