"""What shows at once after a key: the look, the ranking and the years. What takes longer follows."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark_tui.views.leaders import LeadersView, YearsView, leaders_view, years_view
from hobmark_tui.views.look import LookView, look_view
from hobmark_tui.views.standing import Standing


@dataclass(frozen=True, slots=True)
class AtOnce:
    """One standing as it is first shown; `look` is None where there is nothing left to ask."""

    standing: Standing
    look: LookView | None
    leaders: LeadersView
    years: YearsView


def at_once(standing: Standing) -> AtOnce:
    """The pieces of a standing that cost little."""
    return AtOnce(standing, look_view(standing), leaders_view(standing.now), years_view(standing.now))
