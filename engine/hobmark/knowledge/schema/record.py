"""The bench record of a case: what was found, measured and done at the gas of one range, kept between visits.

Five facts stand apart and are never taken for each other: the gas laid on, the gas each jet is set for, the regulators,
the pressures, and the gas that is wanted. A plan is no evidence, and neither is a table.
"""

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
    HeightText,
    JetPlace,
    LaidOnBy,
    LeakMethod,
    MarkedBy,
    PressureAt,
    PressureText,
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
    the bore that the gas goes through. `out_of_use`: shut off, capped and labelled, not to be lit.
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
    out_of_use: Yes = False
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
    explained: Text | None = None


class BenchRecord(Entry):
    """`bench:` in a case. What is absent from it was not found out."""

    laid_on: LaidOn | None = None
    wanted: Gas | None = None
    regulator: RegulatorSeen = Field(default_factory=RegulatorSeen)
    house_regulator: RegulatorSeen = Field(default_factory=RegulatorSeen)
    altitude: HeightText | None = None
    jets: Annotated[tuple[JetRecord, ...], Field(max_length=MOST_ENTRIES)] = ()
    pressures: Annotated[tuple[PressureRead, ...], Field(max_length=MOST_ENTRIES)] = ()
    clues: Annotated[tuple[ClueRecord, ...], Field(max_length=MOST_ENTRIES)] = ()
    leak_check: LeakCheck | None = None
    combustion: Annotated[tuple[CombustionSample, ...], Field(max_length=MOST_ENTRIES)] = ()
    dial: Annotated[tuple[DialMark, ...], Field(max_length=MOST_ENTRIES)] = ()
    symptoms: Annotated[tuple[SymptomRecord, ...], Field(max_length=4 * MOST_ENTRIES)] = ()
    not_done: Annotated[tuple[Text, ...], Field(max_length=MOST_ENTRIES)] = ()
    tag: Text | None = None

    @model_validator(mode="after")
    def _places_stand_once(self) -> Self:
        places = [jet.place for jet in self.jets]
        twice = next((place for place in places if places.count(place) > 1), None)
        if twice is not None:
            raise ValueError(f"the jet at '{twice.value}' stands twice. Keep one entry for each place.")
        clues = [each.clue for each in self.clues]
        again = next((clue for clue in clues if clues.count(clue) > 1), None)
        if again is not None:
            raise ValueError(f"the clue '{again}' stands twice. Keep one.")
        return self

    def free_texts(self) -> list[str]:
        """What stands in the record in somebody's own words."""
        told = [*self.not_done, self.tag, *(each.note for each in self.pressures)]
        told += [text for jet in self.jets for text in (jet.note, jet.flame, jet.shutter)]
        told += [each.explained for each in self.clues]
        told += [each.note for each in (self.laid_on, self.regulator, self.house_regulator) if each is not None]
        return [text for text in told if text is not None]

    def jet_at(self, place: JetPlace) -> JetRecord:
        """What is recorded of a place; an empty entry where nothing is."""
        return next((jet for jet in self.jets if jet.place is place), JetRecord(place=place))

    def with_jet(self, jet: JetRecord) -> BenchRecord:
        """With another entry for a place. To gauge or change a jet its joint is opened: a leak check is due again."""
        before = self.jet_at(jet.place)
        worked_on = _of_its_joint(before) != _of_its_joint(jet)
        jets = {each.place: each for each in self.jets} | {jet.place: jet}
        ordered = tuple(jets[place] for place in JetPlace if place in jets)
        return self._opened(worked_on).model_copy(update={"jets": ordered})

    def with_regulator(self, seen: RegulatorSeen, *, of_house: bool = False) -> BenchRecord:
        """With a regulator as it was seen; another than there was, or one where there was none, was fitted since."""
        name = "house_regulator" if of_house else "regulator"
        before = self.house_regulator if of_house else self.regulator
        was_not = before.state in (RegulatorState.NONE, RegulatorState.GONE)
        is_another = before.gas is not None and before.gas is not seen.gas
        fitted = (was_not or is_another) and seen.state is RegulatorState.FITTED
        return self._opened(fitted).model_copy(update={name: seen})

    def with_pressure(self, read: PressureRead) -> BenchRecord:
        """With one more reading; the gauge was on a joint that was opened for it."""
        return self._opened(True).model_copy(update={"pressures": (*self.pressures, read)})

    def with_clue(self, clue: ClueRecord) -> BenchRecord:
        """With one more clue; an earlier one of its kind gives way."""
        return self.model_copy(update={"clues": (*(each for each in self.clues if each.clue != clue.clue), clue)})

    def with_symptom(self, told: SymptomRecord) -> BenchRecord:
        """With a symptom or an outcome; an earlier entry of the same symptom and check gives way.

        When a symptom is first told the range's shut-off is closed: an interruption, and a leak check is due again.
        """
        key = (told.symptom, told.check)
        # a cause that was seen is not unseen by a later answer: it is cleared, by name
        kept = tuple(each for each in self.symptoms if (each.symptom, each.check) != key or each.outcome == "seen")
        is_new = not any(each.symptom == told.symptom for each in self.symptoms)
        return self._opened(is_new).model_copy(update={"symptoms": (*kept, told)})

    def interrupted(self) -> BenchRecord:
        """After the gas was interrupted: a leak check is due again."""
        return self._opened(True)

    def _opened(self, opened: bool) -> BenchRecord:
        if not opened or self.leak_check is None:
            return self
        return self.model_copy(update={"leak_check": self.leak_check.model_copy(update={"opened_since": True})})


def _of_its_joint(jet: JetRecord) -> tuple[object, ...]:
    """What of a jet cannot change unless its joint is opened."""
    return jet.found, jet.left, jet.hood, jet.seat, jet.out_of_use, jet.by is MarkedBy.FITTED
