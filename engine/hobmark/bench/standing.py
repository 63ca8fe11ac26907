"""Symptoms that hold a release: told, not put right since, and how far the search is that needs no flame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.bench.account_places import PlaceAccount
from hobmark.bench.fault_costs import Act
from hobmark.bench.symptom_evidence import evidence_of
from hobmark.bench.symptom_words import symptom_in
from hobmark.bench.symptoms import Outcome, search
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.reasoning.examination import Examination


@dataclass(frozen=True, slots=True)
class Standing:
    """A symptom by id, the cause that was found and not put right, or else the next look that needs no flame.

    Neither where all that can be seen without a flame was looked at, or what was found is put right by lighting: what
    is left is for the fitter who lights it.
    """

    symptom: str
    found: str | None
    next: Act | None

    @property
    def is_open(self) -> bool:
        """Whether something is to be done before anything is lit."""
        return self.found is not None or self.next is not None


def standing_symptoms(
    examination: Examination,
    record: BenchRecord,
    places: tuple[PlaceAccount, ...],
    symptom: str | None = None,
    found: Sequence[Outcome] = (),
) -> tuple[Standing, ...]:
    """Symptoms of a record whose looks come first, and one told beside it with what was `found` of it."""
    base = examination.compiled.base
    table = base.bench.faults
    told = [each.symptom for each in record.symptoms if each.cleared is None]
    told += [name for text in record.free_texts() if (name := symptom_in(table, text)) is not None]
    told += [symptom] if symptom is not None else []
    standing = []
    for name in dict.fromkeys(told):
        if table.symptoms[name].looks_first:
            case = evidence_of(examination, record, places, name)
            made = search(base, name, found if name == symptom else (), case=case)
            is_lit = made.found is not None and table.causes[made.found].lights
            standing.append(Standing(name, made.found if not is_lit else None, made.next))
    return tuple(standing)
