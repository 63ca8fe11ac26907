"""What `fit` finds, as one published shape (version 1) that text, JSON, order sheet and later pages are made of.

Probabilities run from 0 to 1, seconds are those of a look; lengths stand as written, with their unit. `works` is the
answer for what left the works, `now` for what is on the range now; the verdict is that of `now`.
"""

from __future__ import annotations

from typing import Literal

from pydantic import ConfigDict, Field

from hobmark.knowledge.vocabulary import FitVerdict, Hand, MeasuredOn, PartClass
from hobmark.reports.identify import CautionLine, FileName, Shape
from hobmark.reports.sources import SourceTitle


class FitAnswer(Shape):
    """Whether the part fits one thing; `listed`: the chance that a paper lists it for that."""

    verdict: FitVerdict
    probability: float
    listed: float


class FitPlace(Shape):
    """One variant that the range may be, over years in which papers say the same, and what they say of the part."""

    maker: str | None
    variant: str | None
    label: str
    first: int
    last: int
    works: float
    now: float
    says: str


class FitCheck(Shape):
    """One need: what must be measured, what it must be and what was found; `meets` is null where nobody measured."""

    measure: str
    label: str
    on: MeasuredOn
    wanted: str
    found: str | None
    meets: bool | None
    how: str
    sources: list[str]


class FitLook(Shape):
    """Something to find out: a measure, the number on the old part, or a look at the range.

    `needed`: nothing is confirmed without it. `here`: it can be had where one is. `on`: what a measure is taken on.
    """

    errand: Literal["measure", "number", "look"]
    id: str
    on: MeasuredOn | None
    ask: str
    how: str
    bits: float
    seconds: float
    here: bool
    needed: bool


class FitDonor(Shape):
    """A range to look for as a donor: the part on it is `part`; `ranges` were made so, where that is known."""

    maker: str
    variant: str
    label: str
    part: str
    numbers: list[str]
    first: int
    last: int
    ranges: int | None
    sources: list[str]


class MustNot(Shape):
    """A substitution that must not be made, and why."""

    says: str
    because: str
    sources: list[str]


class FitStep(Shape):
    """One step of the trace. `holds_for`: the variants for which it fired, empty where it hangs on none.

    `papers` are also the papers that were searched and do not list the part.
    """

    kind: Literal["papers", "check", "number", "supersession", "prohibition", "rule", "heat"]
    id: str
    from_: list[str] = Field(alias="from")
    gives: list[str]
    because: str
    sources: list[str]
    holds_for: list[str]

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, defer_build=True)


class FitFinding(Shape):
    """One part held against the range.

    `settle`: the one or two measures that would settle most for their time. `against`: what speaks against a part that
    is proven otherwise, so that the case contradicts itself. `find_out`: what could forbid it and is not ruled out.
    `left_alone`: said of what is never touched, numbered or taken from a donor.
    `test_after`: the test once it is on, and of what bears gas who makes it; a critical part counts as fitted only
    after it.
    """

    part: str
    maker: str
    label: str
    kind: str
    numbers: list[str]
    hand: Hand
    class_: PartClass = Field(alias="class")
    verdict: FitVerdict
    confirmed: bool
    says: str
    probability: float
    works: FitAnswer
    now: FitAnswer
    places: list[FitPlace]
    against: list[str]
    find_out: list[str]
    checks: list[FitCheck]
    settle: list[FitLook]
    next: list[FitLook]
    chain: list[str]
    modification: str | None
    must_not: list[MustNot]
    left_alone: str | None
    donors: list[FitDonor]
    test_after: str | None
    remarks: list[str]
    note: str | None
    cautions: list[CautionLine]
    trace: list[FitStep]
    sources: list[str]

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True, defer_build=True)


class Asked(Shape):
    """One name that was asked for, and the parts it speaks of, likeliest first."""

    name: str
    parts: list[FitFinding]


class OrderDimension(Shape):
    """One dimension on an order sheet: what the papers ask, what was measured, and how to measure it.

    `asked`: somebody is to measure it; not so of what is left alone.
    """

    measure: str
    label: str
    on: MeasuredOn
    wanted: str | None
    found: str | None
    how: str
    sources: list[str]
    asked: bool


class OrderAsk(Shape):
    """One thing that a supplier asks beside the dimensions; `value` is null where it is a blank, with its unit.

    `is_setting`: a number that something is set or drilled by, which never goes without its cautions. `first`: nothing
    is ordered before it is filled in.
    """

    id: str
    label: str
    unit: str | None
    value: str | None
    source: str | None
    is_setting: bool
    first: bool


class OrderSheet(Shape):
    """What a supplier is told and asked; what nobody has found out is left blank.

    `quantity`: null where it is to be asked first. `asks`: place, quantity of the set, finish, and what is asked of its
    kind. `for_gas`: the gas that it is ordered for. `left_alone`: new material alone, and why.

    `model`: the likeliest that papers list the part for, none where they list it for none it may be. `exchange`: the
    supplier rebuilds against an old part, and the only original is not posted away. `test_after`: the
    test once the part is on. `stop`: what stops everything at the range, as on the report.
    """

    stop: str | None

    part: str
    label: str
    quantity: int | None
    numbers: list[str]
    number_on_old: list[str]
    hand: Hand
    maker: str
    model: str | None
    model_probability: float | None
    serials: list[str]
    years: str
    standing: str
    for_gas: str | None
    left_alone: str | None
    asks: list[OrderAsk]
    dimensions: list[OrderDimension]
    pictures: list[str]
    exchange: str | None
    must_not: list[MustNot]
    test_after: str | None
    note: str | None
    cautions: list[CautionLine]
    sources: list[SourceTitle]


class FitReport(Shape):
    """Everything `fit` tells of one case.

    `stop`: what stops everything at the range, which goes before every answer; null where nothing does. `orders` and
    `not_ordered` are filled where order sheets are asked for: none is made for a part that is refused, nor for a
    critical one that may be, nor for one that bears gas while anything stops the range. `demonstration`: that makers of
    the base are invented, where they are.
    """

    version: Literal[1] = 1
    case: FileName
    label: str
    range: str
    range_probability: float
    stop: str | None
    asked: list[Asked]
    orders: list[OrderSheet]
    not_ordered: list[str]
    demonstration: str | None
    engine: str
