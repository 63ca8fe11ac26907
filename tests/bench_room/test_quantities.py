from __future__ import annotations

from fractions import Fraction

import pytest
from hobmark.knowledge.quantities import Kind, Quantity, Unit, quantity, read_quantity
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("3/8 in", Fraction(3, 8), Unit.INCH),
        ("1 1/4 in", Fraction(5, 4), Unit.INCH),
        ("4 in wc", Fraction(4), Unit.INCH_WC),
        ("4 in. w.c.", Fraction(4), Unit.INCH_WC),
        ("9,000 Btu/h", Fraction(9000), Unit.BTU_H),
        ("2.5 kW", Fraction(5, 2), Unit.KILOWATT),
        ("25 F apart", Fraction(25), Unit.FAHRENHEIT_APART),
        ("0.0135 in", Fraction(135, 10000), Unit.INCH),
        ("5000 ft", Fraction(5000), Unit.FOOT),
    ],
)
def test_a_quantity_is_read_as_it_is_written(text: str, number: Fraction, unit: Unit) -> None:
    read = read_quantity(text)
    assert (read.number, read.unit) == (number, unit)


@pytest.mark.parametrize("text", ["", "3/8", "in", "3/0 in", "three in", "-3 in", "3 furlongs", "1e3 in", "3/8 in 2"])
def test_what_is_no_quantity_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is no number with a unit"):
        read_quantity(text)


def test_a_quantity_of_another_kind_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'3/8 in' is no pressure"):
        read_quantity("3/8 in", Kind.PRESSURE)


def test_a_length_is_never_turned_into_a_pressure() -> None:
    with pytest.raises(ValueError, match="in is a length, kPa a pressure"):
        read_quantity("3/8 in").to(Unit.KILOPASCAL)


@pytest.mark.parametrize(
    ("text", "others"),
    [
        ("3/8 in", ["9.53 mm"]),
        ("30 in", ["762 mm"]),
        ("4 in wc", ["9.96 mbar", "0.996 kPa", "0.145 psi"]),
        ("9000 Btu/h", ["2.64 kW", "9.5 MJ/h"]),
        ("25 F apart", ["13.9 C degrees"]),
        ("5000 ft", ["1,520 m"]),
        ("800 ppm", []),
    ],
)
def test_a_quantity_is_told_in_the_units_of_other_countries(text: str, others: list[str]) -> None:
    assert [each.text for each in read_quantity(text).in_other_units()] == others


def test_a_fraction_is_printed_as_it_was_written() -> None:
    assert read_quantity("1 1/4 in").text == "1 1/4 in."


@pytest.mark.parametrize("unit", list(Unit))
def test_what_is_converted_there_and_back_is_the_same(unit: Unit) -> None:
    given_ = Quantity(Fraction(7, 3), unit)
    back = [quantity(other.to(other.unit), other.unit).to(unit) for other in given_.in_other_units()]
    assert back == pytest.approx([7 / 3] * len(back), rel=1e-12)


def complaint(text: str) -> str:
    try:
        read_quantity(text)
    except ValueError as refused:
        return str(refused)
    return ""


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_with_what_to_write(text: str) -> None:
    said = complaint(text)
    assert not said or ". Write it as 3/8 in; the units are " in said
