"""Dates and originality: the years of the range and of every assembly on one scale, and what is known of each."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

from hobmark.reports.identify import AssemblyFinding, Findings, Step
from hobmark.reports.one_range import CARRIED_OVER, OLD_STOCK, comes_from
from hobmark.reports.strips import strip_lines
from hobmark.reports.words import percent

from hobmark_tui.views.paragraphs import HEADING, QUIET, Paragraph
from hobmark_tui.views.parts import VERDICTS, Sign, sign_of

THICKEST = 3
"""Cells of one year where there is all the room in the world."""
SOLID = str.maketrans({"#": "█", "-": "─"})
"""The signs of a plain report as a screen can draw them."""


@dataclass(frozen=True, slots=True)
class StripLine:
    """One line of the timeline, and the sign of the assembly it is of; None for the range, the scale and the key."""

    text: str
    sign: Sign | None = None


def timeline(found: Findings, width: int) -> list[StripLine]:
    """The strips, drawn as wide as there is room, and their key."""
    strips = strip_lines(found, width)
    if not strips:
        return [StripLine("The timeline is drawn once two assemblies were looked at.")]
    column = max(len(entry.label) for entry in found.assemblies)
    start = 4 + max(column + (not all(entry.dates for entry in found.assemblies)), len("the range"))
    longest = max(len(line) for line in strips[:-1]) - start
    thick = max(1, min(THICKEST, (width - start) // longest))
    signs = [None, *(sign_of(entry.verdict) for entry in found.assemblies)]
    drawn = [StripLine(strips[0][:start] + _spread(strips[0][start:], thick))]
    for line, sign in zip(strips[1:-1], signs, strict=True):
        drawn.append(StripLine(line[:start] + "".join(c * thick for c in line[start:]).translate(SOLID), sign))
    key = f"{strips[-1][:40].translate(SOLID)}{strips[-1][40:]}"
    return [*drawn, *(StripLine(line) for line in textwrap.wrap(key, width, break_on_hyphens=False))]


def _spread(scale: str, thick: int) -> str:
    """The figures of a scale, each as many times further along as a year is wide."""
    spread = ""
    for figure in re.finditer(r"\d+", scale):
        spread = spread.ljust(figure.start() * thick) + figure[0]
    return spread


def dates_view(found: Findings) -> tuple[Paragraph, ...]:
    """What is said below the timeline: the verdict, each doubted assembly, the sound ones, words and numbers."""
    return tuple(_paragraphs(found))


def _paragraphs(found: Findings) -> Iterator[Paragraph]:
    window = found.window
    yield Paragraph("Is it all one range?", style=HEADING)
    yield Paragraph(found.originality.says if found.assemblies else "Nothing was looked at yet.")
    yield Paragraph(
        f"The likeliest three years in a row, {window.first}-{window.last}, hold {percent(window.probability)}."
    )
    doubted = [entry for entry in found.assemblies if sign_of(entry.verdict) is not Sign.OWN]
    for entry in sorted(doubted, key=lambda each: -each.not_its_own):
        yield from _doubted(entry)
    sound = [entry for entry in found.assemblies if sign_of(entry.verdict) is Sign.OWN]
    if sound:
        yield Paragraph(f"{Sign.OWN} as they left the works", style=HEADING)
        yield Paragraph("; ".join(f"{entry.label} ({entry.first}-{entry.last})" for entry in sound), 2)
    for said in found.originality.old_stock:
        yield Paragraph(f"{OLD_STOCK}: {said}", 2)
    if found.originality.carried_over:
        labels = {entry.assembly: entry.label for entry in found.assemblies}
        names = ", ".join(labels[name] for name in found.originality.carried_over)
        yield Paragraph(f"{CARRIED_OVER}: {names}", 2)
    if found.gone:
        yield Paragraph(f"gone: {', '.join(found.gone)}", 2)
    if found.not_looked_at:
        yield Paragraph(f"{Sign.UNSEEN} not looked at: {', '.join(found.not_looked_at)}", style=QUIET)
    dating = [
        step for step in found.trace if step.kind == "dating" or (step.kind == "contradiction" and not step.maker)
    ]
    if dating:
        yield Paragraph("Words and numbers on its parts", style=HEADING)
    for step in dating:
        yield from _dating(step)


def _doubted(entry: AssemblyFinding) -> Iterator[Paragraph]:
    sign = sign_of(entry.verdict)
    yield Paragraph(
        f"{sign} {entry.label}: {VERDICTS[entry.verdict]} ({percent(entry.not_its_own)} that it is not its own)",
        style=HEADING,
    )
    yield Paragraph(entry.says[0].upper() + entry.says[1:] + ".", 2)
    yield Paragraph(comes_from(entry), 2)
    for reason in entry.because:
        if abs(reason.decibans) >= 1:
            sources = f" [{', '.join(reason.sources[:3])}]" if reason.sources else ""
            yield Paragraph(f"{reason.decibans:+5.1f} decibans  {reason.says}{sources}", 4, QUIET)
    if entry.belongs:
        yield Paragraph(f"what belongs there: {'; '.join(entry.belongs)}", 2)


def _dating(step: Step) -> Iterator[Paragraph]:
    weight = "" if step.weighed else " (not weighed)"
    yield Paragraph(f"{'; '.join(step.from_)}{weight}", 2)
    for gives in step.gives:
        yield Paragraph(gives, 4)
    yield Paragraph(f"{step.because} [{'; '.join(dict.fromkeys(step.sources))}]", 4, QUIET)
