"""Assembly by assembly: the range's own, doubtful or not its own; what was not looked at; what is open."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from hobmark.knowledge.vocabulary import Originality
from hobmark.reasoning.examination import Examination
from hobmark.reports.identify import Findings
from hobmark.reports.words import percent


class Sign(StrEnum):
    """The sign before an assembly; a word always stands with it."""

    OWN = "✓"
    DOUBTFUL = "?"
    NOT_OWN = "!"
    UNSEEN = "·"


MEANS = {
    Sign.OWN: "its own",
    Sign.DOUBTFUL: "doubtful",
    Sign.NOT_OWN: "not its own",
    Sign.UNSEEN: "not looked at",
}
"""What a sign means."""
VERDICTS = {
    Originality.AS_LEFT_THE_WORKS: "as it left the works",
    Originality.DOUBTFUL: "doubtful",
    Originality.LATER_CORRECT: "later, of the right type",
    Originality.EARLIER_CORRECT: "earlier, of the right type",
    Originality.REPLACED: "replaced",
    Originality.MARRIED: "married",
}
"""What an assembly is to the range, in words."""


@dataclass(frozen=True, slots=True)
class PartLine:
    """One assembly; `chance` is the chance that it is not the range's own, empty where it need not be told."""

    assembly: str
    label: str
    sign: Sign
    chance: str


@dataclass(frozen=True, slots=True)
class PartsView:
    """Every assembly, and whether it is all one range, in a sentence."""

    lines: tuple[PartLine, ...]
    says: str


def sign_of(verdict: Originality) -> Sign:
    """The sign for a verdict."""
    if verdict is Originality.AS_LEFT_THE_WORKS:
        return Sign.OWN
    return Sign.DOUBTFUL if verdict is Originality.DOUBTFUL else Sign.NOT_OWN


def parts_view(examination: Examination, found: Findings) -> PartsView:
    """All assemblies of the base, in its order."""
    by_assembly = {finding.assembly: finding for finding in found.assemblies}
    lines = []
    for name, assembly in examination.compiled.base.assemblies.items():
        finding = by_assembly.get(name)
        if finding is None:
            lines.append(PartLine(name, assembly.label, Sign.UNSEEN, ""))
        else:
            sign = sign_of(finding.verdict)
            chance = percent(finding.not_its_own) if sign is not Sign.OWN else ""
            lines.append(PartLine(name, assembly.label, sign, chance))
    return PartsView(tuple(lines), found.originality.says if found.assemblies else "Nothing was looked at yet.")
