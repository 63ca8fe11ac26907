from __future__ import annotations

import pytest
from hobmark.bench.gas import (
    AMISS,
    Supply,
    air_free,
    air_pressure,
    bore_at_altitude,
    flow,
    input_at_altitude,
    metered_flow,
    nearest_drill,
    supply_of,
)
from hobmark.bench.jets import altitude_of, jet_for, wrong_gases
from hobmark.knowledge.quantities import Unit, quantity, read_quantity
from hobmark.knowledge.record_names import drill_called
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.vocabulary import Gas
from hypothesis import given
from hypothesis import strategies as st

from .bases import base

bores = st.floats(0.0135, 0.2)


@given(bores, st.floats(1, 14), st.floats(0.4, 2.1))
def test_a_bore_for_a_heat_passes_the_flow_that_has_that_heat(bore: float, pressure: float, gravity: float) -> None:
    heat = flow(bore, pressure, gravity) * 1000
    assert Supply(1000, gravity, pressure).bore_for(heat) == pytest.approx(bore, rel=1e-12)


@given(bores)
def test_the_nearest_drill_is_nearer_than_both_its_neighbours(bore: float) -> None:
    chosen = nearest_drill(bore, base().bench.drills)
    away = abs((chosen.nearest.inches / bore) ** 2 - 1)
    beside = [each for each in (chosen.smaller, chosen.larger) if each is not None]
    assert all(abs((each.inches / bore) ** 2 - 1) >= away - 1e-9 for each in beside)


@given(st.floats(0.0135, 0.2))
def test_the_drill_that_is_named_is_never_one_that_the_same_rule_flags(bore: float) -> None:
    assert abs((nearest_drill(bore, base().bench.drills).nearest.inches / bore) ** 2 - 1) <= AMISS


def test_both_neighbours_of_a_drill_are_told() -> None:
    chosen = nearest_drill(0.0545, base().bench.drills)
    assert chosen.smaller is not None
    assert chosen.larger is not None
    assert (chosen.smaller.name, chosen.nearest.name, chosen.larger.name) == ("55", "54", "53")


@pytest.mark.parametrize("bore", [0.005, 0.5])
def test_a_bore_beyond_all_drills_has_none(bore: float) -> None:
    with pytest.raises(ValueError, match="no drill is near"):
        nearest_drill(bore, base().bench.drills)


@pytest.mark.parametrize("name", ["54", "#54", "no. 54", "No.54"])
def test_a_drill_is_known_however_it_is_written(name: str) -> None:
    found = drill_called(name, base().bench.drills)
    assert found is not None
    assert found.called == "no. 54"


@given(bores, st.floats(2000, 10_000), st.floats(0, 1))
def test_higher_up_a_bore_is_smaller(bore: float, feet: float, less: float) -> None:
    lower = 2000 + less * (feet - 2000)
    assert bore_at_altitude(bore, feet) <= bore_at_altitude(bore, lower) + 1e-12 < bore


@pytest.mark.parametrize("feet", [-1, 10_001])
def test_beyond_the_published_table_there_is_no_rule(feet: float) -> None:
    with pytest.raises(ValueError, match="from 0 to 10,000 ft"):
        bore_at_altitude(0.055, feet)


def usual(gas: Gas, feet: float = 0.0) -> Supply:
    return supply_of(base().bench.gases[gas], feet)


@pytest.mark.parametrize("feet", [0.0, 1999.0, 2000.0, 5280.0, 9900.0])
@pytest.mark.parametrize("metered", [False, True])
def test_the_jet_for_a_heat_gives_that_heat_whatever_the_height(feet: float, metered: bool) -> None:
    supply = Supply(830, 0.6, 4, feet, metered)
    assert supply.share_of(supply.bore_for(9000), 9000) == pytest.approx(1, rel=1e-12)


def test_up_high_the_bore_is_the_one_that_the_published_rule_gives() -> None:
    """The rule of the National Fuel Gas Code's table: d sqrt((1 - 0.04 kft) / sqrt(P/P0)), of the jet at sea level."""
    there = usual(Gas.NATURAL, 5000).bore_for(9000)
    assert there == pytest.approx(bore_at_altitude(usual(Gas.NATURAL).bore_for(9000), 5000), rel=1e-12)


def test_thin_gas_as_it_is_metered_there_is_the_same_gas() -> None:
    thin = Supply(1000 * air_pressure(5000), 0.6, 4, 5000, metered=True)
    assert thin.bore_for(9000) == pytest.approx(usual(Gas.NATURAL, 5000).bore_for(9000), rel=1e-12)


@pytest.mark.parametrize(("feet", "left"), [(0, 9000), (1999, 9000), (2000, 8280), (5000, 7200)])
def test_the_input_is_less_by_a_share_for_each_thousand_feet(feet: float, left: float) -> None:
    assert input_at_altitude(9000, feet) == pytest.approx(left)


@pytest.mark.parametrize("oxygen", [-0.1, 20.5, 20.9])
def test_a_sample_that_is_air_has_no_air_free_figure(oxygen: float) -> None:
    with pytest.raises(ValueError, match="oxygen is between 0 and 20"):
        air_free(10, oxygen)


def test_a_dial_that_does_not_turn_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than nothing"):
        metered_flow(0.5, 0)


def test_a_jet_bears_its_source_its_mark_and_its_cautions() -> None:
    jet = jet_for(base(), read_quantity("9000 Btu/h"), Gas.NATURAL, usual(Gas.NATURAL))
    assert jet.bore.text == "0.0550 in. (1.4 mm)"
    assert (jet.bore.mark, jet.bore.cautions) == (Mark.COMPUTED, ("wrong_gas", "gas_leak"))
    assert jet.bore.source.startswith("computed: Q = 1658.5 K A sqrt(H/S)")


def test_an_input_in_kilowatts_has_the_same_jet() -> None:
    in_kilowatts = quantity(read_quantity("9000 Btu/h").to(Unit.KILOWATT), Unit.KILOWATT)
    assert jet_for(base(), in_kilowatts, Gas.BOTTLED, usual(Gas.BOTTLED)).drill.nearest.name == "66"


def test_a_jet_of_manufactured_gas_is_for_comparing_only() -> None:
    jet = jet_for(base(), read_quantity("9000 Btu/h"), Gas.MANUFACTURED, usual(Gas.MANUFACTURED))
    assert (jet.for_comparing, jet.bore.mark) == (True, Mark.ASSUMED)


def test_a_jet_at_an_altitude_says_by_which_rule_and_tells_no_flow() -> None:
    jet = jet_for(base(), read_quantity("9000 Btu/h"), Gas.NATURAL, usual(Gas.NATURAL, 5000))
    assert "4% less input for each 1,000 ft" in jet.bore.source
    assert (jet.drill.nearest.name, jet.flow) == ("55", None)


def test_every_pair_of_gases_is_told() -> None:
    assert len(wrong_gases(base())) == 6


@pytest.mark.parametrize("text", ["5000 ft", "1524 m"])
def test_an_altitude_is_read_in_feet_or_metres(text: str) -> None:
    assert altitude_of(text).to(Unit.FOOT) == pytest.approx(5000)


@pytest.mark.parametrize("text", ["5000", "5 psi", "12000 ft"])
def test_what_is_no_altitude_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"Write|Ask"):
        altitude_of(text)
