"""Which year a US utility patent was issued in, by its number and the table of first numbers."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark.dating.numbers import number_span
from hobmark.knowledge.schema.dating import DatingTables, PublishedStatus

LEAST_LIKELY = 10_000
"""A number below this was issued long before there were gas ranges: more likely digits are lost."""


@dataclass(frozen=True, slots=True)
class IssueYears:
    """The years in which a number may have been issued; None where the table has no end there.

    `plausible`: whether it can be the number of a US patent on a range at all.
    """

    first: int | None
    last: int | None
    plausible: bool
    source: str
    status: PublishedStatus

    @property
    def words(self) -> str:
        """As a sentence about the number."""
        if not self.plausible:
            return "This is hardly the number of a US utility patent on a range. Look again for digits lost or added."
        if self.first is None and self.last is None:
            return "It may have been issued in any year."
        if self.first is None:
            return f"Issued in {self.last} or earlier."
        if self.last is None:
            return f"Issued in {self.first} or later; the table ends there."
        if self.first == self.last:
            return f"Issued in {self.first}."
        return f"Issued in one of the years {self.first} to {self.last}."


def issue_years(number_text: str, tables: DatingTables) -> IssueYears | None:
    """The years of issue of a number as it stands, with `?` for what cannot be read; None without a table.

    Where the first number of a year is not known, the years widen to both its neighbours.
    """
    rows = tables.patent_years
    if not rows:
        return None
    span = number_span(number_text)
    if span is None or span.greatest < LEAST_LIKELY:
        return IssueYears(None, None, False, rows[-1].source, rows[-1].status)
    begun = [row for row in rows if row.greatest <= span.least]
    later = [row for row in rows if row.least > span.greatest]
    first = begun[-1].year if begun else None
    last = later[0].year - 1 if later else None
    bearing = [*begun[-1:], *later[:1]]
    sources = dict.fromkeys(name.strip() for row in bearing for name in row.source.split(";"))
    status: PublishedStatus = "single" if any(row.status == "single" for row in bearing) else "verified"
    return IssueYears(first, last, True, "; ".join(sources), status)
