"""Ranges of the shipped base with parts held against them, for the tests of fit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from hobmark.bench.fit import PartFit, part_fits, parts_meant
from hobmark.case import Case, read_case
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.examination import Compiled, Examination, compile_base
from hobmark.reports.fit import FitFinding, FitReport
from hobmark.reports.fit_findings import fit_finding, fit_report

ROOT = Path(__file__).parents[2]
FARM = ROOT / "examples" / "house-call" / "farm-kitchen.yaml"
GREEN = ROOT / "examples" / "sale" / "green-range.yaml"


@cache
def shipped() -> Compiled:
    return compile_base(read_base([knowledge_root()]))


def kept(name: str) -> Path:
    """A kept case of the shipped base, by its file's name without the ending."""
    (path,) = knowledge_root().glob(f"*/cases/{name}.yaml")
    return path


def measured(kind: str, values: Mapping[str, str], on: str = "range") -> list[dict[str, str]]:
    return [{"kind": kind, "measure": measure, "value": value, "on": on} for measure, value in values.items()]


def read(kind: str, *numbers: str) -> list[dict[str, str]]:
    return [{"kind": kind, "number": number} for number in numbers]


def the_range(
    path: Path,
    seen: Mapping[str, str] | None = None,
    measures: Sequence[Mapping[str, str]] = (),
    numbers: Sequence[Mapping[str, str]] = (),
    **more: Any,
) -> Examination:
    """A case with more looks (feature -> value), measures and numbers; a look of the case gives way to a new one."""
    case = read_case(path, shipped().base).case
    fields = case.model_dump(by_alias=True, exclude_defaults=True) | {"hobmark": "1"} | more
    kept_looks = [look for look in fields.pop("observations", ()) if look.get("feature") not in (seen or {})]
    looks = [*kept_looks, *({"feature": feature, "is": value} for feature, value in (seen or {}).items())]
    whole = fields | {"observations": looks, "measures": list(measures), "numbers": list(numbers)}
    return Examination(shipped(), Case.model_validate(whole))


def held(examination: Examination, part: str) -> PartFit:
    """One part against the range."""
    (fit,) = part_fits(examination, parts_meant(shipped().base, part))
    return fit


def told(examination: Examination, part: str) -> FitFinding:
    return fit_finding(held(examination, part))


def report(path: Path = FARM, *asked: str, order: bool = False) -> FitReport:
    """The fit report of a case."""
    return fit_report(the_range(path), "a case", asked, order=order)
