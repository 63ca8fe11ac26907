"""Measures and numbers of parts, as a case and the parts' papers write them."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from hobmark.knowledge.schema.entry import Entry, Id, Text
from hobmark.knowledge.schema.observations import read_length
from hobmark.knowledge.vocabulary import MeasuredOn

HUNDREDTHS = 100
"""Measures enter the rules as whole numbers of 0.01 mm."""

_GROUPS = re.compile(r"[0-9]+|[^\W\d_]+")


def hundredths(text: str) -> int:
    """A length as a whole number of 0.01 mm; ValueError with a remedy."""
    return round(read_length(text) * HUNDREDTHS)


def plain_number(text: str) -> str:
    """A part's number without what is not told apart on a casting: capitals, and what stands between its groups."""
    return "-".join(_GROUPS.findall(text.casefold()))


def _length(text: str) -> str:
    read_length(text)
    return text


def _number(text: str) -> str:
    if not plain_number(text):
        raise ValueError(f"'{text[:40]}' is not a number of a part. Write the letters and digits that stand on it.")
    return text


Length = Annotated[str, AfterValidator(_length)]
"""A length with its unit, kept as written."""
PartNumber = Annotated[str, Field(min_length=1, max_length=40), AfterValidator(_number)]
"""Letters and digits that are cast or stamped on a part, or stand for it in a list."""
Range = tuple[Length, Length]
"""Least and greatest, both included."""


class MeasureTaken(Entry):
    """In a case: a measure of one part, or of a kind of part, taken at its place on the range or on the part."""

    part: Id | None = None
    kind: Id | None = None
    measure: Id
    value: Annotated[Text, Field(max_length=60)]
    on: MeasuredOn = MeasuredOn.RANGE
    note: Text | None = None

    @model_validator(mode="after")
    def _is_of_one_thing(self) -> MeasureTaken:
        if (self.part is None) == (self.kind is None):
            raise ValueError("a measure is of one part, or of one kind of part. Write 'part' or 'kind'.")
        return self


class NumberRead(Entry):
    """In a case: the number on the part of a kind that is on the range now."""

    kind: Id
    number: PartNumber
    note: Text | None = None
