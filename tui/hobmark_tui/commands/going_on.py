"""What a session may go on with once its question is answered: the year, and the parts nobody looked at."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.questions import Look, cannot_tell, ranked_looks
from hobmark.reasoning.stopping import verdict
from hobmark.reports.page import seconds_words

LEAST_BITS = 1e-6
"""Cell bits below this are rounding: such a look tells nothing, of a swapped part either."""
AT_THE_END = "u takes back the last answer or pass, f WORD takes another look, r shows the ranking; Enter or q stops."
"""What may always be typed when there is nothing left to ask."""
SETTLED = {Goal.VARIANT: "it", Goal.YEAR: "the year", Goal.MAKER: "the maker", Goal.CLAIM: "the claim"}
"""What is settled, by goal."""


@dataclass(frozen=True)
class GoingOn:
    """What may be gone on with: why not with the year (None: it may), and a look at each part not seen yet."""

    year_refused: str | None
    parts: list[Look]

    @property
    def line(self) -> str:
        """What may be typed when there is nothing left to ask."""
        said = [] if self.year_refused else ["y goes on until the year is settled"]
        if self.parts:
            which = "the part" if len(self.parts) == 1 else f"the {len(self.parts)} parts"
            seconds = seconds_words(sum(look.seconds for look in self.parts))
            said.append(f"m looks at {which} not seen yet ({seconds})")
        return "; ".join([*said, AT_THE_END])

    def refusal(self, letter: str) -> str:
        """Why the year or the parts cannot be gone on with; empty for any other letter."""
        if letter == "m":
            return "Every part that can be seen here was looked at. "
        return f"{self.year_refused} " if letter == "y" else ""


def going_on(offered: Examination, year: Examination) -> GoingOn:
    """What may be gone on with after an examination; `year` is the same one with the year as its goal."""
    return GoingOn(_year_refused(offered, year), part_looks(offered, frozenset()))


def _year_refused(offered: Examination, year: Examination) -> str | None:
    if year.settled:
        return "The year is settled already."
    if offered.goal is Goal.YEAR or verdict(year).stop:
        return "No look that can be had here tells more about the year."
    return None


def part_looks(offered: Examination, done: Collection[str]) -> list[Look]:
    """For every assembly that may be another range's, is not seen yet and not `done`: the look telling most a second.

    It is the cell bits that count: what settles the goal has been seen, and a part of another range shows in any of
    its features that differ from cell to cell.
    """
    base, model = offered.compiled.base, offered.compiled.model
    touched = {model.assemblies[a] for a in offered.ranking.touched}
    best: dict[str, tuple[float, Look]] = {}
    for look in ranked_looks(base, dict(offered.expected), offered.situation, also=offered.also):
        assembly = base.features[look.feature].assembly
        bits = offered.expected[look.feature].cell_bits
        if base.assemblies[assembly].swapped is None or assembly in touched or assembly in done or bits < LEAST_BITS:
            continue
        told = bits * (1 - cannot_tell(base, look.feature)) / look.seconds
        if assembly not in best or told > best[assembly][0]:
            best[assembly] = (told, look)
    return [best[assembly][1] for assembly in base.assemblies if assembly in best]
