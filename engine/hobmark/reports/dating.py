"""What `date` finds in one text, as a published shape (version 1) and as text: the answer, then what it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from pydantic import Field

from hobmark.dating.evidence import Evidence
from hobmark.dating.plate_serials import read_plate_serials
from hobmark.dating.plate_text import Bounds, bounds, read_bare_numbers, read_words, told_of_the_time, year_alone
from hobmark.dating.serials import no_format
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.dating import PublishedStatus
from hobmark.problems import shown
from hobmark.reports.identify import Shape
from hobmark.reports.page import WIDTH, Line, folded

_FULL = ("January", "February", "March", "April", "May", "June", "July")
_MONTHS = (*_FULL, "August", "September", "October", "November", "December")
_NOTHING = "Nothing here proves a year."
_WHAT_IS_READ = (
    "Read are patent numbers and dates behind the word patent, city and state with a zone or a ZIP Code, telephone "
    "numbers, names of standards and approvals, copyright and registered marks. Write ? for a sign you cannot read."
)


class Hint(Shape):
    """Something published of the time in which the answer begins: weak evidence, never weighed."""

    id: str
    says: str
    does_not_prove: str
    source: str
    status: PublishedStatus


class DateReport(Shape):
    """All that one text says of years; `says` is the answer in a sentence, its dates are EDTF, null where open."""

    version: Literal[1] = 1
    text: str
    says: str
    not_before: str | None
    not_after: str | None
    contradiction: str | None
    evidence: list[Evidence]
    hints: list[Hint]
    remarks: list[str] = Field(default_factory=list)


def dated(text: str, base: KnowledgeBase, maker: str | None = None) -> DateReport:
    """What a text says of years: words on a plate, a number alone, and with a maker its serial number.

    Raises Refused for a maker that is not in the base.
    """
    remarks: list[str] = []
    evidence: list[Evidence] = []
    if maker is not None:
        for serial in read_plate_serials(text, base, maker):
            evidence.append(serial.evidence)
            remarks += [*serial.contradictions, *serial.said]
        if not evidence:
            remarks.append(no_format(text, base, maker))
    bare = () if evidence else read_bare_numbers(text, base.dating)
    evidence = sorted([*evidence, *bare, *read_words(text, base.dating)], key=lambda each: each.place)
    if not evidence and maker is None:
        remarks.append(_WHAT_IS_READ)
    left = bounds(evidence)
    told = told_of_the_time(_time_in_question(left, evidence, text), base.dating)
    return DateReport(
        text=text,
        says=_answer(left, supposed=bool(bare)),
        **left._asdict(),
        evidence=list(evidence),
        hints=[
            Hint(id=r.id, says=r.proves, does_not_prove=r.does_not_prove, source=r.source, status=r.status)
            for r in told
        ],
        remarks=remarks,
    )


def _time_in_question(left: Bounds, evidence: Sequence[Evidence], text: str) -> str | None:
    """The date of which more is to be told: a year asked for, or where the answer begins, unless that is known to
    last.
    """
    if left.not_before is None:
        return year_alone(text)
    beginning = [each for each in evidence if each.weighed and each.not_before == left.not_before]
    return None if all(each.usually_until for each in beginning) else left.not_before


def _answer(left: Bounds, supposed: bool) -> str:
    if left.contradiction is not None:
        return f"The evidence contradicts itself: {left.contradiction}"
    when = _between(left.not_before, left.not_after)
    if when is None:
        return _NOTHING
    return f"If this is a US utility patent number, the part was made {when}." if supposed else _made(when)


def _made(when: str) -> str:
    return f"This part was made {when}."


def _between(not_before: str | None, not_after: str | None) -> str | None:
    if not_before is not None and not_before == not_after:
        return f"in {_date(not_before)}"
    if not_before is not None and not_after is not None:
        return f"between {_date(not_before)} and {_date(not_after)}"
    if not_before is not None:
        return f"in {_date(not_before)} or later"
    return f"in {_date(not_after)} or earlier" if not_after is not None else None


def _date(edtf: str) -> str:
    """A year or a month in words; any other EDTF text as it stands."""
    year, _, month = edtf.partition("-")
    return f"{_MONTHS[int(month) - 1]} {year}" if month.isdecimal() and 1 <= int(month) <= 12 else edtf


def date_text(report: DateReport, width: int = WIDTH, *, titled: bool = False) -> str:
    """The report as text, folded to a width: the answer first, then each finding and what it rests on.

    `titled`: the text itself stands above, as where several are told.
    """
    lines = [*([Line(f"'{shown(report.text)}'")] if titled else []), Line(report.says)]
    for finding in report.evidence:
        lines += [Line(""), *_finding(finding)]
    if report.hints:
        lines += [Line(""), Line("Told of that time; weak evidence that counts for nothing:")]
        for hint in report.hints:
            lines.append(Line(hint.says, "  ", "    "))
            lines.append(Line(f"does not prove: {hint.does_not_prove}", "    ", "      "))
            lines.append(Line(f"source: {hint.source} [{hint.status}]", "    ", "      "))
    if report.remarks:
        lines += [Line(""), *(Line(remark) for remark in report.remarks)]
    return folded(lines, width) + "\n"


def _finding(finding: Evidence) -> Sequence[Line]:
    when = _between(finding.not_before, finding.not_after)
    said = [when if when is not None else "no year"]
    if finding.usually_until is not None:
        said.append(f"usually until {_date(finding.usually_until)}")
    if when is not None and not finding.weighed:
        said.append("not counted")
    return [
        Line(f"{shown(finding.reading)}: {', '.join(said)}", "", "  "),
        Line(f"proves: {finding.proves}", "  ", "    "),
        Line(f"does not prove: {finding.does_not_prove}", "  ", "    "),
        Line(f"source: {finding.source} [{finding.status}]", "  ", "    "),
    ]
