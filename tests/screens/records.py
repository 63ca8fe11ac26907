"""Bench records of the invented farm kitchen, as they stand in its file."""

from __future__ import annotations

import yaml
from hobmark.bench.places import CORNERS

from .driving import FARM

LOOKS = {
    "burner_layout": "square_four",
    "griddle": "absent",
    "deep_well": "absent",
    "oven_place": "below_top",
    "broiler_style": "drawer",
    "pilot_count": "one",
}
"""Looks that tell which places it has."""
UNCOMMENTED = FARM.partition("\n")[2].rstrip()
SEEN = "".join(f"\n  - {{feature: {feature}, is: {value}}}" for feature, value in LOOKS.items())
Fields = dict[str, object]
GAUGED: dict[str, Fields] = {
    **{
        place.value: {"place": place.value, "found": "56", "hood": "universal", "seat": "backed_out"}
        for place in CORNERS
    },
    "oven": {"place": "oven", "found": "44", "heat": "22000 Btu/h"},
    "top_pilot": {"place": "top_pilot", "found": "78", "gas": "natural", "by": "stamp"},
    "oven_pilot": {"place": "oven_pilot", "found": "78", "gas": "natural", "by": "stamp"},
}
"""Jets at every place, each of a size that gives on natural gas what its burner is to give."""
CHECK: Fields = {
    "method": "gauge", "start": "7 in wc", "end": "7 in wc", "minutes": 5, "tight": "yes", "by": "B. Reed",
    "date": "2026-12-01",
}  # fmt: skip
RELEASED: Fields = {
    "laid_on": {"gas": "natural", "by": "meter"},
    "altitude": "0 ft",
    "regulator": {"state": "fitted", "gas": "natural", "outlet": "4 in wc"},
    "jets": list(GAUGED.values()),
    "leak_check": CHECK,
}
"""A record with which the range is released to a licensed fitter."""
STOPPED: list[Fields] = [{"symptom": "smell_of_gas"}]
"""Symptoms of a record that stop everything."""


def farm(seen: str = "", **bench: object) -> str:
    """The farm kitchen's case with a bench record, and more looks; without its comment, which is warned of."""
    return f"{UNCOMMENTED}{seen}\n{yaml.safe_dump({'bench': bench}, sort_keys=False)}"


def released(**other: object) -> str:
    """The same with a record that releases, but for what is given otherwise."""
    return farm(SEEN, **(RELEASED | other))


def jets(**other: Fields | None) -> list[Fields]:
    """The jets of a record that releases, but for the places given otherwise; None leaves a place out."""
    found = {place: GAUGED[place] | (other.get(place) or {}) for place in GAUGED if other.get(place, {}) is not None}
    return list(found.values())
