"""Gas through a jet: flow, input, drill for an input, what a wrong gas does, altitude, carbon monoxide air-free.

Q [ft3/h] = 1658.5 K A [in2] sqrt(H [in. w.c.] / S), K = 0.90; input = Q x heating value. Checked against the published
capacity tables of the BCcampus plumbing book (Appendix 2) and the National Fuel Gas Code (Annex E).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from hobmark.knowledge.quantities import Unit, quantity
from hobmark.knowledge.schema.bench import Drill, GasRow

COEFFICIENT = 1658.5
"""Of the flow formula in ft3/h, in2, in. w.c.; reproduces the published rows to the third decimal."""
DISCHARGE = 0.90
"""K of the formula: the discharge coefficient of range and furnace orifices in the published tables."""
ALTITUDE_FROM_FT = 2000.0
"""Below this nothing changes (National Fuel Gas Code, Annex E)."""
ALTITUDE_TO_FT = 10_000.0
"""The published table ends here, and so does the rule."""
LESS_EACH_KFT = 0.04
"""Share of the input that is taken away for each 1,000 ft above sea level (same place)."""
OXYGEN_IN_AIR = 20.9
"""Percent of oxygen in air."""


def flow(diameter_in: float, pressure_in_wc: float, gravity: float) -> float:
    """ft3/h of gas of a gravity (air = 1) through a jet, from its bore in in. and the pressure in in. w.c."""
    area = math.pi * diameter_in**2 / 4
    return COEFFICIENT * DISCHARGE * area * math.sqrt(pressure_in_wc / gravity)


def jet_input(diameter_in: float, gas: GasRow, pressure_in_wc: float | None = None) -> float:
    """Btu/h that a jet of a bore in in. gives on a gas, at its usual pressure if none is told."""
    pressure = gas.inches_of_water if pressure_in_wc is None else pressure_in_wc
    return flow(diameter_in, pressure, gas.gravity_to_air) * gas.btu_per_cubic_foot


@dataclass(frozen=True, slots=True)
class Supply:
    """A gas as it burns at one place: heating value in Btu/ft3, gravity (air = 1), pressure in in. w.c., height in ft.

    `metered`: the heating value is of a cubic foot as it is there, thin and all; else of one at standard conditions.
    Either way the height enters once: the thinner gas passes faster, 1/sqrt(P/P0), and a cubic foot of it holds P/P0.
    """

    heating_value: float
    gravity: float
    pressure: float
    feet: float = 0.0
    metered: bool = False

    @property
    def _per_area(self) -> float:
        """Btu/h for each square inch of bore at that height."""
        thin = air_pressure(self.feet) if self.feet >= ALTITUDE_FROM_FT else 1.0
        held = 1.0 if self.metered else thin
        passed = COEFFICIENT * DISCHARGE * math.sqrt(self.pressure / self.gravity / thin)
        return passed * self.heating_value * held

    def heat_of(self, bore_in: float) -> float:
        """Btu/h that a jet of a bore in in. gives there."""
        return self._per_area * math.pi * bore_in**2 / 4

    def bore_for(self, heat_btu_h: float) -> float:
        """The bore in in. of the jet that gives a heat in Btu/h, at sea level, there: less of it up high."""
        return math.sqrt(4 * input_at_altitude(heat_btu_h, self.feet) / self._per_area / math.pi)

    def share_of(self, bore_in: float, heat_btu_h: float) -> float:
        """The heat of a jet there as a multiple of what is to be given there, by its heat at sea level in Btu/h."""
        return self.heat_of(bore_in) / input_at_altitude(heat_btu_h, self.feet)


def supply_of(gas: GasRow, feet: float = 0.0, pressure_in_wc: float | None = None) -> Supply:
    """A gas by its table, at its usual pressure if none is told."""
    pressure = gas.inches_of_water if pressure_in_wc is None else pressure_in_wc
    return Supply(gas.btu_per_cubic_foot, gas.gravity_to_air, pressure, feet)


AMISS = 0.10
"""Share of the heat by which a jet may give more or less before it is warned of; our estimate, no source."""


class DrillChoice(NamedTuple):
    """The drill that stands in for a bore, the next smaller and larger of its series, and the bore in in. itself."""

    nearest: Drill
    smaller: Drill | None
    larger: Drill | None
    bore: float


def number_drills(drills: Sequence[Drill]) -> list[Drill]:
    """The number drills, smallest first."""
    return sorted((drill for drill in drills if drill.series == "number"), key=lambda drill: drill.inches)


def nearest_drill(bore_in: float, drills: Sequence[Drill]) -> DrillChoice:
    """The drill nearest to a bore by area, since heat goes by that: a number drill if one is within AMISS, else any.

    ValueError where no drill of any series is within AMISS: then none is named.
    """
    numbers = number_drills(drills)
    for sizes in (numbers, sorted(drills, key=lambda drill: drill.inches)):
        off = [abs((drill.inches / bore_in) ** 2 - 1) for drill in sizes]
        if off and min(off) <= AMISS:
            nearest = sizes[min(range(len(sizes)), key=lambda place: (round(off[place], 9), place))]
            series = [drill for drill in sizes if drill.series == nearest.series]
            place = series.index(nearest)
            larger = series[place + 1] if place + 1 < len(series) else None
            return DrillChoice(nearest, series[place - 1] if place else None, larger, bore_in)
    raise ValueError(f"no drill is near {bore_in:.4f} in")


def wrong_gas_factor(meant: GasRow, burned: GasRow) -> float:
    """By how much the input grows where a jet for one gas burns another, each at its usual pressure."""
    return jet_input(1.0, burned) / jet_input(1.0, meant)


def air_pressure(feet: float) -> float:
    """Standard pressure at an altitude as a share of that at sea level (standard atmosphere, troposphere)."""
    metres = quantity(feet, Unit.FOOT).to(Unit.METRE)
    return float((1 - 2.25577e-5 * metres) ** 5.25588)


def bore_at_altitude(bore_in: float, feet: float) -> float:
    """The bore that stands in for one at sea level: unchanged below 2,000 ft, from there as it is written below.

    d sqrt((1 - 0.04 kft) / sqrt(P/P0)). ValueError above 10,000 ft, where the published table ends.
    """
    if not 0 <= feet <= ALTITUDE_TO_FT:
        raise ValueError(f"the rule holds from 0 to {ALTITUDE_TO_FT:,.0f} ft. Ask the gas supplier above that.")
    if feet < ALTITUDE_FROM_FT:
        return bore_in
    return bore_in * math.sqrt((1 - LESS_EACH_KFT * feet / 1000) / math.sqrt(air_pressure(feet)))


def input_at_altitude(input_btu_h: float, feet: float) -> float:
    """The input that is right at an altitude: 4% less for each 1,000 ft, from 2,000 ft on."""
    return input_btu_h if feet < ALTITUDE_FROM_FT else input_btu_h * (1 - LESS_EACH_KFT * feet / 1000)


def air_free(co_ppm: float, oxygen_percent: float) -> float:
    """Carbon monoxide as if no air had been drawn in, ppm: CO x 20.9 / (20.9 - O2).

    ValueError where the sample is air or nearly so: the figure would be made of nothing.
    """
    if co_ppm < 0 or not 0 <= oxygen_percent <= 20:
        raise ValueError("oxygen is between 0 and 20 percent in a sample that can be reckoned with")
    return co_ppm * OXYGEN_IN_AIR / (OXYGEN_IN_AIR - oxygen_percent)


def metered_flow(dial_ft3: float, seconds: float) -> float:
    """ft3/h by the meter: 3600 x the dial's ft3 a turn / seconds for a turn, with all other gas off."""
    if seconds <= 0:
        raise ValueError("a turn of the dial takes longer than nothing")
    return 3600 * dial_ft3 / seconds
