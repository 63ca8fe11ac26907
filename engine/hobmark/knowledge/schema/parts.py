"""parts.yaml and reference/part_kinds.yaml: which part goes with which range, and what proves it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from hobmark.knowledge.schema.entry import EdtfText, Entry, Id, OneOrMore, Sources, Text
from hobmark.knowledge.schema.measures import PartNumber, Range, hundredths
from hobmark.knowledge.schema.observations import Yes
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.schema.works import Related
from hobmark.knowledge.vocabulary import Access, FitsAs, Gas, Hand, MeasuredOn, PartClass, Status

ENOUGH_CHECKS = 2
"""Checks that must hold before a part that no paper lists is said to interchange."""
MOST_CHECKS = 12
"""Needs of one part; all of them are conditions of one clause."""


class Dimension(Entry):
    """One thing that is measured on parts of a kind: a length, or one of some words.

    `by_eye`: it is had without a hand on the part, and so of a kind that is left alone as well.
    """

    label: Text
    how: Text | None = None
    access: Access = Access.TOOL
    words: tuple[Text, ...] = ()
    by_eye: Yes = False


class Ask(Entry):
    """One thing that a supplier asks of a kind beside its dimensions; a number is given in `unit`."""

    label: Text
    unit: Text | None = None


class PartKind(Entry):
    """reference/part_kinds.yaml: a kind of part.

    `assembly` is what it belongs to, `seat` the assembly that it must go with; `class` the least a part of it takes.
    `jet`: the measure that is the bore of its jet. `places`: where it stands on a range. `looks`: the features of a
    range that speak of it. `left_alone`: it is never touched, and what is said instead.
    """

    label: Text
    assembly: Id
    seat: Id | None = None
    class_: PartClass = Field(alias="class")
    dimensions: Annotated[dict[Id, Dimension], Field(min_length=1)]
    jet: Id | None = None
    places: tuple[JetPlace, ...] = ()
    handed: Yes = False
    looks: tuple[Id, ...] = ()
    ask: dict[Id, Ask] = Field(default_factory=dict)
    number: Text | None = None
    pictures: tuple[Text, ...] = ()
    left_alone: Text | None = None
    cautions: tuple[Id, ...] = ()
    exchange: Yes = False
    note: Text | None = None

    @model_validator(mode="after")
    def _what_is_left_alone_is_not_handled(self) -> PartKind:
        if self.left_alone is not None and (self.exchange or self.number is not None):
            raise ValueError("what is left alone is not posted, and no number is read on it. Remove one of the two.")
        if self.left_alone is not None and not self.pictures:
            raise ValueError("of what is left alone it is not said which pictures can be had. Write 'pictures'.")
        return self

    @property
    def goes_with(self) -> str:
        """The assembly whose own making decides whether a part fits what is on the range now."""
        return self.seat or self.assembly


class Tested(Entry):
    """A test of one measure: a length between two others, or one of some words."""

    measure: Id
    between: Range | None = None
    is_: Annotated[OneOrMore | None, Field(alias="is")] = None
    on: MeasuredOn = MeasuredOn.RANGE

    @model_validator(mode="after")
    def _tests_one_thing(self) -> Tested:
        if (self.between is None) == (self.is_ is None):
            raise ValueError(
                f"'{self.measure}' is tested by nothing, or twice. Write 'between: [22 mm, 26 mm]' or 'is'."
            )
        if self.between is not None and hundredths(self.between[0]) >= hundredths(self.between[1]):
            raise ValueError(f"{' to '.join(self.between)} holds no length. Write the least first.")
        return self

    @property
    def test(self) -> str:
        """The test as the rules have it: least..greatest in 0.01 mm, or the words."""
        if self.between is not None:
            return "..".join(str(hundredths(edge)) for edge in self.between)
        return "|".join(sorted(self.is_ or ()))

    def holds(self, value: str) -> bool:
        """Whether a value passes; ValueError for a length that is none."""
        if self.between is not None:
            low, high = (hundredths(edge) for edge in self.between)
            return low <= hundredths(value) <= high
        return value in (self.is_ or ())


class Need(Tested):
    """What must be measured before the part is said to fit, and how that is done."""

    how: Text | None = None
    sources: tuple[Text, ...] = ()


class Fits(Entry):
    """What a paper says of the part on some variants in some years."""

    of: Annotated[tuple[Id, ...], Field(min_length=1)]
    made: EdtfText | None = None
    as_: FitsAs = Field(default=FitsAs.EXACT, alias="as")
    because: Text | None = None
    sources: Sources

    @model_validator(mode="after")
    def _says_why_not(self) -> Fits:
        if self.as_ is FitsAs.PROHIBITED:
            raise ValueError("what is prohibited stands in a list of its own. Write it under 'prohibited'.")
        if self.as_ is FitsAs.NOT and self.because is None:
            raise ValueError("it is not said why the part does not fit. Write 'because'.")
        return self


class Supersedes(Entry):
    """The part takes the place of an earlier one; where the chain breaks, `break` says what had changed."""

    part: Id
    one_way: Yes = True
    from_: Annotated[EdtfText | None, Field(alias="from")] = None
    break_: Annotated[Text | None, Field(alias="break")] = None
    sources: Sources


class Modification(Entry):
    """What must be done to the part or to the range before it fits, and whether that can be undone."""

    does: Text
    reversible: Yes
    sources: Sources


class Prohibited(Entry):
    """A substitution that must not be made: on some variants, beside something seen, or in place of another part."""

    of: tuple[Id, ...] = ()
    with_: Annotated[dict[Id, OneOrMore], Field(alias="with")] = Field(default_factory=dict)
    instead_of: tuple[Id, ...] = ()
    because: Text
    sources: Sources

    @model_validator(mode="after")
    def _prohibits_something(self) -> Prohibited:
        if not (self.of or self.with_ or self.instead_of):
            raise ValueError("it is not said where the part is prohibited. Write 'of', 'with' or 'instead_of'.")
        if self.instead_of and (self.of or self.with_):
            raise ValueError("'instead_of' stands by itself. Make two entries of it.")
        return self


_MODIFIED = "it fits with a modification that is not said. Write 'modification: {does, reversible, sources}'."


class Part(Entry):
    """parts.yaml: one part of a maker's, the ranges it is for and what proves that it fits.

    `gas`: the gases that its papers make it for. `places`: those of its kind's where it stands, if not at all of them.
    """

    id: Id
    label: Text
    kind: Id
    numbers: tuple[PartNumber, ...] = ()
    hand: Hand = Hand.EITHER
    class_: PartClass = Field(alias="class")
    gas: tuple[Gas, ...] = ()
    places: tuple[JetPlace, ...] = ()
    fits: tuple[Fits, ...] = ()
    needs: Annotated[tuple[Need, ...], Field(max_length=MOST_CHECKS)] = ()
    supersedes: tuple[Supersedes, ...] = ()
    modification: Modification | None = None
    prohibited: tuple[Prohibited, ...] = ()
    proved_by: Text | None = None
    status: Status = Status.REVIEWED
    related: tuple[Related, ...] = ()
    note: Text | None = None

    @model_validator(mode="after")
    def _can_be_proven(self) -> Part:
        if self.class_ is PartClass.CRITICAL and self.proved_by is None:
            raise ValueError("a critical part has no check that proves it. Write 'proved_by', the test once it is on.")
        if self.class_ is not PartClass.TRIAL and len(self.needs) < ENOUGH_CHECKS:
            raise ValueError(
                f"a {self.class_.value} part is proven by {ENOUGH_CHECKS} checks or more, and this one has "
                f"{len(self.needs)}. Write what is measured under 'needs'."
            )
        tested = [(need.measure, need.on) for need in self.needs]
        if twice := next((measure for measure, on in tested if tested.count((measure, on)) > 1), None):
            raise ValueError(f"'{twice}' is needed twice. Keep one.")
        return self

    @model_validator(mode="after")
    def _is_modified_openly(self) -> Part:
        is_modified = any(fits.as_ is FitsAs.MODIFIED for fits in self.fits)
        if self.class_ is PartClass.CRITICAL and (is_modified or self.modification is not None):
            raise ValueError("a critical part is never modified. Remove 'modification' and 'as: modified'.")
        if is_modified and self.modification is None:
            raise ValueError(_MODIFIED)
        return self

    @property
    def sources(self) -> tuple[str, ...]:
        """Every paper that anything about it rests on."""
        entries: tuple[Fits | Need | Supersedes | Prohibited, ...]
        entries = (*self.fits, *self.needs, *self.supersedes, *self.prohibited)
        found = [source for entry in entries for source in entry.sources]
        found += self.modification.sources if self.modification is not None else ()
        return tuple(dict.fromkeys(found))
