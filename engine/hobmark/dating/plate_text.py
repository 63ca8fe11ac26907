"""What the words on a plate, in the order in which they stand, prove of the years of the part."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from hobmark.dates import read_span
from hobmark.dating.evidence import Evidence
from hobmark.dating.lines import capitals, found, lines_of
from hobmark.dating.numbers import first_year
from hobmark.knowledge.schema.dating import DatingRow, DatingTables, Form
from hobmark.problems import shown

_BARE = re.compile(r"[0-9?]{1,7}(?:[,. ][ ]?[0-9?]{3})+(?![0-9?])|[0-9?]+")
_BETWEEN = re.compile(r"[\s,;&/|#+-]*")
_LEAST_DIGITS = 4


class Bounds(NamedTuple):
    """The years that all evidence together leaves: EDTF texts, None where open; a sentence where none is left."""

    not_before: str | None
    not_after: str | None
    contradiction: str | None


def read_words(text: str, tables: DatingTables) -> tuple[Evidence, ...]:
    """Everything on a plate that dates it, in order of place; any text is read, and most of it says nothing.

    `text` stands as on the plate, in any case; lines part at line breaks and at `/`; `?` is an unreadable sign.
    """
    # Their patterns take time to build, and most starts read no plate.
    from hobmark.dating.addresses import read_addresses
    from hobmark.dating.marks import read_marks
    from hobmark.dating.patent_text import read_patents

    lines = lines_of(text)
    evidence = [
        *read_patents(text, lines, tables),
        *read_addresses(text, lines, tables),
        *read_marks(text, lines, tables),
    ]
    return tuple(dict.fromkeys(sorted(evidence, key=lambda each: (each.place, each.kind))))


def read_bare_numbers(text: str, tables: DatingTables) -> tuple[Evidence, ...]:
    """Numbers that stand alone, as if they were US utility patents'; nothing where there is anything besides.

    A year alone, as 1938, is no such number.
    """
    from hobmark.dating.patent_text import latest_counts

    row, whole = tables.row(Form.US_PATENT), capitals(text)
    if row is None:
        return ()
    evidence: list[Evidence] = []
    at = 0
    while (between := _BETWEEN.match(whole, at)) is not None and between.end() < len(whole):
        number = _BARE.match(whole, between.end())
        if number is None:
            return ()
        at = number.end()
        evidence += _if_a_patent(row, text, number, tables)
    return tuple(latest_counts(evidence))


def _if_a_patent(row: DatingRow, text: str, number: re.Match[str], tables: DatingTables) -> list[Evidence]:
    from hobmark.dating.patent_text import numbered

    digits = [sign for sign in number[0] if sign in "0123456789?"]
    if len(digits) < _LEAST_DIGITS or set(digits) == {"?"} or first_year(number[0]) is not None:
        return []
    evidence = numbered(found(row, text[slice(*number.span())], number.span()), number[0], tables)
    if evidence is None:
        return []
    said = f"If this is a US utility patent number: {evidence.proves[0].lower()}{evidence.proves[1:]}"
    return [replace(evidence, proves=said)]


def bounds(evidence: Iterable[Evidence]) -> Bounds:
    """The latest `not_before` and the earliest `not_after` of what is weighed, and whether they contradict."""
    weighed = [each for each in evidence if each.weighed]
    starts = [(read_span(each.not_before).earliest, each.not_before, each) for each in weighed if each.not_before]
    ends = [(read_span(each.not_after).latest, each.not_after, each) for each in weighed if each.not_after]
    start = max(starts, key=lambda one: one[0], default=None)
    end = min(ends, key=lambda one: one[0], default=None)
    against = None
    if start is not None and end is not None and start[0] >= end[0]:
        against = (
            f"'{shown(start[2].reading)}' is of {start[1]} or later, and '{shown(end[2].reading)}' of {end[1]} "
            "or earlier. They cannot both have come with one part."
        )
    return Bounds(start[1] if start is not None else None, end[1] if end is not None else None, against)


def year_alone(text: str) -> str | None:
    """The year that is all there is of a text, as the answer to a question; None for anything else."""
    year = first_year(text.strip()) if "?" not in text else None
    return str(year) if year is not None else None


def told_of_the_time(date: str | None, tables: DatingTables) -> tuple[DatingRow, ...]:
    """The rows that speak of a time in which a date begins: weak evidence, which is told and never weighed."""
    if date is None:
        return ()
    begins = read_span(date)
    spans = [(row, read_span(row.covers)) for row in tables.rows if row.covers is not None]
    return tuple(row for row, span in spans if span.earliest < begins.latest and begins.earliest < span.latest)
