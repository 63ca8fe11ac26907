"""What one person saw on one range: observations, and the documented specimens made of them."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from hobmark.knowledge.schema.entry import EdtfText, Entry, Id, OneOrMore, Text
from hobmark.knowledge.vocabulary import Sure

MM_PER_INCH = 25.4
"""Exact by definition (international inch)."""

_LENGTH = re.compile(
    r"^\s*(?:(\d{1,5}(?:\.\d{1,4})?)|(?:(\d{1,4})[ -])?(\d{1,3})\s*/\s*(\d{1,3}))\s*(mm|cm|in|inch|inches|\")\s*$"
)


def read_length(text: str) -> float:
    """A length in millimetres from `31 mm`, `1.25 in` or `1 1/4 in`; raise ValueError with a remedy."""
    match = _LENGTH.match(text)
    if match is None or (match[4] is not None and int(match[4]) == 0):
        raise ValueError(f"'{text[:40]}' is not a length. Write it with its unit, as 31 mm or 1 1/4 in.")
    number = float(match[1]) if match[1] else float(int(match[2] or 0) + Fraction(int(match[3]), int(match[4])))
    return number * {"mm": 1.0, "cm": 10.0}.get(match[5], MM_PER_INCH)


def _length(text: object) -> object:
    if isinstance(text, str):
        read_length(text)
    return text


def _yes(text: object) -> object:
    if isinstance(text, str):
        if text.lower() in ("true", "yes"):
            return True
        if text.lower() in ("false", "no"):
            return False
        raise ValueError(f"'{text[:40]}' is neither true nor false. Write true or false.")
    return text


Yes = Annotated[
    bool,
    BeforeValidator(_yes),
    WithJsonSchema({"anyOf": [{"type": "boolean"}, {"enum": ["true", "false", "yes", "no"]}]}, mode="validation"),
]
"""true or false."""


class Observation(Entry):
    """One look at one feature, or words or a serial found on an assembly.

    Of `is`, `is_not`, `measured`, `unseen` and `removed` exactly one goes with `feature`; `plate_text` and `serial`
    go with `found_on`.
    """

    feature: Id | None = None
    is_: OneOrMore | None = Field(default=None, alias="is")
    is_not: OneOrMore | None = None
    measured: Annotated[str, BeforeValidator(_length)] | None = None
    unseen: Yes = False
    removed: Yes = False
    plate_text: Annotated[str, Field(max_length=2000)] | None = None
    serial: Annotated[str, Field(max_length=80)] | None = None
    found_on: Id | None = None
    sure: Sure = Sure.CERTAIN
    original: Yes | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _says_one_thing(self) -> Observation:
        readings = [self.is_ is not None, self.is_not is not None, self.measured is not None, self.unseen, self.removed]
        words = (self.plate_text is not None) + (self.serial is not None)
        if self.feature is not None and words:
            raise ValueError("an observation is of a feature or of words found on a part. Write two entries.")
        if self.feature is None and words != 1:
            raise ValueError("an observation needs 'feature', 'plate_text' or 'serial'. Add one.")
        if self.feature is not None and sum(readings) != 1:
            raise ValueError("a feature has one reading. Write one of 'is', 'is_not', 'measured', 'unseen', 'removed'.")
        if words and self.found_on is None:
            raise ValueError("words and serials need 'found_on', the part they were found on. Add it.")
        if words and any(readings):
            raise ValueError("words found on a part take no reading of a feature. Write two entries.")
        return self

    @property
    def is_reading(self) -> bool:
        """Whether it tells something about its feature, rather than that it could not be seen."""
        return self.feature is not None and not self.unseen


class Seen(Entry):
    """When, by whom and where a specimen was seen."""

    date: EdtfText
    by: Text
    where: Text | None = None
    photos: Annotated[int, Field(ge=0, le=100000)] | None = None


class Known(Entry):
    """What a specimen is known to be, and on what basis."""

    variant: Id
    made: EdtfText
    basis: Annotated[tuple[Text, ...], Field(min_length=1)]


class Specimen(Entry):
    """specimens/ID.yaml: one documented range. What it shows is kept apart from what that means."""

    id: Id
    maker: Id
    invented: Yes = False
    seen: Seen
    known: Known
    observations: Annotated[tuple[Observation, ...], Field(min_length=1)]
    todo: Text | None = None
    note: Text | None = None
