"""What stands above the look: that it is settled, that no look here tells more, that something is not on disk."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.stopping import verdict
from hobmark.reports.identify import Findings
from hobmark.reports.page import seconds_words
from hobmark.reports.text import settled_answer
from hobmark.reports.words import percent

from hobmark_tui.commands.going_on import SETTLED
from hobmark_tui.views.standing import Standing

Kind = Literal["settled", "stop", "trouble"]
"""What a banner tells of; its first word says it too."""


@dataclass(frozen=True, slots=True)
class BannerView:
    """A heading, which says what it is about, and what follows from it."""

    kind: Kind
    heading: str
    text: str


def stop_view(standing: Standing, found: Findings) -> BannerView | None:
    """That the goal is settled, or that nothing here tells more; None while looks are worth taking.

    It never keeps anybody from going on.
    """
    judged = verdict(standing.offered)
    if judged.settled:
        answer, chance = settled_answer(found)
        seen = f"on {found.assemblies_seen} parts of the range"
        going = "Further looks only test it; go on as long as you like."
        return BannerView("settled", f"Settled: {answer} ({percent(chance)}, {seen}).", going)
    if not judged.stop:
        return None
    told = []
    if found.undecidable_here:
        told.append(f"Cannot be told apart from here: {'; '.join(found.undecidable_here)}.")
    if found.outside is not None:
        outside = found.outside
        told.append(f"The cheapest look that could: {outside.label.lower()} ({seconds_words(outside.seconds)}).")
    told.append("You may still go on.")
    what = SETTLED[Goal(found.goal)]
    return BannerView("stop", f"Stop: no look that can be had here tells more about {what}.", " ".join(told))


def trouble_view(trouble: str | None) -> BannerView | None:
    """That the last change is not on disk, and what to do."""
    if trouble is None:
        return None
    return BannerView(
        "trouble", "Not kept on disk.", f"{trouble} Nothing is lost while this stays open; y tries again."
    )
