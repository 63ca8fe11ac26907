"""The order sheet: what a supplier asks, filled in as far as it is known, with blanks for the rest."""

from __future__ import annotations

from hobmark.bench.fit import PartFit
from hobmark.bench.orders import blanks
from hobmark.bench.part_words import part_words
from hobmark.knowledge.vocabulary import Hand, MeasuredOn
from hobmark.reports.fit import MustNot, OrderDimension, OrderSheet
from hobmark.reports.identify import CautionLine
from hobmark.reports.words import group_words, years_words

PICTURES = (
    "the old part from both sides, square on, with a rule beside it",
    "every number cast or stamped on it, close up and in slanting light",
    "the place it comes from, facing the range",
    "the rating plate, whole and readable",
)
"""What a supplier wants to see; common practice, no source."""
EXCHANGE = (
    "Ask for a core exchange, and what is paid for the old one. The only original is not posted away: send a tracing "
    "or this sheet instead, until the other part is in hand."
)
"""For kinds that are rebuilt against an old part; common practice."""


def order_sheet(fit: PartFit, standing: str, must_not: list[MustNot], cautions: list[CautionLine]) -> OrderSheet:
    """The order sheet for one part and one range."""
    examination = fit.examination
    leader = examination.compiled.model.cells.groups[examination.ranking.leader]
    numbers = [read.number for read in examination.case.numbers if read.kind == fit.part.kind]
    note = " ".join(note for note in (fit.part.note, fit.kind.note) if note)
    return OrderSheet(
        part=fit.part.id,
        label=part_words(fit.part),
        quantity=1,
        numbers=list(fit.part.numbers),
        number_on_old=numbers,
        hand=fit.part.hand,
        maker=fit.base.makers[leader.maker].maker.label if leader.maker is not None else "",
        model=group_words(fit.base, leader),
        model_probability=float(examination.ranking.by_group[examination.ranking.leader]),
        serials=[seen.serial for seen in examination.case.observations if seen.serial is not None],
        years=years_words(examination.ranking.years_of(leader)),
        standing=standing,
        dimensions=_dimensions(fit),
        pictures=[*PICTURES, *([_SIDES] if fit.part.hand is not Hand.EITHER else [])],
        exchange=EXCHANGE if fit.kind.exchange else None,
        must_not=must_not,
        test_after=fit.part.proved_by,
        note=note or None,
        cautions=cautions,
    )


_SIDES = "which side it was on, as one stands facing the range"


def _dimensions(fit: PartFit) -> list[OrderDimension]:
    hows = {(need.measure, need.on): need.how for need in fit.part.needs}
    rows = []
    for blank in blanks(fit):
        dimension = fit.kind.dimensions[blank.measure]
        choice = f" ({', '.join(dimension.words)})" if dimension.words and blank.found is None else ""
        where = "at its place" if blank.on is MeasuredOn.RANGE else "on the old part"
        rows.append(
            OrderDimension(
                measure=blank.measure,
                label=f"{dimension.label}, {where}",
                on=blank.on,
                wanted=blank.wanted,
                found=blank.found,
                how=f"{hows.get((blank.measure, blank.on)) or dimension.how or ''}{choice}",
                sources=list(blank.sources),
            )
        )
    return rows
