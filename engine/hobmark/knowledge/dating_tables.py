"""The dating tables of one or several folders put together, and what may not stand in them beside each other."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Annotated

from pydantic import BeforeValidator, RootModel

from hobmark.knowledge.schema.dating import DatingRow, DatingTables, PatentYear
from hobmark.knowledge.written import Written
from hobmark.problems import Problem


def _none_yet(entries: object) -> object:
    return () if entries == {} else entries


class PatentFile(RootModel[Annotated[tuple[PatentYear, ...], BeforeValidator(_none_yet)]]):
    """reference/us_patents.yaml."""


class DatingFile(RootModel[Annotated[tuple[DatingRow, ...], BeforeValidator(_none_yet)]]):
    """The other dating tables of reference/, one file a subject."""


def tables_of(
    patents: Sequence[Written[PatentFile]], rows: Sequence[Written[DatingFile]], problems: list[Problem]
) -> DatingTables:
    """The tables of all files, patent years in order; problems of what does not go together are added."""
    _only_once([*patents, *rows], problems)
    years = sorted(
        ((year, written, at) for written in patents for at, year in enumerate(written.entry.root)),
        key=lambda placed: placed[0].year,
    )
    for (earlier, _, _), (later, written, at) in itertools.pairwise(years):
        if earlier.year == later.year:
            problems.append(written.problem((at, "year"), f"the year {later.year} stands twice.", "Keep one of them."))
        elif later.least <= earlier.greatest:
            field = "first" if later.first is not None else "within"
            message = f"{later.year} begins with {later.least}, no more than {earlier.year} does."
            problems.append(written.problem((at, field), message, "Mend the number or the year."))
    return DatingTables(
        patent_years=tuple(year for year, _, _ in years),
        rows=tuple(row for written in rows for row in written.entry.root),
    )


def _only_once(files: Sequence[Written[PatentFile] | Written[DatingFile]], problems: list[Problem]) -> None:
    seen: dict[str, str] = {}
    for written in files:
        entries: tuple[PatentYear | DatingRow, ...] = written.entry.root
        for at, entry in enumerate(entries):
            if entry.id in seen:
                message = f"duplicate id '{entry.id}', used in {seen[entry.id]}."
                problems.append(written.problem((at, "id"), message, "Choose a new one."))
            seen.setdefault(entry.id, written.path)
