"""The bench record of a case: what was found, measured and done at the gas of one range, kept between visits.

Five facts stand apart and are never taken for each other: the gas laid on, the gas each jet is set for, the regulators,
the pressures, and the gas that is wanted. A plan is no evidence, and neither is a table.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from hobmark.knowledge.schema.entry import Entry, Text
from hobmark.knowledge.schema.record_entries import (
    ClueRecord,
    CombustionSample,
    DialMark,
    JetRecord,
    LaidOn,
    LeakCheck,
    PressureRead,
    RegulatorSeen,
    SymptomRecord,
)
from hobmark.knowledge.schema.record_terms import MOST_ENTRIES, HeightText, JetPlace, MarkedBy, RegulatorState
from hobmark.knowledge.vocabulary import Gas


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
        """What stands in the record in somebody's own words, that of gas, regulators and jets first."""
        told = [each.note for each in (self.laid_on, self.regulator, self.house_regulator) if each is not None]
        told += [text for jet in self.jets for text in (jet.note, jet.out_of_use, jet.shutter)]
        told += [f"flame {jet.flame}" for jet in self.jets if jet.flame is not None]
        told += [*(each.note for each in self.pressures), *(each.explained for each in self.clues)]
        return [text for text in (*told, *self.not_done, self.tag) if text is not None]

    def names(self) -> list[str]:
        """Whatever stands where somebody's name should: of samples and of the leak check."""
        told = [*(each.by for each in self.combustion), self.leak_check.by if self.leak_check is not None else None]
        return [text for text in told if text is not None]

    def dated_texts(self) -> list[str]:
        """What was capped or put right, by whom and when."""
        told = [*(each.cleared for each in self.symptoms), *(each.cleared for each in self.combustion)]
        return [text for text in (*told, *(jet.out_of_use for jet in self.jets)) if text is not None]

    def jet_at(self, place: JetPlace) -> JetRecord:
        """What is recorded of a place; an empty entry where nothing is."""
        return next((jet for jet in self.jets if jet.place is place), JetRecord(place=place))

    def with_laid_on(self, told: LaidOn | None) -> BenchRecord:
        """With the gas laid on, or none told. Another gas came on by an interruption: a leak check is due again."""
        before = self.laid_on
        is_another = before is not None and (told is None or told.gas is not before.gas)
        return self._opened(is_another).model_copy(update={"laid_on": told})

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
