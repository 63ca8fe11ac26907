"""The gas of a range on the command line: each option a fact of the bench record, refused in its own name."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from hobmark.bench import record_words as told
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.record_names import record_faults
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.problems import Refused, shown

from hobmark_tui.commands.common import usage

FUEL_IS_GONE = (
    "--fuel is gone: what is laid on and what is wanted are two things.",
    "Write --laid-on GAS:HOW for what comes out of the pipe, and --wanted GAS for what it is to be set for.",
)
CLUES_GONE = {
    "jet_size": "Write the jet at its place: --jet front_left=54.",
    "pressure": 'Write --pressure "4 in wc".',
    "regulator": "Write --regulator fitted:GAS, none or gone.",
}
"""Clues that are facts of their own now, and what took their place."""


@dataclass(frozen=True, slots=True)
class GasOptions:
    """What the command line says of the gas."""

    laid_on: str | None
    wanted: str | None
    heating_value: str | None
    altitude: str | None
    regulator: str | None
    house_regulator: str | None
    jets: Sequence[str]
    left: Sequence[str]
    hoods: Sequence[str]
    marks: Sequence[str]
    heats: Sequence[str]
    out_of_use: Sequence[str]
    pressures: Sequence[str]
    clues: Sequence[str]
    explained: Sequence[str]
    leak_check: str | None
    samples: Sequence[str]
    dials: Sequence[str]
    cleared: Sequence[str]


def recorded(record: BenchRecord, options: GasOptions, base: KnowledgeBase) -> BenchRecord:
    """The record with what the command line says; Refused for what is no such fact."""
    kept = record
    for option, texts, put in _facts(options, base):
        for text in texts:
            kept = _tried(option, text, kept, put)
    faults = [(message, remedy) for _, message, remedy in record_faults(kept, base)]
    if faults and kept != record:
        raise usage(*faults[0])
    return kept


def _facts(
    options: GasOptions, base: KnowledgeBase
) -> Iterable[tuple[str, Iterable[str], Callable[[BenchRecord, str], BenchRecord]]]:
    """Every option with its texts and what puts one into a record; the leak check comes after what opens a joint."""
    yield "--laid-on", _one(options.laid_on), told.with_laid_on
    yield "--heating-value", _one(options.heating_value), told.with_heating_value
    yield "--wanted", _one(options.wanted), told.with_wanted
    yield "--altitude", _one(options.altitude), told.with_altitude
    yield "--regulator", _one(options.regulator), _regulator("regulator")
    yield "--house-regulator", _one(options.house_regulator), _regulator("house_regulator")
    yield "--jet", options.jets, lambda kept, text: _jet(kept, base, text, left=False)
    yield "--jet-left", options.left, lambda kept, text: _jet(kept, base, text, left=True)
    yield "--hood", options.hoods, lambda kept, text: told.with_hood(kept, *_at_place(text, "fixed"))
    yield "--mark", options.marks, lambda kept, text: told.with_mark(kept, *_at_place(text, "natural:stamp"))
    yield "--heat", options.heats, _heat
    yield "--out-of-use", options.out_of_use, _out_of_use
    yield "--pressure", options.pressures, told.with_pressure
    yield "--clue", options.clues, told.with_clue
    yield "--explained", options.explained, told.with_explained
    yield "--cleared", options.cleared, told.with_cleared
    yield "--leak-check", _one(options.leak_check), told.with_leak_check
    yield "--co", options.samples, told.with_sample
    yield "--dial", options.dials, told.with_dial


def _one(text: str | None) -> list[str]:
    return [text] if text is not None else []


def _tried(option: str, text: str, kept: BenchRecord, put: Callable[[BenchRecord, str], BenchRecord]) -> BenchRecord:
    clue = text.partition("=")[0].strip()
    if option == "--clue" and clue in CLUES_GONE:
        raise usage(f"--clue {clue} is gone: it is a fact of its own.", CLUES_GONE[clue])
    try:
        return put(kept, text)
    except ValueError as error:
        raise refused(option, error) from None


def refused(option: str, error: ValueError) -> Refused:
    """What a library function says of a text, in the name of its option."""
    message, _, remedy = str(error).partition(". ")
    return usage(f"{option}: {message.rstrip('.')}.", remedy or "Write it as --help shows.")


def _regulator(field: str) -> Callable[[BenchRecord, str], BenchRecord]:
    return lambda kept, text: kept.with_regulator(told.regulator_of(text), of_house=field == "house_regulator")


def _place(text: str) -> JetPlace:
    return told.word_of(JetPlace, text, "place")


def _at_place(text: str, example: str) -> tuple[JetPlace, str]:
    place, equals, value = text.partition("=")
    if not (equals and value.strip()):
        raise ValueError(f"'{shown(text)}' names no place. Write it as front_left={example}.")
    return _place(place), value


def _jet(kept: BenchRecord, base: KnowledgeBase, text: str, *, left: bool) -> BenchRecord:
    place, size = _at_place(text, "54")
    return told.with_jet(kept, base, place, size, left=left)


def _out_of_use(kept: BenchRecord, text: str) -> BenchRecord:
    return told.without_place(kept, *_at_place(text, "NAME, DATE"))


def _heat(kept: BenchRecord, text: str) -> BenchRecord:
    places, equals, heat = text.partition("=")
    if not (equals and heat.strip()):
        raise ValueError(f"'{shown(text)}' names no place. Write it as top=9000 Btu/h, oven=18000 Btu/h.")
    return told.with_heat(kept, told.places_meant(places), heat)
