"""The jets by place, as lists to choose from: which place, what is recorded of it, what may be told of it."""

from __future__ import annotations

from collections.abc import Sequence

from hobmark.bench.places import CORNERS
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import JetRecord
from hobmark.knowledge.schema.record_terms import JetPlace, MarkedBy

from hobmark_tui.views.bench_gas import OUT
from hobmark_tui.views.choices import Choice

TOP_HEAT, OTHER = "top_heat", "other"
"""Lines of the list that are no place: what the top burners are to give, and a place that does not stand in it."""
HOODS = {
    "fixed": ("fixed", "one bore, nothing on it turns"),
    "adjustable": ("adjustable", "a hood on a needle, for one gas"),
    "universal:home": ("universal, on its seat", "of two seats: screwed down, the gas goes through the inner bore"),
    "universal:backed_out": ("universal, backed out", "of two seats: off it, the gas goes through the outer bore"),
    "universal": ("universal, seat not told", "of two seats, and which it stands on was not seen"),
}
"""Kinds of hood with the seat, as they are told, and what they are."""
BY = {MarkedBy.STAMP: "a stamp on it", MarkedBy.TAG: "a tag at it", MarkedBy.FITTED: "it was fitted new for it"}
FOUND, LEFT, HOOD, MARK, HEAT, USE = "found", "left", "hood", "mark", "heat", "out_of_use"
"""What may be told of a jet."""


def place_choices(base: KnowledgeBase, record: BenchRecord, places: Sequence[JetPlace]) -> list[Choice]:
    """The places that this range has or may have, each with what is recorded there; other lines come last."""
    return [
        *(Choice(each.value, each.words, jet_words(base, record.jet_at(each))) for each in places),
        Choice(TOP_HEAT, "top burners: what each is to give", "all four corners at once"),
        Choice(OTHER, "another place", "one that this range was not thought to have"),
    ]


def other_choices(places: Sequence[JetPlace]) -> list[Choice]:
    """The places that do not stand in the list."""
    return [Choice(each.value, each.words) for each in JetPlace if each not in places]


def jet_words(base: KnowledgeBase, jet: JetRecord) -> str:
    """What is recorded of a jet."""
    told = [
        f"found {jet.found}" if jet.found is not None else "not gauged",
        f"left {jet.left}" if jet.left is not None else "",
        f"{hood_words(jet)} hood" if jet.hood is not None else "",
        f"marked {base.bench.gases[jet.gas].label} ({jet.by.value})" if jet.gas is not None and jet.by else "",
        f"to give {jet.heat}" if jet.heat is not None else "",
        f"OUT OF USE ({jet.out_of_use})" if jet.out_of_use is not None else "",
    ]
    return ", ".join(each for each in told if each)


def jet_choices(base: KnowledgeBase, jet: JetRecord) -> list[Choice]:
    """What may be told of one jet, with what is; a pilot has no heat to be given."""
    marked = f"{base.bench.gases[jet.gas].label}, by {jet.by.value}" if jet.gas is not None and jet.by else "none read"
    lines = [
        Choice(FOUND, f"size as found: {jet.found or 'not gauged'}", "the drill that just enters, or the bore"),
        Choice(LEFT, f"size as left: {jet.left or 'as found'}"),
        Choice(HOOD, f"hood: {hood_words(jet)}"),
        Choice(MARK, f"mark: {marked}", "for which gas a stamp, a tag or new fitting says it is"),
        Choice(HEAT, f"to give: {jet.heat or 'not told'}", "by plate or paper, at sea level"),
        Choice(
            USE,
            "back in use" if jet.out_of_use else "out of use",
            "shut off, capped and labelled by a fitter, not to be lit",
        ),
    ]
    return [line for line in lines if line.id != HEAT or not jet.place.is_pilot]


def hood_words(jet: JetRecord) -> str:
    """The kind of a hood and how it stands."""
    if jet.hood is None:
        return "not looked at"
    return HOODS[f"{jet.hood}:{jet.seat.value}" if jet.seat is not None else jet.hood][0]


def hood_choices() -> list[Choice]:
    """Kinds of hood."""
    kinds = [Choice(name, *words) for name, words in HOODS.items()]
    return [*kinds, Choice(OUT, "not looked at", "takes it out of the record")]


def mark_choices() -> list[Choice]:
    """What may mark a jet for a gas."""
    return [Choice(by.value, words) for by, words in BY.items()]


def corner_heat(record: BenchRecord) -> str:
    """What the corners are to give, where all have the same; empty else."""
    heats = {record.jet_at(place).heat for place in CORNERS}
    return next(iter(heats)) or "" if len(heats) == 1 else ""
