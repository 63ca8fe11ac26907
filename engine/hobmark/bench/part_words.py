"""Parts, their checks and what papers say of them, in a restorer's words."""

from __future__ import annotations

from collections.abc import Mapping

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.parts import Part, Tested
from hobmark.knowledge.vocabulary import FitsAs, Hand, MeasuredOn

LISTED: Mapping[FitsAs, str] = {
    FitsAs.EXACT: "listed for",
    FitsAs.INTERCHANGES: "listed as interchanging on",
    FitsAs.MODIFIED: "listed with a modification for",
    FitsAs.NOT: "listed as not fitting",
}
"""What a paper says of a part and a variant."""
BY_RULE: Mapping[FitsAs, str] = {
    FitsAs.EXACT: "it is the part for it",
    FitsAs.INTERCHANGES: "it interchanges",
    FitsAs.MODIFIED: "it fits with a modification",
    FitsAs.NOT: "it does not fit",
    FitsAs.PROHIBITED: "it must not be put here",
}
"""What a fit rule concludes."""


def part_words(part: Part) -> str:
    """A part's label with its hand, where it has one."""
    return part.label if part.hand is Hand.EITHER else f"{part.label}, {part.hand.value} hand"


def need_words(base: KnowledgeBase, part: Part, number: int) -> str:
    """A need in words: what is measured, where, and what it must be."""
    need = part.needs[number]
    where = "on the range" if need.on is MeasuredOn.RANGE else "on the part"
    return f"{base.kinds[part.kind].dimensions[need.measure].label} {where}: {tested_words(need)}"


def tested_words(test: Tested) -> str:
    """What a measure must be: `22 mm to 26 mm`, or one of some words."""
    return " to ".join(test.between) if test.between is not None else " or ".join(test.is_ or ())
