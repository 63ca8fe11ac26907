"""What the tests of fault finding share: the table, walks through a search, and ranges with a bench record."""

from __future__ import annotations

from collections.abc import Iterator

from hobmark.bench.symptoms import CaseEvidence, Outcome, Search, search
from hobmark.case import Case
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.reasoning.examination import Examination

from .bases import base, compiled, seen

TABLE = base().bench.faults
SOUGHT = [name for name, symptom in TABLE.symptoms.items() if not symptom.stop]


def recorded(bench: dict[str, object] | None = None, *more: Observation, **values: str) -> Examination:
    """A range with a bench record, of which these looks were taken."""
    record = BenchRecord.model_validate(bench or {})
    return Examination(compiled(), Case(hobmark="1", observations=(*seen(**values), *more), bench=record))


def look(**entry: object) -> Observation:
    return Observation.model_validate({"is" if name == "is_" else name: value for name, value in entry.items()})


def causes(found: Search) -> set[str]:
    return {each.id for each in found.causes}


def outcomes_of(symptom: str) -> list[Outcome]:
    """Every outcome of every check and proof of a symptom."""
    entry = TABLE.symptoms[symptom]
    told = [(cause, outcome) for cause in entry.causes for outcome in ("seen", "not_seen")]
    return told + [(check, result) for check in entry.checks for result in TABLE.checks[check].results]


def walked(symptom: str, *, may_light: bool, case: CaseEvidence | None = None) -> Iterator[str]:
    """The acts that are named one after another, proofs in vain and checks with their last outcome."""
    told: list[Outcome] = []
    while (act := search(base(), symptom, told, may_light=may_light, case=case or CaseEvidence()).next) is not None:
        yield act.id
        if act.is_proof:
            told.append((act.id, "not_seen"))
        else:
            told.append((act.id, list(TABLE.checks[act.id].results)[-1]))
