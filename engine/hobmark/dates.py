"""Dates as curators write them: EDTF (Library of Congress, 4 Feb 2019; ISO 8601-2:2019), read by the `edtf` package.

A date is kept as its text and two points in decimal years, so that 1942-09 covers 1942.667 to 1942.75.
"""

from __future__ import annotations

import contextlib
import io
import math
import re
import time
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Years = NDArray[np.float64]
"""One number for each year of a range of years."""
Starts = NDArray[np.int64] | NDArray[np.float64]
"""Where stretches of time begin, in decimal years."""

APPROXIMATE_YEARS = 1.0
"""How far `~` or `?` moves each end; `%` moves it twice as far (our choice; EDTF leaves the width open)."""

MOST_MOMENTS = 400
"""Quarter years over which an uncertain change is spread; a hundred years say no more than this."""

_WIDER = {"~": 1.0, "?": 1.0, "%": 2.0}


_ONE = r"(1[0-9]{3}|20[0-9]{2})(?:-(0[1-9]|1[0-2]))?"
_PLAIN = re.compile(rf"{_ONE}")
_LASTING = re.compile(rf"(?:({_ONE})|\.\.)/(?:({_ONE})|\.\.)")
_ONE_OF = re.compile(r"\[([0-9]{4})?\.\.([0-9]{4})?\]")
# The package takes some 40 ms a date and a base holds hundreds: the plainest forms are read here, and a test holds
# every such reading against the package's own.


class NotADate(ValueError):
    """The text is no EDTF date; str() says what is wrong and what to write instead."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time: `earliest` (included) to `latest` (excluded) in decimal years; open ends are infinite.

    `lasting` tells an interval that lasts (1946/1948) from one unknown point inside it ([1946..1948], 194X, 1947).
    """

    text: str
    earliest: float
    latest: float
    lasting: bool

    @property
    def first_year(self) -> int | None:
        """The first year it touches, None where it is open."""
        return None if math.isinf(self.earliest) else math.floor(self.earliest)

    @property
    def last_year(self) -> int | None:
        """The last year it touches, None where it is open."""
        return None if math.isinf(self.latest) else math.ceil(self.latest) - 1


_PARTS_OF_A_YEAR = (21, 41)


@lru_cache(maxsize=4096)
def read_span(text: str) -> Span:
    """Read an EDTF text of level 0, 1 or 2; raise NotADate with a remedy."""
    if not text.strip() or len(text) > 60:
        raise NotADate(f"'{text[:60]}' is not an EDTF date. Write a year, as 1939, or one of [1939..1941].")
    low, high = _plain_points(text) or packaged_points(text)
    if low >= high:
        raise NotADate(f"'{text}' ends before it starts. Write the earlier date first.")
    start, lasting, end = text.partition("/")
    return Span(text, low - _wide(start), high + _wide(end if lasting else start), bool(lasting))


def _wide(one: str) -> float:
    """How far the marks of one date move its ends: the widest counts, wherever in the date it stands."""
    return APPROXIMATE_YEARS * max(_WIDER.get(sign, 0.0) for sign in one or " ")


def packaged_points(text: str) -> tuple[float, float]:
    """Earliest and latest point of an EDTF text in decimal years, as the `edtf` package reads it; or NotADate."""
    from edtf import EDTFParseException, parse_edtf

    try:
        if any(sign.isspace() for sign in text):  # the package passes over blanks; EDTF has none
            raise ValueError(text)
        with contextlib.redirect_stdout(io.StringIO()):  # where it gives up on some texts it prints what it tried
            parsed = parse_edtf(text)
        if getattr(parsed, "significant_digits", None):  # 1950S2: only the first two digits are vouched for
            return _decimal(parsed.lower_fuzzy()), _decimal(parsed.upper_fuzzy(), end=True)
        # To the package an unknown end is ten years off; here it is open: nothing is known of it.
        low = -math.inf if text.startswith("/") else _decimal(parsed.lower_strict())
        return low, math.inf if text.endswith("/") else _decimal(parsed.upper_strict(), end=True)
    except (EDTFParseException, ValueError, TypeError, AttributeError, ArithmeticError, NotImplementedError):
        raise NotADate(f"'{text}' is not an EDTF date. {_remedy(text)}") from None


def _plain_points(text: str) -> tuple[float, float] | None:
    if match := _PLAIN.fullmatch(text):
        return _low(match[1], match[2]), _high(match[1], match[2])
    if (match := _LASTING.fullmatch(text)) and (match[1] or match[4]):
        low = _low(match[2], match[3]) if match[1] else -math.inf
        return low, _high(match[5], match[6]) if match[4] else math.inf
    if (match := _ONE_OF.fullmatch(text)) and (match[1] or match[2]):
        low = float(match[1]) if match[1] else -math.inf
        return low, float(match[2]) + 1 if match[2] else math.inf
    return None


def _low(year: str, month: str | None) -> float:
    return int(year) + (int(month) - 1) / 12 if month else float(year)


def _high(year: str, month: str | None) -> float:
    return int(year) + int(month) / 12 if month else float(year) + 1


def read_ends(text: str) -> tuple[Span, Span]:
    """Split a lasting date into the spans of its start and its end; a single date starts and ends within itself.

    `1941~/1946` starts somewhere about 1941. An open end gives an infinite span.
    """
    whole = read_span(text)
    if not whole.lasting:
        return whole, whole
    start, _, end = text.partition("/")
    return _end(start, -math.inf), _end(end, math.inf)


def _end(text: str, where_open: float) -> Span:
    if text in ("", ".."):
        return Span(text, where_open, where_open, lasting=False)
    return read_span(text)


def _decimal(moment: time.struct_time | float, *, end: bool = False) -> float:
    if isinstance(moment, int | float):
        return float(moment)
    year, month, day = moment.tm_year, moment.tm_mon, moment.tm_mday
    if end:  # the day itself is still inside: the point after it bounds it
        return year + month / 12 if day >= 28 else year + (month - 1) / 12 + day / 365
    return year + (month - 1) / 12 + (day - 1) / 365


def years_meant(text: str) -> tuple[str, str] | None:
    """The years somebody meant by `1937-39`, which in EDTF is the third of the thirds of 1937; else None.

    Its codes of seasons, quarters, thirds and halves of a year are 21 to 41.
    """
    match = re.fullmatch(r"(1[89])([0-9]{2})-([0-9]{2})", text)
    if match is None or not _PARTS_OF_A_YEAR[0] <= int(match[3]) <= _PARTS_OF_A_YEAR[1] or match[2] >= match[3]:
        return None
    return match[1] + match[2], match[1] + match[3]


def _remedy(text: str) -> str:
    numbers = re.findall(r"(?<![0-9])[0-9]{4}(?![0-9])", text)
    if len(numbers) == 2:
        first, last = sorted(numbers)
        return f"Write {first}/{last} (lasting) or [{first}..{last}] (one of)."
    if len(numbers) == 1:
        return f"Write {numbers[0]}, {numbers[0]}~ (about) or {numbers[0]}/.. (from then on)."
    return "Write a year, as 1939, 1939~ (about), 1939/1941 (lasting) or [1939..1941] (one of)."


def share_of_years(start: Span, end: Span, years: Starts, width: float = 1.0) -> Years:
    """How much of each stretch [y, y + width) lies inside a production from `start` to `end`; values 0 to 1.

    A start or end known only to a stretch of years ramps linearly over it, and one known on one side only is taken
    there. A lasting range is read to its last day.
    """
    return np.asarray(_begun(start, years, width) * (1.0 - _ended(end, years, width)), dtype=np.float64)


def overlap(span: Span, years: Starts) -> Years:
    """How much of each year [y, y+1) lies inside a span; values 0 to 1. For one moment somewhere in the span."""
    return np.asarray(np.clip(np.minimum(years + 1.0, span.latest) - np.maximum(years, span.earliest), 0, 1))


def _begun(start: Span, years: Starts, width: float) -> Years:
    if math.isinf(start.earliest):
        return np.ones(len(years))
    # A start known to one year or less counts from its first day: nobody means "half of 1937" by 1937.
    latest = start.latest - 1.0 if 1.0 < start.latest - start.earliest < math.inf else start.earliest
    return ramp(start.earliest, latest, years, width)


def _ended(end: Span, years: Starts, width: float) -> Years:
    if math.isinf(end.latest):
        return np.zeros(len(years))
    earliest = end.earliest + 1.0 if 1.0 < end.latest - end.earliest < math.inf else end.latest
    return ramp(earliest, end.latest, years, width)


def ramp(low: float, high: float, years: Starts, width: float = 1.0) -> Years:
    """Mean over each stretch [y, y + width) of a step whose moment is uniform on low..high (a plain step for one)."""
    long = max(high - low, 0.0)

    def passed(until: NDArray[np.float64]) -> Years:  # the integral up to a point
        over = np.maximum(until - low - long, 0.0)
        return np.asarray(over + (np.clip((until - low) / long, 0, 1) ** 2 * long / 2 if long else 0.0))

    # A stretch wholly past it counts whole: a trace less than 1 would leave a trace of production in every later year.
    begins = np.asarray(years, dtype=np.float64)
    return np.where(begins >= low + long, 1.0, (passed(begins + width) - passed(begins)) / width)


def within_old_stock(moment: Span, run_out_years: float, years: Starts, width: float = 1.0) -> Years:
    """P(after the change, and before its old stock can have ended | made in [y, y + width)).

    A change at `moment`, its old stock used up over `run_out_years`; the end is the latest that the date leaves.
    Raises NotADate as `changed_by`.
    """
    end = moment.latest + run_out_years
    return changed_by(moment, 0, years, width) * (1.0 - ramp(end, end, years, width))


def changed_by(moment: Span, run_out_years: float, years: Starts, width: float = 1.0) -> Years:
    """P(after the change | made in [y, y + width)): a change at `moment`, old stock used up over `run_out_years`.

    The moment is spread over its uncertain date on a quarter-year grid; within it P is the mean over the year of
    clip((u - t) / W, 0, 1), and a step for W = 0.
    """
    if math.isinf(moment.earliest) or math.isinf(moment.latest):
        raise NotADate(f"'{moment.text}' leaves the change without a date. Give both ends, as [1938..1939].")
    uncertain = moment.latest - moment.earliest
    if uncertain <= 1.0 and not moment.text.startswith("["):
        moments = np.array([moment.earliest])
    else:
        moments = moment.earliest + (np.arange(max(1, round(uncertain * 4))) + 0.5) / 4
    moments = moments[:MOST_MOMENTS]
    return np.asarray(np.mean([ramp(t, t + run_out_years, years, width) for t in moments], axis=0), dtype=np.float64)
