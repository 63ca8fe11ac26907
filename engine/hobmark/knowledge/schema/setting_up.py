"""reference/set_up.yaml, steps that hold for any range; MAKER/setup.yaml, what a maker's own papers say of them."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field, model_validator

from hobmark.knowledge.quantities import Kind, Unit, kind_of
from hobmark.knowledge.schema.bench import Amount, Grounds, Words, Work
from hobmark.knowledge.schema.entry import EdtfText, Id, OneOrMore, Text
from hobmark.knowledge.schema.faults import Cautions
from hobmark.knowledge.schema.observations import Yes
from hobmark.knowledge.vocabulary import Gas, Status


class Part(StrEnum):
    """The parts of a set-up sheet, in the order they are gone through."""

    SAFE = "safe"
    MATERIALS = "materials"
    SAFEGUARDS = "safeguards"
    PLACE = "place"
    CONNECTOR = "connector"
    GAS = "gas"
    LEAKS = "leaks"
    SEATS = "seats"
    FUEL = "fuel"
    PILOTS = "pilots"
    FLAMES = "flames"
    OVEN = "oven"
    CARBON_MONOXIDE = "carbon_monoxide"
    HAND_OVER = "hand_over"


PART_LABELS = {
    Part.SAFE: "Make safe",
    Part.MATERIALS: "What it may be made of",
    Part.SAFEGUARDS: "What has no safeguard",
    Part.PLACE: "Where it stands",
    Part.CONNECTOR: "Connector",
    Part.GAS: "Which gas, before it is opened",
    Part.LEAKS: "Leak check",
    Part.SEATS: "Seat what was loose",
    Part.FUEL: "Fuel first",
    Part.PILOTS: "Pilots",
    Part.FLAMES: "Air last, and flames",
    Part.OVEN: "Oven",
    Part.CARBON_MONOXIDE: "Carbon monoxide",
    Part.HAND_OVER: "Hand over",
}
"""What the parts are called on the sheet."""


class Record(StrEnum):
    """How a field is filled in, as found and as left."""

    TICK = "tick"
    WORDS = "words"
    NUMBER = "number"


class Blank(Amount, Grounds):
    """One line of the sheet to fill in: what is right, on what grounds, and the cautions that go with it.

    `jet` and `gas` limit it to kinds of jet hood (as the feature jet_hood has them) and to gases; `unit` is that of a
    number written in where none is given.
    """

    id: Id
    label: Words
    record: Record
    unit: Unit | None = None
    says: Words | None = None
    jet: tuple[Id, ...] = ()
    gas: tuple[Gas, ...] = ()
    cautions: Cautions

    @property
    def kind(self) -> Kind | None:
        """What the number written in measures."""
        return kind_of(self.unit) if self.unit is not None else None

    @model_validator(mode="after")
    def _is_filled_in_with_a_unit(self) -> Blank:
        if self.record is Record.NUMBER and self.unit is None:
            raise ValueError("a number is written in with a unit. Add 'unit'.")
        if self.record is not Record.NUMBER and self.unit is not None:
            raise ValueError("'unit' goes with 'record: number'. Remove it, or write that.")
        return self


class Step(Grounds):
    """One step; `when` says on which ranges (features and values), `box` is printed large."""

    id: Id
    part: Part
    title: Words
    do: Words
    who: Work = Work.FITTER
    when: dict[Id, OneOrMore] = Field(default_factory=dict)
    gas: tuple[Gas, ...] = ()
    box: Words | None = None
    fields: tuple[Blank, ...] = ()
    cautions: Cautions

    @model_validator(mode="after")
    def _fields_stand_once(self) -> Step:
        ids = [field.id for field in self.fields]
        if len(set(ids)) < len(ids):
            raise ValueError("a field of this step stands twice. Give each an id of its own.")
        return self


class SetupStatement(Amount):
    """setup.yaml: what a maker's paper says of one field of a step, or of a step, for some variants."""

    id: Id
    of: Annotated[tuple[Id, ...], Field(min_length=1)]
    made: EdtfText | None = None
    step: Id
    field: Id | None = None
    says: Words | None = None
    common_practice: Yes = False
    sources: tuple[Text, ...] = ()
    cautions: Cautions
    status: Status = Status.REVIEWED

    @model_validator(mode="after")
    def _says_something_on_some_grounds(self) -> SetupStatement:
        if not self.is_stated and self.says is None:
            raise ValueError("a statement says something. Write 'value', 'between' or 'says'.")
        if self.is_stated and self.field is None:
            raise ValueError("a number belongs to a field of its step. Add 'field'.")
        if self.common_practice == bool(self.sources):
            raise ValueError("a statement rests on 'sources', or on 'common_practice: true'. Write one.")
        return self
