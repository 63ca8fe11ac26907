"""The order sheet: what a supplier asks, filled in as far as it is known, with blanks for the rest."""

from __future__ import annotations

from hobmark.bench.account import Account
from hobmark.bench.fit import CONFIRMED, HALF, REFUSALS, PartFit
from hobmark.bench.fit_asks import Asks
from hobmark.bench.fit_gas import bears_gas
from hobmark.bench.orders import OrderFor, blanks, places_for
from hobmark.bench.part_looks import is_asked
from hobmark.bench.part_words import part_words
from hobmark.bench.places import places_of
from hobmark.knowledge.vocabulary import Hand, MeasuredOn, PartClass
from hobmark.reasoning.cells import Group
from hobmark.reports.fit import MustNot, OrderAsk, OrderDimension, OrderSheet
from hobmark.reports.fit_words import gas_contradicted, may_be_prohibited, stop_words, test_words, verdict_words
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


PLACE = "place, as one stands facing the range"
HAND = "hand, as one stands facing the range"
QUANTITY = "quantity of the set"
"""What is asked of every kind."""


def withheld(fit: PartFit, wanted: OrderFor) -> str | None:
    """Why no order sheet is made for a part; None where one is.

    None for one that bears gas while anything stops the range; none for a part that is refused; none for one that goes
    by gas while what was found of the gas contradicts itself; none before hand and place are told where they decide
    what is sent; and none for one that goes by gas, or a critical one that nothing proves, while something may forbid
    it here, or while it is not likelier than not that papers list it for this range.
    """
    if (stop := stop_words(fit.account)) is not None and bears_gas(fit.kind):
        return stop
    if fit.verdict in REFUSALS:
        return verdict_words(fit)
    if (contradicted := gas_contradicted(fit)) is not None:
        return f"It goes by the gas, and {contradicted}"
    if (elsewhere := _elsewhere(fit, wanted) or _other_hand(fit, wanted)) is not None:
        return elsewhere
    if any(not guard.in_hand for guard in fit.gas.guards):
        return verdict_words(fit)
    if fit.part.class_ is not PartClass.CRITICAL or fit.verdict in CONFIRMED:
        return None
    if any(not guard.in_hand for guard in fit.guards) or may_be_prohibited(fit):
        return verdict_words(fit)
    if fit.now.listed < HALF:
        return (
            f"A critical part is not ordered before it is known what the range is ({percent(fit.now.listed)} listed)."
        )
    return None


def _elsewhere(fit: PartFit, wanted: OrderFor) -> str | None:
    """What is amiss with the place that was told, or that none was told of a jet: its bore hangs on its burner."""
    may = places_for(fit)
    names = [place.value for place in may]
    if wanted.place is not None and wanted.place not in may:
        stands = f"It stands at {', '.join(names)}." if names else "It has no several places."
        return f"The {fit.kind.label} does not stand at {wanted.place.value}. {stands}"
    if wanted.place is not None and wanted.place not in places_of(fit.examination, fit.examination.case.bench):
        return f"By what is known of it this range has nothing at {wanted.place.value}."
    if wanted.place is None and fit.kind.jet is not None and len(may) > 1:
        return f"Which place: ask first. Its bore hangs on the burner. Name it: --place {' or '.join(names)}."
    return None


def _other_hand(fit: PartFit, wanted: OrderFor) -> str | None:
    """What is amiss with the hand that was told of a part that has one, or that none was told."""
    if fit.part.hand is Hand.EITHER or wanted.hand is fit.part.hand:
        return None
    if wanted.hand is None:
        return (
            f"Which hand: ask first, as one stands facing the range. This is the {fit.part.hand.value} one. Name it: "
            "--hand left or right."
        )
    told = "one of either hand" if wanted.hand is Hand.EITHER else f"the {wanted.hand.value} one"
    return f"This is the {fit.part.hand.value} one, and {told} is asked for."


def suits(fit: PartFit, wanted: OrderFor) -> bool:
    """Whether place and hand that were told are those of the part."""
    if wanted.hand is not None and fit.part.hand not in (wanted.hand, Hand.EITHER):
        return False
    return wanted.place is None or wanted.place in places_for(fit)


def listed_for(fit: PartFit) -> Group | None:
    """The likeliest variant that papers list the part for; None where there is none."""
    chances: dict[Group, float] = {}
    for place in fit.places:
        if place.listed(fit.part.id) is not None:
            chances[place.group] = chances.get(place.group, 0.0) + place.now
    return max(chances, key=lambda group: chances[group], default=None)


def order_sheet(
    fit: PartFit, wanted: OrderFor, standing: str, must_not: list[MustNot], cautions: list[CautionLine]
) -> OrderSheet:
    """The order sheet for one part and one range."""
    examination = fit.examination
    ranking, cells, model = examination.ranking, examination.compiled.model.cells, listed_for(fit)
    numbers = [read.number for read in examination.case.numbers if read.kind == fit.part.kind]
    note = " ".join(note for note in (fit.part.note, fit.kind.note) if note)
    dimensions = _dimensions(fit)
    cited = [source for row in dimensions for source in row.sources]
    cited += [source for each in must_not for source in each.sources]
    base = fit.base
    return OrderSheet(
        stop=stop_words(fit.account),
        part=fit.part.id,
        label=part_words(fit.part),
        quantity=_quantity(fit, wanted),
        numbers=list(fit.part.numbers),
        number_on_old=numbers,
        hand=fit.part.hand,
        maker=base.makers[fit.maker].maker.label,
        model=group_words(base, model) if model is not None else None,
        model_probability=float(ranking.posterior[cells.of_group(model)].sum()) if model is not None else None,
        serials=[seen.serial for seen in examination.case.observations if seen.serial is not None],
        years=years_words(ranking.years_of(model)) if model is not None else "",
        standing=standing,
        for_gas=_for_gas(fit, fit.account),
        left_alone=fit.kind.left_alone,
        asks=[*_of_every_kind(fit, wanted), *_of_its_kind(fit, fit.account, wanted)],
        dimensions=dimensions,
        pictures=_pictures(fit),
        exchange=EXCHANGE if fit.kind.exchange else None,
        must_not=must_not,
        test_after=test_words(fit),
        note=note or None,
        cautions=cautions,
        sources=source_titles(base, [(fit.maker, source) for source in cited]),
    )


def _quantity(fit: PartFit, wanted: OrderFor) -> int | None:
    """How many: as told; one where it has one place, or one was told; else nobody knows."""
    if wanted.quantity is not None:
        return wanted.quantity
    return 1 if wanted.place is not None or len(places_for(fit)) < 2 else None


def _of_every_kind(fit: PartFit, wanted: OrderFor) -> list[OrderAsk]:
    may = places_for(fit)
    place = wanted.place or (may[0] if len(may) == 1 else None)
    value = place.words if place is not None else None
    found = [_ask("place", PLACE, value, first=True)] if may else []
    if fit.kind.handed and fit.part.hand is Hand.EITHER:
        told = {Hand.EITHER: "universal"}.get(wanted.hand, wanted.hand.value) if wanted.hand is not None else None
        found.append(_ask("hand", HAND, told, first=True))
    count = _quantity(fit, wanted)
    found.append(_ask("quantity", QUANTITY, str(count) if count is not None else None, first=True))
    return found


def _of_its_kind(fit: PartFit, account: Account | None, wanted: OrderFor) -> list[OrderAsk]:
    told = Asks(fit, account, wanted.place).told()
    return [
        OrderAsk(
            id=name,
            label=ask.label,
            unit=ask.unit,
            value=known.value if known is not None else None,
            source=known.source if known is not None else None,
            is_setting=known is not None and known.is_setting,
            first=False,
        )
        for name, ask in fit.kind.ask.items()
        for known in (told[name],)
    ]


def _ask(name: str, label: str, value: str | None, *, first: bool = False) -> OrderAsk:
    return OrderAsk(id=name, label=label, unit=None, value=value, source=None, is_setting=False, first=first)


def _for_gas(fit: PartFit, account: Account | None) -> str | None:
    """For which gas it is ordered, where gas has a say; a conversion says what is laid on meanwhile."""
    check, gases = fit.gas, fit.base.bench.gases
    if check.gas is None or account is None:
        return None
    label = gases[check.gas].label
    if not check.wanted:
        return f"For {label}, which is laid on."
    if account.laid_on is check.gas:
        return f"For {label}, which is wanted, and laid on."
    laid_on = gases[account.laid_on].label if account.laid_on is not None else "a gas that is not known"
    return (
        f"For a conversion to {label}, which is wanted. Now {laid_on} is laid on: nothing of it is fitted or "
        "lit before a licensed fitter sets the whole range over, with that gas laid on."
    )


def _pictures(fit: PartFit) -> list[str]:
    sides = [_SIDES] if fit.part.hand is not Hand.EITHER else []
    own = fit.kind.pictures
    return [*(own or PICTURES[:-1]), PICTURES[-1], *sides]


_SIDES = "which side it was on, as one stands facing the range"


def _dimensions(fit: PartFit) -> list[OrderDimension]:
    hows = {(need.measure, need.on): need.how for need in fit.part.needs}
    rows = []
    for blank in blanks(fit):
        dimension = fit.kind.dimensions[blank.measure]
        asked = is_asked(fit.kind, blank.measure)
        choice = f" ({', '.join(dimension.words)})" if asked and dimension.words and blank.found is None else ""
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
                asked=asked,
            )
        )
    return rows
