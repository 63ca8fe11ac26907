"""What the set-up sheet says of a symptom: what may be behind it, and the next check."""

from __future__ import annotations

from hobmark.bench.fault_costs import Act
from hobmark.bench.symptoms import NOT_IT, PROVEN, Search, deed_of
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.bench import Mark, Work
from hobmark.knowledge.schema.faults import SOMETHING_ELSE
from hobmark.reports.setup_letters import once
from hobmark.reports.setup_shape import HELD, ActShown, CauseShown, OutcomeShown, SymptomShown

NOT_LISTED = "something else, not in this list"
"""The cause that stands beside those of every symptom."""
LOOKED_FURTHER = "It stays off; a licensed fitter looks further than this list."
"""What is done about it."""


def symptom_shown(base: KnowledgeBase, found: Search) -> SymptomShown:
    """How far the search for a symptom's cause is."""
    symptom = base.bench.faults.symptoms[found.symptom]
    causes = [_cause(base, found, each.id, each.chance) for each in found.causes]
    return SymptomShown(
        id=found.symptom,
        label=symptom.label,
        stop=found.stop,
        do=list(symptom.do),
        causes=causes,
        next=_act(base, found, found.next) if found.next is not None else None,
        found=_cause(base, found, found.found, 1.0) if found.found is not None else None,
        none_left=found.none_left,
        held=[_asked(base, name) for name in found.held],
        source=symptom.said_source,
        mark=symptom.mark,
        cautions=list(symptom.cautions),
    )


def _asked(base: KnowledgeBase, name: str) -> str:
    """What a check asks, or the proof of a cause."""
    table = base.bench.faults
    return table.checks[name].label if name in table.checks else f"is it this: {table.causes[name].label}?"


def _cause(base: KnowledgeBase, found: Search, name: str, chance: float) -> CauseShown:
    table = base.bench.faults
    if name == SOMETHING_ELSE:
        return _something_else(base, found, chance)
    cause = table.causes[name]
    held = cause.lights and not found.may_light
    return CauseShown(
        id=name,
        label=cause.label,
        chance=min(1.0, chance),
        remedy=HELD if held else cause.remedy,
        held=held,
        who=cause.who,
        source=cause.said_source,
        mark=cause.mark,
        cautions=once([cause.cautions, table.lighting if cause.lights and not held else ()]),
    )


def _something_else(base: KnowledgeBase, found: Search, chance: float) -> CauseShown:
    """The cause that no table describes, with the cautions of its symptom."""
    return CauseShown(
        id=SOMETHING_ELSE,
        label=NOT_LISTED,
        chance=min(1.0, chance),
        remedy=LOOKED_FURTHER,
        held=False,
        who=Work.STOP,
        source=Mark.COMMON_PRACTICE.value,
        mark=Mark.COMMON_PRACTICE,
        cautions=list(base.bench.faults.symptoms[found.symptom].cautions),
    )


def _label(base: KnowledgeBase, name: str) -> str:
    return NOT_LISTED if name == SOMETHING_ELSE else base.bench.faults.causes[name].label


def _act(base: KnowledgeBase, found: Search, act: Act) -> ActShown:
    table, deed = base.bench.faults, deed_of(base, act)
    return ActShown(
        id=act.id,
        label=_asked(base, act.id),
        do=deed.do,
        seconds=deed.seconds,
        who=deed.who,
        lights=deed.lights,
        cautions=once([table.lighting if deed.lights else (), table.symptoms[found.symptom].cautions]),
        outcomes=_proof_outcomes(base, found, act.id) if act.is_proof else _check_outcomes(base, found, act.id),
    )


def _proof_outcomes(base: KnowledgeBase, found: Search, name: str) -> list[OutcomeShown]:
    labels = {each.id: _label(base, each.id) for each in found.causes}
    return [
        OutcomeShown(give=f"{name}={PROVEN}", label="yes", speaks_for=[labels[name]]),
        OutcomeShown(give=f"{name}={NOT_IT}", label="no", speaks_for=[labels[each] for each in labels if each != name]),
    ]


def _check_outcomes(base: KnowledgeBase, found: Search, name: str) -> list[OutcomeShown]:
    """A cause that no outcome names fits all of them."""
    results = base.bench.faults.checks[name].results
    labels = {each.id: _label(base, each.id) for each in found.causes}
    named = {cause for result in results.values() for cause in result.causes}
    return [
        OutcomeShown(
            give=f"{name}={outcome}",
            label=result.label,
            speaks_for=[label for cause, label in labels.items() if cause in result.causes or cause not in named],
        )
        for outcome, result in results.items()
    ]
