"""The likeliest variants and the years, live beside the question."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark.reasoning.examination import Examination
from hobmark.reports.page import seconds_words
from hobmark.reports.words import group_words, percent, short_group, years_words

from hobmark_tui.commands.showing import seconds_spent

SHOWN = 6
"""Lines of the ranking that are shown."""
LEAST = 0.005
"""Lines below this probability are not shown, but for the first and those near it."""
NEAR = 1 / 20
"""A line that is at least so probable beside the first is near it: where nothing stands out, that shows."""
HELD = 0.995
"""Share of the years' probability that the bars must hold."""


@dataclass(frozen=True, slots=True)
class LeaderLine:
    """One line of the ranking; `short` is its label without the maker, where there is no room for it."""

    label: str
    short: str
    probability: float
    percent: str
    years: str


@dataclass(frozen=True, slots=True)
class LeadersView:
    """The likeliest lines, and what the looks so far took."""

    lines: tuple[LeaderLine, ...]
    looks: str


@dataclass(frozen=True, slots=True)
class YearsView:
    """The years that hold nearly everything, one after another without a gap, and the likely stretch in words."""

    first: int
    chances: tuple[float, ...]
    says: str


def leaders_view(examination: Examination) -> LeadersView:
    """The likeliest lines of an examination."""
    ranking, base = examination.ranking, examination.compiled.base
    groups = examination.compiled.model.cells.groups
    order = sorted(range(len(groups)), key=lambda g: (-ranking.by_group[g], g))
    least = min(LEAST, NEAR * float(ranking.by_group[order[0]]))
    shown = [g for g in order[:SHOWN] if ranking.by_group[g] >= least]
    lines = []
    for g in shown:
        chance = float(ranking.by_group[g])
        years = "" if groups[g].unlisted else years_words(ranking.years_of(groups[g]))
        lines.append(
            LeaderLine(group_words(base, groups[g]), short_group(base, groups[g]), chance, percent(chance), years)
        )
    return LeadersView(tuple(lines), looks_so_far(examination))


def looks_so_far(examination: Examination) -> str:
    """How many looks were taken and what they took."""
    count = len(examination.case.answered())
    if not count:
        return "no look taken yet"
    spent = seconds_words(seconds_spent(examination))
    return f"{'1 look' if count == 1 else f'{count} looks'}, about {spent}"


def years_view(examination: Examination) -> YearsView:
    """The years of the range."""
    chances = examination.ranking.by_year
    years = sorted(chances)
    low, high = 0, len(years) - 1
    left = 1.0 - HELD
    while low < high and left > 0:  # from either end, the less likely first, as long as what is left out may be
        place = low if chances[years[low]] <= chances[years[high]] else high
        left -= chances[years[place]]
        if left < 0:
            break
        low, high = (low + 1, high) if place == low else (low, high - 1)
    shown = range(years[low], years[high] + 1)
    return YearsView(years[low], tuple(chances.get(year, 0.0) for year in shown), years_words(dict(chances)))
