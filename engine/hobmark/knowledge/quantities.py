"""Quantities with their units, converted by exact constants: lengths, pressures, heat, flow, time, shares."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction


class Unit(StrEnum):
    """Every unit that a number may bear; its value is how it is written in a file."""

    INCH = "in"
    MILLIMETRE = "mm"
    FOOT = "ft"
    METRE = "m"
    INCH_WC = "in wc"
    MILLIBAR = "mbar"
    KILOPASCAL = "kPa"
    PSI = "psi"
    BTU_H = "Btu/h"
    KILOWATT = "kW"
    MEGAJOULE_H = "MJ/h"
    CUBIC_FOOT_H = "ft3/h"
    CUBIC_METRE_H = "m3/h"
    BTU_CUBIC_FOOT = "Btu/ft3"
    MEGAJOULE_CUBIC_METRE = "MJ/m3"
    FAHRENHEIT_APART = "F apart"
    CELSIUS_APART = "C apart"
    SECOND = "s"
    MINUTE = "min"
    PPM = "ppm"
    PERCENT = "percent"
    TIMES = "times"


class Kind(StrEnum):
    """What is measured; quantities of one kind compare and convert, others never."""

    LENGTH = "length"
    PRESSURE = "pressure"
    HEAT_RATE = "heat rate"
    FLOW = "flow"
    HEATING_VALUE = "heating value"
    APART = "difference of temperature"
    TIME = "time"
    SHARE = "share"
    RATIO = "ratio"


_INCH_M = Fraction(254, 10_000)
_FOOT_M = 12 * _INCH_M
_BTU_J = Fraction("1055.05585262")
_GRAVITY = Fraction("9.80665")
_POUND_KG = Fraction("0.45359237")
# All exact by definition: international inch and pound, standard gravity, the Btu of the International Steam Table
# conference, and the conventional inch of water (1000 kg/m3).
_IN_BASE: dict[Unit, tuple[Kind, Fraction]] = {
    Unit.METRE: (Kind.LENGTH, Fraction(1)),
    Unit.MILLIMETRE: (Kind.LENGTH, Fraction(1, 1000)),
    Unit.INCH: (Kind.LENGTH, _INCH_M),
    Unit.FOOT: (Kind.LENGTH, _FOOT_M),
    Unit.KILOPASCAL: (Kind.PRESSURE, Fraction(1000)),
    Unit.MILLIBAR: (Kind.PRESSURE, Fraction(100)),
    Unit.INCH_WC: (Kind.PRESSURE, 1000 * _GRAVITY * _INCH_M),
    Unit.PSI: (Kind.PRESSURE, _POUND_KG * _GRAVITY / _INCH_M**2),
    Unit.KILOWATT: (Kind.HEAT_RATE, Fraction(1000)),
    Unit.BTU_H: (Kind.HEAT_RATE, _BTU_J / 3600),
    Unit.MEGAJOULE_H: (Kind.HEAT_RATE, Fraction(1_000_000, 3600)),
    Unit.CUBIC_METRE_H: (Kind.FLOW, Fraction(1)),
    Unit.CUBIC_FOOT_H: (Kind.FLOW, _FOOT_M**3),
    Unit.MEGAJOULE_CUBIC_METRE: (Kind.HEATING_VALUE, Fraction(1_000_000)),
    Unit.BTU_CUBIC_FOOT: (Kind.HEATING_VALUE, _BTU_J / _FOOT_M**3),
    Unit.CELSIUS_APART: (Kind.APART, Fraction(1)),
    Unit.FAHRENHEIT_APART: (Kind.APART, Fraction(5, 9)),
    Unit.SECOND: (Kind.TIME, Fraction(1)),
    Unit.MINUTE: (Kind.TIME, Fraction(60)),
    Unit.PPM: (Kind.SHARE, Fraction(1, 1_000_000)),
    Unit.PERCENT: (Kind.SHARE, Fraction(1, 100)),
    Unit.TIMES: (Kind.RATIO, Fraction(1)),
}
_OTHERS: dict[Unit, tuple[Unit, ...]] = {
    Unit.INCH: (Unit.MILLIMETRE,),
    Unit.MILLIMETRE: (Unit.INCH,),
    Unit.FOOT: (Unit.METRE,),
    Unit.METRE: (Unit.FOOT,),
    Unit.INCH_WC: (Unit.MILLIBAR, Unit.KILOPASCAL, Unit.PSI),
    Unit.MILLIBAR: (Unit.KILOPASCAL, Unit.INCH_WC),
    Unit.KILOPASCAL: (Unit.MILLIBAR, Unit.INCH_WC),
    Unit.PSI: (Unit.KILOPASCAL, Unit.INCH_WC),
    Unit.BTU_H: (Unit.KILOWATT, Unit.MEGAJOULE_H),
    Unit.KILOWATT: (Unit.BTU_H, Unit.MEGAJOULE_H),
    Unit.MEGAJOULE_H: (Unit.KILOWATT, Unit.BTU_H),
    Unit.CUBIC_FOOT_H: (Unit.CUBIC_METRE_H,),
    Unit.CUBIC_METRE_H: (Unit.CUBIC_FOOT_H,),
    Unit.BTU_CUBIC_FOOT: (Unit.MEGAJOULE_CUBIC_METRE,),
    Unit.MEGAJOULE_CUBIC_METRE: (Unit.BTU_CUBIC_FOOT,),
    Unit.FAHRENHEIT_APART: (Unit.CELSIUS_APART,),
    Unit.CELSIUS_APART: (Unit.FAHRENHEIT_APART,),
}
SHOWN: dict[Unit, str] = {
    Unit.INCH: "in.",
    Unit.INCH_WC: "in. w.c.",
    Unit.FAHRENHEIT_APART: "F degrees",
    Unit.CELSIUS_APART: "C degrees",
    Unit.PERCENT: "%",
}
"""How a unit is printed where it is not as written."""
_EXAMPLES = {
    Kind.PRESSURE: "4 in wc",
    Kind.HEAT_RATE: "9000 Btu/h",
    Kind.FLOW: "9 ft3/h",
    Kind.TIME: "30 s",
    Kind.SHARE: "120 ppm",
    Kind.HEATING_VALUE: "1000 Btu/ft3",
}
_SPELLED = {"inch": Unit.INCH, "inches": Unit.INCH, '"': Unit.INCH, "in.": Unit.INCH, "feet": Unit.FOOT} | {
    "in w.c.": Unit.INCH_WC,
    "in. w.c.": Unit.INCH_WC,
    "ft³/h": Unit.CUBIC_FOOT_H,
    "m³/h": Unit.CUBIC_METRE_H,
    "%": Unit.PERCENT,
    "x": Unit.TIMES,
}
_BY_WORD = {word.casefold(): unit for word, unit in (*((unit.value, unit) for unit in Unit), *_SPELLED.items())}
_WRITTEN = re.compile(
    r"\s*(?:(?P<plain>\d{1,7}(?:\.\d{1,5})?|\d{1,3}(?:,\d{3}){1,2})"
    r"|(?:(?P<whole>\d{1,4})[ -])?(?P<top>\d{1,3})\s*/\s*(?P<bottom>[1-9]\d{0,2}))\s*(?P<unit>[^\d\s/,.-].*?)\s*",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit; `written` is the number as somebody wrote it, kept for fractions of an inch."""

    number: Fraction
    unit: Unit
    written: str | None = None

    @property
    def kind(self) -> Kind:
        """What it measures."""
        return _IN_BASE[self.unit][0]

    def to(self, unit: Unit) -> float:
        """The number in another unit of the same kind; ValueError for one of another kind."""
        kind, factor = _IN_BASE[unit]
        if kind is not self.kind:
            raise ValueError(f"{self.unit.value} is a {self.kind.value}, {unit.value} a {kind.value}")
        return float(self.number * _IN_BASE[self.unit][1] / factor)

    def in_other_units(self) -> tuple[Quantity, ...]:
        """The same in the units that people of other countries read."""
        return tuple(quantity(self.to(unit), unit) for unit in _OTHERS.get(self.unit, ()))

    @property
    def digits(self) -> str:
        """The number alone, as written or to three figures that count."""
        return self.written if self.written is not None else _figures(float(self.number))

    @property
    def text(self) -> str:
        """Number and unit as printed."""
        return f"{self.digits} {SHOWN.get(self.unit, self.unit.value)}"


def kind_of(unit: Unit) -> Kind:
    """What a unit measures."""
    return _IN_BASE[unit][0]


def quantity(number: float, unit: Unit) -> Quantity:
    """A quantity from a number that was worked out."""
    return Quantity(Fraction(number), unit)


def read_quantity(text: str, kind: Kind | None = None) -> Quantity:
    """A quantity from `3/8 in`, `4 in wc`, `9,000 Btu/h`; ValueError with a remedy, also for one of another kind."""
    match = _WRITTEN.fullmatch(text)
    unit = _unit(match["unit"]) if match is not None else None
    if match is None or unit is None:
        units = ", ".join(each.value for each in Unit if kind is None or _IN_BASE[each][0] is kind)
        example = _EXAMPLES.get(kind, "3/8 in") if kind is not None else "3/8 in"
        raise ValueError(f"'{text[:40]}' is no number with a unit. Write it as {example}; the units are {units}.")
    if kind is not None and _IN_BASE[unit][0] is not kind:
        raise ValueError(f"'{text[:40]}' is no {kind.value}. Write a number with a unit of that.")
    if match["plain"]:
        return Quantity(Fraction(match["plain"].replace(",", "")), unit, match["plain"])
    number = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    return Quantity(number, unit, f"{match['whole'] + ' ' if match['whole'] else ''}{match['top']}/{match['bottom']}")


def _unit(word: str) -> Unit | None:
    return _BY_WORD.get(" ".join(word.casefold().split()))


def _figures(number: float) -> str:
    if number == 0 or abs(number) >= 1e9:
        return f"{number:g}"
    if abs(number) >= 100:
        return f"{float(f'{number:.3g}'):,.0f}"
    return f"{number:.3g}"
