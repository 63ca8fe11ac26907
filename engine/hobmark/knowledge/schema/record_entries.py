"""The entries of a bench record: gas, regulator, jet, pressure, leak check, sample, dial mark, symptom, clue."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from hobmark.knowledge.quantities import Kind, Unit, read_quantity
from hobmark.knowledge.schema.entry import EdtfText, Entry, Id, Positive, Text
from hobmark.knowledge.schema.observations import Yes
from hobmark.knowledge.schema.record_terms import (
    MOST_ENTRIES,
    MOST_OXYGEN,
    ClearedText,
    HeatingValueText,
    HeatText,
    JetPlace,
    LaidOnBy,
    LeakMethod,
    MarkedBy,
    PressureAt,
    PressureText,
    ReasonText,
    RegulatorState,
    SampledAt,
    Seat,
    ShareText,
    SizeText,
    TemperatureText,
)
from hobmark.knowledge.vocabulary import Gas


class LaidOn(Entry):
    """Which gas comes out of the pipe of this house.

    `heating_value` is of a cubic foot as the meter there measures it (`basis: metered`), or as the supplier states it
    for standard conditions (`basis: standard`): which of them tells whether the height is in it already.
    """

    gas: Gas
    by: LaidOnBy | None = None
    heating_value: HeatingValueText | None = None
    basis: Literal["metered", "standard"] = "metered"
    note: Text | None = None

    @model_validator(mode="after")
    def _a_tank_holds_bottled_gas(self) -> Self:
        if self.by in (LaidOnBy.TANK, LaidOnBy.TANK_REGULATOR) and self.gas is not Gas.BOTTLED:
            raise ValueError(f"a tank or its regulator means bottled gas, not {self.gas.value}. Look again.")
        return self


class RegulatorSeen(Entry):
    """A regulator as it was looked at; `gas` and `outlet` as they stand on it."""

    state: RegulatorState = RegulatorState.NOT_SEEN
    gas: Gas | None = None
    outlet: PressureText | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _only_one_that_is_there_is_for_a_gas(self) -> Self:
        if self.state is not RegulatorState.FITTED and (self.gas is not None or self.outlet is not None):
            raise ValueError("'gas' and 'outlet' are read on a regulator that is there. Write 'state: fitted'.")
        return self


class JetRecord(Entry):
    """One jet at its place, as found and as left. `heat`: what its burner is to give at sea level, by plate or paper.

    `gas` with `by`: what marks it for a gas. `seat`: how a hood with two seats stands, and `found` and `left` are then
    the bore that the gas goes through. `out_of_use`: by whom and when it was shut off, capped and
    labelled, so that it is not to be lit.
    """

    place: JetPlace
    found: SizeText | None = None
    left: SizeText | None = None
    hood: Literal["fixed", "adjustable", "universal"] | None = None
    seat: Seat | None = None
    gas: Gas | None = None
    by: MarkedBy | None = None
    heat: HeatText | None = None
    flame: Text | None = None
    shutter: Text | None = None
    out_of_use: ClearedText | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _a_mark_says_what_and_where(self) -> Self:
        if (self.gas is None) != (self.by is None):
            raise ValueError("'gas' and 'by' go together: what it is marked for, and by stamp, tag or as fitted new.")
        return self

    @property
    def size(self) -> str | None:
        """The size that is in it now."""
        return self.left if self.left is not None else self.found


READABLE = 0.05
"""in. w.c.; what a water gauge shows between two of its marks, and what converting units leaves over."""


class PressureRead(Entry):
    """A pressure as a gauge showed it; `lit`: the places that burned meanwhile, empty where nothing was lit.

    None where that was not told: then it counts like one with a burner alight.
    """

    at: PressureAt = PressureAt.MANIFOLD
    reads: PressureText
    lit: Annotated[tuple[JetPlace, ...], Field(max_length=MOST_ENTRIES)] | None = None
    note: Text | None = None


class LeakCheck(Entry):
    """One leak check; `start` and `end` are what gauge or test hand showed.

    `opened_since`: a joint was opened or the gas interrupted after it, so that it shows no longer
    that the piping holds.
    """

    method: LeakMethod
    start: Text | None = None
    end: Text | None = None
    minutes: Positive | None = None
    tight: Yes
    by: Text | None = None
    date: EdtfText | None = None
    opened_since: Yes = False

    @model_validator(mode="after")
    def _a_gauge_shows_pressures(self) -> Self:
        if self.method is LeakMethod.GAUGE:
            for shown in (self.start, self.end):
                if shown is not None:
                    read_quantity(shown, Kind.PRESSURE)
        return self

    @property
    def has_moved(self) -> bool:
        """Whether gauge or test hand did not show at the end what it had shown at the start."""
        if self.start is None or self.end is None:
            return False
        if self.method is LeakMethod.GAUGE:
            first, last = (read_quantity(each, Kind.PRESSURE).to(Unit.INCH_WC) for each in (self.start, self.end))
            return abs(first - last) > READABLE
        return " ".join(self.start.split()) != " ".join(self.end.split())


class CombustionSample(Entry):
    """Carbon monoxide as measured, and the oxygen of the same sample; air-free is worked out, never written down.

    `cleared` says by whom and when what made it was put right; until then a sample past its limit stands.
    """

    at: SampledAt
    minutes: Positive | None = None
    co: ShareText
    o2: ShareText | None = None
    by: Text | None = None
    date: EdtfText | None = None
    cleared: ClearedText | None = None

    @model_validator(mode="after")
    def _a_sample_is_not_room_air(self) -> Self:
        if self.o2 is not None and read_quantity(self.o2, Kind.SHARE).to(Unit.PERCENT) > MOST_OXYGEN:
            raise ValueError(f"'{self.o2}' of oxygen is room air, or the meter is off. Sample again.")
        return self


class DialMark(Entry):
    """A mark of the oven dial against a thermometer in the middle of the oven, door closed."""

    dial: TemperatureText
    reads: TemperatureText


class SymptomRecord(Entry):
    """A symptom that was told, or what one check of it has shown.

    `cleared` says by whom and when something that stops everything was put right; until then it stands.
    """

    symptom: Id
    check: Id | None = None
    outcome: Id | None = None
    cleared: ClearedText | None = None

    @model_validator(mode="after")
    def _a_check_has_an_outcome(self) -> Self:
        if (self.check is None) != (self.outcome is None):
            raise ValueError("'check' and 'outcome' go together. Write both, or neither where a symptom is only told.")
        return self


class ClueRecord(Entry):
    """A clue to the gas that the jets may be for, as fuel.yaml has it.

    `explained` says why it does not speak against what was found, and who says so; the clue itself stays.
    """

    clue: Id
    value: SizeText
    explained: ReasonText | None = None
