"""Facts as they are typed on the set-up page, put into a bench record; an empty line takes a fact out again.

Each function takes a record and gives another. ValueError says what is wrong and what to write.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from hobmark.bench import record_words as told
from hobmark.bench.places import CORNERS
from hobmark.bench.record_words import model_from, word_of
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.record_names import record_faults
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import CombustionSample, JetRecord, LaidOn, LeakCheck, RegulatorSeen
from hobmark.knowledge.schema.record_terms import JetPlace, LaidOnBy, PressureAt
from hobmark.knowledge.vocabulary import Gas

Put = Callable[[BenchRecord, str], BenchRecord]
"""What puts a typed line into a record."""


def refusal(base: KnowledgeBase, record: BenchRecord, put: Put, typed: str) -> str | None:
    """Why a line will not do, and what to write; None where it will."""
    try:
        kept = put(record, typed)
    except ValueError as reason:
        return str(reason)
    known = set(record_faults(record, base))
    return next((f"{each[1]} {each[2]}" for each in record_faults(kept, base) if each not in known), None)


def with_gas(record: BenchRecord, gas: Gas | None, by: LaidOnBy | None) -> BenchRecord:
    """The gas laid on and how it is known; a heating value is kept where the gas is the same."""
    before = record.laid_on
    if gas is None:
        return record.with_laid_on(None)
    same = before is not None and before.gas is gas
    laid_on = before.model_copy(update={"by": by}) if same and before is not None else LaidOn(gas=gas, by=by)
    return record.with_laid_on(laid_on)


def with_heating_value(record: BenchRecord, typed: str) -> BenchRecord:
    """The heating value of the gas laid on."""
    if typed:
        return told.with_heating_value(record, typed)
    if record.laid_on is None:
        return record
    laid_on = record.laid_on.model_copy(update={"heating_value": None, "basis": "metered"})
    return record.model_copy(update={"laid_on": laid_on})


def heating_value_text(record: BenchRecord) -> str:
    """The heating value as it was typed."""
    laid_on = record.laid_on
    if laid_on is None or laid_on.heating_value is None:
        return ""
    return f"{laid_on.heating_value}{' standard' if laid_on.basis == told.STANDARD else ''}"


def with_wanted(record: BenchRecord, gas: Gas | None) -> BenchRecord:
    """The gas that is wanted."""
    return record.model_copy(update={"wanted": gas})


def with_height(record: BenchRecord, typed: str) -> BenchRecord:
    """How high the house stands."""
    return told.with_altitude(record, typed) if typed else record.model_copy(update={"altitude": None})


def with_regulator(record: BenchRecord, field: str, seen: RegulatorSeen) -> BenchRecord:
    """`regulator`, that of the range, or `house_regulator`."""
    return record.with_regulator(seen, of_house=field == "house_regulator")


def with_reading(record: BenchRecord, at: PressureAt, typed: str, lit: Sequence[JetPlace] = ()) -> BenchRecord:
    """One more pressure at a place; an empty line takes out all that were read there."""
    if typed:
        places = ",".join(each.value for each in lit) or told.NOTHING_LIT
        return told.with_pressure(record, f"{at.value}={typed}:{places}")
    kept = tuple(each for each in record.pressures if each.at is not at)
    return record.model_copy(update={"pressures": kept})


def places_typed(typed: str) -> tuple[JetPlace, ...]:
    """Places with commas between; none of an empty line."""
    return tuple(word_of(JetPlace, each, "place") for each in typed.split(",")) if typed.strip() else ()


def with_size(record: BenchRecord, base: KnowledgeBase, place: JetPlace, typed: str, *, left: bool) -> BenchRecord:
    """The size of a jet as found or as left."""
    if typed:
        return told.with_jet(record, base, place, typed, left=left)
    return _with(record, record.jet_at(place).model_copy(update={"left" if left else "found": None}))


def with_hood(record: BenchRecord, place: JetPlace, hood: str | None) -> BenchRecord:
    """The kind of hood at a place, as `fixed` or `universal:home`; None takes it out."""
    if hood is not None:
        return told.with_hood(record, place, hood)
    return _with(record, record.jet_at(place).model_copy(update={"hood": None, "seat": None}))


def with_mark(record: BenchRecord, place: JetPlace, gas: str | None, by: str = "") -> BenchRecord:
    """For which gas the jet at a place is marked, and by what; None takes the mark out."""
    if gas is not None:
        return told.with_mark(record, place, f"{gas}:{by}")
    return _with(record, record.jet_at(place).model_copy(update={"gas": None, "by": None}))


def with_heat(record: BenchRecord, places: Sequence[JetPlace], typed: str) -> BenchRecord:
    """What burners are to give."""
    if typed:
        return told.with_heat(record, places, typed)
    for place in places:
        record = _with(record, record.jet_at(place).model_copy(update={"heat": None}))
    return record


def with_corners(record: BenchRecord, typed: str) -> BenchRecord:
    """What each of the four corners is to give."""
    return with_heat(record, CORNERS, typed)


def out_of_use(record: BenchRecord, place: JetPlace, typed: str) -> BenchRecord:
    """A place that is not to be lit: by whom it was capped, and when."""
    return told.without_place(record, place, typed)


def in_use(record: BenchRecord, place: JetPlace) -> BenchRecord:
    """A place that is to be lit again."""
    return _with(record, record.jet_at(place).model_copy(update={"out_of_use": None}))


def _with(record: BenchRecord, jet: JetRecord) -> BenchRecord:
    """With another entry for a place; one that says nothing any more is no entry."""
    kept = record.with_jet(jet)
    if jet != JetRecord(place=jet.place):
        return kept
    return kept.model_copy(update={"jets": tuple(each for each in kept.jets if each.place is not jet.place)})


def with_clue(record: BenchRecord, name: str, value: str | None) -> BenchRecord:
    """A clue, or none of its kind any more."""
    if value is not None:
        return told.with_clue(record, f"{name}={value}")
    return record.model_copy(update={"clues": tuple(each for each in record.clues if each.clue != name)})


def leak_check_of(fields: Mapping[str, str], *, opened_since: bool = False) -> LeakCheck:
    """A leak check from what was typed; what is empty was not told."""
    check = model_from(LeakCheck, _told(fields))
    return check.model_copy(update={"opened_since": opened_since})


def sample_of(fields: Mapping[str, str]) -> CombustionSample:
    """A sample of carbon monoxide likewise; bare numbers are ppm and percent."""
    units = {"co": "ppm", "o2": "percent"}
    return model_from(
        CombustionSample, {name: _with_unit(text, units.get(name, "")) for name, text in _told(fields).items()}
    )


def fields_refused(
    make: Callable[[Mapping[str, str]], object], fields: Mapping[str, str], name: str, typed: str
) -> str | None:
    """Why a field will not do beside the others; None where it will."""
    try:
        make({**fields, name: typed})
    except ValueError as reason:
        return str(reason)
    return None


def _told(fields: Mapping[str, str]) -> dict[str, str]:
    return {name: text for name, text in fields.items() if text}


def _with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}" if unit and text.replace(".", "", 1).isdigit() else text


def with_dial(record: BenchRecord, dial: str, reads: str) -> BenchRecord:
    """A mark of the dial against a thermometer; bare numbers are degrees Fahrenheit."""
    return told.with_dial(record, f"dial={_with_unit(dial, 'F')}, reads={_with_unit(reads, 'F')}")


def without(record: BenchRecord, field: str, place: int) -> BenchRecord:
    """Without one entry of a list, from 0."""
    entries = getattr(record, field)
    return record.model_copy(update={field: (*entries[:place], *entries[place + 1 :])})


def with_not_done(record: BenchRecord, typed: str) -> BenchRecord:
    """One more thing that was not done."""
    return record.model_copy(update={"not_done": (*record.not_done, typed)}) if typed else record


def with_tag(record: BenchRecord, typed: str) -> BenchRecord:
    """What the tag on the manifold says."""
    return record.model_copy(update={"tag": typed or None})


def who(record: BenchRecord) -> str:
    """Who was named last: the one who goes on is likely to be the same."""
    names = [record.leak_check.by if record.leak_check is not None else None, *(each.by for each in record.combustion)]
    return next((name for name in reversed(names) if name), "")
