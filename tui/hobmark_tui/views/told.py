"""What an answer key has just written, in words, and what else is said in passing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reports.words import seen_words

TAKES_BACK = ". u takes it back."


@dataclass(frozen=True, slots=True)
class ToldView:
    """What was done last: words that open the line, what it was done to, which may be cut, and words that end it."""

    opens: str = ""
    what: str = ""
    ends: str = ""
    more: str = ""
    """What else is said, in full."""


def taken_view(base: KnowledgeBase, before: Case, after: Case, seen: Observation, *, unkept: bool) -> ToldView:
    """What became of an answer; nothing where it was not taken down. `unkept` tells that it is not on disk."""
    if seen not in after.observations:
        return ToldView()
    what = seen_words(base, seen)
    if after == before:
        return ToldView("It stands so already: ", what, ".")
    return ToldView("Not on disk yet: " if unkept else "Kept: ", what, TAKES_BACK)


def undone_view(base: KnowledgeBase, before: Case, after: Case) -> ToldView:
    """What was taken back, and what holds in its place."""
    if before == after:
        return ToldView()
    gone = _words(base, before, after)
    if not gone:
        return ToldView("The last change is taken back.")
    again = _words(base, after, before)
    return ToldView("Taken back: ", f"{gone}. Again {again}" if again else gone, ".")


def redone_view(base: KnowledgeBase, before: Case, after: Case, *, unkept: bool) -> ToldView:
    """What was done again."""
    what = _words(base, after, before)
    if not what:
        return ToldView() if before == after else ToldView("The change is made again", "", TAKES_BACK)
    return ToldView("Not on disk yet: " if unkept else "Kept again: ", what, TAKES_BACK)


def _words(base: KnowledgeBase, case: Case, other: Case) -> str:
    """The observations of a case that another has not."""
    known: Sequence[Observation] = other.observations
    return "; ".join(seen_words(base, seen) for seen in case.observations if seen not in known)
