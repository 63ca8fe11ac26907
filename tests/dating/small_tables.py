"""Tables small enough to know by heart, and the shipped ones, read once."""

from __future__ import annotations

from functools import cache

from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.dating import DatingTables, PatentYear


@cache
def shipped() -> DatingTables:
    return read_base([knowledge_root()]).dating


def year(year: int, first: int | tuple[int, int], status: str = "verified") -> PatentYear:
    where = {"first": first} if isinstance(first, int) else {"within": first}
    return PatentYear.model_validate(
        {"id": f"us-{year}", "year": year, "source": f"list of {year}", "status": status, **where}
    )


def tables(*years: PatentYear) -> DatingTables:
    return DatingTables(patent_years=years)
