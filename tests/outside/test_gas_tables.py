"""Gas figures against what was published: capacity tables, altitude table, worked examples, constants of scipy.

The whole tables are read from the folder that HOBMARK_CHECKS names; ten cells, each with its source, stand here.
"""

from __future__ import annotations

import csv
import os
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
import scipy.constants as published_constants
from hobmark.bench.gas import (
    Supply,
    air_free,
    bore_at_altitude,
    flow,
    metered_flow,
    nearest_drill,
    number_drills,
    supply_of,
    wrong_gas_factor,
)
from hobmark.knowledge.quantities import Unit, quantity
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.record_names import drill_called
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.bench import Drill
from hobmark.knowledge.schema.bench_tables import BenchTables
from hobmark.knowledge.vocabulary import Gas

published = pytest.mark.skipif("HOBMARK_CHECKS" not in os.environ, reason="HOBMARK_CHECKS names no published tables")


@cache
def shipped() -> BenchTables:
    return read_base([knowledge_root()]).bench


def rows(name: str) -> list[dict[str, str]]:
    with (Path(os.environ.get("HOBMARK_CHECKS", "")) / "reference" / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("# ")))


class Cell(NamedTuple):
    """A published flow: drill, gravity, pressure in in. w.c., ft3/h."""

    drill: str
    gravity: float
    pressure: float
    cubic_feet: float


# BCcampus, Plumbing Apprenticeship Level 3, Block E, Appendix 2 (2023), orifice factor 0.90.
CITED = [
    Cell("80", 0.6, 4, 0.552),
    Cell("75", 0.6, 3.5, 1.249),
    Cell("77", 1.5, 11, 1.029),
    Cell("78", 2.0, 10, 0.671),
]
# National Fuel Gas Code Annex E, Table E.1.1(d), as two furnace manuals reprint it: drill at sea level, feet, drill.
CITED_AT_ALTITUDE = [("49", 5000, "51"), ("49", 8000, "52"), ("46", 9000, "50"), ("51", 1000, "51")]
# As above, the two cells that the rule misses, by one drill.
ONE_DRILL_OFF = [("46", 4000, "47"), ("47", 4000, "49")]


def inches(drill: str) -> float:
    found = drill_called(drill, shipped().drills)
    assert found is not None
    return found.inches


def at_altitude(drill: str, feet: float) -> str:
    return nearest_drill(bore_at_altitude(inches(drill), feet), shipped().drills).nearest.name


@pytest.mark.parametrize("cell", CITED, ids=str)
def test_a_published_flow_is_met_to_two_thousandths(cell: Cell) -> None:
    assert flow(inches(cell.drill), cell.pressure, cell.gravity) == pytest.approx(cell.cubic_feet, rel=2e-3)


@published
def test_every_published_flow_is_met_within_the_difference_stated_beside_it() -> None:
    listed = rows("orifice_flow_checks.csv")
    assert len(listed) == 222
    off = []
    for row in listed:
        ours = flow(float(row["diameter_in"]), float(row["pressure_in_wc"]), float(row["sg"]))
        difference = 100 * (ours / float(row["published_cfh"]) - 1)
        if abs(difference - float(row["diff_pct"])) > 0.0501:
            off.append((row["source"], row["drill"], row["pressure_in_wc"], round(difference, 2), row["diff_pct"]))
    assert off == []


@published
def test_no_published_flow_is_further_off_than_five_percent_and_the_book_no_further_than_a_fifth_of_one() -> None:
    furthest: dict[str, float] = {}
    for row in rows("orifice_flow_checks.csv"):
        ours = flow(float(row["diameter_in"]), float(row["pressure_in_wc"]), float(row["sg"]))
        difference = abs(ours / float(row["published_cfh"]) - 1)
        furthest[row["source"]] = max(furthest.get(row["source"], 0.0), difference)
    assert furthest["BC"] <= 0.002
    assert max(furthest.values()) <= 0.05


@pytest.mark.parametrize(("drill", "feet", "there"), CITED_AT_ALTITUDE)
def test_a_published_drill_at_altitude_is_met(drill: str, feet: float, there: str) -> None:
    assert at_altitude(drill, feet) == there


@pytest.mark.parametrize(("drill", "feet", "there"), ONE_DRILL_OFF)
def test_where_the_rule_misses_the_published_drill_it_is_one_drill_off(drill: str, feet: float, there: str) -> None:
    assert abs(int(at_altitude(drill, feet)) - int(there)) == 1


@published
def test_fifty_eight_of_sixty_drills_at_altitude_are_met_and_the_rest_are_one_off() -> None:
    listed = rows("altitude_orifice_checks.csv")
    steps = []
    for row in listed:
        ours = at_altitude(row["sea_level_drill"], float(row["altitude_ft_band_start"]))
        steps.append(abs(int(ours) - int(row["published_drill"].lstrip("#"))))
    assert (len(listed), steps.count(0), steps.count(1)) == (60, 58, 2)


def test_below_two_thousand_feet_nothing_changes() -> None:
    assert bore_at_altitude(0.055, 1999.9) == 0.055
    assert bore_at_altitude(0.055, 2000) < 0.055


@published
def test_every_drill_is_the_published_one() -> None:
    listed = {(row["series"], row["size"].lstrip("#")): float(row["diameter_in"]) for row in rows("drill_sizes.csv")}
    tabled = [drill for drill in shipped().drills if drill.series in ("number", "letter")]
    ours = {(drill.series, drill.name): drill.inches for drill in tabled}
    assert ours == listed
    assert len(ours) == 106


SIXTY_FOURTHS = [Fraction(count, 64) for count in range(1, 17)]
TWENTIETHS = [Fraction(count, 20) for count in range(6, 61)]


def of_series(series: str) -> dict[str, Drill]:
    return {drill.id: drill for drill in shipped().drills if drill.series == series}


@pytest.mark.parametrize("millimetres", TWENTIETHS, ids=str)
def test_a_metric_drill_is_what_its_name_says(millimetres: Fraction) -> None:
    drill = of_series("metric")[f"mm-{float(millimetres):.2f}".replace(".", "-")]
    assert drill.called == f"{float(millimetres):.2f} mm"
    assert drill.inches == pytest.approx(float(millimetres / Fraction(254, 10)), rel=1e-15)


@pytest.mark.parametrize("inch", SIXTY_FOURTHS, ids=str)
def test_a_fractional_drill_is_what_its_name_says(inch: Fraction) -> None:
    drill = of_series("fractional")[f"in-{inch.numerator}-{inch.denominator}"]
    assert drill.called == f"{inch.numerator}/{inch.denominator} in."
    assert drill.inches == inch


def test_metric_and_fractional_drills_are_these_and_no_others() -> None:
    assert (len(of_series("metric")), len(of_series("fractional"))) == (len(TWENTIETHS), len(SIXTY_FOURTHS))


def test_a_metric_drill_is_found_by_its_name_and_a_number_alone_is_none() -> None:
    assert drill_called("1.25 mm", shipped().drills) == of_series("metric")["mm-1-25"]
    assert drill_called("1.25", shipped().drills) is None


def test_number_drills_rise_as_their_numbers_fall() -> None:
    assert [int(drill.name) for drill in number_drills(shipped().drills)] == list(range(80, 0, -1))


# Jets for 9,000 Btu/h, and what a jet for one gas does on another, computed from published figures of the gases; those
# of manufactured gas are assumed. The bore for bottled gas was reckoned with 2,500 Btu/ft3, ours with 2,516. A modern
# range's printed chart gives no. 54 for 9,000 on natural gas.
@pytest.mark.parametrize(
    ("gas", "bore", "drill"),
    [(Gas.NATURAL, 0.0545, "54"), (Gas.BOTTLED, 0.0338, "66"), (Gas.MANUFACTURED, 0.0776, "47")],
)
def test_the_jet_for_nine_thousand_btu(gas: Gas, bore: float, drill: str) -> None:
    ours = supply_of(shipped().gases[gas]).bore_for(9000)
    assert ours == pytest.approx(bore, abs=1.5e-4)
    assert nearest_drill(ours, shipped().drills).nearest.name == drill


@pytest.mark.parametrize(
    ("meant", "burned", "times", "within"),
    [
        (Gas.NATURAL, Gas.BOTTLED, 2.6, 0.05),
        (Gas.BOTTLED, Gas.NATURAL, 0.38, 0.005),
        (Gas.MANUFACTURED, Gas.NATURAL, 2.0, 0.05),
        (Gas.MANUFACTURED, Gas.BOTTLED, 5.0, 0.5),
    ],
)
def test_what_a_jet_for_one_gas_gives_on_another(meant: Gas, burned: Gas, times: float, within: float) -> None:
    rows_ = shipped().gases
    assert wrong_gas_factor(rows_[meant], rows_[burned]) == pytest.approx(times, abs=within)


# A furnace manual's worked example: 14,000 Btu/h at 900 Btu/ft3 are 15.56 ft3/h, drill no. 49 at sea level.
def test_a_furnace_manuals_worked_example() -> None:
    bore = Supply(900, 0.60, 3.5).bore_for(14_000)
    assert flow(bore, 3.5, 0.60) == pytest.approx(15.56, abs=0.005)
    assert nearest_drill(bore, shipped().drills).nearest.name == "49"


# A trade article on reading carbon monoxide air-free.
@pytest.mark.parametrize(("measured", "oxygen", "free"), [(50, 7, 75), (1200, 6, 1680)])
def test_carbon_monoxide_air_free(measured: float, oxygen: float, free: float) -> None:
    assert air_free(measured, oxygen) == pytest.approx(free, rel=5e-3)


def test_a_meter_is_clocked_as_the_guides_do() -> None:
    assert metered_flow(0.5, 200) == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("unit", "base", "factor"),
    [
        (Unit.INCH, Unit.METRE, published_constants.inch),
        (Unit.FOOT, Unit.METRE, published_constants.foot),
        (Unit.PSI, Unit.KILOPASCAL, published_constants.psi / 1000),
        (Unit.BTU_H, Unit.KILOWATT, published_constants.Btu_IT / 3600 / 1000),
        (Unit.CUBIC_FOOT_H, Unit.CUBIC_METRE_H, published_constants.foot**3),
        (
            Unit.BTU_CUBIC_FOOT,
            Unit.MEGAJOULE_CUBIC_METRE,
            published_constants.Btu_IT / published_constants.foot**3 / 1e6,
        ),
        (Unit.INCH_WC, Unit.KILOPASCAL, published_constants.g * published_constants.inch),
        (Unit.FAHRENHEIT_APART, Unit.CELSIUS_APART, published_constants.degree_Fahrenheit),
        (Unit.MINUTE, Unit.SECOND, published_constants.minute),
    ],
)
def test_units_convert_by_the_published_constants(unit: Unit, base: Unit, factor: float) -> None:
    assert quantity(1, unit).to(base) == pytest.approx(factor, rel=1e-12)


# A flexible-piping manual's reference page, for water at room temperature: 27.684 in. w.c. to the psi.
def test_a_pound_is_as_many_inches_of_water_as_a_piping_manual_says() -> None:
    assert quantity(1, Unit.PSI).to(Unit.INCH_WC) == pytest.approx(27.684, rel=5e-4)
