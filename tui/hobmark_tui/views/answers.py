"""Every answer given, in the order given."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reports.words import seen_words


@dataclass(frozen=True, slots=True)
class AnswerLine:
    """One answer: its place in the case, its words, and the note on it."""

    index: int
    says: str
    note: str
    feature: str | None


def answers_view(base: KnowledgeBase, case: Case) -> tuple[AnswerLine, ...]:
    """All answers of a case."""
    return tuple(
        AnswerLine(place, _first_up(seen_words(base, seen)), seen.note or "", seen.feature)
        for place, seen in enumerate(case.observations)
    )


def _first_up(text: str) -> str:
    return text[0].upper() + text[1:]
