"""The words and kinds of figures that a bench record is written in: places, how a thing is known, and its units."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field

from hobmark.knowledge.quantities import Kind, read_quantity

MOST_OXYGEN = 20.0
"""Percent; what holds more is air, and no figure can be worked out of it."""
MOST_ENTRIES = 60
"""Entries of one list of a record; a visit has a dozen."""


class JetPlace(StrEnum):
    """Where a jet is, facing the range."""

    FRONT_LEFT = "front_left"
    FRONT_CENTRE = "front_centre"
    FRONT_RIGHT = "front_right"
    REAR_LEFT = "rear_left"
    REAR_CENTRE = "rear_centre"
    REAR_RIGHT = "rear_right"
    CENTRE = "centre"
    WELL = "well"
    OVEN = "oven"
    SECOND_OVEN = "second_oven"
    BROILER = "broiler"
    TOP_PILOT = "top_pilot"
    SECOND_TOP_PILOT = "second_top_pilot"
    OVEN_PILOT = "oven_pilot"
    SECOND_OVEN_PILOT = "second_oven_pilot"

    @property
    def words(self) -> str:
        """The place as it is said."""
        return self.value.replace("_", " ")

    @property
    def is_pilot(self) -> bool:
        """Whether a pilot burns there."""
        return self.value.endswith("pilot")

    @property
    def is_oven(self) -> bool:
        """Whether an oven's own burner is there."""
        return self in (JetPlace.OVEN, JetPlace.SECOND_OVEN)


class LaidOnBy(StrEnum):
    """How it is known which gas comes out of the pipe; nothing else counts."""

    SUPPLIER = "supplier"
    BILL = "bill"
    METER = "meter"
    TANK = "tank"
    TANK_REGULATOR = "tank_regulator"


class RegulatorState(StrEnum):
    """What was seen of a regulator; `gone` is one that left holes or a ghost."""

    FITTED = "fitted"
    NONE = "none"
    GONE = "gone"
    NOT_SEEN = "not_seen"


class MarkedBy(StrEnum):
    """What says for which gas a jet is, beside its bore: a stamp, a tag at it, or that it was fitted new for that."""

    STAMP = "stamp"
    TAG = "tag"
    FITTED = "fitted"


class Seat(StrEnum):
    """How a hood with two seats stands on its valve."""

    HOME = "home"
    BACKED_OUT = "backed_out"


class PressureAt(StrEnum):
    """Where a pressure was read: behind the range's regulator, ahead of it, or at the meter or tank."""

    MANIFOLD = "manifold"
    INLET = "inlet"
    HOUSE = "house"


class LeakMethod(StrEnum):
    """How the piping was shown to hold; fluid finds the place of a leak and shows no piping to hold."""

    GAUGE = "gauge"
    METER = "meter"
    FLUID = "fluid"


class SampledAt(StrEnum):
    """Where carbon monoxide was sampled."""

    OVEN_VENT = "oven_vent"
    TOP_BURNERS = "top_burners"
    ROOM = "room"


def _of_kind(kind: Kind, *, above_nothing: bool = True) -> AfterValidator:
    def check(text: str) -> str:
        if read_quantity(text, kind).number <= 0 and above_nothing:
            raise ValueError(f"'{text[:40]}' is nothing. Write what was measured or told, or leave it out.")
        return text

    return AfterValidator(check)


def _temperature(text: str) -> str:
    if re.fullmatch(r"\s*\d{2,3}\s*[FC]\s*", text) is None:
        raise ValueError(f"'{text[:40]}' is no temperature. Write it as 350 F or 180 C.")
    return text


PressureText = Annotated[str, _of_kind(Kind.PRESSURE)]
"""A pressure, as `4 in wc` or `10 mbar`."""
HeatText = Annotated[str, _of_kind(Kind.HEAT_RATE)]
"""A heat input, as `9000 Btu/h` or `2.6 kW`."""
HeatingValueText = Annotated[str, _of_kind(Kind.HEATING_VALUE)]
"""A heating value, as `830 Btu/ft3`."""
ShareText = Annotated[str, _of_kind(Kind.SHARE, above_nothing=False)]
"""A share, as `120 ppm` or `9.5 percent`."""
HeightText = Annotated[str, _of_kind(Kind.LENGTH, above_nothing=False)]
"""A height above the sea, as `5000 ft`."""
TemperatureText = Annotated[str, AfterValidator(_temperature)]
"""A temperature, as `350 F`."""
SizeText = Annotated[str, Field(min_length=1, max_length=40)]
"""The drill that just enters a jet, or its bore: `54`, `3/64 in`, `1.2 mm`; held against the base's drills."""


LEAST_NAME = 3
"""Letters that a name has at the least."""
_LAYMAN = (
    r"(?:(?:the|my|his|her|a) )*(?:(?:home|house)[ -]?)?(?:owners?|holder|tenants?|landlord|landlady|customer|client|"
    r"buyer|seller|husband|wife|son|daughter|father|mother|brother|sister|uncle|aunt|cousin|grandfather|friend|"
    r"neighbou?r|handyman|boyfriend|girlfriend|dad|mum|mom|apprentice|me|myself|self|i did(?: it)?|nobody|"
    r"somebody|someone|anybody|unknown|none|ditto|tbd|pending|to be done|not (?:done|yet|made)|n/?a|youtube|diy|"
    r"unlicen[cs]ed)"
)
_NO_FITTER = re.compile(rf"(?:^|[,;(])\W*{_LAYMAN}\b(?: (?:of|next) [\w ]+)?\W*(?:$|[,;)])|^\W*{_LAYMAN}\b")
"""Words that name no fitter where a name stands: alone, first, or beside a name as what somebody is."""
_NOT_CLEARED = re.compile(
    r"\b(?:not (?:yet|cleared|mended|repaired|fixed|put right|capped|shut)|cannot|unable|nobody|never|still|tbd|"
    r"pending|(?:could|can|did|is|has|was|will)(?:n['\u2019]t| not)|to be|unresolved|comes?(?: back)?|coming|"
    r"waiting|ordered|fainter|taped?|cork(?:ed)?|bypass(?:ed)?|swept|sweep|vacuum(?:ed)?|wiped|windows? open(?:ed)?|"
    r"opened (?:the )?windows?)\b"
)
_DAY = re.compile(r"\b(?:18|19|20)\d\d\b|\d{1,2}[./-]\d{1,2}")


def is_name(text: str) -> bool:
    """Whether there are letters enough for a name, and not one and the same."""
    letters = re.findall(r"[^\W\d_]", text.casefold())
    return len(letters) >= LEAST_NAME and len(set(letters)) > 1


def is_fitter(text: str) -> bool:
    """Whether that may be a fitter's name, by all that can be told of a name."""
    said = text.casefold()
    return is_name(text) and _NO_FITTER.search(said) is None and _NOT_CLEARED.search(said) is None


def cleared_by(text: str) -> str:
    """By whom and when something was put right; ValueError where that is not said, or denied."""
    if not is_name(text) or _DAY.search(text) is None:
        raise ValueError(f"'{text[:40]}' does not say by whom and when. Write a name and a date.")
    if _NOT_CLEARED.search(text.casefold()) is not None or not is_fitter(text):
        raise ValueError(f"'{text[:40]}' does not say that a fitter put it right. Leave it out until one has.")
    return text


def _not_bare(told: object) -> object:
    if told is True:
        raise ValueError("'true' does not say by whom and when. Write a name and a date.")
    return told


LEAST_WORDS = 3
"""Words of a reason and of whoever gives it, at the least."""


def reason_given(text: str) -> str:
    """Why something does not count, by whom and when; ValueError where that is not said."""
    if len(re.findall(r"[^\W\d_]+", text)) < LEAST_WORDS or re.search(r"\d", text) is None:
        raise ValueError(f"'{text[:40]}' does not say why, by whom and when. Write WHY, NAME, DATE.")
    return text


ReasonText = Annotated[str, Field(max_length=400), AfterValidator(reason_given)]
"""Why something does not count, who says so, and when."""
ClearedText = Annotated[str, Field(max_length=400), BeforeValidator(_not_bare), AfterValidator(cleared_by)]
"""By whom and when something was put right."""
