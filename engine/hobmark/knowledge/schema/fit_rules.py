"""fit_rules.yaml: what follows for a part from what is known of the range beside it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from hobmark.knowledge.schema.entry import Entry, Id, OneOrMore, Sources, Text
from hobmark.knowledge.schema.parts import MOST_CHECKS, Tested
from hobmark.knowledge.schema.rules import AnyOf, CautionConclusion, RemarkConclusion, told_by
from hobmark.knowledge.schema.works import Related
from hobmark.knowledge.vocabulary import FitsAs, Status

VARIANT, FAMILY, FITTED = "variant", "family", "fitted"
"""In the conditions of a fit rule, beside features: what the range may be, and a part that is on it by its number."""


def _one_text(value: object) -> object:
    return (value,) if isinstance(value, str) else value


class MeasureCondition(Tested):
    """A condition on a measure: what it is of, and where it was taken."""

    of: Id


def _condition_kind(value: object) -> str:
    if isinstance(value, Entry):
        return type(value).__name__
    keys = set(value) if isinstance(value, dict) else set()
    return "AnyOf" if "any" in keys else "MeasureCondition" if "measure" in keys else "conditions"


def _any_of(schema: dict[str, Any]) -> None:
    # To a JSON Schema a measure looks like features of these names as well; the tag parts them here, not there.
    schema["anyOf"] = schema.pop("oneOf")


FitCondition = Annotated[
    Annotated[AnyOf, Tag("AnyOf")]
    | Annotated[MeasureCondition, Tag("MeasureCondition")]
    | Annotated[dict[Id, OneOrMore], Tag("conditions")],
    Discriminator(_condition_kind),
    Field(json_schema_extra=_any_of),
]
"""`{feature: value}`, `{variant | family | fitted: ..}`, `{any: [..]}`, or `{measure, of, between}`."""


class FitWhen(Entry):
    """All of these must be known to hold; nothing may depend on what is missing."""

    all: Annotated[tuple[FitCondition, ...], Field(min_length=1, max_length=MOST_CHECKS)]

    @model_validator(mode="after")
    def _says_something(self) -> FitWhen:
        choices = [c.any if isinstance(c, AnyOf) else (c,) for c in self.all if not isinstance(c, MeasureCondition)]
        if not all(option for options in choices for option in options):
            raise ValueError("a condition is empty. Write {feature: value}.")
        return self


class FitConclusion(Entry):
    """These parts fit, as the word says, or do not."""

    fit: FitsAs
    parts: Annotated[tuple[Id, ...], BeforeValidator(_one_text), Field(min_length=1)]


_TOLD_BY = {"fit": "FitConclusion", "parts": "FitConclusion"}
_TOLD_BY |= {"remark": "RemarkConclusion", "caution": "CautionConclusion"}


FitThen = Annotated[
    Annotated[FitConclusion, Tag("FitConclusion")]
    | Annotated[RemarkConclusion, Tag("RemarkConclusion")]
    | Annotated[CautionConclusion, Tag("CautionConclusion")],
    Discriminator(told_by(_TOLD_BY, "FitConclusion")),
]
"""What a fit rule may conclude."""


class FitRule(Entry):
    """fit_rules.yaml: when all of this is known, then these parts fit so."""

    id: Id
    when: FitWhen
    then: Annotated[tuple[FitThen, ...], Field(min_length=1)]
    because: Text
    sources: Sources
    status: Status = Status.REVIEWED
    related: tuple[Related, ...] = ()
