"""From a symptom to its cause: what is done at once, the next check with its outcomes, what may be behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.bench.combustion import stops_of
from hobmark.bench.symptoms import NOTHING_SAID, PROVEN, CaseEvidence, search
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.bench import Mark, Work
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import SymptomRecord
from hobmark.reports.page import seconds_words
from hobmark.reports.setup_shape import ActShown, CauseShown, SymptomShown
from hobmark.reports.setup_steps_text import WHO
from hobmark.reports.setup_symptom import symptom_shown
from hobmark.reports.setup_symptom_text import NONE_LEFT
from hobmark.reports.words import percent

from hobmark_tui.views.bench import NO_BREAK
from hobmark_tui.views.choices import Choice
from hobmark_tui.views.drawing import bar
from hobmark_tui.views.paragraphs import HEADING, QUIET, Paragraph

STOP = "bold $text-error"
CAUTION = "$text-warning"
STRONG = "bold"
BAR = 8
"""Columns of the bar before a cause."""


@dataclass(frozen=True, slots=True)
class SymptomView:
    """A symptom and how far the search is. `act` is the check asked for, empty where none is; `stop`: no search."""

    stop: bool
    act: str
    above: tuple[Paragraph, ...]
    outcomes: tuple[Choice, ...]
    below: tuple[Paragraph, ...]


def outcomes_of(record: BenchRecord, symptom: str) -> tuple[SymptomRecord, ...]:
    """What the checks of a symptom have shown, in order; what was put right since is no evidence any more."""
    return tuple(
        each for each in record.symptoms if each.symptom == symptom and each.check is not None and each.cleared is None
    )


def found_in(record: BenchRecord, symptom: str) -> list[tuple[str, str]]:
    """The same as the engine takes it: check and outcome."""
    return [(each.check, each.outcome) for each in outcomes_of(record, symptom) if each.check and each.outcome]


def is_told(record: BenchRecord, symptom: str) -> bool:
    """Whether a symptom stands in the record and was not put right since."""
    return any(each.symptom == symptom and each.cleared is None for each in record.symptoms)


def to_clear(base: KnowledgeBase, record: BenchRecord) -> list[Choice]:
    """What is recorded and was not put right: symptoms, causes that stop everything, carbon monoxide."""
    table, found = base.bench.faults, {}
    for each in record.symptoms:
        if each.cleared is not None:
            continue
        found[each.symptom] = table.symptoms[each.symptom].label
        cause = table.causes.get(each.check or "")
        if cause is not None and each.outcome == PROVEN and cause.who is Work.STOP:
            found[each.check or ""] = cause.label
    for sample in record.combustion:
        if stops_of(base, sample):
            found[sample.at.value] = f"carbon monoxide, {sample.at.value.replace('_', ' ')}: {sample.co} as measured"
    return [Choice(name, label) for name, label in found.items()]


def symptom_choices(base: KnowledgeBase, record: BenchRecord) -> list[Choice]:
    """Every symptom in plain words; those that stop everything say so, those in the record how far they are."""
    return [
        Choice(
            name,
            f"STOP: {entry.label}" if entry.stop else entry.label,
            _standing(record, name),
            f"{name} {' '.join(entry.says)}",
        )
        for name, entry in base.bench.faults.symptoms.items()
    ]


def _standing(record: BenchRecord, symptom: str) -> str:
    if not is_told(record, symptom):
        cleared = [each.cleared for each in record.symptoms if each.symptom == symptom and each.cleared is not None]
        return f"put right: {cleared[-1]}" if cleared else ""
    checked = len(outcomes_of(record, symptom))
    return f"in the record{f', {checked} checked' if checked else ''}"


def symptom_view(
    base: KnowledgeBase,
    record: BenchRecord,
    symptom: str,
    *,
    may_light: bool = False,
    case: CaseEvidence = NOTHING_SAID,
) -> SymptomView:
    """How far the search for the cause of a symptom is; nothing that lights gas is asked for unless `may_light`."""
    found = search(base, symptom, found_in(record, symptom), may_light=may_light, case=case)
    shown = symptom_shown(base, found)
    cautions = _cautions(base, shown.cautions)
    if shown.stop:
        return SymptomView(True, "", (*_stop(shown), *cautions), (), ())
    act = shown.next
    first = [Paragraph(f"First: {do}", hang=7) for do in shown.do]
    above = [Paragraph(shown.label.capitalize(), style=HEADING), *first, *cautions, Paragraph(""), *_state(base, shown)]
    outcomes = [
        Choice(each.give, each.label, f"speaks for: {'; '.join(each.speaks_for) or 'none of these'}")
        for each in (act.outcomes if act is not None else ())
    ]
    below = [
        *_held(shown),
        *_causes(shown),
        *_checked(base, outcomes_of(record, symptom)),
        Paragraph(grounds(shown.mark, shown.source), style=QUIET),
    ]
    return SymptomView(False, act.label if act is not None else "", tuple(above), tuple(outcomes), tuple(below))


def _stop(shown: SymptomShown) -> list[Paragraph]:
    steps = [Paragraph(f"{number}. {do}", hang=3, style=STRONG) for number, do in enumerate(shown.do, start=1)]
    return [Paragraph(f"STOP: {shown.label}.", style=STOP), *steps, Paragraph("")]


def _cautions(base: KnowledgeBase, names: Sequence[str]) -> list[Paragraph]:
    known = base.cautions | base.bench.hazards
    return [Paragraph(f"! {known[name].short}", style=CAUTION) for name in names if name in known]


def _state(base: KnowledgeBase, shown: SymptomShown) -> list[Paragraph]:
    """What was found, or the check to take next."""
    if shown.found is not None:
        return _found(base, shown.found, shown.cautions)
    if shown.none_left:
        return [Paragraph(NONE_LEFT, style=STRONG)]
    return _next(base, shown.next, shown.cautions) if shown.next is not None else []


def _found(base: KnowledgeBase, cause: CauseShown, told: Sequence[str]) -> list[Paragraph]:
    """What is to be done, with the cautions that do not stand above already."""
    return [
        Paragraph(f"Found: {cause.label}", style=STRONG),
        Paragraph(f"{cause.remedy} ({WHO[cause.who]})"),
        Paragraph(grounds(cause.mark, cause.source), style=QUIET),
        *_cautions(base, [name for name in cause.cautions if name not in told]),
    ]


def _next(base: KnowledgeBase, act: ActShown, told: Sequence[str]) -> list[Paragraph]:
    """The check to take, with the cautions that do not stand above already."""
    effort = f"about {seconds_words(act.seconds)}, our estimate; {WHO[act.who]}"
    return [
        Paragraph(f"Check next: {act.label}", style=HEADING),
        Paragraph(effort, style=QUIET),
        Paragraph(act.do),
        *_cautions(base, [name for name in act.cautions if name not in told]),
    ]


def _held(shown: SymptomShown) -> list[Paragraph]:
    """What waits until the gas of the range is known."""
    if not shown.held:
        return []
    return [
        Paragraph("Held back", style=STRONG),
        Paragraph(shown.held_says, style=CAUTION),
        *(Paragraph(f"- {asked}", hang=2) for asked in shown.held),
    ]


def _causes(shown: SymptomShown) -> list[Paragraph]:
    if shown.found is not None or not shown.causes:
        return []
    told = [Paragraph(""), Paragraph("What may be behind it (our estimate, no source)", style=STRONG)]
    for cause in shown.causes:
        said = f"{cause.label} ({WHO[cause.who]}) [{cause.mark.value}]"
        # the bar keeps its width when the line is folded: a space that no line breaks at
        drawn = bar(cause.chance, BAR).replace(" ", NO_BREAK)
        told.append(Paragraph(f"{percent(cause.chance):>4} {drawn} {said}", hang=6 + BAR))
    return told


def _checked(base: KnowledgeBase, outcomes: Sequence[SymptomRecord]) -> list[Paragraph]:
    told = [Paragraph("")]
    if outcomes:
        told.append(Paragraph("Checked so far, kept with the case; u takes the last back", style=STRONG))
        told += [Paragraph(f"✓ {checked_words(base, each)}", hang=2) for each in outcomes]
    return told


def checked_words(base: KnowledgeBase, told: SymptomRecord) -> str:
    """What one check has shown, in words; a symptom that was only told by its name."""
    table, name, outcome = base.bench.faults, told.check or "", told.outcome or ""
    if name in table.checks:
        return f"{table.checks[name].label.rstrip('?')}: {table.checks[name].results[outcome].label}"
    if name in table.causes:
        return f"is it this: {table.causes[name].label}: {'yes' if outcome == PROVEN else 'no'}"
    return table.symptoms[told.symptom].label


def grounds(mark: Mark, source: str) -> str:
    """What something rests on, in brackets."""
    return f"[{mark.value}]" if source == mark.value else f"[{mark.value}: {source}]"
