"""What `identify` finds, as one published shape (version 1) that text, JSON and later pages are made of.

Names are fixed; years are whole numbers, probabilities 0 to 1, `decibans` 10 log10 of a factor on the odds.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from hobmark.knowledge.vocabulary import Originality
from hobmark.problems import spelt

FileName = Annotated[str, BeforeValidator(spelt)]
"""The name of a file, or words that repeat one: some names are bytes that no text can hold, and are spelt out."""


class Shape(BaseModel):
    """Every part of the output: frozen, nothing extra."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class YearChance(Shape):
    """One year and how probable it is."""

    year: int
    probability: float


class Ranked(Shape):
    """One line of the ranking.

    `variant` null with `maker` set: that maker, but no variant listed; both null: none of the makers listed.
    """

    maker: str | None
    variant: str | None
    label: str
    unlisted: bool = False
    probability: float
    years: list[YearChance]


class Window(Shape):
    """The likeliest three years in a row."""

    first: int
    last: int
    probability: float


class Donor(Shape):
    """Where an assembly that is not the range's own may come from."""

    maker: str | None
    variant: str | None
    label: str
    probability: float


class Reason(Shape):
    """What one look adds to the odds of the leading line over the one it is compared with."""

    assembly: str
    features: list[str]
    says: str
    decibans: float
    statements: list[str]
    sources: list[str]


class AssemblyFinding(Shape):
    """One assembly: how probable it is that it is not the range's own (`usually`: of such assemblies at large), what it
    is in the trade's words, where it came from, and its own years.

    `first` to `last`: the shortest stretch with 95% of its own years; `apart_from`: assemblies that share none of them.
    `dates` is false where such assemblies are changed too often to date a range by, `removable` where it is no part
    that comes off a range, as enamel is. `belongs`: what the leading variant had instead. `odds_before`
    and `because` add up, in decibans, to the odds that it is not its own; `because` is empty where there is no doubt.
    """

    assembly: str
    label: str
    not_its_own: float
    usually: float
    verdict: Originality
    says: str
    from_: list[Donor] = Field(alias="from")
    years: list[YearChance]
    first: int
    last: int
    dates: bool
    removable: bool
    apart_from: list[str]
    belongs: list[str]
    odds_before: float | None
    because: list[Reason]

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, defer_build=True)


class OriginalityFinding(Shape):
    """Whether it is all one range: the worst verdict on any assembly, in a sentence; what makes a marriage.

    `first` to `last`: the shortest stretch with 95% of the range's years. `old_stock`: what had been given up and was
    being used up; `carried_over`: assemblies older in kind than the range and yet right for it.
    """

    verdict: Originality
    says: str
    married: list[str]
    first: int
    last: int
    old_stock: list[str]
    carried_over: list[str]


class ClaimFinding(Shape):
    """One claim held against the evidence."""

    claim: dict[str, str]
    verdict: str
    probability: float


class NextLook(Shape):
    """A look worth taking: bits about the goal, seconds it takes, and why."""

    feature: str
    label: str
    ask: str
    look: str
    bits: float
    seconds: float
    because: str


class Comparison(Shape):
    """The leading line against another: prior + reasons + freedom of year = total, in decibans."""

    first: str
    second: str
    prior: float
    reasons: list[Reason]
    freedom_of_year: float
    total: float


class Change(Shape):
    """What would change the answer: a look not yet taken, and the look the answer hangs on."""

    look: str | None
    chance: float
    hangs_on: str | None
    hangs_on_decibans: float
    leader_without: str | None


class Step(Shape):
    """One step of the trace: a fired rule, words or a serial that date a part, a statement that was weighed, or a
    contradiction that is left standing.

    `weighed` is null for a rule that only remarks or cautions: it has nothing to weigh. `maker` is null for what holds
    of every maker.
    """

    kind: Literal["rule", "dating", "statement", "contradiction"]
    id: str
    maker: str | None
    from_: list[str] = Field(alias="from")
    gives: list[str]
    because: str
    weighed: bool | None
    sources: list[str]

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, defer_build=True)


class CautionLine(Shape):
    """A caution with where it comes from."""

    says: str
    short: str
    source: str
    status: str


class Findings(Shape):
    """Everything `identify` tells of one case.

    `named`: the goal's likeliest answer is as probable as a settled one; `settled`: and on enough of the range;
    `maker`: the likeliest maker in words, with its probability; `demonstration`: that makers of the base are invented,
    where they are.
    """

    version: Literal[1] = 1
    case: FileName
    label: str
    goal: str
    situation: str
    looks_taken: int
    ranking: list[Ranked]
    years: list[YearChance]
    window: Window
    originality: OriginalityFinding
    assemblies: list[AssemblyFinding]
    assemblies_seen: int
    not_looked_at: list[str]
    gone: list[str]
    claims: list[ClaimFinding]
    next: list[NextLook]
    maker: str
    maker_probability: float
    named: bool
    settled: bool
    stop: bool
    undecidable_here: list[str]
    outside: NextLook | None
    comparison: Comparison | None
    would_change: Change
    remarks: list[str]
    cautions: list[CautionLine]
    trace: list[Step]
    not_weighed: list[str]
    demonstration: str | None
    engine: str
