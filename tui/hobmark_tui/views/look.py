"""The look that is asked: its question, where to look, why it is worth taking, and its values with their sketches."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Access, Goal
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.questions import cost_of, seconds_of
from hobmark.reports.because import because
from hobmark.reports.page import seconds_words
from hobmark.reports.words import seen_words

from hobmark_tui.commands.answers import length_example
from hobmark_tui.views.standing import Standing

KEYS = "1234567890-="
"""The key of each value, first to twelfth."""
REACH = {
    Access.PHOTO: "from where you stand",
    Access.GLANCE: "at arm's length",
    Access.HAND: "by hand",
    Access.TOOL: "with a tool",
    Access.PANEL_OFF: "with a panel off",
}
"""What a look takes, in words."""


@dataclass(frozen=True, slots=True)
class ValueView:
    """One value: the key that gives it, its words and its sketch."""

    value: str
    key: str
    label: str
    sketch: str


@dataclass(frozen=True, slots=True)
class LookView:
    """Everything shown of one look; `so_far` is what was answered before, empty for a new look."""

    feature: str
    label: str
    question: str
    where: str
    reason: str
    so_far: str
    values: tuple[ValueView, ...]
    length: str
    can_be_gone: bool


def look_view(standing: Standing) -> LookView | None:
    """The look a standing asks; None where there is nothing left to ask."""
    if standing.look is None:
        return None
    base = standing.now.compiled.base
    feature = base.features[standing.look]
    before = _seen(standing.now, standing.look)
    values = tuple(
        ValueView(
            value,
            key,
            feature.value_label(value),
            (feature.values[value].sketch or "").rstrip() if value in feature.values else "",
        )
        for value, key in zip(feature.value_ids, KEYS, strict=False)
    )
    return LookView(
        feature=standing.look,
        label=feature.label,
        question=feature.ask,
        where=feature.look,
        reason=reason_words(standing, before is not None),
        so_far=seen_words(base, before) if before is not None else "",
        values=values,
        length=length_example(feature),
        can_be_gone=feature.traces_on is not None or "absent" in feature.value_ids,
    )


def _seen(examination: Examination, feature: str) -> Observation | None:
    return next((seen for seen in examination.case.observations if seen.feature == feature), None)


def reason_words(standing: Standing, answered: bool) -> str:
    """Why a look is asked and what it takes, in one sentence."""
    look = standing.look
    if look is None:
        return ""
    takes = cost_words(standing.now, look)
    if answered:
        return f"Answered before; {takes}."
    why = because(standing.offered, look)
    return f"{why[0].upper()}{why[1:]}; {takes}."


def cost_words(examination: Examination, look: str) -> str:
    """What a look takes where the range is looked at, as `10 s, at arm's length`."""
    base = examination.compiled.base
    access = base.features[look].access
    cost = cost_of(base, look, examination.situation)
    if cost is None:
        return f"{seconds_words(seconds_of(base, look))}, {REACH[access]}, which is not to be had here"
    if base.wording.situations[examination.situation].seconds_each is not None:
        return f"{seconds_words(cost)} for one more picture"
    return f"{seconds_words(cost)}, {REACH[access]}"


GOALS = {
    Goal.VARIANT: "Which variant is it?",
    Goal.YEAR: "Which year?",
    Goal.MAKER: "Which maker?",
    Goal.CLAIM: "Is the claim true?",
}
"""What one may want to know, as a question."""
AIMS = {
    Goal.VARIANT: "which variant",
    Goal.YEAR: "which year",
    Goal.MAKER: "which maker",
    Goal.CLAIM: "is it true",
}
"""The same where there is little room."""
