"""House calls about parts, as a careful technician would have them: verdict, words, and what goes out by mail."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hobmark.bench.orders import OrderFor
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Hand
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit import FitFinding, FitReport
from hobmark.reports.fit_findings import fit_report
from hobmark.reports.fit_text import fit_text

from .fitting import kept, measured, read, the_range

KESTREL = kept("kestrel-1950-crossed-bars-and-click")
CAPS = kept("kestrel-1956-squared-corners-loose-caps")
HERON = kept("heron-1936-tall-panel-from-a-wider-sister")
BOTTLED = kept("heron-bottled-1937-pressed-pilot-cover")
NATURAL: dict[str, Any] = {
    "laid_on": {"gas": "natural", "by": "bill"},
    "altitude": "600 ft",
    "pressures": [{"reads": "4 in wc"}],
}
TANK: dict[str, Any] = {"laid_on": {"gas": "bottled", "by": "tank"}, "altitude": "600 ft"}
NO_REGULATOR = {"regulator": "absent"}
BORED = measured("jet_hood", {"bore": "1.4 mm"}, on="part")
AT = OrderFor(place=JetPlace.FRONT_LEFT)


@dataclass(frozen=True)
class Call:
    """One call: the range, what was found of it, the part asked for, and what must come of it.

    `ordered`: whether a sheet goes out; `says`: words that stand in what is told; `silent`: words that must not.
    """

    name: str
    case: Path
    part: str
    verdict: str
    ordered: bool
    says: tuple[str, ...]
    silent: tuple[str, ...] = ()
    wanted: OrderFor = field(default_factory=OrderFor)
    seen: dict[str, str] = field(default_factory=dict)
    measures: list[dict[str, str]] = field(default_factory=list)
    numbers: list[dict[str, str]] = field(default_factory=list)
    bench: dict[str, Any] = field(default_factory=dict)


CALLS = [
    Call("a hood with the right number that somebody drilled out", KESTREL, "JH-1", "does_not_fit", False,
         ("gives 1.33 times the heat", "bored 1.6 mm, as measured"), wanted=AT, seen=NO_REGULATOR, bench=NATURAL,
         numbers=read("jet_hood", "JH-1"), measures=measured("jet_hood", {"bore": "1.6 mm"}, on="part")),
    Call("a hood for natural gas where bottled gas is laid on", KESTREL, "JH-1", "does_not_fit", False,
         ("made for natural gas, and bottled gas (propane) is laid on", "gives 2.68 times"), wanted=AT,
         seen=NO_REGULATOR, numbers=read("jet_hood", "JH-1"), measures=BORED,
         bench=TANK | {"pressures": [{"reads": "11 in wc"}]}),
    Call("the right hood at the house's own pressure", KESTREL, "JH-1", "does_not_fit", False,
         ("gives 1.35 times the heat", "at 7 in. w.c. as measured"), wanted=AT, seen=NO_REGULATOR,
         numbers=read("jet_hood", "JH-1"), measures=BORED, bench=NATURAL | {"pressures": [{"reads": "7 in wc"}]}),
    Call("the right hood high up", KESTREL, "JH-1", "does_not_fit", False,
         ("gives 1.26 times the heat", "which is less up high", "at 7200 ft"), wanted=AT, seen=NO_REGULATOR,
         numbers=read("jet_hood", "JH-1"), measures=BORED, bench=NATURAL | {"altitude": "7200 ft"}),
    Call("insulation is asked for", CAPS, "bm-p-in1", "unproven", True,
         ("may be asbestos", "New material only", "not read: left alone", "heat that it is rated for: ______ F"),
         ("What number is on", "both sides", "Donors", "core exchange", "brush, and", "Look underneath")),
    Call("the oven cock bears no number of a burner valve", HERON, "OC-7", "unproven", True,
         ("Inlet thread on the range?", "Old number ______"), ("bears its number",),
         wanted=OrderFor(hand=Hand.RIGHT), numbers=read("valve", "OC-7"),
         measures=measured("valve", {"inlet_thread": "3/8 pipe", "hood_thread": "1/2-27", "flat": "right"})),
    Call("a left hinge is ordered and nobody said which hand", CAPS, "bm-p-hi3", "exact", False,
         ("Which hand: ask first", "This is the left one"), ("ORDER SHEET",),
         measures=measured("hinge", {"side": "left", "hole_centres": "89 mm"})),
    Call("a safety valve on a capillary", BOTTLED, "bm-p-sv1", "unproven", True,
         ("may hold mercury", "whole with its sensor", "nothing is touched, unscrewed or bent", "it drops out"),
         ("What number is on", "both sides", "Donors", "core exchange", "thread gauge", "caliper"),
         bench=TANK),
]  # fmt: skip
each = pytest.mark.parametrize("call", CALLS, ids=lambda call: call.name)


def examined(call: Call) -> Examination:
    return the_range(call.case, call.seen, call.measures, call.numbers, bench=call.bench)


def answer(call: Call) -> FitReport:
    return fit_report(examined(call), "a case", [call.part], order=True, wanted=call.wanted)


def finding(call: Call) -> FitFinding:
    return answer(call).asked[0].parts[0]


def told(call: Call) -> str:
    return " ".join(fit_text(answer(call)).split())


@each
def test_the_verdict_is_the_technicians(call: Call) -> None:
    assert finding(call).verdict == call.verdict


@each
def test_what_matters_is_said(call: Call) -> None:
    text = told(call)
    assert [words for words in call.says if words not in text] == []


@each
def test_nobody_is_told_to_do_what_should_be_left(call: Call) -> None:
    text = told(call)
    assert [words for words in call.silent if words in text] == []


@each
def test_an_order_goes_out_or_is_withheld_with_its_reason(call: Call) -> None:
    found = answer(call)
    assert (len(found.orders), len(found.not_ordered)) == ((1, 0) if call.ordered else (0, 1))
