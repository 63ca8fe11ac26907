"""Date strips in plain characters: the years of the range and of each assembly, one under another on one scale."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from hobmark.knowledge.vocabulary import Originality
from hobmark.reasoning.originality import held_years
from hobmark.reports.identify import Findings, YearChance
from hobmark.reports.page import Line

LIKELY, POSSIBLE = "#", "-"
"""The shortest stretch with half of the years' chance, and what is left of the stretch with 95%."""
KEY = f"({LIKELY} likeliest years, {POSSIBLE} possible; each part by itself"
"""What the signs mean; what is marked beside them is added."""
MARKS = {Originality.AS_LEFT_THE_WORKS: " ", Originality.DOUBTFUL: "?"}
"""The sign behind a strip; every other verdict is "not its own"."""
NOT_OWN = "!"


@dataclass(frozen=True, slots=True)
class Strip:
    """One row: its name, the years of its two stretches, and the sign behind it."""

    name: str
    first: int
    last: int
    likely: tuple[int, int]
    mark: str = " "


def strip_lines(found: Findings, width: int) -> list[str]:
    """The strips of a report, no line longer than `width`; none where fewer than two assemblies were looked at."""
    if len(found.assemblies) < 2:
        return []
    rows = strips_of(found)
    return [*drawn(rows, width), *_key(rows, not all(finding.dates for finding in found.assemblies))]


def strips_of(found: Findings) -> list[Strip]:
    """The row of the range, and below it one for each assembly of the findings, in their order."""
    whole = found.originality
    rows = [Strip("the range", whole.first, whole.last, _likely(found.years))]
    for finding in found.assemblies:
        name = finding.label if finding.dates else f"{finding.label}*"
        mark = MARKS.get(finding.verdict, NOT_OWN)
        rows.append(Strip(name, finding.first, finding.last, _likely(finding.years), mark))
    return rows


def _likely(years: Iterable[YearChance]) -> tuple[int, int]:
    chances = {entry.year: entry.probability for entry in years}
    total = sum(chances.values())
    return held_years({year: p / total for year, p in _filled(chances).items()}, 0.5)


def _filled(chances: Mapping[int, float]) -> dict[int, float]:
    return {year: chances.get(year, 0.0) for year in range(min(chances), max(chances) + 1)}


def drawn(rows: list[Strip], width: int) -> list[str]:
    """Scale and rows; as many years to a character as it takes to fit."""
    column = max(len(row.name) for row in rows)
    space = max(8, width - column - 5)
    first = min(row.first for row in rows)
    last = max(row.last for row in rows)
    step = -(-(last - first + 1) // space)
    first -= first % step
    lines = [f"  {'':{column}}  {_scale(first, last, step, space)}".rstrip()]
    for row in rows:
        places = range((last - first) // step + 1)
        signs = "".join(_sign(row, first + place * step, step) for place in places)
        lines.append(f"  {row.name:{column}} {row.mark}{signs}".rstrip())
    return lines


def _sign(row: Strip, year: int, step: int) -> str:
    if row.likely[0] < year + step and row.likely[1] >= year:
        return LIKELY
    return POSSIBLE if row.first < year + step and row.last >= year else " "


def _scale(first: int, last: int, step: int, space: int) -> str:
    """Decades at the character of their first year, as far apart as their figures need."""
    signs = [" "] * space
    every = 10 if 10 // step >= 5 else 20
    free = 0
    for year in range(-(-first // every) * every, last + 1, every):
        place = (year - first) // step
        if free <= place <= space - 4:
            signs[place : place + 4] = str(year)
            free = place + 5
    return "".join(signs)


def _key(rows: Iterable[Strip], loose: bool) -> list[str]:
    marks = {row.mark for row in rows}
    told = [KEY]
    if NOT_OWN in marks:
        told.append(f"{NOT_OWN} not this range's own")
    if "?" in marks:
        told.append("? doubtful")
    if loose:
        told.append("* changed too often to date by")
    return ["; ".join(told) + ")"]


def key_line(text: str) -> Line:
    """The key as a paragraph that folds."""
    return Line(text, "  ", "  ")
