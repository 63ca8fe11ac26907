"""Lists to choose from: looks, goals, situations, variants, examples."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.examination import Examination
from hobmark.reports.words import percent, seen_words

from hobmark_tui.views.look import GOALS


@dataclass(frozen=True, slots=True)
class Choice:
    """One line of a list: what choosing it gives, its words, a quiet second line, and what else finds it."""

    id: str
    label: str
    detail: str = ""
    also: str = ""

    def found_by(self, typed: str) -> bool:
        """Whether every word typed stands somewhere in it."""
        text = f"{self.label} {self.detail} {self.also}".casefold()
        return all(word in text for word in typed.casefold().split())


def narrowed(choices: Iterable[Choice], typed: str) -> list[Choice]:
    """The choices that have every word typed, those first whose label begins with them."""
    wanted = " ".join(typed.casefold().split())
    found = [choice for choice in choices if choice.found_by(typed)]
    return sorted(found, key=lambda choice: not choice.label.casefold().startswith(wanted)) if wanted else found


def look_choices(base: KnowledgeBase, case: Case) -> list[Choice]:
    """Every feature, with what was answered or else its question."""
    seen = {o.feature: seen_words(base, o) for o in case.observations if o.feature is not None}
    return [
        Choice(
            name,
            feature.label,
            f"answered: {seen[name]}" if name in seen else feature.ask,
            f"{name} {base.assemblies[feature.assembly].label} {' '.join(map(feature.value_label, feature.value_ids))}",
        )
        for name, feature in base.features.items()
    ]


def goal_choices(case: Case) -> list[Choice]:
    """What one may want to know; that a claim is true needs a claim."""
    claimed = case.claims.maker or case.claims.variant or case.claims.made
    details = {
        Goal.VARIANT: "until one variant is 95% likely",
        Goal.YEAR: "until three years in a row are 95% likely",
        Goal.MAKER: "until one maker is 95% likely",
        Goal.CLAIM: "what the seller says stands or falls"
        if claimed
        else "nothing is claimed yet: you are asked for it",
    }
    return [Choice(goal.value, words, details[goal]) for goal, words in GOALS.items()]


def situation_choices(base: KnowledgeBase) -> list[Choice]:
    """Where a range may be looked at, and what can be had there."""
    words = {"photo": "pictures", "glance": "a close look", "hand": "hands", "tool": "tools", "panel_off": "panels off"}
    return [
        Choice(situation.value, entry.label, "by " + ", ".join(words[access.value] for access in entry.offers))
        for situation, entry in base.wording.situations.items()
    ]


def variant_choices(examination: Examination) -> Sequence[Choice]:
    """Every variant of the base, likeliest first, with its chance and its years; the leader is left out."""
    ranking, base = examination.ranking, examination.compiled.base
    groups = examination.compiled.model.cells.groups
    order = sorted(range(len(groups)), key=lambda g: (-ranking.by_group[g], g))
    found = []
    for g in order:
        maker, variant = groups[g].maker, groups[g].variant
        if g == ranking.leader or maker is None or variant is None:
            continue
        label = f"{base.makers[maker].name} {base.variant_label(maker, variant)}"
        found.append(Choice(f"{maker}/{variant}", label, percent(float(ranking.by_group[g]))))
    return found
