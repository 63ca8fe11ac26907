"""The order sheet: what a supplier asks, filled in as far as it is known, with blanks for the rest."""

from __future__ import annotations

from hobmark.bench.fit import CONFIRMED, HALF, REFUSALS, PartFit
from hobmark.bench.orders import blanks
from hobmark.bench.part_words import part_words
from hobmark.knowledge.vocabulary import Hand, MeasuredOn, PartClass
from hobmark.reasoning.cells import Group
from hobmark.reports.fit import MustNot, OrderDimension, OrderSheet
from hobmark.reports.fit_words import may_be_prohibited, verdict_words
from hobmark.reports.identify import CautionLine
from hobmark.reports.sources import source_titles
from hobmark.reports.words import group_words, percent, years_words

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


def withheld(fit: PartFit) -> str | None:
    """Why no order sheet is made for a part; None where one is.

    None for a part that is refused, and none for a critical one that nothing proves while it may be forbidden here, or
    while it is not likelier than not that papers list it for this range.
    """
    if fit.verdict in REFUSALS:
        return verdict_words(fit)
    if fit.part.class_ is not PartClass.CRITICAL or fit.verdict in CONFIRMED:
        return None
    if fit.guards or may_be_prohibited(fit):
        return verdict_words(fit)
    if fit.now.listed < HALF:
        return (
            f"A critical part is not ordered before it is known what the range is ({percent(fit.now.listed)} listed)."
        )
    return None


def listed_for(fit: PartFit) -> Group | None:
    """The likeliest variant that papers list the part for; None where there is none."""
    chances: dict[Group, float] = {}
    for place in fit.places:
        if place.listed(fit.part.id) is not None:
            chances[place.group] = chances.get(place.group, 0.0) + place.now
    return max(chances, key=lambda group: chances[group], default=None)


def order_sheet(fit: PartFit, standing: str, must_not: list[MustNot], cautions: list[CautionLine]) -> OrderSheet:
    """The order sheet for one part and one range."""
    examination = fit.examination
    ranking, cells, model = examination.ranking, examination.compiled.model.cells, listed_for(fit)
    numbers = [read.number for read in examination.case.numbers if read.kind == fit.part.kind]
    note = " ".join(note for note in (fit.part.note, fit.kind.note) if note)
    dimensions = _dimensions(fit)
    cited = [source for row in dimensions for source in row.sources]
    cited += [source for each in must_not for source in each.sources]
    return OrderSheet(
        part=fit.part.id,
        label=part_words(fit.part),
        quantity=1,
        numbers=list(fit.part.numbers),
        number_on_old=numbers,
        hand=fit.part.hand,
        maker=fit.base.makers[fit.maker].maker.label,
        model=group_words(fit.base, model) if model is not None else None,
        model_probability=float(ranking.posterior[cells.of_group(model)].sum()) if model is not None else None,
        serials=[seen.serial for seen in examination.case.observations if seen.serial is not None],
        years=years_words(ranking.years_of(model)) if model is not None else "",
        standing=standing,
        dimensions=dimensions,
        pictures=[*PICTURES, *([_SIDES] if fit.part.hand is not Hand.EITHER else [])],
        exchange=EXCHANGE if fit.kind.exchange else None,
        must_not=must_not,
        test_after=fit.part.proved_by,
        note=note or None,
        cautions=cautions,
        sources=source_titles(fit.base, [(fit.maker, source) for source in cited]),
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
