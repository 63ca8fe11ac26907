"""What a bench record and the looks of a case say of regulators, pressure and leak check, and what stops everything."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping, Sequence

from hobmark.bench.combustion import stops
from hobmark.bench.release import LeakFact, PressureFact, RegulatorFact
from hobmark.bench.symptom_words import symptoms_in
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Unit, read_quantity
from hobmark.knowledge.schema.bench import Work
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import PressureRead, RegulatorSeen
from hobmark.knowledge.schema.record_terms import LaidOnBy, LeakMethod, PressureAt, RegulatorState, is_fitter
from hobmark.knowledge.vocabulary import Gas, Sure
from hobmark.problems import shown
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.reading import ABSENT

REGULATOR = "regulator"
"""The feature, and the clue, of a regulator on the range."""
LEAST_MINUTES: Mapping[LeakMethod, float] = {LeakMethod.GAUGE: 3.0, LeakMethod.METER: 15.0}
"""Minutes that a leak check takes at the least: NFPA 54 Annex C as quoted in a newsletter of July 2025 and on an HVAC
page; by the meter's test hand an older city code. By fluid alone nothing is shown to hold."""
LET_DOWN = (8.5, 9.5)
"""in. w.c. to which bottled gas is let down for a gauge check: 9, within half an inch (ICM, March-April 2016, p. 8,
after NFPA 54 Annex C.3; gardnermarsh.com, newsletter of July 2025)."""
_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_LEAK_CHECK = re.compile(r"\bleak(?:age)?[ -]?(?:checks?|tests?)\b")
LOCK_UP = 1.3
"""What a regulator may hold with nothing lit, in times of what it gives; our estimate, no source."""
BAND_SLACK = 1e-6
"""Share by which a pressure may pass an edge of its band: what converting units leaves over."""


def regulator_seen(examination: Examination, record: BenchRecord) -> tuple[RegulatorSeen, list[str]]:
    """The range's regulator by the record, else by the looks of the case; and what they say against each other.

    That a variant should have one is no look. Of looks that differ the one that releases least is taken.
    """
    looked = {state for each in examination.case.observations if (state := _looked(each)) is not None}
    kept = record.regulator
    told = sorted(looked | ({kept.state} - {RegulatorState.NOT_SEEN}), key=_WORST.index)
    against = []
    if len(told) > 1:
        words = " and that it is ".join(state.value.replace("_", " ") for state in told)
        against = [f"it is told of the range's regulator that it is {words}."]
    if kept.state is not RegulatorState.NOT_SEEN or not told:
        return kept, against
    return RegulatorSeen(state=told[0]), against


_WORST = (RegulatorState.GONE, RegulatorState.NONE, RegulatorState.FITTED, RegulatorState.NOT_SEEN)


def _looked(seen: Observation) -> RegulatorState | None:
    """What one certain look tells of the regulator; None where it leaves that open."""
    if seen.feature != REGULATOR or seen.unseen or seen.sure is not Sure.CERTAIN:
        return None
    if seen.removed:
        return RegulatorState.GONE
    absent = {ABSENT} if seen.is_ is not None else set()
    values = set(seen.is_ or ())
    if seen.is_not is not None:
        return RegulatorState.FITTED if ABSENT in seen.is_not else None
    if values == absent:
        return RegulatorState.NONE
    return RegulatorState.FITTED if values and ABSENT not in values else None


def regulator_fact(
    base: KnowledgeBase, seen: RegulatorSeen, at: PressureAt = PressureAt.MANIFOLD, laid_on: Gas | None = None
) -> RegulatorFact:
    """What a regulator is: for which gas, or that it is not there, or gives another pressure than its gas has.

    The outlet of one that does not say for which gas it is, is held against the gas laid on.
    """
    if seen.state is not RegulatorState.FITTED:
        return RegulatorFact(seen.state.value.replace("_", " "))
    outlet, gas = read_quantity(seen.outlet).to(Unit.INCH_WC) if seen.outlet is not None else None, seen.gas or laid_on
    if outlet is not None and gas is not None and not in_band(base, gas, outlet, at):
        return RegulatorFact.OUTLET_OFF
    return RegulatorFact.UNMARKED if seen.gas is None else RegulatorFact(f"for {seen.gas.value}")


def in_band(base: KnowledgeBase, gas: Gas, inches_wc: float, at: PressureAt = PressureAt.MANIFOLD) -> bool:
    """Whether a pressure in in. w.c. is one that the gas has there by its table: at the manifold, or ahead of it."""
    row = base.bench.gases[gas]
    low, high = row.pressure_band if at is PressureAt.MANIFOLD else row.supply_band or row.pressure_band
    return low * (1 - BAND_SLACK) <= inches_wc <= high * (1 + BAND_SLACK)


def _inches(read: PressureRead) -> float:
    return read_quantity(read.reads).to(Unit.INCH_WC)


def pressure_at_jets(record: BenchRecord, regulator: RegulatorSeen) -> float | None:
    """The pressure at the jets in in. w.c. as measured, the last reading of it; None where none tells it.

    With nothing lit a regulator locks up and shows more than it gives: such a reading is none of the jets. Without a
    regulator the pressure ahead of the range is that of the jets, lit or not.
    """
    read = {at: [each for each in record.pressures if each.at is at] for at in PressureAt}
    bare = regulator.state is RegulatorState.NONE
    burning = [each for each in read[PressureAt.MANIFOLD] if bare or each.lit != ()]
    for readings in (burning, *((read[PressureAt.INLET], read[PressureAt.HOUSE]) if bare else ())):
        if readings:
            return _inches(readings[-1])
    return None


def is_inside(base: KnowledgeBase, record: BenchRecord, regulator: RegulatorSeen, read: PressureRead) -> bool | None:
    """Whether a reading is one that may be there; None where the gas laid on is not told.

    A regulator that locks up with nothing lit may show somewhat more than it gives, and not less: one whose seat lets
    by shows what is ahead of it.
    """
    if record.laid_on is None:
        return None
    gas, inches = record.laid_on.gas, _inches(read)
    at = PressureAt.MANIFOLD if regulator.state is RegulatorState.NONE else read.at
    if at is PressureAt.MANIFOLD and read.lit == () and regulator.state is RegulatorState.FITTED:
        row = base.bench.gases[gas]
        _, ahead = row.supply_band or row.pressure_band
        most = min(ahead, row.pressure_band[1] * LOCK_UP)
        return row.pressure_band[0] * (1 - BAND_SLACK) <= inches <= most * (1 + BAND_SLACK)
    return in_band(base, gas, inches, at)


def pressure_fact(base: KnowledgeBase, record: BenchRecord, regulator: RegulatorSeen) -> PressureFact:
    """The last reading of each place against its band: one outside is a finding, and one of the jets is needed."""
    last = {each.at: each for each in record.pressures}
    if any(is_inside(base, record, regulator, each) is False for each in last.values()):
        return PressureFact.OUTSIDE
    known = record.laid_on is not None and pressure_at_jets(record, regulator) is not None
    return PressureFact.IN_BAND if known else PressureFact.NOT_MEASURED


def leak_fact(base: KnowledgeBase, record: BenchRecord, symptom: str | None) -> LeakFact:
    """A check counts with its method, both readings, its minutes, who and when; one that leaks counts at once.

    A symptom that is told beside the record closes the shut-off: the check is due again. So it is where something was
    capped or put right on a later day, and one that stands among what was not done is not made.
    """
    check = record.leak_check
    if check is None:
        return LeakFact.NOT_DONE
    if not check.tight or check.has_moved:
        return LeakFact.LEAKS
    if leak_lacks(base, record) is not None:
        return LeakFact.NOT_DONE
    told = symptom is not None and not any(each.symptom == symptom for each in record.symptoms)
    later = any(day > (check.date or "") for text in record.dated_texts() for day in _DAY.findall(text))
    return LeakFact.DUE_AGAIN if check.opened_since or told or later else LeakFact.HOLDS


def leak_lacks(base: KnowledgeBase, record: BenchRecord) -> str | None:
    """Why a leak check that found nothing does not count; None where it does."""
    check = record.leak_check
    least = LEAST_MINUTES.get(check.method) if check is not None else None
    if any(_LEAK_CHECK.search(text.casefold()) for text in record.not_done):
        return "the record has it among what was not done"
    if check is None or least is None:
        return "fluid finds the place of a leak; that the piping holds is shown by gauge or by the meter"
    if check.start is None or check.end is None:
        return "what gauge or test hand showed at start and end is not recorded"
    if check.minutes is None or check.minutes < least:
        return f"it takes {least:g} minutes or more by this method"
    if check.by is None or not is_fitter(check.by):
        return "it is a licensed fitter's, by name"
    if check.date is None or re.fullmatch(r"\d{4}-\d{2}-\d{2}", check.date) is None:
        return "the day it was made is not recorded"
    if check.date > datetime.date.today().isoformat():
        return "the day it was made is yet to come"
    of_tank = record.laid_on is not None and record.laid_on.gas is Gas.BOTTLED
    has_meter = record.laid_on is not None and record.laid_on.by is LaidOnBy.METER
    if check.method is LeakMethod.METER and of_tank and not has_meter:
        return "a tank has no meter whose test hand would show it"
    if check.method is LeakMethod.METER:
        return None if re.search(r"\d", check.start) else "where the test hand stood is a figure"
    return _gauge_lacks(base, record, read_quantity(check.start).to(Unit.INCH_WC))


def _gauge_lacks(base: KnowledgeBase, record: BenchRecord, inches: float) -> str | None:
    """Why a gauge that did not move shows nothing: a pipe without pressure holds for ever."""
    gas = record.laid_on.gas if record.laid_on is not None else None
    if gas is Gas.BOTTLED:
        if LET_DOWN[0] <= inches <= LET_DOWN[1]:
            return None
        return f"on bottled gas the gauge is let down to {LET_DOWN[0]:g} to {LET_DOWN[1]:g} in. w.c. first"
    if gas is not None and gas in base.bench.gases:
        low, most = base.bench.gases[gas].pressure_band[0], base.bench.gases[gas].supply_band
        if inches < low or (most is not None and inches > most[1]):
            return f"the gauge stood at {inches:.3g} in. w.c., which is no pressure of this gas"
    return None


def stopped_by(
    base: KnowledgeBase, record: BenchRecord, symptom: str | None, texts: Sequence[str] = ()
) -> tuple[str, ...]:
    """Symptoms that stop all, told now or recorded and not cleared; faults found, and carbon monoxide, that do too.

    `texts`: what else of the case is in somebody's own words; a symptom that is read in words is told with them.
    """
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
    read = [
        f"{table.symptoms[name].label}, as is written: {shown(text)}"
        for text in dict.fromkeys((*record.free_texts(), *record.names(), *texts))
        for name in symptoms_in(table, text)
        if table.symptoms[name].stop
    ]
    labels = {name: cause.label for name, cause in table.causes.items()}
    labels |= {name: entry.label for name, entry in table.symptoms.items()}
    return (*(labels[name] for name in dict.fromkeys(told)), *read, *stops(base, record))
