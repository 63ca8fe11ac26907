"""Jets and heat as settings: the drill for an input on a gas, at an altitude, and what a wrong gas does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.bench.gas import (
    ALTITUDE_FROM_FT,
    DrillChoice,
    bore_at_altitude,
    flow,
    input_at_altitude,
    jet_bore,
    nearest_drill,
    wrong_gas_factor,
)
from hobmark.bench.settings import Setting
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Kind, Quantity, Unit, quantity, read_quantity
from hobmark.knowledge.schema.bench import Gas, GasRow, Mark

FORMULA = "Q = 1658.5 K A sqrt(H/S), K 0.90 (BCcampus Plumbing, Appendix 2; a process-heating magazine)"
"""What every flow is computed with."""
ALTITUDE_RULE = (
    "4% less input for each 1,000 ft above sea level, from 2,000 ft on (National Fuel Gas Code, Annex E, as quoted in "
    "two furnace manuals and a trade magazine)"
)
"""What every figure at an altitude rests on."""
CAUTIONS = ("wrong_gas", "gas_leak")
"""Ids of the cautions that any figure of a jet bears."""


@dataclass(frozen=True, slots=True)
class Jet:
    """The jet for an input on a gas: the nearest number drill with its neighbours, as settings.

    `flow` is what the drill passes; None from 2,000 ft up, where the formula's conditions no longer hold.
    `for_comparing`: a figure it rests on has no source, so that no jet may be chosen by it.
    """

    gas: Gas
    drill: DrillChoice
    bore: Setting
    input: Setting
    flow: Setting | None
    feet: float
    for_comparing: bool


def altitude_of(text: str) -> Quantity:
    """An altitude from `5000 ft` or `1500 m`; ValueError for what is none, or beyond where the rule was checked."""
    height = read_quantity(text, Kind.LENGTH)
    bore_at_altitude(1.0, height.to(Unit.FOOT))
    return height


def jet_for(base: KnowledgeBase, heat: Quantity, gas: Gas, feet: float = 0.0) -> Jet:
    """The jet for a heat input, at the usual pressure of the gas. ValueError where no number drill is near."""
    row = base.bench.gases[gas]
    sea_level = heat.to(Unit.BTU_H)
    chosen = nearest_drill(bore_at_altitude(jet_bore(sea_level, row), feet), base.bench.drills)
    source, mark = _grounds(row, feet)
    wanted = input_at_altitude(sea_level, feet)
    passed = flow(chosen.nearest.inches, row.inches_of_water, row.gravity_to_air)

    def setting(number: float, unit: Unit) -> Setting:
        return Setting(quantity(number, unit), None, None, source, mark, CAUTIONS)

    bore = Quantity(read_quantity(chosen.nearest.diameter).number, Unit.INCH, f"{chosen.nearest.inches:.4f}")
    return Jet(
        gas=gas,
        drill=chosen,
        bore=Setting(bore, None, None, source, mark, CAUTIONS),
        input=setting(wanted, Unit.BTU_H),
        flow=None if feet >= ALTITUDE_FROM_FT else setting(passed, Unit.CUBIC_FOOT_H),
        feet=feet,
        for_comparing=row.mark is Mark.ASSUMED,
    )


def _grounds(row: GasRow, feet: float) -> tuple[str, Mark]:
    figures = f"{row.heating_value.is_}, gravity {row.gravity.is_}, {row.pressure.is_}"
    rule = f"; {ALTITUDE_RULE}" if feet >= ALTITUDE_FROM_FT else ""
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
