"""What `report` tells of one case: the findings, the word for how sure they are, titles of sources, and pictures.

Version 1, as the findings it adds to.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Annotated

from pydantic import Field

from hobmark.reasoning.examination import Examination
from hobmark.reports.findings import findings
from hobmark.reports.identify import Findings, Shape
from hobmark.reports.page import WIDTH, Line, folded
from hobmark.reports.sources import SourceTitle, source_titles
from hobmark.reports.text import findings_text, weights
from hobmark.reports.words import chance_words


class PhotoShown(Shape):
    """A picture of the range: where it lies from the case's folder, what it shows, its size in pixels.

    `picture` is a `data:` address that holds it as JPEG, made smaller, and without anything else the file told.
    """

    file: str
    shows: str | None
    width: int
    height: int
    picture: Annotated[str, Field(pattern=r"^data:image/jpeg;base64,[A-Za-z0-9+/]+=*$")]


class RangeReport(Findings):
    """Everything `report` tells of one case. `certainty`: the word for the leading line's probability."""

    certainty: str
    photos: list[PhotoShown]
    sources: list[SourceTitle]


def range_report(examination: Examination, name: str, photos: Sequence[PhotoShown] = ()) -> RangeReport:
    """The report of a case called `name` (its file), with its pictures."""
    found = findings(examination, name)
    base = examination.compiled.base
    return RangeReport(
        **{field: getattr(found, field) for field in Findings.model_fields},
        certainty=chance_words(base, found.ranking[0].probability),
        photos=list(photos),
        sources=source_titles(base, _cited(found)),
    )


def _cited(found: Findings) -> Iterable[tuple[str, str]]:
    """Maker and source of everything that the report cites, in the order in which it does."""
    for weight in weights(found.comparison) if found.comparison is not None else ():
        for cited in weight.sources:
            maker, _, source = cited.rpartition("/")
            yield maker, source
    for step in found.trace:
        if step.kind == "rule" and step.maker is not None:
            for cited in step.sources:
                yield step.maker, cited


def report_text(report: RangeReport, width: int = WIDTH) -> str:
    """The report as plain text: the findings, and the names of the pictures."""
    lines = [Line(f"{each.file}{f': {each.shows}' if each.shows else ''}", "  ", "    ") for each in report.photos]
    pictures = f"\n{folded([Line('Pictures'), *lines], width)}\n" if lines else ""
    return f"{findings_text(report, width)}{pictures}"
