"""What is said of a serial number: the line it was read off, what is in dispute, what was assumed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hobmark.dating.serial_fits import Fit, life_years
from hobmark.knowledge.base import MakerFolder
from hobmark.knowledge.schema.serials import CENTURY, UNREAD, Anchor

LINE_IS_NO_FACT = "Between anchors the line is a hypothesis, never a fact: numbers were given out of turn and skipped."
YEAR_IS_OF_THE_PLATE = "The year is that of the plate: a range may have stood unfinished or unsold."
PLATE_ONLY = "It dates the part that bears it; whether that part belongs to this range is another question."


def contradiction(low: Anchor, high: Anchor) -> str:
    """In words: two anchors that cannot both be right."""
    one, other = (f"{a.serial} is dated {a.date} ({', '.join(a.sources)})" for a in (low, high))
    return f"{one}, but {other}"


def contradictions(fit: Fit) -> list[str]:
    """The contradictions that bear on a reading: those with an anchor from its lowest to its highest one."""
    block, reach = fit.block, [fit.block.numbers[at] for at in fit.places]
    if not reach:
        return []
    return [
        f"{contradiction(block.anchors[low], block.anchors[high])}: both count, and the years are widened over both."
        for low, high in block.contradictions
        if block.numbers[low] <= max(reach) and block.numbers[high] >= min(reach)
    ]


def source_words(folder: MakerFolder, source: str) -> str:
    """A source and its title."""
    known = folder.sources.get(source.partition(":")[0])
    return f"{source} ({known.title})" if known is not None else source


def block_words(folder: MakerFolder, fit: Fit) -> str:
    """When a number was made if it is of this block, and by what."""
    block, known = fit.block, fit.line.numbers
    named = [folder.families.get(name) or folder.variants.get(name) for name in block.of]
    whose = f" of {', '.join(each.label for each in named if each is not None)}" if block.of else ""
    form = f"({block.id}, {fit.pattern}{whose})"
    years = f"in {block.made or folder.maker.life}"
    if not fit.inside:
        return f"{years}, as the number looks like others but lies outside them {form}"
    if block.opens_with_year:
        low, high = (int(CENTURY + end) for end in (fit.numbers.min(), fit.numbers.max()))
        return f"in {low if low == high else f'{low} to {high}'}, the year it opens with {form}"
    if not len(known):
        return f"{years}, as nothing nearer is dated {form}"
    life = life_years(folder)
    share = fit.line.shares(fit.numbers, life).mean(axis=0)
    about = f"about {life[np.searchsorted(share.cumsum(), 0.5)]}"
    below, above = (f"{anchor.serial} of {anchor.date}" for anchor in (fit.anchors[0], fit.anchors[-1]))
    if fit.numbers.min() > known[-1]:
        return f"{about}, above the last dated number, {below} {form}"
    if fit.numbers.max() < known[0]:
        return f"{about}, below the first dated number, {below} {form}"
    if below == above:
        return f"{about}, as this number is dated {fit.anchors[0].date} {form}"
    return f"{about}, between {below} and {above} {form}"


def remarks(folder: MakerFolder, text: str, fits: Sequence[Fit]) -> list[str]:
    """What made the years wider, or what was assumed, a sentence each."""
    said = []
    if not fits[0].inside:
        said.append(
            f"No block of {folder.name} is known to hold this number: all years of those it looks like are open."
        )
    if len(fits) > 1:
        said.append(
            f"It fits {len(fits)} blocks, {', '.join(fit.block.id for fit in fits)}, and may be of any of them."
        )
    if unread := text.count(UNREAD):
        said.append(f"{unread} of its signs could not be read: everything that may stand there counts alike.")
    if any(_beyond(fit) for fit in fits):
        said.append("It lies beyond the dated numbers: the line is drawn on, at half to twice the pace.")
    if any(contradictions(fit) for fit in fits):
        said.append("Dated numbers near it contradict each other.")
    return said


def _beyond(fit: Fit) -> bool:
    known = fit.line.numbers
    return fit.inside and len(known) > 0 and bool(fit.numbers.min() < known[0] or fit.numbers.max() > known[-1])
