"""Does a part fit: what may be asked for, the verdict with its cautions, what would settle it, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.bench.part_words import part_words
from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead, plain_number
from hobmark.knowledge.schema.observations import read_length
from hobmark.knowledge.vocabulary import MeasuredOn
from hobmark.reports.fit import Asked, FitCheck, FitFinding, FitLook, FitReport
from hobmark.reports.fit_text import VERDICTS, caution_lines, ground_lines, look_lines, proof_lines, verdict_lines
from hobmark.reports.identify import CautionLine
from hobmark.reports.page import Line
from hobmark.reports.words import MEASURED_AT, percent

from hobmark_tui.views.bench import NO_BREAK, Sheet, sheet_of
from hobmark_tui.views.choices import Choice

SETTLE = "What would settle it: a number takes it into the case"
TAKEN = "What was measured or read"
ANEW = "In the case; another value takes its place."
READ = "As it stands on the one that is on the range."


@dataclass(frozen=True, slots=True)
class ToFind:
    """One thing to find out about a part: its words, and what stands for an answer.

    `words`: a measure that is one of these, and no length. `feature`: a look at the range, which has a page of its own.
    """

    choice: Choice
    how: str
    kind: str
    part: str
    measure: str | None = None
    on: MeasuredOn = MeasuredOn.RANGE
    words: tuple[str, ...] = ()
    feature: str | None = None

    def refuses(self, typed: str) -> str | None:
        """Why what was typed is no answer, and what to write; None where it is one."""
        try:
            if self.measure is not None and not self.words:
                read_length(typed)
            elif not plain_number(typed):
                return "Write the letters and digits as they stand on it."
        except ValueError as reason:
            return str(reason)
        return None

    def taken(self, typed: str) -> MeasureTaken | NumberRead:
        """The answer as a case holds it: a measure at the place is the kind's, one on the part the part's own."""
        if self.measure is None:
            return NumberRead(kind=self.kind, number=typed)
        of = {"kind": self.kind} if self.on is MeasuredOn.RANGE else {"part": self.part}
        return MeasureTaken.model_validate({**of, "measure": self.measure, "value": typed, "on": self.on})


@dataclass(frozen=True, slots=True)
class PartView:
    """What was found of what was asked for: several parts to choose from, or one in full.

    `name` is the one, as it is asked for. `offer` says what can be chosen, empty where nothing can.
    """

    heading: str
    name: str | None
    above: Sheet
    offer: str
    several: tuple[Choice, ...]
    to_find: tuple[ToFind, ...]
    below: Sheet


def part_choices(base: KnowledgeBase) -> list[Choice]:
    """Every kind of part, then every part by its name; numbers are found however they are written."""
    kinds = [
        Choice(name, f"{kind.label}, any", f"every {kind.label} that may be for this range", name)
        for name, kind in base.kinds.items()
    ]
    parts = []
    for maker, folder in base.makers.items():
        for part in folder.acting_parts.values():
            plain = [plain_number(number) for number in part.numbers]
            also = " ".join([part.id, part.kind, *plain, *(each.replace("-", "") for each in plain)])
            detail = f"{folder.name}; {', '.join(part.numbers) or 'no number'}"
            parts.append(Choice(f"{maker}/{part.id}", part_words(part), detail, also))
    return [*kinds, *parts]


def part_view(base: KnowledgeBase, case: Case, report: FitReport) -> PartView:
    """What `fit` found in a case of the first name asked for."""
    asked = report.asked[0]
    head = Line(f"{report.range}, {percent(report.range_probability)}")
    if len(asked.parts) == 1:
        return _one(base, case, head, asked.parts[0])
    cautions = [caution for part in asked.parts for caution in part.cautions]
    return PartView(
        heading=f"{_asked_words(base, asked)}: {len(asked.parts)} parts, likeliest first",
        name=None,
        above=_sheet([head], cautions),
        offer="Each in full by its number",
        several=tuple(map(_several, asked.parts)),
        to_find=(),
        below=sheet_of(()),
    )


def _asked_words(base: KnowledgeBase, asked: Asked) -> str:
    return base.kinds[asked.name].label if asked.name in base.kinds else asked.name


def _several(part: FitFinding) -> Choice:
    numbers = ", ".join(part.numbers) or "no number"
    label = f"{percent(part.probability):>4}  {VERDICTS[part.verdict]}: {part.label} ({numbers})"
    return Choice(f"{part.maker}/{part.part}", label, part.says)


def _one(base: KnowledgeBase, case: Case, head: Line, part: FitFinding) -> PartView:
    looks, taken = _looks(base, part), _again(base, case, part)
    return PartView(
        heading=part.label,
        name=f"{part.maker}/{part.part}",
        above=_sheet([head, *verdict_lines(part)], part.cautions),
        offer=SETTLE if looks else TAKEN if taken else "",
        several=(),
        to_find=(*looks, *taken),
        below=sheet_of([*proof_lines(part), *ground_lines(part)]),
    )


def _sheet(lines: Sequence[Line], cautions: Sequence[CautionLine]) -> Sheet:
    return sheet_of([*lines, *caution_lines(cautions)])


def _looks(base: KnowledgeBase, part: FitFinding) -> list[ToFind]:
    return [_look(base, part, look) for look in (*part.settle, *part.next)]


def _sentence(text: str) -> str:
    """A remark as a sentence that another may follow."""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}." if text else ""


def _look(base: KnowledgeBase, part: FitFinding, look: FitLook) -> ToFind:
    told, how = look_lines(look)[0].text, _sentence(look.how)
    settles = "Settles most for its time. " if look in part.settle else ""
    where = "Asked on the page of looks. " if look.errand == "look" else ""
    choice = Choice(look.id, told, f"{settles}{where}{how}")
    if look.errand == "look":
        return ToFind(choice, how, part.kind, part.part, feature=look.id)
    if look.errand == "number" or look.on is None:
        return ToFind(choice, how, part.kind, part.part)
    words = base.kinds[part.kind].dimensions[look.id].words
    return ToFind(choice, how, part.kind, part.part, measure=look.id, on=look.on, words=words)


def _again(base: KnowledgeBase, case: Case, part: FitFinding) -> list[ToFind]:
    """What was measured or read may be measured or read anew."""
    label = base.kinds[part.kind].label
    numbers = [
        ToFind(Choice(part.kind, f"number on the {label}: {read.number}", ANEW), READ, part.kind, part.part)
        for read in case.numbers
        if read.kind == part.kind
    ]
    return [*(_measured(base, part, check) for check in part.checks if check.found is not None), *numbers]


def _together(value: str | None) -> str:
    """A measure that no line breaks: 5 5/16 in is neither 5 nor 5/16."""
    return (value or "").replace(" ", NO_BREAK)


def _measured(base: KnowledgeBase, part: FitFinding, check: FitCheck) -> ToFind:
    where = MEASURED_AT[check.on]
    choice = Choice(check.measure, f"{check.label} {where}: {_together(check.found)}", ANEW)
    words = base.kinds[part.kind].dimensions[check.measure].words
    return ToFind(choice, _sentence(check.how), part.kind, part.part, measure=check.measure, on=check.on, words=words)
