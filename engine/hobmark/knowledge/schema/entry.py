"""What every model of the knowledge base shares: frozen entries and the types of single fields."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema

from hobmark.dates import NotADate, read_ends, read_span, years_meant

MONTHS = r"^([0-9]{1,3})( months?)?$"
"""How a number of months is written."""
TRUSTED = "trusted"
"""Validation context key: the text was checked before (a compiled base read back), so dates are not parsed again."""


class Entry(BaseModel):
    """Every model of the base: frozen, and no field it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


def _date(text: str, info: ValidationInfo) -> str:
    if info.context and info.context.get(TRUSTED):
        return text
    if meant := years_meant(text):
        raise ValueError(
            f"'{text}' is a part of the year {meant[0]} in EDTF. Write {meant[0]}/{meant[1]} for the years."
        )
    try:
        read_span(text)
        read_ends(text)
    except NotADate as refused:
        raise ValueError(str(refused)) from None
    return text


def _one_text(value: object) -> object:
    if isinstance(value, list | tuple):
        raise ValueError('a list stands where one date should. Put the date in quotes, as "1931/1942".')
    return value


def _word_list(value: object) -> object:
    return [value] if isinstance(value, str) else value


def months(text: object) -> object:
    """A run-out as whole months, from `12` or `12 months`."""
    if not isinstance(text, str):
        return text
    match = re.fullmatch(MONTHS, text)
    if match is None or int(match[1]) > 120:
        raise ValueError(f"'{text[:40]}' is not a run-out. Write a number of months up to 120, as 12 months.")
    return int(match[1])


Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_\-]{0,59}$")]
"""A permanent name: small letters, digits, _ and -."""
EdtfText = Annotated[str, BeforeValidator(_one_text), AfterValidator(_date)]
"""A date in EDTF, kept as written."""
OneOrMore = Annotated[
    tuple[str, ...],
    BeforeValidator(_word_list),
    Field(min_length=1),
    WithJsonSchema(
        {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}, "minItems": 1}]},
        mode="validation",
    ),
]
"""One value, or a list of values any of which will do."""
Months = Annotated[
    int,
    BeforeValidator(months),
    WithJsonSchema(
        {"anyOf": [{"type": "integer", "minimum": 0, "maximum": 120}, {"type": ["string"], "pattern": MONTHS}]},
        mode="validation",
    ),
]
"""A number of whole months, as `6` or `6 months`."""
Text = Annotated[str, Field(min_length=1, max_length=4000)]
"""Words for a person."""
Probability = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
"""A number from 0 to 1."""
Positive = Annotated[float, Field(gt=0, le=1e9, allow_inf_nan=False)]
"""A number above nothing."""
Sources = Annotated[tuple[Text, ...], Field(min_length=1)]
"""Source ids, each with `:page` behind it where there is one. A statement without a source is refused."""
