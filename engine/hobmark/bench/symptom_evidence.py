"""What a case says of a symptom before anything is asked: what the range has not, what was gauged, what was recorded.

Plain data comes out of it, for `hobmark.bench.symptoms.search`. A look that is certain goes before what the works made;
a figure that was measured goes before an outcome that was written down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from hobmark.bench.account_places import JetsJudged, PlaceAccount, jets_judged
from hobmark.bench.setup import chances_of
from hobmark.bench.symptom_words import symptom_id_of
from hobmark.bench.symptoms import NOT_IT, PROVEN, CaseEvidence, Outcome
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Kind, Unit, read_quantity
from hobmark.knowledge.schema.faults import OnSome, Symptom
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_terms import PressureAt, RegulatorState
from hobmark.knowledge.vocabulary import Sure
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.reading import ABSENT, known_values

RULED_OUT = 0.02
"""A cause is none where the values it takes are less probable than this on the range."""
REGULATOR = "regulator"
"""The feature that is told by looks alone: what a works fitted is often gone, and what it did not fit often added."""
MANOMETER, PRESSURE_HIGH = "manometer", "pressure_high"
"""The check and the cause that a pressure at the manifold answers."""
TOO_SMALL, TOO_LARGE = "jet_too_small", "jet_too_large"
"""The causes that jets gauged answer."""
NEAR = 1e-6
"""in. w.c. by which a pressure in another unit may miss the edge of its band."""


def evidence_for(
    examination: Examination,
    symptom: str,
    *,
    record: BenchRecord | None = None,
    jets_judged: JetsJudged | None = None,
) -> CaseEvidence:
    """What the case says of a symptom, by id or everyday words; nothing where all stops anyhow.

    `record`: another bench record than the case's; `jets_judged` is None where none was gauged or judged. Raises
    ValueError for words that tell of no symptom.
    """
    base, record = examination.compiled.base, record if record is not None else examination.case.bench
    name = symptom_id_of(base.bench.faults, symptom)
    entry = base.bench.faults.symptoms[name]
    measured = {**_jets(jets_judged), **_pressure(base, record)}
    told = [*_recorded(base, entry, name, record), *_of(entry, measured)]
    return CaseEvidence(_cannot(examination, record, entry), tuple(dict(told).items()))


def evidence_of(
    examination: Examination, record: BenchRecord, places: tuple[PlaceAccount, ...], symptom: str
) -> CaseEvidence:
    """The same with a bench record and the jets of its places judged by the heat they give; `symptom` is an id."""
    at = examination.compiled.base.bench.faults.symptoms[symptom].at
    return evidence_for(examination, symptom, record=record, jets_judged=jets_judged(places, at))


def _cannot(examination: Examination, record: BenchRecord, symptom: Symptom) -> frozenset[str]:
    """Causes and checks of a symptom that this range cannot have; all of them where it cannot have the symptom."""
    table = examination.compiled.base.bench.faults
    causes = {name: table.causes[name] for name in symptom.causes}
    checks = {name: table.checks[name] for name in symptom.checks}
    entries: Mapping[str, OnSome] = {**causes, **checks}
    if not _may_be(examination, record, symptom):
        return frozenset(entries)
    return frozenset(name for name, entry in entries.items() if not _may_be(examination, record, entry))


def _may_be(examination: Examination, record: BenchRecord, entry: OnSome) -> bool:
    return not any(_has(examination, record, feature, values) for feature, values in entry.not_with.items())


def _has(examination: Examination, record: BenchRecord, feature: str, values: Sequence[str]) -> bool:
    """Whether the range surely has one of these values of a feature now."""
    looked = _looked_at(examination, record, feature)
    if looked:
        return looked <= set(values)
    if feature == REGULATOR:
        return False
    return sum(chance for value, chance in chances_of(examination, feature).items() if value not in values) < RULED_OUT


def _looked_at(examination: Examination, record: BenchRecord, feature: str) -> frozenset[str]:
    """The values that certain looks leave open, those of looks that contradict each other together; empty for no look.

    What was taken off is absent now, and a part of another range is there.
    """
    base = examination.compiled.base
    every = frozenset(base.features[feature].value_ids)
    left: set[str] = set()
    for seen in examination.observations:
        if seen.feature != feature or seen.sure is not Sure.CERTAIN:
            continue
        if seen.removed:
            left |= every & {ABSENT}
        elif seen.is_not is not None:
            left |= every - set(seen.is_not)
        else:
            left |= known_values(base, seen) or frozenset()
    if feature == REGULATOR:
        left |= _regulator(record, every)
    return frozenset(left)


def _regulator(record: BenchRecord, every: frozenset[str]) -> frozenset[str]:
    """The same by what the record has of the range's regulator."""
    match record.regulator.state:
        case RegulatorState.NONE | RegulatorState.GONE:
            return every & {ABSENT}
        case RegulatorState.FITTED:
            return every - {ABSENT}
        case RegulatorState.NOT_SEEN:
            return frozenset()


def _jets(judged: JetsJudged | None) -> dict[str, str]:
    """What jets that were gauged answer."""
    if judged is None:
        return {}
    causes = {TOO_SMALL: "too_small", TOO_LARGE: "too_large"}
    return {cause: PROVEN if judged == is_so else NOT_IT for cause, is_so in causes.items()}


def _pressure(base: KnowledgeBase, record: BenchRecord) -> dict[str, str]:
    """What the last pressure at the manifold answers, by the band of the gas laid on."""
    read = next((each for each in reversed(record.pressures) if each.at is PressureAt.MANIFOLD), None)
    if read is None or record.laid_on is None or record.laid_on.gas not in base.bench.gases:
        return {}
    low, high = base.bench.gases[record.laid_on.gas].pressure_band
    inches = read_quantity(read.reads, Kind.PRESSURE).to(Unit.INCH_WC)
    if inches < low - NEAR:
        return {MANOMETER: "low", PRESSURE_HIGH: NOT_IT}
    if not read.lit:  # with nothing alight a regulator that locks up reads more than it gives, and a weak supply enough
        return {}
    return (
        {MANOMETER: "high", PRESSURE_HIGH: PROVEN}
        if inches > high + NEAR
        else {MANOMETER: "right", PRESSURE_HIGH: NOT_IT}
    )


def _recorded(base: KnowledgeBase, symptom: Symptom, name: str, record: BenchRecord) -> Iterator[Outcome]:
    """Outcomes written down of this symptom and not put right since, as far as the table has them."""
    checks = base.bench.faults.checks
    known = {(cause, outcome) for cause in symptom.causes for outcome in (PROVEN, NOT_IT)}
    known |= {(check, outcome) for check in symptom.checks for outcome in checks[check].results}
    for told in record.symptoms:
        outcome = (told.check or "", told.outcome or "")
        if told.symptom == name and told.cleared is None and outcome in known:
            yield outcome


def _of(symptom: Symptom, measured: Mapping[str, str]) -> Iterator[Outcome]:
    """What was measured, as far as the symptom asks for it."""
    return ((name, outcome) for name, outcome in measured.items() if name in (*symptom.causes, *symptom.checks))
