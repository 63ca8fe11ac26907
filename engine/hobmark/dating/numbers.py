"""Numbers and years with unreadable signs: `?` stands for a digit, or for the comma of 2?108,343."""

from __future__ import annotations

import itertools
import re
from typing import NamedTuple

LONGEST = 7
"""Digits of the highest US patent number on a range of the time."""
FIRST_YEAR, LAST_YEAR = 1836, 2099
"""Years that a plate may name; US patents are numbered from 1836 on."""

_GROUPED = re.compile(r"[0-9?]{1,3}(?:[,. ]+[0-9?]{3})+")
_SIGNS = re.compile(r"[0-9?]+(?:[,. ]+[0-9?]+)*")
_MOST_SIGNS = 12


class Span(NamedTuple):
    """The least and the greatest number that a reading may stand for."""

    least: int
    greatest: int


def number_span(text: str) -> Span | None:
    """The numbers that `2,1?8,343` may stand for; None where it is no number of at most seven digits.

    A number does not begin with 0, so an unreadable first digit is 1 to 9.
    """
    text = text.strip()
    signs = re.sub(r"[,. ]", "", text)
    if len(text) > 3 * _MOST_SIGNS or not _SIGNS.fullmatch(text) or len(signs) > _MOST_SIGNS:
        return None
    readings = [signs] if len(signs) <= LONGEST else []
    if not readings or ("?" in text and text != signs and not _GROUPED.fullmatch(text)):
        readings += _with_commas_lost(text)
    spans = [span for reading in readings if (span := _span(reading)) is not None]
    return Span(min(s.least for s in spans), max(s.greatest for s in spans)) if spans else None


def _with_commas_lost(text: str) -> list[str]:
    """The readings in which some ? is an unreadable comma: three digits or a multiple of three stand behind it."""
    unread = [at for at, sign in enumerate(text) if sign == "?" and 0 < at < len(text) - 1]
    alone = [at for at in unread if text[at - 1] not in ",. " and text[at + 1] not in ",. "]
    readings = []
    for count in (1, 2):
        for taken in itertools.combinations(alone, count):
            marked = "".join("," if at in taken else sign for at, sign in enumerate(text))
            if _GROUPED.fullmatch(marked) and len(kept := re.sub(r"[,. ]", "", marked)) <= LONGEST:
                readings.append(kept)
    return readings


def _span(signs: str) -> Span | None:
    if not signs or signs[0] == "0":
        return None
    low = ("1" if signs[0] == "?" else signs[0]) + signs[1:].replace("?", "0")
    return Span(int(low), int(signs.replace("?", "9")))


def first_year(text: str) -> int | None:
    """The earliest year that `19?6` may stand for; None where it is no year at all."""
    if not re.fullmatch(r"[0-9?]{4}", text) or text == "????":
        return None
    pattern = re.compile(text.replace("?", "[0-9]"))
    return next((year for year in range(FIRST_YEAR, LAST_YEAR + 1) if pattern.fullmatch(str(year))), None)
