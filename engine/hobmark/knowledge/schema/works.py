"""One maker's folder: maker.yaml, sources.yaml, models.yaml and traits.yaml."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal

import numpy as np
from pydantic import BeforeValidator, Field, ValidationInfo, model_validator

from hobmark.dates import Starts, Years, read_ends, read_span, share_of_years
from hobmark.knowledge.schema.entry import TRUSTED, EdtfText, Entry, Id, Months, Positive, Sources, Text
from hobmark.knowledge.vocabulary import Certainty, HowOften, Status


class Maker(Entry):
    """maker.yaml: one works; `short` is what it is called once it has been named in full."""

    id: Id
    label: Text
    short: Text | None = None
    invented: bool = False
    life: EdtfText
    note: Text | None = None

    @model_validator(mode="after")
    def _life_is_bounded(self, info: ValidationInfo) -> Maker:
        if info.context and info.context.get(TRUSTED):
            return self
        span = read_span(self.life)
        if span.first_year is None or span.last_year is None or not 1800 <= span.first_year <= span.last_year <= 2100:
            raise ValueError(f"'{self.life}' leaves the works without a first or last year. Write both, as 1924/1961.")
        return self


class Source(Entry):
    """sources.yaml: where a statement comes from."""

    kind: Text
    title: Text
    date: EdtfText | None = None
    invented: bool = False
    note: Text | None = None


class FromTo(Entry):
    """A production whose start and end are each a date of their own."""

    from_: EdtfText = Field(alias="from")
    to: EdtfText

    @model_validator(mode="after")
    def _starts_before_it_ends(self, info: ValidationInfo) -> FromTo:
        if info.context and info.context.get(TRUSTED):
            return self
        start, end = read_span(self.from_), read_span(self.to)
        if start.first_year is None:
            raise ValueError(f"'{self.from_}' leaves the start open. Write a first year, as [1931..1932].")
        if start.earliest >= end.latest:
            raise ValueError(f"'{self.to}' ends before '{self.from_}' starts. Write the earlier date as 'from'.")
        return self


class Variant(Entry):
    """One variant of a family: when it was made and, where known, how many."""

    label: Text
    made: Annotated[tuple[EdtfText | FromTo, ...], Field(min_length=1)]
    units: Positive | None = None
    sources: Sources
    note: Text | None = None

    def made_in(self, starts: Starts, width: float = 1.0) -> Years:
        """How much of each stretch [y, y + width) it was made in; values 0 to 1."""
        share = np.zeros(len(starts))
        for made in self.made:
            start, end = (read_span(made.from_), read_span(made.to)) if isinstance(made, FromTo) else read_ends(made)
            share = np.maximum(share, share_of_years(start, end, starts, width))
        return share


class Family(Entry):
    """models.yaml: variants that share a body."""

    label: Text
    variants: Annotated[dict[Id, Variant], Field(min_length=1)]
    note: Text | None = None


class Related(Entry):
    """What became of an id."""

    id: Text
    type: Literal["renamed", "merged", "obsolete"]


class Change(Entry):
    """A running change: the value that came in, when, and how long old stock was used up."""

    from_: EdtfText = Field(alias="from")
    value: Id
    run_out: Months = 0

    @model_validator(mode="after")
    def _has_a_date(self, info: ValidationInfo) -> Change:
        if info.context and info.context.get(TRUSTED):
            return self
        span = read_span(self.from_)
        if span.first_year is None or span.last_year is None:
            raise ValueError(f"'{self.from_}' leaves the change without a date. Give both ends, as [1938..1939].")
        return self


def _years(made: object) -> object:
    """A production is a list of dates, and so a statement's years are easily written as one."""
    if isinstance(made, list | tuple):
        raise ValueError("a statement's 'made' is one date, not a list. Write made: \"1931/1942\", in quotes.")
    return made


class Trait(Entry):
    """traits.yaml: one statement about a feature of some variants."""

    id: Id
    feature: Id
    of: Annotated[tuple[Id, ...], Field(min_length=1)]
    value: Id | None = None
    how: HowOften | None = None
    values: dict[Id, HowOften] = Field(default_factory=dict)
    run: tuple[Id | Change, ...] = ()
    made: Annotated[EdtfText | None, BeforeValidator(_years)] = None
    certainty: Certainty
    sources: Sources
    against: tuple[Id, ...] = ()
    status: Status = Status.REVIEWED
    related: tuple[Related, ...] = ()
    note: Text | None = None

    @model_validator(mode="after")
    def _says_one_thing(self, info: ValidationInfo) -> Trait:
        if (self.value is not None) + bool(self.values) + bool(self.run) != 1:
            raise ValueError("a statement has one of 'value', 'values' or 'run'. Keep one.")
        if self.values and self.how is not None:
            raise ValueError("'how' goes with 'value' or 'run'; each of 'values' has its own word. Remove 'how'.")
        if self.run and (not isinstance(self.run[0], str) or any(isinstance(step, str) for step in self.run[1:])):
            raise ValueError("a run is one value, then changes. Write [old, {from: 1939, value: new}].")
        if self.run and len(self.run) < 2:
            raise ValueError("a run needs a change. Write [old, {from: 1939, value: new}] or use 'value'.")
        if not (info.context and info.context.get(TRUSTED)):
            self._changes_in_order()
        return self

    def _changes_in_order(self) -> None:
        changes = [step.from_ for step in self.run if isinstance(step, Change)]
        for earlier, later in itertools.pairwise(changes):
            if read_span(later).earliest < read_span(earlier).earliest:
                raise ValueError(f"a run goes forward in time, but '{later}' stands after '{earlier}'. Change places.")

    @property
    def named(self) -> tuple[str, ...]:
        """The values it speaks of."""
        if self.value is not None:
            return (self.value,)
        return tuple(self.values) or tuple(step if isinstance(step, str) else step.value for step in self.run)
