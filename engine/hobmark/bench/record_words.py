"""Facts of the gas as people type them, on the command line and on the screen, into a bench record.

Every function takes a record and words and gives the record with that fact. ValueError says what is wrong and what to
write. What the base has not (a drill, a clue) is found by `record_faults`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from hobmark.bench.jets import altitude_of, read_gauged
from hobmark.bench.places import CORNERS
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Kind, Unit, read_quantity
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import (
    ClueRecord,
    CombustionSample,
    DialMark,
    LaidOn,
    LeakCheck,
    PressureRead,
    RegulatorSeen,
    SymptomRecord,
)
from hobmark.knowledge.schema.record_terms import (
    JetPlace,
    LaidOnBy,
    MarkedBy,
    PressureAt,
    RegulatorState,
    Seat,
    cleared_by,
    reason_given,
)
from hobmark.knowledge.vocabulary import Gas
from hobmark.problems import WORDS, one_of, shown, worded


class Hood(StrEnum):
    """Kinds of jet hood, as the record has them."""

    FIXED = "fixed"
    ADJUSTABLE = "adjustable"
    UNIVERSAL = "universal"


W = TypeVar("W", bound=StrEnum)
M = TypeVar("M", bound=BaseModel)
MOST_PRESSURE = "28 in wc"
"""About 1 psi; what is read above it in a house is a slip, or an emergency."""
LEAST_HEATING_VALUE, MOST_HEATING_VALUE = 270.0, 5400.0
"""Btu/ft3; a figure beyond them is none of a gas that is burned. Our estimate, no source."""
NOTHING_LIT = "none"
"""What stands behind a pressure that was read with nothing lit."""
STANDARD = "standard"
"""What stands behind a heating value that is stated for standard conditions."""


def word_of(kind: type[W], text: str, what: str) -> W:
    """A word of a vocabulary; ValueError with the nearest."""
    plain = text.strip().casefold().replace(" ", "_").replace("-", "_")
    try:
        return kind(plain)
    except ValueError:
        words = [each.value for each in kind]
        raise ValueError(f"unknown {what} '{shown(text.strip())}'. {one_of(plain, words)}") from None


def with_laid_on(record: BenchRecord, text: str) -> BenchRecord:
    """The gas laid on, as `natural:meter`; how it is known may be left out, and then it releases nothing."""
    gas, _, by = text.partition(":")
    before = record.laid_on
    fields = {"gas": word_of(Gas, gas, "gas").value}
    fields |= {"by": word_of(LaidOnBy, by, "way to know it").value} if by.strip() else {}
    told = model_from(LaidOn, fields)
    if before is not None and before.gas is told.gas:
        told = before.model_copy(update={"by": told.by if told.by is not None else before.by})
    return record.with_laid_on(told)


def with_heating_value(record: BenchRecord, text: str) -> BenchRecord:
    """The heating value, as `830`, `830 Btu/ft3`, `38 MJ/m3`, or `1015 standard`; it is of the gas laid on."""
    if record.laid_on is None:
        raise ValueError("a heating value is that of the gas laid on, and none is told. Tell that first.")
    words = text.split()
    basis = STANDARD if words and words[-1].casefold() == STANDARD else "metered"
    value = " ".join(words[:-1] if basis == STANDARD else words)
    value = f"{value} Btu/ft3" if value.replace(".", "", 1).isdigit() else value
    number = read_quantity(value, Kind.HEATING_VALUE)
    if not LEAST_HEATING_VALUE < number.to(Unit.BTU_CUBIC_FOOT) < MOST_HEATING_VALUE:
        raise ValueError(f"'{shown(text)}' is the heating value of no gas. Write it as 830 or 1015 standard.")
    told = record.laid_on.model_copy(update={"heating_value": value, "basis": basis})
    return record.model_copy(update={"laid_on": told})


def with_wanted(record: BenchRecord, text: str) -> BenchRecord:
    """The gas that is wanted."""
    return record.model_copy(update={"wanted": word_of(Gas, text, "gas")})


def with_altitude(record: BenchRecord, text: str) -> BenchRecord:
    """How high the house stands."""
    altitude_of(text)
    return record.model_copy(update={"altitude": text.strip()})


def regulator_of(text: str) -> RegulatorSeen:
    """A regulator as it was seen: `none`, `gone`, `fitted`, `fitted:bottled`, `fitted:bottled:11 in wc`."""
    state, _, rest = text.partition(":")
    gas, _, outlet = rest.partition(":")
    fields = {"state": word_of(RegulatorState, state, "state of a regulator").value}
    fields |= {"gas": word_of(Gas, gas, "gas").value} if gas.strip() else {}
    fields |= {"outlet": _pressure(outlet)} if outlet.strip() else {}
    return model_from(RegulatorSeen, fields)


def with_jet(
    record: BenchRecord, base: KnowledgeBase, place: JetPlace, size: str, *, left: bool = False
) -> BenchRecord:
    """The size of the jet at a place, as found or as left."""
    read_gauged(size, base)
    jet = record.jet_at(place).model_copy(update={"left" if left else "found": size.strip()})
    return record.with_jet(jet)


def with_hood(record: BenchRecord, place: JetPlace, text: str) -> BenchRecord:
    """The kind of hood at a place, as `fixed`, `adjustable`, `universal:home` or `universal:backed_out`."""
    kind, _, seat = text.partition(":")
    hood = word_of(Hood, kind, "kind of hood")
    told = word_of(Seat, seat, "seat of a hood") if seat.strip() else None
    if told is not None and hood is not Hood.UNIVERSAL:
        raise ValueError(f"a hood that is {hood.value} has no second seat. Write {hood.value} alone.")
    jet = record.jet_at(place).model_copy(update={"hood": hood.value, "seat": told})
    return record.with_jet(jet)


def with_mark(record: BenchRecord, place: JetPlace, text: str) -> BenchRecord:
    """What marks the jet at a place for a gas: `natural:stamp`, `bottled:tag`, `natural:fitted`."""
    gas, _, by = text.partition(":")
    if not by.strip():
        raise ValueError(f"'{shown(text)}' does not say by what. Write it as natural:stamp, :tag or :fitted.")
    jet = record.jet_at(place).model_copy(
        update={"gas": word_of(Gas, gas, "gas"), "by": word_of(MarkedBy, by, "kind of mark")}
    )
    return record.with_jet(jet)


def with_heat(record: BenchRecord, places: Sequence[JetPlace], text: str) -> BenchRecord:
    """What burners are to give at sea level, by plate or paper, as `9000 Btu/h` or `9000`."""
    heat = f"{text.strip()} Btu/h" if text.strip().replace(",", "").isdigit() else text.strip()
    read_quantity(heat, Kind.HEAT_RATE)
    if pilots := [place.words for place in places if place.is_pilot]:
        raise ValueError(f"a pilot has no heat to be given ({', '.join(pilots)}). Name a burner.")
    for place in places:
        record = record.with_jet(record.jet_at(place).model_copy(update={"heat": heat}))
    return record


def without_place(record: BenchRecord, place: JetPlace, who: str) -> BenchRecord:
    """A place that is shut off, capped and labelled, not to be lit: by whom and when."""
    return record.with_jet(record.jet_at(place).model_copy(update={"out_of_use": cleared_by(who.strip())}))


def places_meant(text: str) -> tuple[JetPlace, ...]:
    """A place, or `top` for the four corners of the top."""
    return CORNERS if text.strip().casefold() == "top" else (word_of(JetPlace, text, "place"),)


def with_pressure(record: BenchRecord, text: str) -> BenchRecord:
    """A pressure that was read: `4 in wc`, `house=7 in wc`, `4 in wc:front_left` with what was lit, `4 in wc:none`."""
    at, equals, rest = text.rpartition("=")
    reads, colon, lit = rest.partition(":")
    places = [each for each in lit.split(",") if each.strip() and each.strip() != NOTHING_LIT]
    read = PressureRead(
        at=word_of(PressureAt, at, "place to read a pressure") if equals else PressureAt.MANIFOLD,
        reads=_pressure(reads),
        lit=tuple(word_of(JetPlace, each, "place") for each in places) if colon else None,
    )
    return record.with_pressure(read)


def _pressure(text: str) -> str:
    read = read_quantity(text.strip(), Kind.PRESSURE)
    if read.number <= 0 or read.to(read.unit) > read_quantity(MOST_PRESSURE).to(read.unit):
        raise ValueError(
            f"'{shown(text.strip())}' is no pressure that gas has inside a house. "
            "If it was measured, shut the gas off and have a fitter look."
        )
    return text.strip()


def with_clue(record: BenchRecord, text: str) -> BenchRecord:
    """A clue to the gas that the jets may be for, as `stamp=natural`."""
    name, equals, value = (part.strip() for part in text.partition("="))
    if not (equals and value):
        raise ValueError(f"'{shown(text)}' is no clue. Write it as stamp=natural.")
    return record.with_clue(ClueRecord(clue=name, value=value))


def with_leak_check(record: BenchRecord, text: str) -> BenchRecord:
    """A leak check, as `method=gauge, start=9 in wc, end=9 in wc, minutes=5, tight=yes, by=NAME, date=2026-12-01`."""
    return record.model_copy(update={"leak_check": fields_of(LeakCheck, text)})


def with_sample(record: BenchRecord, text: str) -> BenchRecord:
    """A sample of carbon monoxide, as `at=oven_vent, co=120 ppm, o2=9 percent, minutes=15`."""
    return record.model_copy(update={"combustion": (*record.combustion, fields_of(CombustionSample, text))})


def with_dial(record: BenchRecord, text: str) -> BenchRecord:
    """A mark of the dial against a thermometer, as `dial=350 F, reads=372 F`."""
    mark = fields_of(DialMark, text)
    kept = tuple(each for each in record.dial if each.dial != mark.dial)
    return record.model_copy(update={"dial": (*kept, mark)})


def with_cleared(record: BenchRecord, text: str) -> BenchRecord:
    """That something which stopped everything was put right, as `smell_of_gas=NAME, DATE`; a leak check is due again.

    Carbon monoxide is cleared by the place it was sampled at, as `room=NAME, DATE`.
    """
    name, equals, who = (part.strip() for part in text.partition("="))
    if not (equals and who):
        raise ValueError(f"'{shown(text)}' does not say by whom and when. Write it as smell_of_gas=NAME, DATE.")
    cleared_by(who)
    samples = [each for each in record.combustion if each.at.value == name and each.cleared is None]
    told = [each for each in record.symptoms if name in (each.symptom, each.check) and each.cleared is None]
    if not told and not samples:
        raise ValueError(f"'{shown(name)}' does not stand in the record. Name a symptom or a cause that does.")
    symptoms = tuple(each.model_copy(update={"cleared": who}) if each in told else each for each in record.symptoms)
    taken = tuple(each.model_copy(update={"cleared": who}) if each in samples else each for each in record.combustion)
    return record.interrupted().model_copy(update={"symptoms": symptoms, "combustion": taken})


def with_explained(record: BenchRecord, text: str) -> BenchRecord:
    """Why a clue does not speak against what was found, as `plate_words=converted, tag of NAME, DATE`."""
    name, equals, why = (part.strip() for part in text.partition("="))
    if not (equals and why):
        raise ValueError(f"'{shown(text)}' does not say why. Write it as plate_words=WHY, NAME, DATE.")
    before = next((each for each in record.clues if each.clue == name), None)
    if before is None:
        raise ValueError(f"the clue '{shown(name)}' does not stand in the record. Tell it first.")
    return record.with_clue(before.model_copy(update={"explained": reason_given(why)}))


def with_told(record: BenchRecord, symptom: str, found: Sequence[tuple[str, str]]) -> BenchRecord:
    """A symptom that was told, and what its checks have shown."""
    for check, outcome in found:
        record = record.with_symptom(SymptomRecord(symptom=symptom, check=check, outcome=outcome))
    return record.with_symptom(SymptomRecord(symptom=symptom)) if not found else record


def fields_of(model: type[M], text: str) -> M:
    """A model from `name=value, name=value`; ValueError in plain words."""
    fields = {}
    for piece in text.split(","):
        name, equals, value = (part.strip() for part in piece.partition("="))
        if not (equals and name and value):
            known = ", ".join(f"{each}=…" for each in model.model_fields)
            raise ValueError(f"'{shown(piece.strip())}' is no field. Write it as {known}.")
        if name in fields:
            raise ValueError(f"'{shown(name)}' is told twice. Keep one.")
        fields[name] = value
    return model_from(model, fields)


def model_from(model: type[M], fields: Mapping[str, str]) -> M:
    """A model from words by the names of its fields; ValueError in plain words."""
    try:
        return model.model_validate(fields)
    except ValidationError as wrong:
        error = wrong.errors(include_url=False)[0]
        if error["type"] == "value_error":  # said by the model itself, with what to write
            raise ValueError(str(error["ctx"]["error"])) from None
        name = str(error["loc"][-1]) if error["loc"] else "it"
        choices = (name,) if error["type"] == "missing" else tuple(model.model_fields)
        if error["type"] in WORDS:
            choices = tuple(re.findall("'([^']*)'", str(error.get("ctx", {}).get("expected", ""))))
        message, remedy = worded(error["type"], name, error["input"], error.get("ctx", {}), choices)
        raise ValueError(f"{message} {remedy}") from None
