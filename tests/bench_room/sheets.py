"""Set-up sheets that several tests look at, and their pieces by name."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination
from hobmark.reports.setup import set_up
from hobmark.reports.setup_gas_shape import SettingShown
from hobmark.reports.setup_shape import ChoiceShown, FieldShown, SetupReport, StepShown

from .bases import base, compiled, examined
from .records import laid_on


@cache
def known() -> Examination:
    """A bottled-gas Kestrel on legs, told at sight."""
    path = knowledge_root() / "brindlemere" / "cases" / "kestrel-bottled-1948-on-legs.yaml"
    return Examination(compiled(), read_case(path, base()).case)


@cache
def farm_kitchen() -> Examination:
    """A Hazel Farm with universal hoods and a regulator added at the rear, gas unknown; of the examples, invented."""
    path = Path(__file__).parents[2] / "examples" / "house-call" / "farm-kitchen.yaml"
    return Examination(compiled(), read_case(path, base()).case)


@cache
def unknown() -> Examination:
    return examined(outside_colour="ivory_green")


@cache
def sheet(gas: Gas | None = None) -> SetupReport:
    return set_up(unknown(), "a case", record=laid_on(gas))


def steps(report: SetupReport) -> dict[str, StepShown]:
    return {step.id: step for part in report.sections for step in part.steps}


def field(report: SetupReport, step: str, name: str) -> FieldShown:
    return next(each for each in steps(report)[step].fields if each.id == name)


def choices(report: SetupReport) -> Iterator[ChoiceShown]:
    for step in steps(report).values():
        yield from step.notes
        for each in step.fields:
            yield from each.choices


def settings(report: SetupReport) -> list[SettingShown]:
    found = [choice.setting for choice in choices(report) if choice.setting is not None]
    found += [wrong.setting for wrong in report.gas.wrong_gas]
    for jet in report.jets:
        found += [each for each in (jet.bore, jet.input, jet.share, jet.flow) if each is not None]
    for place in report.gas.places:
        found += [each for each in (*place.bores, place.heat, place.share, place.drill_bore) if each is not None]
    found += [limit.setting for limit in report.co_limits]
    return found
