"""Symptoms that hold a release: told, not put right since, and how far the search is that needs no flame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.bench.account_places import PlaceAccount
from hobmark.bench.fault_costs import Act
from hobmark.bench.symptom_evidence import evidence_of
from hobmark.bench.symptom_words import symptoms_in
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
    """Symptoms of a record that stop nothing by themselves, and one told beside it with what was `found` of it.

    The looks of some come before anything is lit; a cause that was found holds the release whatever the symptom.
    """
    base = examination.compiled.base
    table = base.bench.faults
    told = [each.symptom for each in record.symptoms if each.cleared is None]
    label, note = examination.case.label, examination.case.note or ""
    told += [name for text in (*record.free_texts(), label, note) for name in symptoms_in(table, text)]
    told += [symptom] if symptom is not None else []
    standing = []
    for name in dict.fromkeys(told):
        if table.symptoms[name].stop:
            continue
        case = evidence_of(examination, record, places, name)
        made = search(base, name, found if name == symptom else (), case=case)
        is_lit = made.found is not None and table.causes[made.found].lights
        looks = made.next if table.symptoms[name].looks_first else None
        standing.append(Standing(name, made.found if not is_lit else None, looks))
    return tuple(standing)
