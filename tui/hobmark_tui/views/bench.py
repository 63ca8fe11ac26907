"""What belongs to the pages of the bench and not to the case: the symptom at hand and the part that is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from hobmark.reports.page import Line, wrapped

NO_BREAK = "\N{NO-BREAK SPACE}"
"""A space at which no line is folded."""


@dataclass(frozen=True, slots=True)
class Bench:
    """What is on the page; all that is said there stands in the case's bench record.

    `part` is an id, a number or a kind that was asked for.
    """

    symptom: str | None = None
    part: str | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A plain text: how it is folded to a width, paragraph by paragraph."""

    fold: Callable[[int], Sequence[str]]


def sheet_of(lines: Iterable[Line]) -> Sheet:
    """Lines one under another."""
    told = tuple(lines)
    return Sheet(lambda width: [wrapped(line.text, line.first, line.rest, width) for line in told])
