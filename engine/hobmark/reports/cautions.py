"""Cautions: those that always stand, those a range calls for or may call for, and those of fired rules."""

from __future__ import annotations

from collections.abc import Iterable

from hobmark.knowledge.schema.rules import CautionConclusion
from hobmark.reasoning.derivation import Firing
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.rules import atom_values
from hobmark.reports.identify import CautionLine
from hobmark.reports.tracing import fired
from hobmark.reports.words import values_words

RULED_OUT = 0.01
"""Below this probability a maker's own cautions are no longer told, once another maker is settled."""


def caution_lines(examination: Examination) -> list[CautionLine]:
    """The cautions that always stand, those the range calls for or may call for, and those of fired rules."""
    base = examination.compiled.base
    lines = []
    for caution in base.cautions.values():
        called = [_called_for(examination, feature, values) for feature, values in caution.when.items()]
        if all(word is not None for word in called):
            perhaps = "".join(word for word in called if word)
            lines.append(
                CautionLine(
                    says=perhaps + caution.says,
                    short=perhaps + caution.short,
                    source=caution.source,
                    status=caution.status,
                )
            )
    return [*lines, *rule_cautions(examination)]


def rule_cautions(examination: Examination) -> list[CautionLine]:
    """The cautions of rules that fired, of every maker that the range may be of."""
    lines = []
    for maker, firing, rule in fired(examination, _makers(examination)):
        for conclusion in rule.then:
            if isinstance(conclusion, CautionConclusion):
                said = f"If {_premise(examination, maker, firing)}: {conclusion.caution}"
                source = ", ".join(rule.sources)
                lines.append(CautionLine(says=said, short=said, source=source, status=f"by rule {maker}/{rule.id}"))
    return lines


def _makers(examination: Examination) -> list[str]:
    """All makers, however unlikely, since what may hurt does not depend on who is likeliest; once one is settled, those
    that are not ruled out.
    """
    groups, chances = examination.compiled.model.cells.groups, examination.ranking.by_group
    of = {
        name: sum(chances[i] for i, group in enumerate(groups) if group.maker == name)
        for name in examination.derivations
    }
    return [name for name, chance in of.items() if not examination.named or chance >= RULED_OUT]


def _premise(examination: Examination, maker: str, firing: Firing) -> str:
    """What a rule's caution rests on: the maker, and whatever of its conditions nobody looked at."""
    base, derivation = examination.compiled.base, examination.derivations[maker]
    unseen = [atom for atom in firing.used if derivation.support(atom) is not None]
    parts = [
        f"the {base.features[atom.feature].label.lower()} is {values_words(base, atom.feature, atom_values(atom))}"
        for atom in unseen
    ]
    return " and ".join([f"a {base.makers[maker].name}", *parts])


def _called_for(examination: Examination, feature: str, values: Iterable[str]) -> str | None:
    """ "" where what is known calls for it, None where it rules it out, else the condition in words."""
    base = examination.compiled.base
    wanted = set(values)
    known = examination.facts.get(feature)
    if known is None:
        return f"If the {base.features[feature].label.lower()} is {values_words(base, feature, wanted)}: "
    return "" if known & wanted else None
