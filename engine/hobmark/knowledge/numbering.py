"""Checks of a maker's serial numbers: each fits its block's pattern and ends, and is dated within the block's years."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import RootModel

from hobmark.dates import read_span
from hobmark.knowledge.schema.serials import SerialFormat
from hobmark.knowledge.written import Written
from hobmark.problems import Problem, shown


def check_numbers(serials: Written[RootModel[tuple[SerialFormat, ...]]], life: str) -> Iterator[Problem]:
    """Blocks lie within the life of the works, and their numbers and dates within the block."""
    for position, block in enumerate(serials.entry.root):
        made = life if block.made is None else block.made
        if _apart(made, life):
            message = f"'{made}' lies outside {life}, the life of the works."
            yield serials.problem((position, "made"), message, "Mend this date, or 'life' in maker.yaml.")
            made = life  # its anchors are not to blame for that
        yield from _check_block(serials, position, block)
        for place, anchor in enumerate(block.anchors):
            if _apart(anchor.date, made):
                message = f"'{anchor.date}' lies outside {made}, the years of this block."
                yield serials.problem((position, "anchors", place, "date"), message, "Mend this date, or 'made'.")


def _check_block(
    serials: Written[RootModel[tuple[SerialFormat, ...]]], position: int, block: SerialFormat
) -> Iterator[Problem]:
    written: dict[tuple[str | int, ...], str] = {}
    written |= {(name,): text for name, text in (("first", block.first), ("last", block.last)) if text is not None}
    written |= {("anchors", place, "serial"): anchor.serial for place, anchor in enumerate(block.anchors)}
    written |= {
        ("anchors", a, "against", b): text for a, x in enumerate(block.anchors) for b, text in enumerate(x.against)
    }
    numbers = {loc: block.number(text) for loc, text in written.items()}
    anchored = {number for loc, number in numbers.items() if loc[-1] == "serial"}
    first, last = numbers.get(("first",)), numbers.get(("last",))
    for loc, number in numbers.items():
        if number is None:
            message = f"'{shown(written[loc])}' does not fit {' or '.join(block.pattern)}."
            yield serials.problem((position, *loc), message, "Write it as on the plate, or its running digits alone.")
        elif first is not None and number < first:
            message = f"{number} is lower than {first}, the first of this block."
            yield serials.problem((position, *loc), message, "Mend this number, or 'first'.")
        elif last is not None and number > last:
            message = f"{number} is higher than {last}, the last of this block."
            yield serials.problem((position, *loc), message, "Mend this number, or 'last'.")
        elif "against" in loc and number not in anchored:
            message = f"no anchor of this block is number {number}."
            yield serials.problem((position, *loc), message, "Write the number of an anchor that contradicts this one.")


def _apart(one: str, other: str) -> bool:
    a, b = read_span(one), read_span(other)
    return a.latest <= b.earliest or a.earliest >= b.latest
