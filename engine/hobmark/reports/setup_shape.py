"""What `setup` tells of one case, as a published shape (version 2) that text, JSON and pages are made of.

No setting can be made without number, unit, source, mark and caution; `as_found` and `as_left` are empty, to be filled
in by hand. Chances are 0 to 1; seconds are our estimate.
"""

from __future__ import annotations

from typing import Literal

from hobmark.knowledge.schema.bench import Mark, Work
from hobmark.knowledge.schema.setting_up import Part, Record
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.identify import CautionLine, FileName, Shape
from hobmark.reports.setup_gas_shape import (
    Cautions,
    CoLimitShown,
    GasShown,
    RecordShown,
    ReleaseShown,
    Said,
    SettingShown,
)

FIRST = (
    "Local codes and a licensed fitter come first. This sheet is for whoever may do the work, and gives no leave to do "
    "it. Gas can kill: smell first, no flame."
)
"""The first words of every sheet."""

HELD = "Nothing is lit before the range is released to a licensed fitter. What is missing stands under RELEASE."
"""What stands in the place of whatever lights gas or lets it out, until the range is released."""


class ChoiceShown(Shape):
    """What may be right: a setting or words; of which ranges, and how probable that is. No ranges: of any range."""

    setting: SettingShown | None
    says: str | None
    source: Said
    mark: Mark
    cautions: Cautions
    chance: float
    ranges: list[str]
    statement: str | None


class FieldShown(Shape):
    """A line to fill in; `settled` is false where more than one choice may be right, and then all are given.

    `unit_text` is the unit as it is printed. `only_if` says on which gas or kind of jet the line is of use, where that
    is not settled.
    """

    id: str
    label: str
    record: Record
    unit: str | None
    unit_text: str | None
    only_if: str | None
    chance: float
    settled: bool
    choices: list[ChoiceShown]
    as_found: Literal[""] = ""
    as_left: Literal[""] = ""


class StepShown(Shape):
    """A step: what is done, by whom, on what grounds; `box` is to be printed large."""

    id: str
    number: int
    title: str
    do: str
    who: Work
    only_if: str | None
    chance: float
    box: str | None
    source: Said
    mark: Mark
    cautions: Cautions
    fields: list[FieldShown]
    notes: list[ChoiceShown]


class SectionShown(Shape):
    """One part of the sheet."""

    id: Part
    label: str
    steps: list[StepShown]


class RangeShown(Shape):
    """A variant the range may be."""

    maker: str | None
    variant: str | None
    label: str
    chance: float


class NoJetShown(Shape):
    """Ranges for which no heat of a burner is stated, and how probable those are; `says` it in words."""

    burner: str
    chance: float
    says: Said


class JetShown(Shape):
    """The jet for a burner on a gas, and how probable its ranges are. `for_comparing`: no jet may be chosen by it.

    `share` is the heat of the drill as a multiple of what is to be given; `flow` what it passes, null at an altitude
    where it would be another.
    """

    burner: str
    gas: Gas
    gas_label: str
    ranges: list[str]
    chance: float
    drill: str
    smaller: str | None
    larger: str | None
    bore: SettingShown
    input: SettingShown
    share: SettingShown
    flow: SettingShown | None
    altitude: str | None
    for_comparing: bool


class CauseShown(Shape):
    """What may be behind a symptom; `held`: its remedy waits until the gas is known, and is not told before."""

    id: str
    label: str
    chance: float
    remedy: str
    held: bool
    who: Work
    source: Said
    mark: Mark
    cautions: Cautions


class OutcomeShown(Shape):
    """One outcome of the next check and what it speaks for; `give` is how it is handed back."""

    give: str
    label: str
    speaks_for: list[str]


class ActShown(Shape):
    """The next check, the most telling for its effort; `lights`: gas burns or is let out for it."""

    id: str
    label: str
    do: str
    seconds: float
    who: Work
    lights: bool
    cautions: Cautions
    outcomes: list[OutcomeShown]


class SymptomShown(Shape):
    """The search for what is behind a symptom; `stop`: none, `do` is done at once; `held` waits for the gas."""

    id: str
    label: str
    stop: bool
    do: list[str]
    causes: list[CauseShown]
    next: ActShown | None
    found: CauseShown | None
    none_left: bool
    held: list[str]
    held_says: Said = HELD
    source: Said
    mark: Mark
    cautions: Cautions


class CautionShown(Shape):
    """A caution in full, under the id by which settings and steps name it; `name` points at it in a few words."""

    id: str
    name: Said
    says: Said
    short: Said
    source: Said
    status: str


class SetupReport(Shape):
    """Everything `setup` tells of one case; `by_rules` are the cautions of the makers' rules that fired."""

    version: Literal[2] = 2
    case: FileName
    label: str
    first: Said = FIRST
    release: ReleaseShown
    settled: bool
    ranges: list[RangeShown]
    by_rules: list[CautionLine]
    symptom: SymptomShown | None
    symptoms: dict[str, str]
    stop_list: list[str]
    gas: GasShown
    record: RecordShown
    co_limits: list[CoLimitShown]
    altitude: str | None
    demonstration: str | None
    jets_are: Said
    jets: list[JetShown]
    no_jets: list[NoJetShown]
    boxes: list[str]
    sections: list[SectionShown]
    cautions: list[CautionShown]
