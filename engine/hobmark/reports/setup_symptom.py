"""What the set-up sheet says of a symptom: what may be behind it, and the next check."""

from __future__ import annotations

from hobmark.bench.symptoms import NOT_IT, PROVEN, Act, Search, who_may
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reports.setup_shape import ActShown, CauseShown, OutcomeShown, SymptomShown


def symptom_shown(base: KnowledgeBase, found: Search) -> SymptomShown:
    """How far the search for a symptom's cause is."""
    symptom = base.bench.faults.symptoms[found.symptom]
    causes = [_cause(base, each.id, each.chance) for each in found.causes]
    return SymptomShown(
        id=found.symptom,
        label=symptom.label,
        stop=found.stop,
        do=list(symptom.do),
        causes=causes,
        next=_act(base, found, found.next) if found.next is not None else None,
        found=_cause(base, found.found, 1.0) if found.found is not None else None,
        none_left=found.none_left,
        source=symptom.said_source,
        mark=symptom.mark,
        cautions=list(symptom.cautions),
    )


def _cause(base: KnowledgeBase, name: str, chance: float) -> CauseShown:
    cause = base.bench.faults.causes[name]
    return CauseShown(
        id=name,
        label=cause.label,
        chance=min(1.0, chance),
        remedy=cause.remedy,
        who=cause.who,
        source=cause.said_source,
        mark=cause.mark,
        cautions=list(cause.cautions),
    )


def _act(base: KnowledgeBase, found: Search, act: Act) -> ActShown:
    table = base.bench.faults
    labels = {each.id: table.causes[each.id].label for each in found.causes}
    if act.is_proof:
        cause = table.causes[act.id]
        others = [label for name, label in labels.items() if name != act.id]
        return ActShown(
            id=act.id,
            label=f"is it this: {cause.label}?",
            do=cause.proof.do,
            seconds=cause.proof.seconds,
            who=who_may(base, act),
            outcomes=[
                OutcomeShown(give=f"{act.id}={PROVEN}", label="yes", speaks_for=[cause.label]),
                OutcomeShown(give=f"{act.id}={NOT_IT}", label="no", speaks_for=others),
            ],
        )
    check = table.checks[act.id]
    named = {cause for result in check.results.values() for cause in result.causes}
    return ActShown(
        id=act.id,
        label=check.label,
        do=check.do,
        seconds=check.seconds,
        who=who_may(base, act),
        outcomes=[
            OutcomeShown(
                give=f"{act.id}={outcome}",
                label=result.label,
                speaks_for=[label for name, label in labels.items() if name in result.causes or name not in named],
            )
            for outcome, result in check.results.items()
        ],
    )
