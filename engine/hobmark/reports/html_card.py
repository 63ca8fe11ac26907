"""What the set-up card needs as a page beside the report: its boxes, room to write, what stands where and how large.

A page asks no browser how it came out, so that the room its words take is reckoned from the markup: blocks of text,
rows of tables, lines to write on. Lengths are in millimetres of paper, type in points.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from html import unescape
from math import ceil

from hobmark.reports.setup_letters import once
from hobmark.reports.setup_shape import SetupReport, StepShown

SAMPLES = 4
"""Rows of the combustion log; one more where a record fills them."""
MARKS = 4
"""Marks of the dial with room to write; one more likewise."""
SIZES = tuple(tenths / 10 for tenths in range(84, 64, -1))
"""Sizes of type, the largest first; small print on a side stays at 6.5 points, whatever its size is."""
WIDE, HIGH = 192.0, 260.0
"""What both A4 and Letter leave of a sheet, less what the reckoning may be off by."""
TAG_TYPE = 7.2
"""The type of both sides of the tag, whatever a side of the card is set in."""
LONGER = 2.5
"""What a line to write on takes more on the tag than on the card."""
SPARE = 2.0
"""What a tag has more than it is reckoned to take, so that neither side grows beyond the other."""
EASY = 7.4
"""From this size on a side reads easily, and records stay on the side they are looked for on."""
COLUMNS, GAP = 3, 3.0
"""Columns of cautions and sources, and what parts them."""
SHARES = {
    9: (0.094, 0.079, 0.14, 0.14, 0.11, 0.14, 0.14, 0.079, 0.078),
    7: (0.09, 0.09, 0.145, 0.145, 0.145, 0.24, 0.145),
}
"""Shares that the columns of jets and of the log have of a side, by how many there are; as `card.css` has them."""
FILLED = 0.85
"""What words fill of a narrow line."""
ROW = 6.6
"""A row to write in, at least."""
POINT = 25.4 / 72
LETTER, LINE = 0.47, 1.2
"""Width of a letter and height of a line, as parts of the type."""
_RUNNING = re.compile(r'<ul class="sources columns">(.*?)</ul>', re.DOTALL)
_LISTED = re.compile(r'<ul class="[^"]*columns">(.*?)</ul>', re.DOTALL)
_HALVES = re.compile(r'<div class="halves">(.*?)</section>', re.DOTALL)
_OFF_PAPER = re.compile(r'<div class="off-paper">.*?</div>', re.DOTALL)
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


@dataclass(frozen=True, slots=True)
class Layout:
    """Which records stand on which side, and whether the sources stand in full on paper."""

    front: tuple[str, ...]
    back: tuple[str, ...]
    sources: bool


RECORDS = ("gas", "jets", "leak", "dial", "combustion")
LAYOUTS = (
    *(Layout(RECORDS[:first], RECORDS[first:], sources) for sources in (True, False) for first in (4, 5, 3, 2)),
    Layout(("jets",), ("gas", "leak", "dial", "combustion"), sources=False),
)
"""How a card may be laid out, what is tried first before the others: sources yield last of all."""


@dataclass(frozen=True)
class Sides:
    """The markup of the two sides and of the tag, which is cut off at the foot of both."""

    front: str
    back: str
    tag: str
    tag_back: str

    @cached_property
    def strip(self) -> int:
        """How high the tag is, the same on both sides, so that one cut leaves nothing of it on the card."""
        back = height(self.tag_back, TAG_TYPE) + self.tag_back.count('class="fill') * LONGER
        return ceil(max(height(self.tag, TAG_TYPE), back) + SPARE)

    @property
    def front_type(self) -> float:
        """The type of side one, in points."""
        return type_of(self.front, HIGH - self.strip)

    @property
    def back_type(self) -> float:
        """The type of side two, in points."""
        return type_of(self.back, HIGH - self.strip)

    @property
    def ease(self) -> float:
        """The smaller type of the two, in points; where a side does not fit, what it lacks in millimetres, negative."""
        smallest = SIZES[-1]
        over = max(height(side, smallest) for side in (self.front, self.back)) + self.strip - HIGH
        return -over if over > 0 else min(self.front_type, self.back_type)


def laid_out(rendered: Callable[[Layout], Sides]) -> Layout:
    """The first layout that reads easily; else the easiest of those with sources, where any fits; else of all."""
    ease: dict[Layout, float] = {}
    for layout in LAYOUTS:
        if not layout.sources and max(ease.values()) > 0:
            break
        ease[layout] = rendered(layout).ease
        if ease[layout] >= EASY:
            return layout
    return max(ease, key=lambda layout: ease[layout])


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


def type_of(side: str, room: float = HIGH) -> float:
    """The largest type in which the markup of a side fits in its room; the smallest where none does."""
    return next((points for points in SIZES if height(side, points) <= room), SIZES[-1])


def height(side: str, points: float) -> float:
    """What the markup of a side takes on paper."""
    em, total = points * POINT, 0.0
    side = _OFF_PAPER.sub("", side)
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
        shares = SHARES.get(len(cells), (1 / len(cells),) * len(cells))
        lines = max(_cell(cell, em, wide * share) for cell, share in zip(cells, shares, strict=True))
        return max(ROW, lines * LINE * em + em / 3)
    if 'class="fill' in given:
        return 5.0 + em / 4
    bigger = 1.5 if name == "h1" or 'class="box' in given else 1.0
    return _lines(inner, em * bigger, wide) * LINE * em * bigger + em / 12


def _cell(inner: str, em: float, wide: float) -> int:
    """Lines of a cell: what a number rests on begins one of its own, and a narrow line is never filled."""
    return sum(_lines(piece, em, (wide - em / 2) * FILLED) for piece in inner.split('<span class="grounds">'))


def _lines(inner: str, em: float, wide: float) -> int:
    letters = len(unescape(_TAG.sub("", inner)))
    return ceil(letters * LETTER * em / wide) if letters else 1
