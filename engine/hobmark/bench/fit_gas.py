"""How a part stands with the gas that is to burn at it: what its jet would give, and what of that is not known yet.

A jet gives what its own bore gives on the gas laid on, at the pressure and the height there, against what its burner is
to give; its number proves no bore, since a used hood keeps it when it is drilled out. Beyond AMISS it does not fit. As
long as gas, height, heat or bore is not known nothing confirms it, and all of that is had without a flame. A pilot has
no published heat: there the gas that papers bore it for stands in, with its bore as they have it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, replace

from hobmark.bench.account import Account
from hobmark.bench.fit_pressure import measured_words
from hobmark.bench.gas import ALTITUDE_FROM_FT, ALTITUDE_TO_FT, AMISS, Supply
from hobmark.bench.guards import Guard
from hobmark.bench.jets import ALTITUDE_RULE, FORMULA
from hobmark.bench.places import Heat, heats_of
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Quantity, Unit, quantity, read_quantity
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.measures import MeasureTaken
from hobmark.knowledge.schema.parts import Part, PartKind
from hobmark.knowledge.schema.record_terms import JetPlace, RegulatorState
from hobmark.knowledge.vocabulary import Gas, MeasuredOn
from hobmark.reasoning.examination import Examination

LAID_ON = Guard(
    because="A jet is for one gas, and burns another far too large or too small.",
    find_out="the gas laid on, by the supplier's word, a bill, the meter, the tank or its regulator",
)
HEIGHT = Guard(
    because="Up high the same jet gives too much for the thin air.",
    find_out="the height above the sea, from a map",
)
PRESSURE = Guard(
    because="Without a regulator of its own a range has what the house gives, and no table tells that.",
    find_out="the pressure ahead of the range, read on a gauge by a licensed fitter with nothing lit",
)
FIGURES = Guard(
    because="No source gives the figures of this gas, so that no jet can be judged on it.",
    find_out="heating value, gravity and pressure of the gas, from its supplier",
)
BORE = Guard(
    because="A used hood or pilot keeps its number when it is drilled out.",
    find_out="the bore of the jet on the part itself, by a drill shank as a plug gauge, gas off",
    in_hand=True,
)

LEAK = "gas_leak"
"""The caution of every kind that gas goes through, or that is tested with gas on."""


@dataclass(frozen=True, slots=True)
class GasStep:
    """One thing that follows for a part from its gas: in short, in full, what it is made from, and whose word it is."""

    id: str
    gives: str
    says: str
    given: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GasCheck:
    """How a part stands with its gas. `wanted`: the gas is one that is wanted; else it is the one laid on.

    `refusals` say why it does not fit, `reckoned` what its jet gives where it does. `supply` and `feet` are None where
    gas or height is not known.
    """

    gas: Gas | None = None
    wanted: bool = False
    refusals: tuple[GasStep, ...] = ()
    guards: tuple[Guard, ...] = ()
    reckoned: tuple[GasStep, ...] = ()
    supply: Supply | None = None
    feet: float | None = None


NO_GAS = GasCheck()
"""Of a part that no gas burns at, or in a base without tables of gas."""


def goes_by_gas(base: KnowledgeBase, part: Part) -> bool:
    """Whether gas has a say in whether a part fits."""
    has_tables = bool(base.bench.gases) and base.bench.fuel is not None
    return has_tables and (base.kinds[part.kind].jet is not None or bool(part.gas))


def bears_gas(kind: PartKind) -> bool:
    """Whether gas goes through parts of a kind, or they are tested with gas on: then the kind warns of a leak."""
    return LEAK in kind.cautions


def bore_taken(part: Part, jet: str, measures: Iterable[MeasureTaken]) -> MeasureTaken | None:
    """The bore of the jet of the part in hand, as the case has it."""
    for taken in measures:
        mine = taken.kind == part.kind or (taken.part or "").rpartition("/")[2] == part.id
        if mine and taken.measure == jet and taken.on is MeasuredOn.PART:
            return taken
    return None


def gas_check(
    examination: Examination, account: Account, part: Part, *, place: JetPlace | None, wanted: Gas | None
) -> GasCheck:
    """How a part stands with the gas wanted, else with the one laid on; at one place, else at all it may stand at."""
    base, record = examination.compiled.base, account.record
    kind = base.kinds[part.kind]
    gas = wanted or account.laid_on
    named = wanted is not None or account.facts.laid_on is not None
    guards = [] if named else [LAID_ON]
    refusals = []
    if gas is not None and part.gas and gas not in part.gas:
        refusals.append(_for_another(base, part, gas, wanted is not None))
    supply = account.supply(base, gas) if gas is not None else None
    feet = account.feet if record.altitude is not None else None
    if kind.jet is None:
        return GasCheck(gas, wanted is not None, tuple(refusals), tuple(guards), (), supply, feet)
    guards += [HEIGHT] if feet is None else []
    guards += [FIGURES] if gas is not None and base.bench.gases[gas].mark is Mark.ASSUMED else []
    own = account.regulator.state is RegulatorState.NONE and account.pressure is None
    guards += [PRESSURE] if own and wanted in (None, account.laid_on) else []
    reckoning = _Reckoning(examination, account, part, place, gas, supply)
    guards += reckoning.guards()
    refusals += reckoning.refusals()
    told = tuple(reckoning.fitting())
    return GasCheck(gas, wanted is not None, tuple(refusals), tuple(guards), told, supply, feet)


def _for_another(base: KnowledgeBase, part: Part, gas: Gas, wanted: bool) -> GasStep:
    made = " or ".join(base.bench.gases[each].label for each in part.gas)
    has = f"{base.bench.gases[gas].label} is {'wanted' if wanted else 'laid on'}"
    says = f"It is made for {made}, and {has}."
    return GasStep("of another gas", f"is made for {made}", says, (has,), part.sources)


@dataclass(frozen=True, slots=True)
class _Share:
    """What a jet gives at one place as a multiple of the heat that is to be given there: least and most it may be."""

    heat: Heat
    supply: Supply
    gas: Gas
    least: float
    most: float

    @property
    def is_off(self) -> bool:
        """Whether it is too much or too little, whatever is not known."""
        return self.least > 1 + AMISS or self.most < 1 - AMISS

    @property
    def may_be_off(self) -> bool:
        """Whether it may be."""
        return self.least < 1 - AMISS or self.most > 1 + AMISS


class _Reckoning:
    """The heat of a part's jet at each place in question; a place has no share while heat, gas or bore is not known."""

    def __init__(
        self,
        examination: Examination,
        account: Account,
        part: Part,
        place: JetPlace | None,
        gas: Gas | None,
        supply: Supply | None,
    ) -> None:
        self.base, self.account, self.part = examination.compiled.base, account, part
        kind = self.base.kinds[part.kind]
        may = part.places or kind.places
        there = tuple(each.place for each in account.places)
        places = (place,) if place in may else tuple(each for each in may if each in there) or may
        found = heats_of(examination, account.record, tuple(each for each in places if each is not None))
        self.heats = {each: found.get(each) for each in places if each is not None}
        self.taken = bore_taken(part, kind.jet or "", examination.case.measures)
        self.bores = self._bores(kind.jet)
        self.shares: dict[JetPlace, _Share] = {}
        # figures without a source are for comparing, and no jet is judged by them
        if (
            supply is not None
            and gas is not None
            and self.base.bench.gases[gas].mark is not Mark.ASSUMED
            and self.bores
        ):
            self.shares = {at: self._share(heat, supply, gas) for at, heat in self.heats.items() if heat is not None}

    def _bores(self, jet: str | None) -> tuple[Quantity, ...]:
        """The bore of the part in hand; else the least and the greatest that papers let it have."""
        if self.taken is not None:
            return (read_quantity(self.taken.value),)
        needs = [need for need in self.part.needs if need.measure == jet and need.on is MeasuredOn.PART]
        return tuple(read_quantity(edge) for need in needs for edge in need.between or ())

    def _share(self, heat: Heat, supply: Supply, gas: Gas) -> _Share:
        """Least and most; where the height is not known, of all that there may be."""
        known = self.account.record.altitude is not None
        heights = (supply.feet,) if known else (0.0, ALTITUDE_FROM_FT, ALTITUDE_TO_FT)
        found = [
            replace(supply, feet=feet).share_of(bore.to(Unit.INCH), heat.btu_h)
            for bore, feet in itertools.product(self.bores, heights)
        ]
        return _Share(heat, supply, gas, min(found), max(found))

    def _is_marked_pilot(self, place: JetPlace) -> bool:
        """Whether papers say for which gas a pilot is bored, and how: no heat of one is published."""
        return place.is_pilot and bool(self.part.gas) and bool(self.bores)

    def guards(self) -> list[Guard]:
        """What is not known of bore and heat."""
        found = [] if self.taken is not None else [BORE]
        dark = [at for at, heat in self.heats.items() if heat is None and not self._is_marked_pilot(at)]
        if dark:
            where = " and ".join(at.words for at in dark)
            told = f"the heat that the burner at {where} is to give, by the range's plate or its paper"
            found.append(Guard("Without it no bore is too large or too small.", find_out=told))
        off = [at for at, share in self.shares.items() if share.may_be_off]
        if off and not self.refusals():
            says = " ".join(self._says(at) for at in off)
            asks = "at which place it is to stand, and its bore and the height there"
            found.append(Guard(f"It may be off: {says}", find_out=asks, sources=(self._grounds(off[0]),)))
        return found

    def refusals(self) -> list[GasStep]:
        """A heat that is off at every place in question, whatever is not known."""
        if (
            not self.shares
            or len(self.shares) < len(self.heats)
            or not all(each.is_off for each in self.shares.values())
        ):
            return []
        return [self._step(at) for at in list(self.shares)[:1]]

    def fitting(self) -> list[GasStep]:
        """A heat that is right, at the first place where it is."""
        return [self._step(at) for at, share in self.shares.items() if not share.may_be_off][:1]

    def _step(self, place: JetPlace) -> GasStep:
        share = self.shares[place]
        given = (self._bored(), self._burning(share), f"{_btu(share.heat)} to be given at {place.words}")
        gives = f"gives {_times(share)} times the heat that is to be given"
        return GasStep(f"at {place.words}", gives, self._says(place), given, (self._grounds(place),))

    def _says(self, place: JetPlace) -> str:
        share = self.shares[place]
        high = ", which is less up high" if share.supply.feet >= ALTITUDE_FROM_FT else ""
        return (
            f"It gives {_times(share)} times the heat of {_btu(share.heat)} that the burner at {place.words} is to give"
            f"{high}: {self._bored()}, {self._burning(share)} [{self._grounds(place)}]."
        )

    def _bored(self) -> str:
        if self.taken is not None:
            return f"bored {self.taken.value}, as measured"
        return f"bored {' to '.join(each.text for each in self.bores)}, as papers have it"

    def _burning(self, share: _Share) -> str:
        """Gas, heating value, pressure and height as they are reckoned with."""
        kept, here = self.account.record, share.gas is self.account.laid_on
        told = here and kept.laid_on is not None and kept.laid_on.heating_value is not None
        value = f"{share.supply.heating_value:,.0f} Btu/ft3 {'as told' if told else 'by the table'}"
        measured = here and self.account.pressure is not None
        wc = quantity(share.supply.pressure, Unit.INCH_WC).text
        height = f"at {kept.altitude}" if kept.altitude is not None else "at a height not known"
        label = self.base.bench.gases[share.gas].label
        return f"on {label} of {value} at {wc} {measured_words(self.account) if measured else 'by the table'}, {height}"

    def _grounds(self, place: JetPlace) -> str:
        share = self.shares[place]
        rule = f"; {ALTITUDE_RULE}" if share.supply.feet >= ALTITUDE_FROM_FT else ""
        return f"computed: {FORMULA}{rule}; the heat: {share.heat.source}"


def _times(share: _Share) -> str:
    least, most = f"{share.least:.2f}", f"{share.most:.2f}"
    return least if least == most else f"{least} to {most}"


def _btu(heat: Heat) -> str:
    return quantity(heat.btu_h, Unit.BTU_H).text
