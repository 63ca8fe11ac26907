"""Jets and heat as settings: the drill for an input on a gas, at an altitude, and what a wrong gas does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from hobmark.bench.gas import (
    ALTITUDE_FROM_FT,
    DrillChoice,
    Supply,
    bore_at_altitude,
    flow,
    input_at_altitude,
    nearest_drill,
    supply_of,
    wrong_gas_factor,
)
from hobmark.bench.settings import Setting
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Kind, Quantity, Unit, quantity, read_quantity
from hobmark.knowledge.record_names import LEAST_BORE, MOST_BORE, drill_called
from hobmark.knowledge.schema.bench import GasRow, Mark
from hobmark.knowledge.vocabulary import Gas
from hobmark.problems import did_you_mean, shown

FORMULA = (
    "Q = 1658.5 K A sqrt(H/S), K 0.90 (BCcampus Plumbing Level 3 Block E, Appendix 2; "
    "process-heating.com/articles/85903)"
)
"""What every flow is computed with."""
ALTITUDE_RULE = (
    "4% less input for each 1,000 ft above sea level, from 2,000 ft on (National Fuel Gas Code, Annex E, Table "
    "E.1.1(d), as quoted in ICM magazine, Sep/Oct 2015, and in two furnace manuals)"
)
"""What every figure at an altitude rests on."""
CAUTIONS = ("wrong_gas", "gas_leak")
"""Ids of the cautions that any figure of a jet bears."""


@dataclass(frozen=True, slots=True)
class Jet:
    """The jet for an input on a gas: the nearest drill with its neighbours, as settings.

    `share` is its heat as a multiple of what is to be given; `flow` is what the drill passes, None from 2,000 ft up,
    where the formula's conditions no longer hold.
    `for_comparing`: a figure it rests on has no source, so that no jet may be chosen by it.
    """

    gas: Gas
    drill: DrillChoice
    bore: Setting
    input: Setting
    share: Setting
    flow: Setting | None
    feet: float
    for_comparing: bool


def altitude_of(text: str) -> Quantity:
    """An altitude from `5000 ft` or `1500 m`; ValueError for what is none, or beyond where the rule was checked."""
    try:
        height = read_quantity(text, Kind.LENGTH)
    except ValueError:
        raise ValueError(f"'{shown(text)}' is no height. Write it with its unit, as 5000 ft or 1500 m.") from None
    bore_at_altitude(1.0, height.to(Unit.FOOT))
    return height


def jet_for(base: KnowledgeBase, heat: Quantity, gas: Gas, supply: Supply) -> Jet:
    """The jet for a heat input at sea level, on a gas as it burns there. ValueError where no drill is near."""
    row = base.bench.gases[gas]
    sea_level = heat.to(Unit.BTU_H)
    chosen = nearest_drill(supply.bore_for(sea_level), base.bench.drills)
    source, mark = grounds_of(row, supply)
    passed = flow(chosen.nearest.inches, supply.pressure, supply.gravity)

    def setting(number: float, unit: Unit, written: str | None = None) -> Setting:
        return jet_setting(number, unit, written, source, mark)

    return Jet(
        gas=gas,
        drill=chosen,
        bore=setting(chosen.nearest.inches, Unit.INCH, f"{chosen.nearest.inches:.4f}"),
        input=setting(input_at_altitude(sea_level, supply.feet), Unit.BTU_H),
        share=setting(supply.share_of(chosen.nearest.inches, sea_level), Unit.TIMES),
        flow=None if supply.feet >= ALTITUDE_FROM_FT else setting(passed, Unit.CUBIC_FOOT_H),
        feet=supply.feet,
        for_comparing=row.mark is Mark.ASSUMED,
    )


def jet_setting(number: float, unit: Unit, written: str | None, source: str, mark: Mark) -> Setting:
    """A figure of a jet, with the cautions that every such figure bears."""
    return Setting(Quantity(Fraction(number), unit, written), None, None, source, mark, CAUTIONS)


@dataclass(frozen=True, slots=True)
class Gauged:
    """A jet as it was gauged: the drill that just enters, or its bore as written; the bore in in."""

    called: str
    inches: float


def read_gauged(text: str, base: KnowledgeBase) -> list[Gauged]:
    """Jets from drill names or lengths with commas between; ValueError for what is no jet of a range."""
    jets = []
    for name in text.split(","):
        drill = drill_called(name, base.bench.drills)
        if drill is not None:
            jets.append(Gauged(drill.called, drill.inches))
            continue
        try:
            jets.append(Gauged(name.strip(), read_quantity(name, Kind.LENGTH).to(Unit.INCH)))
        except ValueError:
            near = did_you_mean(name, [drill.name for drill in base.bench.drills])
            raise ValueError(f"'{shown(name.strip())}' is no drill and no length. Write 54 or 1.4 mm.{near}") from None
    if any(not LEAST_BORE <= jet.inches <= MOST_BORE for jet in jets):
        raise ValueError(f"'{shown(text)}' is no jet of a range. Write the drill that just enters, as 54.")
    return jets


def grounds_of(row: GasRow, supply: Supply) -> tuple[str, Mark]:
    """What a figure rests on that was computed for a supply, and its mark."""
    usual = supply_of(row, supply.feet)
    given = "" if supply.heating_value == usual.heating_value else " as given"
    given += " (metered there)" if supply.metered and supply.feet >= ALTITUDE_FROM_FT else ""
    measured = "" if supply.pressure == usual.pressure else " as measured"
    figures = (
        f"{supply.heating_value:g} Btu/ft3{given}, gravity {supply.gravity:g}, {supply.pressure:.3g} in wc{measured}"
    )
    rule = f"; {ALTITUDE_RULE}" if supply.feet >= ALTITUDE_FROM_FT else ""
    assumed = "; figures of this gas are assumed, no source" if row.mark is Mark.ASSUMED else ""
    return f"computed: {FORMULA}, with {figures}{rule}{assumed}", _mark(row)


def _mark(*rows: GasRow) -> Mark:
    return Mark.ASSUMED if any(row.mark is Mark.ASSUMED for row in rows) else Mark.COMPUTED


@dataclass(frozen=True, slots=True)
class WrongGas:
    """What a jet meant for one gas gives on another, as a multiple of the heat it was made for."""

    meant: Gas
    burned: Gas
    times: Setting


def wrong_gases(base: KnowledgeBase, gases: Sequence[Gas] = tuple(Gas)) -> tuple[WrongGas, ...]:
    """Every pair of the gases, each at its usual pressure."""
    rows = base.bench.gases
    return tuple(
        WrongGas(
            meant,
            burned,
            Setting(
                quantity(wrong_gas_factor(rows[meant], rows[burned]), Unit.TIMES),
                None,
                None,
                f"computed: {FORMULA}, with the figures of both gases in gases.yaml",
                _mark(rows[meant], rows[burned]),
                CAUTIONS,
            ),
        )
        for meant in gases
        for burned in gases
        if meant is not burned and {meant, burned} <= set(rows)
    )
