"""The parts of a set-up report that tell of the gas: release, the five facts, jets by place, and what was recorded.

No setting can be made without number, unit, source, mark and caution.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.record_terms import (
    JetPlace,
    LaidOnBy,
    LeakMethod,
    PressureAt,
    RegulatorState,
    SampledAt,
    Seat,
)
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.identify import Shape

Cautions = Annotated[list[str], Field(min_length=1)]
"""Ids of entries under `cautions` of the report."""
Said = Annotated[str, Field(min_length=1)]
"""Words that are never empty."""


class SettingShown(Shape):
    """A number to set by: in words with its unit and in other units, and as numbers in `unit`."""

    text: Said
    aim: float | None
    low: float | None
    high: float | None
    unit: Said
    source: Said
    mark: Mark
    cautions: Cautions


class ClueShown(Shape):
    """A clue to the gas not yet given, which would tell more."""

    id: str
    label: str
    do: str
    seconds: float
    measured: bool


class WrongGasShown(Shape):
    """What a jet made for one gas gives on another."""

    says: str
    setting: SettingShown


class LackShown(Shape):
    """What is missing for a release, or what stops it: what is so, and what is done about it, without a flame."""

    id: Said
    says: Said
    how: Said


class ReleaseShown(Shape):
    """Whether a licensed fitter may light the range; `missing` and `stopped_by` are why not, empty where he may."""

    allowed: bool
    says: Said
    tag: Said
    missing: list[LackShown]
    stopped_by: list[LackShown]


class RegulatorShown(Shape):
    """A regulator as it was looked at; `says` it in words."""

    state: RegulatorState
    gas: Gas | None
    outlet: SettingShown | None
    says: Said


class PressureShown(Shape):
    """A pressure that was read; `inside` its band by the gas laid on, null where that is not named.

    `lit` is what burned meanwhile, empty where nothing did, null where that was not told.
    """

    at: PressureAt
    reads: SettingShown
    lit: list[JetPlace] | None
    inside: bool | None


class LaidOnShown(Shape):
    """The gas that comes out of the pipe and how that is known; `counts`: known in a way that counts for a release."""

    gas: Gas | None
    label: str | None
    by: LaidOnBy | None
    counts: bool
    heating_value: SettingShown | None
    says: Said


class PlaceShown(Shape):
    """One burner or pilot: its jet, what it is to give, for which gas it is set, what it gives on the gas laid on.

    `share` is that heat as a multiple of what is to be given there; `amiss`: beyond a tenth. `drill` is the jet for it
    on the gas that the sheet reckons with.
    """

    place: JetPlace
    label: Said
    found: str | None
    left: str | None
    hood: str | None
    seat: Seat | None
    set_for: Gas | None
    set_for_label: str | None
    bores: list[SettingShown]
    heat: SettingShown | None
    share: SettingShown | None
    amiss: bool
    warning: str | None
    drill: str | None
    drill_bore: SettingShown | None
    flame: str | None
    shutter: str | None
    out_of_use: str | None
    note: str | None


class GasShown(Shape):
    """The five facts: laid on, set for by place, regulators, pressures, wanted; and what contradicts what.

    `reckoned`: the gas that steps and jets are told for; null where more than one may be. `chances`: of the gas that
    the jets are for, by the clues alone, which release nothing. `gauged`: how many places were gauged, which not.
    """

    laid_on: LaidOnShown
    set_for: Said
    gauged: Said
    places: list[PlaceShown]
    regulator: RegulatorShown
    house_regulator: RegulatorShown
    pressures: list[PressureShown]
    pressure_says: Said
    wanted: Gas | None
    wanted_says: Said
    reckoned: Gas | None
    reckoned_label: str | None
    chances: dict[Gas, float]
    why: list[str]
    refused: list[str]
    contradictions: list[str]
    settling: list[ClueShown]
    wrong_gas: list[WrongGasShown]
    cautions: Cautions


class LeakCheckShown(Shape):
    """The leak check as it is recorded, and what it counts for, in words."""

    method: LeakMethod
    start: str | None
    end: str | None
    minutes: float | None
    tight: bool
    by: str | None
    date: str | None
    says: Said


class CombustionShown(Shape):
    """One sample of carbon monoxide: as measured and air-free, each against its own limit."""

    at: SampledAt
    minutes: float | None
    measured: SettingShown
    oxygen: SettingShown | None
    air_free: SettingShown | None
    over: list[str]
    by: str | None
    date: str | None


class CoLimitShown(Shape):
    """One limit of carbon monoxide and for which number, at which place, it is."""

    id: Said
    says: Said
    setting: SettingShown


class RecordShown(Shape):
    """What else the bench record holds: it is printed as it was left, and a second visit starts from it."""

    leak_check: LeakCheckShown | None
    combustion: list[CombustionShown]
    dial: list[str]
    not_done: list[str]
    tag: str | None
