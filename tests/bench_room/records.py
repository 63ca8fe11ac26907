"""Bench records that several tests look at: one that releases, and the same with a thing put otherwise."""

from __future__ import annotations

from hobmark.bench.account import Account, account_of
from hobmark.bench.release import Release
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import JetRecord, LaidOn, SymptomRecord
from hobmark.knowledge.schema.record_terms import JetPlace, LaidOnBy
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination

from .bases import examined

LOOKS = {
    "burner_layout": "square_four",
    "griddle": "absent",
    "deep_well": "absent",
    "pilot_count": "one",
    "oven_lighting": "pilot_safety",
    "oven_place": "below_top",
    "broiler_style": "drawer",
}
"""Looks that tell which places a range has: four burners, an oven, a pilot on top and one in the oven."""
PLACES = ("front_left", "front_right", "rear_left", "rear_right", "oven", "top_pilot", "oven_pilot")
"""The places of that range."""
SIZES = {"natural": ("54", "47"), "bottled": ("66", "56")}
"""Drills of a top burner of 9,000 Btu/h and of an oven of 18,000, by the published formula."""


def plain() -> Examination:
    """A range of which nothing is known but which places it has."""
    return examined(**LOOKS)


def jets(gas: str = "natural") -> list[dict[str, object]]:
    """Every place gauged and right for a gas; on bottled gas the kind of hood is told."""
    top, oven = SIZES[gas]
    hood: dict[str, object] = {"hood": "fixed"} if gas == "bottled" else {}
    corners = PLACES[:4]
    burners: list[dict[str, object]] = [{"place": at, "found": top, "heat": "9000 Btu/h", **hood} for at in corners]
    burners.append({"place": "oven", "found": oven, "heat": "18000 Btu/h"})
    pilot = "80" if gas == "bottled" else "78"
    return burners + [{"place": at, "found": pilot, "gas": gas, "by": "stamp"} for at in PLACES[5:]]


LEAK_CHECK = {
    "method": "gauge",
    "start": "9 in wc",
    "end": "9 in wc",
    "minutes": "5",
    "tight": "yes",
    "by": "B. Reed, licensed fitter",
    "date": "2026-11-30",
}
"""A leak check as it counts."""


def record(gas: str = "natural", **otherwise: object) -> BenchRecord:
    """A record that releases the plain range on a gas, with fields put otherwise; None leaves one out."""
    fields: dict[str, object] = {
        "laid_on": {"gas": gas, "by": "meter" if gas == "natural" else "tank"},
        "regulator": {"state": "fitted", "gas": gas},
        "house_regulator": {"state": "fitted", "gas": gas},
        "altitude": "300 ft",
        "jets": jets(gas),
        "leak_check": LEAK_CHECK | ({"start": "7 in wc", "end": "7 in wc"} if gas == "natural" else {}),
    }
    fields |= otherwise
    return BenchRecord.model_validate({name: value for name, value in fields.items() if value is not None})


def with_jet(place: str, of: str = "natural", **otherwise: object) -> list[dict[str, object]]:
    """All jets, that of one place put otherwise; None leaves a field out."""
    changed = [each | otherwise if each["place"] == place else each for each in jets(of)]
    return [{name: value for name, value in each.items() if value is not None} for each in changed]


def laid_on(gas: Gas | None) -> BenchRecord:
    """A record that says nothing but which gas is laid on."""
    return BenchRecord(laid_on=LaidOn(gas=gas, by=LaidOnBy.METER)) if gas is not None else BenchRecord()


def gauged(*sizes: str, gas: Gas | None = Gas.NATURAL, altitude: str | None = None) -> BenchRecord:
    """A record of top burners with these jets on a gas, at a height."""
    corners = (JetPlace.FRONT_LEFT, JetPlace.FRONT_RIGHT, JetPlace.REAR_LEFT, JetPlace.REAR_RIGHT)
    found = tuple(JetRecord(place=place, found=size) for place, size in zip(corners, sizes, strict=False))
    return laid_on(gas).model_copy(update={"jets": found, "altitude": altitude})


def account(gas: str = "natural", **otherwise: object) -> Account:
    """The account of the plain range with that record."""
    return account_of(plain(), record(gas, **otherwise))


def checked_after(symptom: str) -> BenchRecord:
    """A record that releases, with a symptom that was told before the leak check was made."""
    made = record()
    told = made.with_symptom(SymptomRecord(symptom=symptom))
    return told.model_copy(update={"leak_check": made.leak_check})


def released(gas: str = "natural", **otherwise: object) -> Release:
    """Whether that range may be lit."""
    return account(gas, **otherwise).release
