"""serials.yaml: how a maker numbered its ranges, block by block, and the dated numbers that a line is drawn through."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from functools import cached_property, lru_cache
from typing import Annotated, NamedTuple

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema, model_validator

from hobmark.dates import read_span
from hobmark.knowledge.schema.entry import MONTHS, EdtfText, Entry, Id, Sources, Text
from hobmark.knowledge.vocabulary import SlipWord

COUNTED = "#"
"""In a pattern: a digit of the running number."""
UNCOUNTED = "*"
"""In a pattern: a digit that says something else, such as the model."""
YEAR = "YY"
"""At the head of a pattern: the year, without its century."""
UNREAD = "?"
"""In a number as it was read: what could not be read."""
CENTURY = 1900
"""The century of a year that opens a number."""
MOST_COUNTED = 9
"""Digits of the longest running number."""

_PATTERN = re.compile(r"[A-Za-z0-9#*][A-Za-z0-9#* \-/.]{0,39}")
_BETWEEN = r"[\s\u00a0\-\u2010-\u2015\u2212/\\.]"
_THOUSANDS = re.compile(r"(?<=[0-9?]),(?=[0-9?]{3}(?![0-9?]))")


def _one_or_more(value: object) -> object:
    return (value,) if isinstance(value, str) else value


def _pattern(text: str) -> str:
    if _PATTERN.fullmatch(text) is None:
        raise ValueError(f"'{text[:40]}' is not a pattern. Write letters, digits and # for each digit, as H #####.")
    if not 1 <= text.count(COUNTED) <= MOST_COUNTED:
        raise ValueError(f"'{text}' has no running number, or one too long. Write 1 to {MOST_COUNTED} signs #.")
    return text


def _tolerance(text: object) -> object:
    if not isinstance(text, str):
        return text
    match = re.fullmatch(MONTHS, text)
    if match is None or int(match[1]) > 120:
        raise ValueError(f"'{text[:40]}' is not an error. Write a number of months up to 120, as 6 months.")
    return int(match[1])


Pattern = Annotated[str, AfterValidator(_pattern)]
"""How a number looks on the plate."""
Patterns = Annotated[
    tuple[Pattern, ...],
    BeforeValidator(_one_or_more),
    Field(min_length=1, max_length=12),
    WithJsonSchema(
        {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}, "minItems": 1}]},
        mode="validation",
    ),
]
"""One way a number looks on the plate, or several."""
Tolerance = Annotated[
    int,
    BeforeValidator(_tolerance),
    WithJsonSchema(
        {"anyOf": [{"type": "integer", "minimum": 0, "maximum": 120}, {"type": ["string"], "pattern": MONTHS}]},
        mode="validation",
    ),
]
"""How far ranges stray from the line, in months to either side."""
Number = Annotated[str, Field(min_length=1, max_length=40)]
"""A number as it stands on the plate, or its running digits alone."""


class Fitting(NamedTuple):
    """A pattern that a text fits, and the digits that date it: the running ones, or the year's; `?` where unread."""

    pattern: str
    digits: str


class Anchor(Entry):
    """One number with its date; a date known to a stretch of time is written as one.

    `against`: numbers of the block whose dates are known to contradict this one.
    """

    serial: Number
    date: EdtfText
    sources: Sources
    against: tuple[Number, ...] = ()
    note: Text | None = None


class SerialFormat(Entry):
    """One block of numbers that look alike and run on with time."""

    id: Id
    pattern: Patterns
    found_on: Id
    of: tuple[Id, ...] = ()
    made: EdtfText | None = None
    first: Number | None = None
    last: Number | None = None
    anchors: tuple[Anchor, ...] = ()
    error: Tolerance = 6
    outlier: SlipWord = SlipWord.RARELY
    sources: Sources
    note: Text | None = None

    @model_validator(mode="after")
    def _a_year_needs_no_line(self) -> SerialFormat:
        if len({pattern.startswith(YEAR) for pattern in self.pattern}) > 1:
            raise ValueError("some of these patterns open with YY and some do not. Make them two entries.")
        if self.opens_with_year and (self.anchors or self.first is not None or self.last is not None):
            raise ValueError("a number that opens with the year has its date. Remove 'anchors', 'first' and 'last'.")
        return self

    @property
    def opens_with_year(self) -> bool:
        """Whether the first two digits are the year."""
        return self.pattern[0].startswith(YEAR)

    def fits(self, text: str) -> Fitting | None:
        """The pattern that a text fits, and the digits that date it; None if it fits none.

        Capitals, blanks, hyphens, slashes and a comma at the thousands do not matter; but two groups of digits that
        the pattern keeps apart must be apart.
        """
        plain = _THOUSANDS.sub("", text.strip())
        for pattern in self.pattern:
            if match := _compiled(pattern).fullmatch(plain):
                return Fitting(pattern, "".join(match.groups()))
        return None

    def number(self, text: str) -> int | None:
        """The running number of a number as written on the plate, or as its digits alone; None if it is neither."""
        plain = _THOUSANDS.sub("", text.strip())
        if re.fullmatch(f"[0-9]{{1,{MOST_COUNTED}}}", plain):
            return int(plain)
        found = self.fits(text)
        return None if found is None or UNREAD in found.digits else int(found.digits)

    @cached_property
    def numbers(self) -> tuple[int, ...]:
        """The running number of each anchor, in file order; ValueError for an anchor that does not fit."""
        found = [self.number(anchor.serial) for anchor in self.anchors]
        if None in found:
            raise ValueError(f"an anchor of {self.id} does not fit its pattern")
        return tuple(number for number in found if number is not None)

    @cached_property
    def untold(self) -> tuple[tuple[int, int], ...]:
        """Those contradictions of which neither anchor says that it is `against` the other."""
        numbers = [{self.number(text) for text in anchor.against} for anchor in self.anchors]
        return tuple(
            (low, high)
            for low, high in self.contradictions
            if self.numbers[high] not in numbers[low] and self.numbers[low] not in numbers[high]
        )

    @cached_property
    def contradictions(self) -> tuple[tuple[int, int], ...]:
        """Places of anchors that cannot both be right, the lower number first.

        The higher number is dated wholly before the lower one, or one number has two dates that do not meet.
        """
        return tuple(self._contradictions())

    def _contradictions(self) -> Iterator[tuple[int, int]]:
        spans = [read_span(anchor.date) for anchor in self.anchors]
        order = sorted(range(len(self.anchors)), key=lambda at: self.numbers[at])
        for low, high in itertools.combinations(order, 2):
            back = spans[high].latest <= spans[low].earliest
            twice = self.numbers[low] == self.numbers[high] and spans[low].latest <= spans[high].earliest
            if back or twice:
                yield low, high


@lru_cache(maxsize=1024)
def _compiled(pattern: str) -> re.Pattern[str]:
    """The pattern as an expression that captures, digit by digit, what dates the number."""
    opens_with_year = pattern.startswith(YEAR)
    written, before, apart = "", "", False
    for place, sign in enumerate(pattern):
        year = opens_with_year and place < len(YEAR)
        kind = "digit" if year or sign in (COUNTED, UNCOUNTED) or sign.isdigit() else "letter"
        if not sign.isalnum() and sign not in (COUNTED, UNCOUNTED):
            apart = True
            continue
        if before and (apart or before != kind):
            # 46/3308 and 463308 are two things, but K18836 and K 18836 are one.
            written += _BETWEEN + ("+" if before == kind == "digit" else "*")
        if year or sign in (COUNTED, UNCOUNTED):
            counts = year if opens_with_year else sign == COUNTED
            written += "([0-9?])" if counts else "[0-9?]"
        else:
            written += f"[{sign}?]"
        before, apart = kind, False
    return re.compile(written, re.IGNORECASE | re.ASCII)
