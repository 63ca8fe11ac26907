"""reference/faults.yaml: symptoms, what may cause them, and the checks that tell the causes apart."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hobmark.knowledge.schema.bench import Grounds, Words, Work
from hobmark.knowledge.schema.entry import Entry, Id, OneOrMore, Positive, Text
from hobmark.knowledge.schema.observations import Yes
from hobmark.knowledge.vocabulary import HowOften

Cautions = Annotated[tuple[Id, ...], Field(min_length=1)]
"""Ids of cautions.yaml and hazards.yaml; none goes without one."""
SOMETHING_ELSE = "something_else"
"""The cause that stands beside those of every symptom: whatever is not in the list. No table describes it."""


class Stage(StrEnum):
    """The order of cure of a burner's flame: what hides a fault of an earlier stage comes after it."""

    JET = "jet"
    PRESSURE = "pressure"
    CLEANING = "cleaning"
    AIR = "air"


class OnSome(Entry):
    """What is not on every range; `not_with`: features with the values beside which it cannot be."""

    not_with: dict[Id, OneOrMore] = Field(default_factory=dict)


class MayLight(Entry):
    """What somebody does; `lights`: gas is lit for it, burns during it or is let out, so that it is not the owner's."""

    who: Work = Work.OWNER
    lights: Yes = False

    @model_validator(mode="after")
    def _is_no_owners_who_lights(self) -> MayLight:
        if self.lights and self.who is Work.OWNER:
            raise ValueError("what lights gas or lets it out is not the owner's. Write 'who: fitter'.")
        return self


class Proof(MayLight):
    """The look that shows a cause itself: positive if it is the fault, and only then."""

    do: Words
    seconds: Positive


class Cause(MayLight, OnSome, Grounds):
    """What may be wrong: the look that shows it, what to do about it, and who may; `lights` is of the remedy."""

    label: Text
    stage: Stage | None = None
    proof: Proof
    remedy: Words
    who: Work
    cautions: Cautions


class Result(Entry):
    """One outcome of a check, and how often each cause shows it. A cause named under one outcome alone always does."""

    label: Text
    causes: dict[Id, HowOften] = Field(default_factory=dict)


class Check(MayLight, OnSome):
    """A look that tells groups of causes apart; of a cause that none of its outcomes names it says nothing."""

    label: Text
    stage: Stage | None = None
    do: Words
    seconds: Positive
    results: Annotated[dict[Id, Result], Field(min_length=2, max_length=4)]


class Symptom(OnSome, Grounds):
    """What a person sees, and how often each cause is behind it; `stop`: nothing is looked for, `do` is done first.

    `says`: other words that people find it by. `at`: whose jets may be behind it; of top and oven alike if left out.
    `looks_first`: nothing is lit before what needs no flame was looked at, and what was found is put right.
    """

    label: Text
    says: tuple[Text, ...] = ()
    at: Literal["top", "oven"] | None = None
    stop: Yes = False
    looks_first: Yes = False
    do: Annotated[tuple[Words, ...], Field(min_length=1)]
    causes: dict[Id, HowOften] = Field(default_factory=dict)
    checks: tuple[Id, ...] = ()
    cautions: Cautions

    @model_validator(mode="after")
    def _is_looked_for_or_stops(self) -> Symptom:
        if self.stop == bool(self.causes):
            raise ValueError("a symptom either stops everything or has causes. Write 'stop: true' or 'causes'.")
        if self.stop and self.checks:
            raise ValueError("where all stops nothing is checked. Remove 'checks'.")
        if not self.stop and len(self.causes) < 2:
            raise ValueError("a symptom has two causes or more. Add one.")
        if SOMETHING_ELSE in self.causes:
            raise ValueError(f"'{SOMETHING_ELSE}' is among the causes of every symptom. Leave it out.")
        return self


class FaultTable(Entry):
    """faults.yaml; the effort in seconds and the words for how often are ours, no source.

    `something_else`: how often a symptom has a cause that is not in its list. `lighting`: cautions that go with
    whatever lights gas, beside its own.
    """

    symptoms: dict[Id, Symptom] = Field(default_factory=dict)
    something_else: HowOften | None = None
    lighting: tuple[Id, ...] = ()
    checks: dict[Id, Check] = Field(default_factory=dict)
    causes: dict[Id, Cause] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _leaves_something_else_to_the_program(self) -> FaultTable:
        if SOMETHING_ELSE in {*self.causes, *self.checks}:
            raise ValueError(f"'{SOMETHING_ELSE}' is the program's own cause. Choose another id.")
        return self

    @model_validator(mode="after")
    def _what_lights_bears_cautions(self) -> FaultTable:
        deeds = [*self.checks.values(), *self.causes.values(), *(cause.proof for cause in self.causes.values())]
        if not self.lighting and any(deed.lights for deed in deeds):
            raise ValueError("what lights gas bears cautions of its own. Name them under 'lighting'.")
        return self
