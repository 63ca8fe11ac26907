"""One place of a range: its jet, what it is to give, for which gas it is set, and what it gives on the gas laid on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from hobmark.bench.gas import AMISS, Supply, supply_of
from hobmark.bench.jets import Gauged, read_gauged
from hobmark.bench.places import BEYOND, Heat, usual_heat
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.bench_tables import JET_HOOD
from hobmark.knowledge.quantities import Unit, read_quantity
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import JetRecord
from hobmark.knowledge.schema.record_terms import JetPlace, Seat
from hobmark.knowledge.vocabulary import Gas, Sure
from hobmark.reasoning.examination import Examination

MOST_PILOT = 0.030
"""in.; a wider jet is none of a pilot on any gas. Our estimate, no source."""
MOST_PILOT_HEAT = 1_600.0
"""Btu/h; more no pilot gives. Our estimate, no source: a sixth of the heat of a common top burner."""
JetsJudged = Literal["right", "too_large", "too_small"]
"""What the jets at the places that matter are, by the heat they give."""
UNIVERSAL, ADJUSTABLE = HOODS = ("universal", "adjustable")
"""Kinds of hood whose bore alone does not tell all."""


@dataclass(frozen=True, slots=True)
class PlaceAccount:
    """One place: what is in it, what it is to give, for which gas it is set, and what it gives on the gas laid on.

    `share` is the heat on the gas laid on as a multiple of what is to be given, of several jets the one furthest off;
    `against` says what contradicts itself there.
    """

    place: JetPlace
    record: JetRecord
    jets: tuple[Gauged, ...]
    heat: Heat | None
    set_for: Gas | None
    share: float | None
    against: tuple[str, ...]
    pilot_heat: float | None = None
    """Btu/h of a pilot on the gas laid on."""
    on_bottled: bool = False
    """Whether bottled gas is laid on."""

    @property
    def amiss(self) -> bool:
        """Whether it gives more or less than may be passed over, or is wider than any pilot's."""
        if self.seat_is_open:
            return False
        if self.place.is_pilot:
            wide = any(jet.inches > MOST_PILOT for jet in self.jets)
            return wide or (self.pilot_heat is not None and self.pilot_heat > MOST_PILOT_HEAT)
        return self.share is not None and abs(self.share - 1) > AMISS

    @property
    def seat_is_open(self) -> bool:
        """Whether its hood has two seats and nobody told which it stands on: another bore may count."""
        return self.record.hood == UNIVERSAL and self.record.seat is None

    @property
    def hood_is_open(self) -> bool:
        """Whether nobody told the kind of a top burner's hood on bottled gas, which not every kind holds."""
        of_top = not self.place.is_pilot and not self.place.is_oven
        return self.on_bottled and of_top and self.record.hood is None and not self.amiss

    @property
    def holds_no_bottled_gas(self) -> bool:
        """Whether its hood was made for a gas of low pressure: on a needle, or backed out from its seat."""
        return self.record.hood == ADJUSTABLE or (self.record.hood == UNIVERSAL and self.record.seat is Seat.BACKED_OUT)


def supply_here(base: KnowledgeBase, record: BenchRecord, pressure: float | None, feet: float, gas: Gas) -> Supply:
    """A gas as it burns there: what was measured and told counts for the gas laid on alone."""
    row = base.bench.gases[gas]
    if record.laid_on is None or record.laid_on.gas is not gas:
        return supply_of(row, feet)
    supply = supply_of(row, feet, pressure)
    if record.laid_on.heating_value is None:
        return supply
    value = read_quantity(record.laid_on.heating_value).to(Unit.BTU_CUBIC_FOOT)
    return replace(supply, heating_value=value, metered=record.laid_on.basis == "metered")


def place_account(
    base: KnowledgeBase, record: BenchRecord, jet: JetRecord, heat: Heat | None, pressure: float | None, feet: float
) -> PlaceAccount:
    """The account of one place; `pressure` is that at the jets in in. w.c. where it was measured."""
    place = jet.place
    jets = tuple(read_gauged(jet.size, base)) if jet.size is not None else ()
    laid_on = record.laid_on.gas if record.laid_on is not None else None
    share, fits = None, list[Gas]()
    if jets and heat is not None:
        fits = [each for each in Gas if _fits(base, record, jets, heat, feet, each)]
        if laid_on is not None:
            supply = supply_here(base, record, pressure, feet, laid_on)
            share = max((supply.share_of(each.inches, heat.btu_h) for each in jets), key=off)
    by_bore = fits[0] if len(fits) == 1 and heat is not None and heat.usual else None
    gas = jet.gas if jet.gas is not None else by_bore
    against = tuple(_place_against(base, place, jet, heat, fits))
    pilot_heat = None
    if place.is_pilot and jets and laid_on is not None:
        supply = supply_here(base, record, pressure, feet, laid_on)
        pilot_heat = max(supply.share_of(each.inches, 1.0) for each in jets)
    account = PlaceAccount(place, jet, jets, heat, gas, share, against, pilot_heat, laid_on is Gas.BOTTLED)
    # a mark outlives the drill: what was not gauged is set for nothing that is known
    is_open = account.seat_is_open or not jets or (account.hood_is_open and gas is Gas.BOTTLED)
    return replace(account, set_for=None) if is_open else account


def hood_seen(examination: Examination) -> str | None:
    """The kind of the top's hoods by a certain look of the case."""
    looks = [each for each in examination.case.observations if each.feature == JET_HOOD and each.sure is Sure.CERTAIN]
    return next((each.is_[0] for each in looks if each.is_ is not None and len(each.is_) == 1), None)


def hood_against(seen: str | None, jets: Iterable[JetRecord]) -> Iterator[str]:
    """Where the record has another kind of hood on the top than a certain look."""
    for jet in jets:
        of_top = not jet.place.is_pilot and not jet.place.is_oven
        if of_top and seen in HOODS and jet.hood is not None and jet.hood != seen:
            yield f"the record has a hood at {jet.place.words} that is {jet.hood}, and by a look it is {seen}."


def with_hood(jet: JetRecord, seen: str | None) -> JetRecord:
    """A top burner's jet with the kind of hood that was looked at, where its own entry tells none."""
    of_top = not jet.place.is_pilot and not jet.place.is_oven
    return jet.model_copy(update={"hood": seen}) if of_top and jet.hood is None and seen in HOODS else jet


def _place_against(
    base: KnowledgeBase, place: JetPlace, jet: JetRecord, heat: Heat | None, fits: list[Gas]
) -> Iterator[str]:
    """What contradicts itself at one place: mark and bore, heat and paper, seat and gas."""
    if jet.gas is not None and fits and jet.gas not in fits:
        by_bore = " or ".join(base.bench.gases[each].label for each in fits)
        marked = base.bench.gases[jet.gas].label
        yield f"the jet at {place.words} is marked for {marked}, and its bore is one for {by_bore}."
    if heat is not None and heat.paper is not None:
        yield (
            f"the record has {heat.btu_h:,.0f} Btu/h for {place.words}, and the paper of this range "
            f"{heat.paper:,.0f} Btu/h."
        )
    most = BEYOND * usual_heat(place)[1]
    if heat is not None and jet.heat is not None and heat.btu_h > most and not place.is_pilot:
        yield (
            f"the record has {heat.btu_h:,.0f} Btu/h for {place.words}, and no household burner is taken to give more "
            f"than {most:,.0f} Btu/h (our estimate, no source)."
        )
    laid_on_low = jet.gas in (Gas.NATURAL, Gas.MANUFACTURED)
    if jet.hood == UNIVERSAL and laid_on_low and jet.seat is Seat.HOME:
        yield f"the hood at {place.words} stands on its bottled-gas seat, and is marked for another gas."


def _fits(
    base: KnowledgeBase, record: BenchRecord, jets: tuple[Gauged, ...], heat: Heat, feet: float, gas: Gas
) -> bool:
    """Whether jets are bored for a gas: at its usual pressure, here or at sea level, by its usual or local heat."""
    row = base.bench.gases[gas]
    supplies = {supply_of(row), supply_of(row, feet), supply_here(base, record, None, feet, gas)}
    return any(all(abs(s.share_of(jet.inches, heat.btu_h) - 1) <= AMISS for jet in jets) for s in supplies)


def off(share: float) -> float:
    """How far a share of heat is from what is to be given."""
    return abs(share - 1)


def to_light(places: tuple[PlaceAccount, ...]) -> tuple[PlaceAccount, ...]:
    """The places that are to be lit."""
    return tuple(each for each in places if each.record.out_of_use is None)


def jets_judged(places: tuple[PlaceAccount, ...], at: Literal["top", "oven"] | None) -> JetsJudged | None:
    """What the jets of the top, of the oven or of both are by their heat; None while one of them was not judged.

    One that is amiss is enough to say so.
    """
    burners = [each for each in to_light(places) if not each.place.is_pilot]
    meant = [each for each in burners if at is None or each.place.is_oven == (at == "oven")]
    worst = max((each.share for each in meant if each.share is not None and each.amiss), key=off, default=None)
    if worst is not None:
        return "too_large" if worst > 1 else "too_small"
    return "right" if meant and all(each.share is not None and not each.seat_is_open for each in meant) else None
