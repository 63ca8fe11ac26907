"""What is still open: the looks that come next, what was not weighed, and the cautions in short."""

from __future__ import annotations

from hobmark.knowledge.base import KnowledgeBase
from hobmark.reports.identify import Findings
from hobmark.reports.page import seconds_words
from hobmark.reports.words import percent

from hobmark_tui.views.paragraphs import HEADING, QUIET, Paragraph

LATER = 2
"""Looks that are named beside the one on the screen."""


def open_view(base: KnowledgeBase, found: Findings, asked: str | None) -> tuple[Paragraph, ...]:
    """Claims, what is open beside the look that is `asked`, and the cautions in their short form."""
    told: list[Paragraph] = []
    if found.claims:
        told.append(Paragraph("The claim", style=HEADING))
        for claim in found.claims:
            said = ", ".join(_claimed(base, name, value) for name, value in claim.claim.items())
            told.append(Paragraph(f"{percent(claim.probability)} {said}: {claim.verdict}"))
    later = [look for look in found.next if look.feature != asked][:LATER]
    if later or found.gone or found.not_weighed:
        told.append(Paragraph("Still open", style=HEADING))
    told += [Paragraph(f"later: {look.label.lower()} ({seconds_words(look.seconds)})") for look in later]
    if found.gone:
        told.append(Paragraph(f"gone: {', '.join(found.gone)}"))
    if found.not_weighed:
        told.append(Paragraph(f"counted neither way: {'; '.join(found.not_weighed)}"))
    if found.cautions:
        told.append(Paragraph("Caution (x shows all, with sources)", style=HEADING))
        told += [Paragraph(f"- {caution.short}") for caution in found.cautions]
        told.append(Paragraph("Local codes and a licensed fitter come first.", style=QUIET))
    return tuple(told)


def _claimed(base: KnowledgeBase, name: str, value: str) -> str:
    if name == "maker":
        return f"a {base.makers[value].name}"
    if name == "variant":
        maker, variant = base.variant_keys[value]
        return f"a {base.makers[maker].name} {base.variant_label(maker, variant)}"
    return f"{name} {value}"
