"""What a bench record and the looks of a case say of regulators, pressure and leak check, and what stops everything."""

from __future__ import annotations

from collections.abc import Mapping

from hobmark.bench.combustion import stops
from hobmark.bench.release import LeakFact, PressureFact, RegulatorFact
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Unit, read_quantity
from hobmark.knowledge.schema.bench import Gas, Work
from hobmark.knowledge.schema.record import (
    BenchRecord,
    LeakCheck,
    LeakMethod,
    PressureAt,
    RegulatorSeen,
    RegulatorState,
)
from hobmark.knowledge.vocabulary import Sure
from hobmark.reasoning.examination import Examination

REGULATOR = "regulator"
"""The feature, and the clue, of a regulator on the range."""
LEAST_MINUTES: Mapping[LeakMethod, float] = {LeakMethod.GAUGE: 3.0, LeakMethod.METER: 15.0}
"""Minutes that a leak check takes at the least: NFPA 54 Annex C as quoted in a newsletter of July 2025 and on an HVAC
page; by the meter's test hand an older city code. By fluid alone nothing is shown to hold."""
BAND_SLACK = 1e-6
"""Share by which a pressure may pass an edge of its band: what converting units leaves over."""


def regulator_seen(examination: Examination, record: BenchRecord) -> tuple[RegulatorSeen, list[str]]:
    """The range's regulator by the record, else by a look of the case; and what the two say against each other.

    That a variant should have one is no look.
    """
    seen = RegulatorState.NOT_SEEN
    for each in examination.case.observations:
        if each.feature != REGULATOR or each.unseen or each.sure is not Sure.CERTAIN:
            continue
        if each.removed:
            seen = RegulatorState.GONE
        elif each.is_ is not None and len(each.is_) == 1:
            seen = RegulatorState.NONE if each.is_[0] == "absent" else RegulatorState.FITTED
    kept = record.regulator
    if seen is RegulatorState.NOT_SEEN or seen is kept.state:
        return kept, []
    if kept.state is RegulatorState.NOT_SEEN:
        return RegulatorSeen(state=seen), []
    told = f"the case says that the range's regulator is {_said(seen)}, the bench record that it is {_said(kept.state)}"
    return kept, [f"{told}."]


def _said(state: RegulatorState) -> str:
    return state.value.replace("_", " ")


def regulator_fact(base: KnowledgeBase, seen: RegulatorSeen) -> RegulatorFact:
    """What a regulator is: for which gas, or that it is not there, or gives another pressure than its gas has."""
    if seen.state is not RegulatorState.FITTED:
        return RegulatorFact(seen.state.value.replace("_", " "))
    if seen.gas is None:
        return RegulatorFact.UNMARKED
    if seen.outlet is not None and not in_band(base, seen.gas, read_quantity(seen.outlet).to(Unit.INCH_WC)):
        return RegulatorFact.OUTLET_OFF
    return RegulatorFact(f"for {seen.gas.value}")


def in_band(base: KnowledgeBase, gas: Gas, inches_wc: float) -> bool:
    """Whether a pressure in in. w.c. is one that the gas has at the manifold by its table."""
    row = base.bench.gases[gas]
    low, high = row.pressure_band
    return low * (1 - BAND_SLACK) <= inches_wc <= high * (1 + BAND_SLACK)


def pressure_at_jets(record: BenchRecord, regulator: RegulatorSeen) -> float | None:
    """The pressure at the jets in in. w.c. as measured; without a regulator it is that ahead of the range."""
    places = [PressureAt.MANIFOLD]
    if regulator.state is RegulatorState.NONE:
        places += [PressureAt.INLET, PressureAt.HOUSE]
    for at in places:
        read = [each.reads for each in record.pressures if each.at is at]
        if read:
            return read_quantity(read[-1]).to(Unit.INCH_WC)
    return None


def pressure_fact(base: KnowledgeBase, record: BenchRecord, pressure: float | None) -> PressureFact:
    """A pressure against the band of the gas laid on; where that is not named nothing can be said of it."""
    if pressure is None:
        return PressureFact.NOT_MEASURED
    gas = record.laid_on.gas if record.laid_on is not None else None
    if gas is not None and in_band(base, gas, pressure):
        return PressureFact.IN_BAND
    return PressureFact.OUTSIDE if gas is not None else PressureFact.NOT_MEASURED


def leak_fact(check: LeakCheck | None) -> LeakFact:
    """A check counts with its method, both readings, its minutes, who and when; one that leaks counts at once."""
    if check is None:
        return LeakFact.NOT_DONE
    if not check.tight or check.has_moved:
        return LeakFact.LEAKS
    least = LEAST_MINUTES.get(check.method)
    if least is None or check.minutes is None or check.minutes < least:
        return LeakFact.NOT_DONE
    if None in (check.start, check.end, check.by, check.date):
        return LeakFact.NOT_DONE
    return LeakFact.DUE_AGAIN if check.opened_since else LeakFact.HOLDS


def stopped_by(base: KnowledgeBase, record: BenchRecord, symptom: str | None) -> tuple[str, ...]:
    """Symptoms that stop all, told now or recorded and not cleared; faults found, and carbon monoxide, that do too."""
    table = base.bench.faults
    told = [symptom] if symptom is not None and table.symptoms[symptom].stop else []
    for each in record.symptoms:
        if each.cleared is not None:
            continue
        if table.symptoms[each.symptom].stop:
            told.append(each.symptom)
        cause = table.causes.get(each.check or "")
        if cause is not None and each.outcome == "seen" and cause.who is Work.STOP:
            told.append(each.check or "")
    labels = {name: cause.label for name, cause in table.causes.items()}
    labels |= {name: entry.label for name, entry in table.symptoms.items()}
    return (*(labels[name] for name in dict.fromkeys(told)), *stops(base, record))
