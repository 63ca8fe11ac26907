"""What a bench record names must stand in the base: drills, clues, symptoms, checks, causes and their outcomes."""

from __future__ import annotations

from collections.abc import Iterator

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Kind, Unit, read_quantity
from hobmark.knowledge.schema.bench import JET_SIZE, PRESSURE, Drill
from hobmark.knowledge.schema.faults import FaultTable
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import ClueRecord, SymptomRecord
from hobmark.problems import did_you_mean, one_of, shown

Loc = tuple[str | int, ...]
Fault = tuple[Loc, str, str]
"""Where it is, what is wrong, what to do."""
SEEN, NOT_SEEN = "seen", "not_seen"
"""Outcomes of a cause's own proof."""
INSTEAD = {
    JET_SIZE: "Write it under 'jets', at its place.",
    PRESSURE: "Write it under 'pressures'.",
    "regulator": "Write it under 'regulator'.",
}
"""What the record has a place of its own for."""
LEAST_BORE, MOST_BORE = 0.008, 0.25
"""in.; what is finer or wider is no jet of a range."""
HIGHEST_FT = 10_000.0
"""Where the published table of jets at a height ends."""


def drill_called(name: str, drills: tuple[Drill, ...]) -> Drill | None:
    """The drill of a name as people write it: `54`, `#54`, `no. 54`, `E`, `1.25 mm`."""
    word = name.strip().casefold().removeprefix("no.").removeprefix("no ").removeprefix("letter").strip(" #")
    named = (drill for drill in drills if drill.series in ("number", "letter", "metric"))
    return next((drill for drill in named if drill.name.casefold() == word), None)


def record_faults(record: BenchRecord, base: KnowledgeBase) -> Iterator[Fault]:
    """Everything in a record that the base has not, with its place in the case."""
    for place, jet in enumerate(record.jets):
        for field, size in (("found", jet.found), ("left", jet.left)):
            if size is not None:
                yield from _size_fault(("bench", "jets", place, field), size, base.bench.drills)
    for place, clue in enumerate(record.clues):
        yield from _clue_fault(("bench", "clues", place), clue, base)
    for place, told in enumerate(record.symptoms):
        yield from _symptom_fault(("bench", "symptoms", place), told, base.bench.faults)
    if record.altitude is not None and read_quantity(record.altitude).to(Unit.FOOT) > HIGHEST_FT:
        message = f"the rule for jets at a height holds to {HIGHEST_FT:,.0f} ft."
        yield ("bench", "altitude"), message, "Ask the gas supplier above that, and leave it out here."


def _size_fault(loc: Loc, size: str, drills: tuple[Drill, ...]) -> Iterator[Fault]:
    for each in size.split(","):
        drill = drill_called(each, drills)
        try:
            inches = drill.inches if drill is not None else read_quantity(each, Kind.LENGTH).to(Unit.INCH)
        except ValueError:
            near = did_you_mean(each.strip(), [drill.name for drill in drills])
            yield loc, f"'{shown(each.strip())}' is no drill and no length.", f"Write 54 or 1.4 mm.{near}"
            continue
        if not LEAST_BORE <= inches <= MOST_BORE:
            yield loc, f"'{shown(each.strip())}' is no jet of a range.", "Write the drill that just enters, as 54."


def _clue_fault(loc: Loc, told: ClueRecord, base: KnowledgeBase) -> Iterator[Fault]:
    clues = base.bench.fuel.clues if base.bench.fuel is not None else {}
    if told.clue in INSTEAD:
        yield (*loc, "clue"), f"'{told.clue}' is no clue beside the record.", INSTEAD[told.clue]
    elif told.clue not in clues:
        yield (*loc, "clue"), f"unknown clue '{shown(told.clue)}'.", one_of(told.clue, clues)
    elif clues[told.clue].refused is None and told.value not in clues[told.clue].values:
        message = f"unknown value '{shown(told.value)}' for {told.clue}."
        yield (*loc, "value"), message, one_of(told.value, clues[told.clue].values)


def _symptom_fault(loc: Loc, told: SymptomRecord, table: FaultTable) -> Iterator[Fault]:
    if told.symptom not in table.symptoms:
        yield (*loc, "symptom"), f"unknown symptom '{shown(told.symptom)}'.", one_of(told.symptom, table.symptoms)
        return
    symptom = table.symptoms[told.symptom]
    if told.check is None or told.outcome is None:
        return
    if told.check not in (*symptom.checks, *symptom.causes):
        known = [*symptom.checks, *symptom.causes]
        yield (*loc, "check"), f"'{shown(told.check)}' is no check of this symptom.", one_of(told.check, known)
        return
    outcomes = list(table.checks[told.check].results) if told.check in symptom.checks else [SEEN, NOT_SEEN]
    if told.outcome not in outcomes:
        message = f"unknown outcome '{shown(told.outcome)}' for {told.check}."
        yield (*loc, "outcome"), message, one_of(told.outcome, outcomes)
