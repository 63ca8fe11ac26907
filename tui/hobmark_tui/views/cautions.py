"""All cautions, in full."""

from __future__ import annotations

from hobmark.reports.identify import Findings
from hobmark.reports.text import STATUS

from hobmark_tui.views.paragraphs import HEADING, QUIET, Paragraph


def cautions_view(found: Findings) -> tuple[Paragraph, ...]:
    """What may hurt, each with its source and how well that is confirmed."""
    told = [
        Paragraph("Caution", style=HEADING),
        Paragraph("Gas can kill. Local codes and a licensed fitter come first; nothing here takes their place."),
        Paragraph(""),
    ]
    for caution in found.cautions:
        told.append(Paragraph(caution.short, style="bold"))
        if caution.says != caution.short:
            told.append(Paragraph(caution.says, 2))
        told.append(Paragraph(f"{caution.source} ({STATUS.get(caution.status, caution.status)})", 2, QUIET))
    return tuple(told)
