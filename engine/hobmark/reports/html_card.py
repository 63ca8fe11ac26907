"""What the set-up card needs as a page beside the report: its boxes, room to write, and the size of type for each side.

A page asks no browser how it came out, so that the room its words take is reckoned from the markup: blocks of text,
rows of tables, lines to write on. Lengths are in millimetres of paper, type in points.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import unescape
from math import ceil

from hobmark.reports.setup_letters import once
from hobmark.reports.setup_shape import SetupReport, StepShown

SAMPLES = 4
"""Rows of the combustion log; one more where a record fills them."""
MARKS = 4
"""Marks of the dial with room to write; one more likewise."""
SIZES = tuple(tenths / 10 for tenths in range(84, 65, -1))
"""Sizes of type, the largest first; small print on a side stays at 6.5 points, whatever its size is."""
WIDE, HIGH = 192.0, 259.0
"""What both A4 and Letter leave of a sheet, less what the reckoning may be off by."""
COLUMNS, GAP = 3, 3.0
"""Columns of cautions and sources, and what parts them."""
ROW = 6.6
"""A row to write in, at least."""
POINT = 25.4 / 72
LETTER, LINE = 0.47, 1.2
"""Width of a letter and height of a line, as parts of the type."""
_RUNNING = re.compile(r'<ul class="sources columns">(.*?)</ul>', re.DOTALL)
_LISTED = re.compile(r'<ul class="[^"]*columns">(.*?)</ul>', re.DOTALL)
_HALVES = re.compile(r'<div class="halves">(.*?)</section>', re.DOTALL)
_BLOCK = re.compile(r"<(h[1-3]|p|li|dd|caption|tr)\b([^>]*)>(.*?)</\1>", re.DOTALL)
_CELL = re.compile(r"<t[hd]\b[^>]*>(.*?)</t[hd]>", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")


@dataclass(frozen=True, slots=True)
class Card:
    """What the templates of the card take beside the report; `of_jets`: cautions that the figures of the jets bear."""

    boxes: tuple[StepShown, ...]
    of_jets: tuple[str, ...]
    blank_samples: int
    blank_marks: int


def card_of(report: SetupReport) -> Card:
    """What a card shows that a report does not say itself."""
    figures = [
        each.cautions
        for place in report.gas.places
        for each in (place.heat, place.share, place.drill_bore, *place.bores)
        if each is not None
    ]
    return Card(
        boxes=tuple(step for section in report.sections for step in section.steps if step.box),
        of_jets=tuple(once(figures)) or ("wrong_gas",),
        blank_samples=max(SAMPLES - len(report.record.combustion), 1),
        blank_marks=max(MARKS - len(report.record.dial), 1),
    )


def type_of(side: str) -> float:
    """The largest type in which the markup of a side fits on paper; the smallest where none does."""
    return next((points for points in SIZES if height(side, points) <= HIGH), SIZES[-1])


def height(side: str, points: float) -> float:
    """What the markup of a side takes on paper."""
    em, total = points * POINT, 0.0
    for columns, kind in ((COLUMNS, _RUNNING), (COLUMNS, _LISTED), (2, _HALVES)):
        wide = (WIDE - (columns - 1) * GAP) / columns
        for found in kind.findall(side):
            total += (_lines(found, em, wide) * LINE * em if kind is _RUNNING else _blocks(found, em, wide)) / columns
            total += 2 * em  # columns are never filled alike
        side = kind.sub("", side)
    return total + side.count("<section") * em + _blocks(side, em, WIDE)


def _blocks(markup: str, em: float, wide: float) -> float:
    return sum(_block(name, given, inner, em, wide) for name, given, inner in _BLOCK.findall(markup))


def _block(name: str, given: str, inner: str, em: float, wide: float) -> float:
    if "data-is" in inner:  # a row to write in
        cells = _CELL.findall(inner)
        lines = max(_lines(cell, em, wide / len(cells) - em / 2) for cell in cells)
        return max(ROW, lines * LINE * em + em / 3)
    if 'class="fill' in given:
        return 5.0 + em / 4
    bigger = 1.5 if name == "h1" or 'class="box' in given else 1.0
    return _lines(inner, em * bigger, wide) * LINE * em * bigger + em / 12


def _lines(inner: str, em: float, wide: float) -> int:
    letters = len(unescape(_TAG.sub("", inner)))
    return ceil(letters * LETTER * em / wide) if letters else 1
