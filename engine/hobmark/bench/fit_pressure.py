"""Where the pressure at the jets was read, and what was lit meanwhile."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hobmark.bench.account import Account
from hobmark.knowledge.quantities import Unit, read_quantity
from hobmark.knowledge.schema.record_entries import PressureRead
from hobmark.knowledge.schema.record_terms import PressureAt

READ_AT: Mapping[PressureAt, str] = {
    PressureAt.MANIFOLD: "at the manifold",
    PressureAt.INLET: "ahead of the range",
    PressureAt.HOUSE: "at the house's meter or tank",
}
"""Where a pressure was read; at the manifold alone it is that at the jet."""


def reading_at_jets(account: Account) -> PressureRead | None:
    """The reading that the pressure at the jets was taken from, the nearest to them; None where none was measured."""
    if account.pressure is None:
        return None
    same = [
        read
        for read in account.record.pressures
        if math.isclose(read_quantity(read.reads).to(Unit.INCH_WC), account.pressure)
    ]
    return next((read for at in READ_AT for read in reversed(same) if read.at is at), None)


def measured_words(account: Account) -> str:
    """Where the pressure at the jets was read, and what was lit."""
    read = reading_at_jets(account)
    if read is None:
        return "as measured"
    lit = f"{', '.join(place.words for place in read.lit)} lit" if read.lit else "nothing lit"
    return f"as measured {READ_AT[read.at]} with {lit}"
