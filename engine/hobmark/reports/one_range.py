"""Is it all one range? The findings' answer as plain text, with the strips of every assembly."""

from __future__ import annotations

from collections.abc import Iterator

from hobmark.knowledge.vocabulary import Originality
from hobmark.reasoning.originality import NOT_ITS_OWN
from hobmark.reports.identify import AssemblyFinding, Findings
from hobmark.reports.page import Line, folded
from hobmark.reports.strips import key_line, strip_lines, strips_of
from hobmark.reports.words import percent

HEADING = "Is it all one range?"
REASONS = 3
"""Looks that are named for a doubt."""
LEAST = 1.0
"""Looks that say less, in decibans, are not named."""
OLD_STOCK, CARRIED_OVER = "old stock, so right for it", "looks older, but carried over and right for it"
STANDS_OUT = 0.4
"""How probable the likeliest source of a part must be for it to be named."""


def one_range_text(found: Findings, width: int) -> str:
    """The whole block; empty where nothing was looked at."""
    if not found.assemblies:
        return ""
    head = folded([Line(f"{HEADING} {found.originality.says}")], width)
    strips = strip_lines(found, width)
    if strips:
        head += "\n" + "\n".join(strips[:-1]) + "\n" + folded([key_line(strips[-1])], width)
    details = folded(detail_lines(found), width)
    return f"{head}\n{details}" if details else head


def detail_lines(found: Findings) -> Iterator[Line]:
    """Every doubt with its reasons, what is old and yet right, what is gone, and what nobody looked at."""
    doubted = [finding for finding in found.assemblies if finding.verdict is not Originality.AS_LEFT_THE_WORKS]
    for finding in sorted(doubted, key=lambda entry: -entry.not_its_own):
        yield from _doubt(found, finding)
    labels = {finding.assembly: finding.label for finding in found.assemblies}
    for said in found.originality.old_stock:
        yield Line(f"{OLD_STOCK}: {said}", "  ", " " * 4)
    if found.originality.carried_over:
        names = ", ".join(labels[name] for name in found.originality.carried_over)
        yield Line(f"{CARRIED_OVER}: {names}", "  ", " " * 4)
    others = [each.label for each in of_other_years(found)]
    if others:
        told = "likelier of other years by itself, yet possible for this range and taken for its own"
        yield Line(f"{told}: {', '.join(others)}", "  ", " " * 4)
    if found.gone:
        yield Line(f"gone: {', '.join(found.gone)}", "  ", " " * 4)
    if found.not_looked_at:
        yield Line(f"not looked at: {', '.join(found.not_looked_at)}", "  ", " " * 4)


def of_other_years(found: Findings) -> list[AssemblyFinding]:
    """Assemblies taken for the range's own whose likeliest years have none in common with those of the range."""
    whole, *strips = strips_of(found)
    carried = found.originality.carried_over
    return [
        finding
        for finding, strip in zip(found.assemblies, strips, strict=True)
        if finding.verdict is Originality.AS_LEFT_THE_WORKS and finding.assembly not in carried
        if strip.likely[0] > whole.likely[1] or strip.likely[1] < whole.likely[0]
    ]


def _doubt(found: Findings, finding: AssemblyFinding) -> Iterator[Line]:
    sure = f"{percent(finding.not_its_own)} sure"
    if finding.verdict is Originality.DOUBTFUL:
        sure = f"{percent(finding.not_its_own)} that it is not its own"
    yield Line(f"{finding.label}: {finding.says} ({sure})", "  ", " " * 4)
    yield Line(comes_from(finding), " " * 4, " " * 6)
    if finding.apart_from and finding.verdict is not Originality.DOUBTFUL:
        own = [other for other in found.assemblies if other.not_its_own < NOT_ITS_OWN]
        apart = [other for other in own if other.assembly in finding.apart_from]
        others = ", ".join(f"{other.label} {other.first}-{other.last}" for other in apart[:REASONS])
        if others:
            yield Line(f"its years {finding.first}-{finding.last} have none in common with: {others}", " " * 4, " " * 6)
    told = [reason for reason in finding.because if abs(reason.decibans) >= LEAST][:REASONS]
    if told:
        reasons = "; ".join(f"{reason.says} ({reason.decibans:+.1f} db)" for reason in told)
        yield Line(f"because: {reasons}", " " * 4, " " * 6)
    if finding.belongs:
        yield Line(f"what belongs there: {'; '.join(finding.belongs)}", " " * 4, " " * 6)


def comes_from(finding: AssemblyFinding) -> str:
    """Where it seems to come from, as far as one source stands out, and when such were used."""
    when = f"{finding.first}-{finding.last}"
    if not finding.removable:
        return f"such was used {when}"
    if not finding.from_ or finding.from_[0].probability < STANDS_OUT:
        return f"no one source stands out; such were used {when}"
    donors = " or ".join(f"{donor.label} ({percent(donor.probability)})" for donor in finding.from_)
    return f"it seems to come from {donors}; such were used {when}"
