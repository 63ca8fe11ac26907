"""rules.yaml: forward chaining from what is known to what follows."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Mapping
from typing import Annotated

from pydantic import Discriminator, Field, Tag, model_validator

from hobmark.knowledge.schema.entry import EdtfText, Entry, Id, OneOrMore, Sources, Text
from hobmark.knowledge.schema.works import Related
from hobmark.knowledge.vocabulary import HowOften, Status

MOST_WAYS = 64
"""Ways one rule's `any` conditions may multiply to."""
MOST_FEATURES = 16
"""Features one rule's conditions may name."""


class AnyOf(Entry):
    """Conditions of which one is enough."""

    any: Annotated[tuple[dict[Id, OneOrMore], ...], Field(min_length=1)]


Condition = AnyOf | dict[Id, OneOrMore]
"""`{feature: value}` or `{feature: [one, of, these]}`, or `{any: [..]}` of such."""


class When(Entry):
    """All of these must be known to hold; nothing may depend on what is missing."""

    all: Annotated[tuple[Condition, ...], Field(min_length=1, max_length=16)]

    @model_validator(mode="after")
    def _can_be_chained(self) -> When:
        choices = [condition.any if isinstance(condition, AnyOf) else (condition,) for condition in self.all]
        if not all(option for options in choices for option in options):
            raise ValueError("a condition is empty. Write {feature: value}.")
        if (count := len(self.features)) > MOST_FEATURES:
            raise ValueError(f"the conditions name {count} features, more than {MOST_FEATURES}. Split the rule.")
        if (ways := math.prod(map(len, choices))) > MOST_WAYS:
            raise ValueError(f"the 'any' conditions multiply to {ways} ways. Split the rule.")
        return self

    @property
    def features(self) -> frozenset[str]:
        """The features that the conditions name."""
        choices = (c.any if isinstance(c, AnyOf) else (c,) for c in self.all)
        return frozenset(feature for options in choices for option in options for feature in option)


class FeatureConclusion(Entry):
    """The feature has this value, as often as `how` says."""

    feature: Id
    is_: OneOrMore = Field(alias="is")
    how: HowOften = HowOften.ALWAYS


class BoundConclusion(Entry):
    """The assembly was not made before, or not after, a date, or is none of some variants'."""

    not_before: EdtfText | None = None
    not_after: EdtfText | None = None
    rules_out: tuple[Id, ...] = ()
    of: Id

    @model_validator(mode="after")
    def _bounds_one_thing(self) -> BoundConclusion:
        if (self.not_before is not None) + (self.not_after is not None) + bool(self.rules_out) != 1:
            raise ValueError("a bound has one of 'not_before', 'not_after' or 'rules_out'. Keep one.")
        return self


class RemarkConclusion(Entry):
    """Words for the person who looks."""

    remark: Text


class CautionConclusion(Entry):
    """A caution, shown wherever the range is."""

    caution: Text


_TOLD_BY = {"feature": "FeatureConclusion", "remark": "RemarkConclusion", "caution": "CautionConclusion"}
_TOLD_BY |= dict.fromkeys(("not_before", "not_after", "rules_out"), "BoundConclusion")


def told_by(fields: Mapping[str, str], otherwise: str) -> Callable[[object], str]:
    """Which of several models an entry is meant for, by the first of its fields that tells, or comes close to one."""

    def kind(value: object) -> str:
        if isinstance(value, Entry):
            return type(value).__name__
        keys = list(value) if isinstance(value, dict) else []
        close = [near for key in keys for near in difflib.get_close_matches(key, fields, n=1)]
        return next((fields[key] for key in (*keys, *close) if key in fields), otherwise)

    return kind


# A tag is no field's name: the place of a problem is found by going along the names that stand in the file.
Conclusion = Annotated[
    Annotated[FeatureConclusion, Tag("FeatureConclusion")]
    | Annotated[BoundConclusion, Tag("BoundConclusion")]
    | Annotated[RemarkConclusion, Tag("RemarkConclusion")]
    | Annotated[CautionConclusion, Tag("CautionConclusion")],
    Discriminator(told_by(_TOLD_BY, "BoundConclusion")),
]
"""What a rule may conclude; the list is closed and small on purpose."""


class Rule(Entry):
    """rules.yaml: when all of this is known, then that."""

    id: Id
    when: When
    then: Annotated[tuple[Conclusion, ...], Field(min_length=1)]
    because: Text
    sources: Sources
    status: Status = Status.REVIEWED
    related: tuple[Related, ...] = ()

    @property
    def tested(self) -> frozenset[str]:
        """The features its conditions test."""
        return self.when.features

    @property
    def concluded(self) -> frozenset[str]:
        """The features it concludes something about."""
        return frozenset(c.feature for c in self.then if isinstance(c, FeatureConclusion))
