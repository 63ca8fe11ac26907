"""What the pages draw: the years of a range as bars, and the years of each assembly on one scale. Places are in years
from the left edge; a page stretches them to its width.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.knowledge.vocabulary import Originality
from hobmark.reports.identify import AssemblyFinding, Findings
from hobmark.reports.one_range import of_other_years
from hobmark.reports.strips import MARKS, NOT_OWN, strips_of
from hobmark.reports.words import percent

LEAST = 0.005
"""Years below this probability have no figure of their own."""
NARROWEST = 12
"""Years that a chart shows at least, so that no bar is as wide as it is high."""
ENOUGH_ROOM = 92.0
"""A year further right than this, in percent, has no room for its figures behind it."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A year of the scale: its label, and how far from the left it stands, in percent."""

    label: str
    left: float


@dataclass(frozen=True, slots=True)
class Bar:
    """One year: its place, and how high its bar is in percent of the highest."""

    place: int
    height: float


@dataclass(frozen=True, slots=True)
class YearChart:
    """The years of a range, `span` of them; `says`: year and chance in words."""

    span: int
    bars: tuple[Bar, ...]
    ticks: tuple[Tick, ...]
    says: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class StripShown:
    """One row of the strips: places of its possible and of its likeliest years, its years and its verdict in words."""

    name: str
    start: int
    length: int
    likely_start: int
    likely_length: int
    years: str
    verdict: str
    doubted: bool


@dataclass(frozen=True, slots=True)
class Strips:
    """All rows over one scale of `span` years; `loose`: some are changed too often to date by."""

    span: int
    ticks: tuple[Tick, ...]
    rows: tuple[StripShown, ...]
    loose: bool


def year_chart(found: Findings) -> YearChart:
    """The chart of the years of the whole range."""
    chances = {entry.year: entry.probability for entry in found.years if entry.probability >= LEAST}
    first, last = min(chances), max(chances)
    missing = max(0, NARROWEST - (last - first + 1))
    first, last = first - missing // 2, last + missing - missing // 2
    highest = max(chances.values())
    return YearChart(
        span=last - first + 1,
        bars=tuple(Bar(year - first, 100 * p / highest) for year, p in chances.items()),
        ticks=_ticks(first, last, centred=True),
        says=tuple((year, percent(p)) for year, p in chances.items()),
    )


def strips(found: Findings) -> Strips | None:
    """The strips of a report; None where fewer than two assemblies were looked at."""
    if len(found.assemblies) < 2:
        return None
    drawn, others = strips_of(found), of_other_years(found)
    first, last = min(row.first for row in drawn), max(row.last for row in drawn)
    rows = tuple(
        StripShown(
            name=row.name,
            start=row.first - first,
            length=row.last - row.first + 1,
            likely_start=row.likely[0] - first,
            likely_length=row.likely[1] - row.likely[0] + 1,
            years=str(row.first) if row.first == row.last else f"{row.first}-{row.last}",
            verdict=_verdict(finding, others) if finding is not None else "",
            doubted=row.mark != " ",
        )
        for row, finding in zip(drawn, (None, *found.assemblies), strict=True)
    )
    loose = not all(finding.dates for finding in found.assemblies)
    return Strips(last - first + 1, _ticks(first, last, centred=False), rows, loose)


def _verdict(finding: AssemblyFinding, others: Sequence[AssemblyFinding]) -> str:
    if finding.verdict is Originality.AS_LEFT_THE_WORKS:
        return "own, see below" if finding in others else "own"
    mark = MARKS.get(finding.verdict, NOT_OWN)
    return f"{mark} {'doubtful' if mark != NOT_OWN else 'not its own'}, {percent(finding.not_its_own)}"


def _ticks(first: int, last: int, *, centred: bool) -> tuple[Tick, ...]:
    """Round years, at most eight; `centred` under the middle of their year, else at its beginning."""
    span = last - first + 1
    every = next(step for step in (1, 2, 5, 10, 20, 50, 100, span) if span <= 8 * step)
    years = range(-(-first // every) * every, last + 1, every)
    ticks = (Tick(str(year), 100 * (year - first + 0.5 * centred) / span) for year in years)
    return tuple(tick for tick in ticks if centred or tick.left <= ENOUGH_ROOM)
