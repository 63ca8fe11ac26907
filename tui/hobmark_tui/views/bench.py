"""What was said at the bench of one range: a symptom, what checks have shown, the gas, the height, the part."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from hobmark.bench.fuel import Evidence
from hobmark.knowledge.quantities import Quantity
from hobmark.knowledge.schema.bench import Gas
from hobmark.reports.page import Line, wrapped

NO_BREAK = "\N{NO-BREAK SPACE}"
"""A space at which no line is folded."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What one check of a symptom has shown; `says` is both in words."""

    symptom: str
    check: str
    outcome: str
    says: str


@dataclass(frozen=True, slots=True)
class Bench:
    """What is not in the case, whose file has no place for it; kept as long as the case is open.

    `part` is an id, a number or a kind that was asked for.
    """

    symptom: str | None = None
    checked: tuple[Checked, ...] = ()
    gas: Gas | None = None
    altitude: Quantity | None = None
    clues: tuple[Evidence, ...] = ()
    part: str | None = None

    @property
    def checked_here(self) -> tuple[Checked, ...]:
        """What was checked for the symptom at hand, in order."""
        return tuple(each for each in self.checked if each.symptom == self.symptom)

    @property
    def found(self) -> list[tuple[str, str]]:
        """The same as the engine takes it: check and outcome."""
        return [(each.check, each.outcome) for each in self.checked_here]

    def with_checked(self, checked: Checked) -> Bench:
        """One more outcome."""
        return replace(self, checked=(*self.checked, checked))

    def without_last_check(self) -> Bench:
        """Without the last outcome of the symptom at hand."""
        last = self.checked_here[-1:]
        return replace(self, checked=tuple(each for each in self.checked if each not in last))

    def with_clue(self, clue: Evidence) -> Bench:
        """One more clue to the gas; an earlier one of its kind gives way."""
        return replace(self, clues=(*(each for each in self.clues if each.clue != clue.clue), clue))


@dataclass(frozen=True, slots=True)
class Sheet:
    """A plain text: how it is folded to a width, paragraph by paragraph."""

    fold: Callable[[int], Sequence[str]]


def sheet_of(lines: Iterable[Line]) -> Sheet:
    """Lines one under another."""
    told = tuple(lines)
    return Sheet(lambda width: [wrapped(line.text, line.first, line.rest, width) for line in told])
