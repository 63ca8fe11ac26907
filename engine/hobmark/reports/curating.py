"""What the curator's commands find, as published shapes and as text."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Literal

from hobmark.problems import Problem
from hobmark.reports.identify import FileName, Shape
from hobmark.reports.text import wrapped
from hobmark.reports.words import percent


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one case or specimen came out. `faults` is empty where all went as expected."""

    name: str
    kind: Literal["case", "specimen"]
    leader: str
    probability: float
    faults: tuple[str, ...]
    todo: str | None = None

    @property
    def behaves(self) -> bool:
        """No fault, or a known gap that says why."""
        return not self.faults or self.todo is not None


class CaseOutcome(Shape):
    """One case or specimen."""

    name: str
    kind: Literal["case", "specimen"]
    leader: str
    probability: float
    faults: list[str]
    todo: str | None


class CasesReport(Shape):
    """Every kept case and specimen, and how many behaved."""

    version: Literal[1] = 1
    run: int
    behaved: int
    outcomes: list[CaseOutcome]

    @classmethod
    def of(cls, outcomes: Iterable[Outcome]) -> CasesReport:
        """The report of some outcomes."""
        listed = list(outcomes)
        return cls(
            run=len(listed),
            behaved=sum(outcome.behaves for outcome in listed),
            outcomes=[
                CaseOutcome(
                    name=o.name,
                    kind=o.kind,
                    leader=o.leader,
                    probability=o.probability,
                    faults=list(o.faults),
                    todo=o.todo,
                )
                for o in listed
            ],
        )


def cases_text(report: CasesReport) -> str:
    """The report as text: what did not behave, the known gaps, and the count."""
    lines = []
    for outcome in report.outcomes:
        if outcome.faults:
            gap = f" (known gap: {outcome.todo})" if outcome.todo else ""
            told = f"{outcome.kind} {outcome.name}: {'; '.join(outcome.faults)}{gap}; leads {outcome.leader}"
            lines.append(wrapped(f"{told} with {percent(outcome.probability)}", "", "    "))
    lines.append(f"{report.behaved} of {report.run} behave.")
    return "\n".join(lines) + "\n"


class Counts(Shape):
    """How much a maker's folder holds."""

    maker: str
    variants: int
    traits: int
    runs: int
    rules: int
    specimens: int
    parts: int
    fit_rules: int


class Weightless(Shape):
    """A statement, rule or specimen and the most decibans that taking it away moved anything."""

    kind: Literal["trait", "rule", "specimen"]
    id: str
    decibans: float


class NeverTried(Shape):
    """An entry of which nothing is known, as no range that was tried showed what it speaks of."""

    kind: Literal["trait", "rule", "specimen"]
    id: str


class CheckReport(Shape):
    """A base that reads, with what a curator should know of it.

    `advice` is a warning, and so is what is `idle`; `never_tried` and `hints` are not.
    """

    version: Literal[1] = 1
    features: int
    assemblies: int
    makers: list[Counts]
    cases: int
    advice: list[str]
    tried: int
    idle: list[Weightless]
    never_tried: list[NeverTried]
    hints: list[str]


class ProblemShape(Shape):
    """One thing that is wrong, where (counted from 1), and what to do."""

    path: FileName
    line: int
    column: int
    message: FileName
    remedy: FileName


class ProblemsReport(Shape):
    """Why a command was refused."""

    version: Literal[1] = 1
    problems: list[ProblemShape]

    @classmethod
    def of(cls, problems: Iterable[Problem]) -> ProblemsReport:
        """The report of some problems."""
        return cls(problems=[ProblemShape(**asdict(problem)) for problem in problems])


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def check_text(report: CheckReport) -> str:
    """The report as text."""
    lines = [f"{report.features} features over {report.assemblies} assemblies."]
    for maker in report.makers:
        parts = f", {_count(maker.parts, 'part')} and {_count(maker.fit_rules, 'rule')} of fit" if maker.parts else ""
        lines.append(
            f"{maker.maker}: {_count(maker.variants, 'variant')}, {_count(maker.traits, 'statement')} "
            f"({_count(maker.runs, 'run')}), "
            f"{_count(maker.rules, 'rule')}, {_count(maker.specimens, 'specimen')}{parts}."
        )
    lines.append(f"{_count(report.cases, 'kept case')} read too.")
    lines += [wrapped(advice, "  ", "    ") for advice in report.advice]
    if report.tried:
        lines.append(f"{report.tried} entries were taken away one by one; {len(report.idle)} moved nothing by 1 db:")
        lines += [f"  {entry.kind} {entry.id} ({entry.decibans:.2f} db)" for entry in report.idle]
    if report.never_tried:
        lines.append(f"{len(report.never_tried)} were never tried: no range showed a feature they speak of:")
        lines += [f"  {entry.kind} {entry.id}" for entry in report.never_tried]
    lines += [wrapped(hint, "", "  ") for hint in report.hints]
    return "\n".join(lines) + "\n"
