"""The gas tables of reference/: gases.yaml, drills.yaml and fuel.yaml; and what every number there must bear."""

from __future__ import annotations

import itertools
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, ValidationInfo, WithJsonSchema, model_validator

from hobmark.knowledge.quantities import Quantity, Unit, read_quantity
from hobmark.knowledge.schema.dating import PublishedStatus
from hobmark.knowledge.schema.entry import TRUSTED, Entry, Id, Positive, Probability, Text
from hobmark.knowledge.schema.observations import Yes
from hobmark.knowledge.vocabulary import Gas, HowOften


class Mark(StrEnum):
    """What a number or a step rests on; printed beside each."""

    VERIFIED = "verified"
    SINGLE = "one source"
    COMMON_PRACTICE = "common practice, no source"
    MAKERS_PAPER = "the maker's paper"
    COMPUTED = "computed"
    ASSUMED = "assumed, no source"
    RECORDED = "as recorded"


class Work(StrEnum):
    """Who may do a piece of work on gas."""

    OWNER = "owner"
    FITTER = "fitter"
    TRAINED = "trained"
    STOP = "stop"


def _is_trusted(info: ValidationInfo) -> bool:
    """Whether the text was checked before: a compiled base read back."""
    return bool(info.context and info.context.get(TRUSTED))


def _measure(text: str, info: ValidationInfo) -> str:
    if not _is_trusted(info):
        read_quantity(text)
    return text


def _no_number(text: str, info: ValidationInfo) -> str:
    if not _is_trusted(info) and any(sign.isdigit() for sign in text):
        raise ValueError("a number stands in the words. Write it as a value, with its unit, source and cautions.")
    return text


MeasureText = Annotated[str, AfterValidator(_measure), WithJsonSchema({"type": ["string"]}, mode="validation")]
"""A number with its unit, as `3/8 in`, kept as written."""
Words = Annotated[Text, AfterValidator(_no_number)]
"""Words without a digit in them: no number goes out without unit, source and caution."""


class Grounds(Entry):
    """What something rests on: a published source with its status, or common practice without one."""

    source: Text | None = None
    status: PublishedStatus | None = None
    common_practice: Yes = False

    @model_validator(mode="after")
    def _rests_on_one_thing(self) -> Grounds:
        if (self.source is None) != (self.status is None):
            raise ValueError("'source' and 'status' go together. Write both or neither.")
        if (self.source is not None) == self.common_practice:
            raise ValueError("it rests on 'source' and 'status', or on 'common_practice: true'. Write one.")
        return self

    @property
    def mark(self) -> Mark:
        """The mark that is printed beside it."""
        if self.status is None:
            return Mark.COMMON_PRACTICE
        return Mark.VERIFIED if self.status == "verified" else Mark.SINGLE

    @property
    def said_source(self) -> str:
        """The source in words."""
        return self.source if self.source is not None else Mark.COMMON_PRACTICE.value


class Amount(Entry):
    """What is aimed at and the limits: `value`, `between`, or one limit alone; all of one kind."""

    value: MeasureText | None = None
    between: tuple[MeasureText, MeasureText] | None = None
    at_least: MeasureText | None = None
    at_most: MeasureText | None = None

    @model_validator(mode="after")
    def _amounts_agree(self, info: ValidationInfo) -> Amount:
        if _is_trusted(info):
            return self
        if self.between is not None and (self.at_least or self.at_most):
            raise ValueError("'between' is both limits. Remove 'at_least' and 'at_most'.")
        low, aim, high = self.low, self.aim, self.high
        stated = [each for each in (low, aim, high) if each is not None]
        if len({each.kind for each in stated}) > 1:
            raise ValueError("the numbers are of different kinds. Write them in units of one kind.")
        if any(first.to(first.unit) > second.to(first.unit) for first, second in itertools.pairwise(stated)):
            raise ValueError("the numbers do not rise from the least to the greatest. Mend them.")
        return self

    @property
    def aim(self) -> Quantity | None:
        """What is aimed at."""
        return read_quantity(self.value) if self.value is not None else None

    @property
    def low(self) -> Quantity | None:
        """The least that passes."""
        text = self.between[0] if self.between is not None else self.at_least
        return read_quantity(text) if text is not None else None

    @property
    def high(self) -> Quantity | None:
        """The most that passes."""
        text = self.between[1] if self.between is not None else self.at_most
        return read_quantity(text) if text is not None else None

    @property
    def is_stated(self) -> bool:
        """Whether any number is given."""
        return any(each is not None for each in (self.value, self.between, self.at_least, self.at_most))


class GasFigure(Entry):
    """One figure of a gas: what is reckoned with, between what it is met, and what that rests on."""

    is_: Annotated[str, AfterValidator(str.strip)] = Field(alias="is")
    between: tuple[Text, Text] | None = None
    source: Text
    status: Literal["verified", "single", "assumed"]

    @property
    def mark(self) -> Mark:
        """The mark that is printed beside whatever is reckoned from it."""
        words = {"verified": Mark.VERIFIED, "single": Mark.SINGLE, "assumed": Mark.ASSUMED}
        return words[self.status]


class GasRow(Entry):
    """gases.yaml: one gas."""

    label: Text
    heating_value: GasFigure
    gravity: GasFigure
    pressure: GasFigure
    supply: GasFigure | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _figures_have_their_units(self, info: ValidationInfo) -> GasRow:
        if _is_trusted(info):
            return self
        if read_quantity(self.heating_value.is_).unit is not Unit.BTU_CUBIC_FOOT:
            raise ValueError("'heating_value' is in Btu/ft3. Write it as 1000 Btu/ft3.")
        if read_quantity(self.pressure.is_).unit is not Unit.INCH_WC:
            raise ValueError("'pressure' is in inches of water. Write it as 4 in wc.")
        try:
            sound = 0.1 < float(self.gravity.is_) < 5
        except ValueError:
            sound = False
        if not sound:
            raise ValueError("'gravity' is a plain number beside air. Write it as 0.60.")
        return self

    @property
    def btu_per_cubic_foot(self) -> float:
        """The heating value, Btu/ft3."""
        return float(read_quantity(self.heating_value.is_).number)

    @property
    def gravity_to_air(self) -> float:
        """The specific gravity, air = 1."""
        return float(self.gravity.is_)

    @property
    def inches_of_water(self) -> float:
        """The pressure at the manifold, in. w.c."""
        return float(read_quantity(self.pressure.is_).number)

    @property
    def pressure_band(self) -> tuple[float, float]:
        """The least and the most pressure at the manifold in practice, in. w.c."""
        low, high = self.pressure.between or (self.pressure.is_, self.pressure.is_)
        return read_quantity(low).to(Unit.INCH_WC), read_quantity(high).to(Unit.INCH_WC)

    @property
    def supply_band(self) -> tuple[float, float] | None:
        """The least and the most pressure ahead of a range, in. w.c.; None where the table has none."""
        if self.supply is None:
            return None
        low, high = self.supply.between or (self.supply.is_, self.supply.is_)
        return read_quantity(low).to(Unit.INCH_WC), read_quantity(high).to(Unit.INCH_WC)

    @property
    def mark(self) -> Mark:
        """The weakest mark among its figures, which is that of whatever is reckoned from them."""
        marks = [self.heating_value.mark, self.gravity.mark, self.pressure.mark]
        return max(marks, key=[Mark.VERIFIED, Mark.SINGLE, Mark.ASSUMED].index)


class Drill(Entry):
    """drills.yaml: one twist drill."""

    id: Id
    series: Literal["number", "letter", "metric", "fractional"]
    name: Text
    diameter: MeasureText
    source: Text
    status: PublishedStatus

    @model_validator(mode="after")
    def _is_in_the_unit_of_its_series(self, info: ValidationInfo) -> Drill:
        """A metric drill is in mm, any other in in.; a metric or a fractional one is called by its diameter."""
        if _is_trusted(info):
            return self
        unit = read_quantity(self.diameter).unit
        if self.series == "metric" and unit is not Unit.MILLIMETRE:
            raise ValueError("'diameter' of a metric drill is in millimetres. Write it as 1.25 mm.")
        if self.series != "metric" and unit is not Unit.INCH:
            raise ValueError("'diameter' is in inches. Write it as 0.0135 in, or as 3/64 in.")
        if self.series in ("metric", "fractional") and self.name != self.diameter:
            raise ValueError("a metric or fractional drill is called by its diameter. Write the same for both.")
        return self

    @property
    def inches(self) -> float:
        """The diameter, in."""
        return read_quantity(self.diameter).to(Unit.INCH)

    @property
    def called(self) -> str:
        """`no. 54`, `letter E`, `1.25 mm` or `3/64 in.`."""
        words = {"number": f"no. {self.name}", "letter": f"letter {self.name}", "metric": self.name}
        return words.get(self.series, f"{self.name}.")


class Clue(Entry):
    """fuel.yaml, `clues`: one kind of evidence of the gas a range is set for, and what each of its values says.

    `measured` decides, with another clue; the rest never does alone. `refused` is why a clue counts for nothing.
    """

    label: Text
    do: Words
    seconds: Positive
    measured: Yes = False
    values: dict[Id, dict[Gas, HowOften]] = Field(default_factory=dict)
    refused: Text | None = None

    @model_validator(mode="after")
    def _counts_or_is_refused(self) -> Clue:
        if self.refused is not None and (self.values or self.measured):
            raise ValueError("a clue that is refused has no values and is not measured. Remove them.")
        if any(len(words) != len(Gas) for words in self.values.values()):
            raise ValueError(f"each value needs a word for {', '.join(Gas)}. Add it.")
        return self


JET_SIZE, PRESSURE = "jet_size", "pressure"
"""The clues that take a number; the program knows what to make of them."""
PRESSURE_BANDS = ("low", "middling", "high")
"""What a pressure is read as, by the two `pressure_edges`."""
NO_CLUE = Clue(label="none", do="none", seconds=1)
"""What stands where a clue is missing."""


class FuelTable(Entry):
    """fuel.yaml: what is likely beforehand, when it is enough, and the clues."""

    before: dict[Gas, HowOften]
    enough: Annotated[Probability, Field(ge=0.8)]
    strong: Annotated[float, Field(ge=2, le=1000)]
    burner_input: MeasureText
    burner_spread: Annotated[float, Field(gt=1, le=3)]
    pressure_edges: tuple[MeasureText, MeasureText]
    clues: dict[Id, Clue]

    @model_validator(mode="after")
    def _numbers_have_their_clues(self) -> FuelTable:
        if set(self.before) != set(Gas):
            raise ValueError(f"'before' needs a word for {', '.join(Gas)}. Add it.")
        if JET_SIZE not in self.clues or set(self.clues.get(PRESSURE, NO_CLUE).values) != set(PRESSURE_BANDS):
            raise ValueError(
                f"'{JET_SIZE}', and '{PRESSURE}' with the values {', '.join(PRESSURE_BANDS)}, take numbers. "
                "Write them under 'clues'."
            )
        return self
