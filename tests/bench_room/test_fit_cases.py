"""Parts as a careful technician would judge them: the verdict, what is asked for, and what is warned of."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest
from hobmark.reports.fit import FitFinding

from .fitting import FARM, GREEN, kept, measured, read, the_range, told

Pairs = dict[str, str]
KESTREL = "kestrel-1950-crossed-bars-and-click"
CAPS = "kestrel-1956-squared-corners-loose-caps"
AVOCET = "avocet-1959-built-in-regulator"
GAS = "No flame near gas"
WRONG_GAS = "Jets and regulator must be for the gas at hand"
SENSOR = "An oven pilot sensor may hold mercury"
VALVE = {"inlet_thread": "1/4 pipe", "hood_thread": "7/16-27", "body_length": "67 mm", "stem_diameter": "6.4 mm"}
CLICK = "bm-p-va4"


@dataclass(frozen=True)
class Written:
    """One part and one range, and what must be said of them.

    `asks`: what is to be measured, read or looked at, whichever comes first. `warns`: how cautions and what must not
    be done begin. `says`: words that stand in the verdict.
    """

    name: str
    case: Path
    part: str
    verdict: str
    seen: Pairs = field(default_factory=dict)
    measures: list[Pairs] = field(default_factory=list)
    numbers: list[Pairs] = field(default_factory=list)
    asks: tuple[str, ...] = ()
    warns: tuple[str, ...] = ()
    says: str = ""


RAIL = {"valve_rail": "enclosed"}
WRITTEN = [
    Written("a burner that papers list is measured first", FARM, "wx-p-tb2", "unproven",
            asks=("seat_depth", "mixer_length"), warns=(GAS,), says="Listed for it, but unproven"),
    Written("a later burner, measured, takes the earlier one's place", FARM, "wx-p-tb2", "superseded",
            measures=measured("top_burner", {"seat_depth": "22 mm", "mixer_length": "5 1/16 in"}), warns=(GAS,)),
    Written("a seat too deep is too deep, whatever papers say", FARM, "wx-p-tb2", "does_not_fit",
            measures=measured("top_burner", {"seat_depth": "27 mm"}), says="Seat depth on the range"),
    Written("the number on the old burner is enough", FARM, "wx-p-tb1", "exact", numbers=read("top_burner", "w401")),
    Written("the number on the old burner lets the later one in", FARM, "wx-p-tb2", "superseded",
            numbers=read("top_burner", "W-401")),
    Written("a natural-gas pilot on a bottled-gas range", FARM, "wx-p-pl1", "prohibited", warns=(GAS, WRONG_GAS)),
    Written("its number does not let a natural-gas hood onto bottled gas", FARM, "wx-p-jh1", "prohibited",
            numbers=read("jet_hood", "W 511"), warns=(WRONG_GAS,)),
    Written("a grate for a known range is tried in its place", FARM, "wx-p-gr2", "exact", says="Try it in its place"),
    Written("a clicking valve is not confirmed by a click", kept(KESTREL), CLICK, "unproven",
            asks=("valve_rail", "inlet_thread", "valve"), warns=(GAS, WRONG_GAS), says="not ruled out"),
    Written("its number is not enough while the rail is unknown", kept(KESTREL), CLICK, "unproven",
            numbers=read("valve", "V-3C"), asks=("valve_rail",)),
    Written("number and rail confirm the valve, and it is tested", kept(KESTREL), CLICK, "exact", seen=RAIL,
            numbers=read("valve", "V-3C"), warns=(GAS,), says="only after the test"),
    Written("four measures let it interchange where papers waver", kept(KESTREL), CLICK, "interchanges", seen=RAIL,
            measures=measured("valve", VALVE), warns=(GAS,), says="4 checks measured"),
    Written("one thread off is no valve for it", kept(KESTREL), CLICK, "does_not_fit", seen=RAIL,
            measures=measured("valve", VALVE | {"hood_thread": "1/2-27"}), says="Outlet thread"),
    Written("three of four measures prove nothing yet", kept(KESTREL), CLICK, "unproven", seen=RAIL,
            measures=measured("valve", {k: v for k, v in VALVE.items() if k != "body_length"}), asks=("body_length",)),
    Written("the valve before the click does not go back", kept(KESTREL), "bm-p-va3", "does_not_fit", seen=RAIL,
            numbers=read("valve", "V-3C"), says="not the other way round"),
    Written("a control without the safety port never follows one with it", kept(KESTREL), "bm-p-th3", "prohibited",
            numbers=read("thermostat", "TH-4"), warns=(GAS, SENSOR), says="without its safeguard"),
    Written("a dial of the old curve on crossed bars", kept(KESTREL), "bm-p-od4", "does_not_fit", says="another curve"),
    Written("the dial of the second bulb control, measured", kept(KESTREL), "bm-p-od7", "interchanges",
            measures=measured("oven_dial", {"bore": "6.4 mm", "arc": "full turn", "skirt_diameter": "69 mm"}),
            seen={"dial_material": "phenolic"}),
    Written("plain or bottled cannot be told, so no jet is confirmed by its number", GREEN, "bm-p-jh1", "unproven",
            numbers=read("jet_hood", "JH-1"), seen={"regulator": "absent"}, warns=(WRONG_GAS,), says="bottled gas"),
    Written("an oven burner for the other gas is prohibited", FARM, "wx-p-ob3", "prohibited",
            numbers=read("oven_burner", "W 412"), says="burns back and soots"),
    Written("two regulators in a row", kept(AVOCET), "bm-p-rg1", "prohibited", warns=(GAS,), says="hunt"),
    Written("a bought burner of the other works, measured", kept(AVOCET), "wx-p-tb3", "interchanges",
            measures=measured("top_burner", {"seat_depth": "25 mm", "mixer_length": "143 mm", "port_height": "13 mm"})),
    Written("a bought burner of the other works, not measured", kept(AVOCET), "wx-p-tb3", "unproven",
            asks=("seat_depth", "mixer_length", "port_height"), says="Looks alike"),
    Written("no clock, no valve for it", kept(AVOCET), "bm-p-cv1", "does_not_fit", seen={"clock": "absent"}),
    Written("the left hinge does not go on the right", kept(CAPS), "bm-p-hi3", "does_not_fit",
            measures=measured("hinge", {"side": "right", "hole_centres": "89 mm"}), says="Side"),
    Written("the right hinge does", kept(CAPS), "bm-p-hi4", "exact",
            measures=measured("hinge", {"side": "right", "hole_centres": "89 mm"})),
    Written("the deep pan under a top that lifts up", kept(CAPS), "bm-p-dp4", "exact"),
    Written("the deep pan under a top that does not", kept("curlew-1936-half-covered-rail"), "bm-p-dp4",
            "does_not_fit", seen={"main_top": "enamelled_lid"}, says="lift up"),
    Written("the loose-cap burner over a shallow pan", kept(CAPS), "bm-p-tb4", "does_not_fit",
            numbers=read("drip_pan", "DP 3"), says="pan's wall"),
    Written("the loose-cap burner on the bracket of 1950, exchanged", kept(KESTREL), "bm-p-tb4", "interchanges",
            seen={"burner_head": "slotted", "dial_material": "phenolic"},
            measures=measured("top_burner", {"seat_depth": "25 mm", "mixer_length": "143 mm", "port_height": "13 mm"})),
    Written("the loose-cap burner on the bracket of 1950, as it is", kept(KESTREL), "bm-p-tb4", "does_not_fit",
            seen={"burner_head": "slotted", "dial_material": "phenolic"},
            measures=measured("top_burner", {"seat_depth": "20 mm"}), says="with a modification"),
    Written("the De Luxe panel behind a plain Kestrel", kept(CAPS), "bm-p-bg2", "fits_with_modification"),
    Written("a knob whose flat stands the other way", kept(KESTREL), "bm-p-kn4", "does_not_fit",
            seen={"valve_type": "spring_plug"}, says="off would read"),
]  # fmt: skip


def finding(written: Written) -> FitFinding:
    examination = the_range(written.case, written.seen, written.measures, written.numbers)
    return told(examination, written.part)


each = pytest.mark.parametrize("written", WRITTEN, ids=lambda written: written.name)


@each
def test_the_verdict_is_the_technicians(written: Written) -> None:
    assert finding(written).verdict == written.verdict


@each
def test_what_is_asked_for_comes_first(written: Written) -> None:
    found = finding(written)
    ahead = [look.id for look in (*found.settle, *found.next)]
    assert set(written.asks) <= set(ahead[: len(found.checks) + 2])


@each
def test_what_must_be_warned_of_is_said(written: Written) -> None:
    said = [caution.short for caution in finding(written).cautions]
    assert [word for word in written.warns if not any(short.startswith(word) for short in said)] == []


@each
def test_the_verdict_gives_its_reason(written: Written) -> None:
    assert written.says in finding(written).says


@each
def test_the_trace_names_its_sources(written: Written) -> None:
    steps = finding(written).trace
    assert steps
    assert all(step.sources for step in steps)


@each
def test_a_critical_part_has_its_test(written: Written) -> None:
    found = finding(written)
    assert (found.test_after is not None) == (found.class_ == "critical")


@each
def test_both_answers_are_chances(written: Written) -> None:
    found = finding(written)
    assert all(0 <= answer.probability <= 1 for answer in (found.works, found.now))
