"""JSON Schemas from the models: for a curator's editor, and of the JSON that commands write."""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import BaseModel

from hobmark.case import Case
from hobmark.files import write_atomically
from hobmark.knowledge.bench_tables import DrillFile, GasFile, HazardFile, SetupFile, StepFile
from hobmark.knowledge.dating_tables import DatingFile, PatentFile
from hobmark.knowledge.file_models import (
    AssemblyFile,
    CautionFile,
    FeatureFile,
    FitRuleFile,
    ModelFile,
    PartFile,
    PartKindFile,
    RuleFile,
    SerialFile,
    SourceFile,
    TraitFile,
)
from hobmark.knowledge.schema.bench import FuelTable
from hobmark.knowledge.schema.faults import FaultTable
from hobmark.knowledge.schema.looks import Wording
from hobmark.knowledge.schema.observations import Specimen
from hobmark.knowledge.schema.works import Maker
from hobmark.problems import Problem, Refused, did_you_mean
from hobmark.reports.curating import CasesReport, CheckReport, ProblemsReport
from hobmark.reports.dating import DateReport
from hobmark.reports.fit import FitReport
from hobmark.reports.identify import Findings
from hobmark.reports.range_report import RangeReport
from hobmark.reports.setup_shape import SetupReport

_MODELS: dict[str, tuple[type[BaseModel], bool]] = {
    "wording": (Wording, False),
    "assemblies": (AssemblyFile, False),
    "features": (FeatureFile, False),
    "cautions": (CautionFile, False),
    "us_patents": (PatentFile, False),
    "dating": (DatingFile, False),
    "maker": (Maker, False),
    "sources": (SourceFile, False),
    "models": (ModelFile, False),
    "traits": (TraitFile, False),
    "rules": (RuleFile, False),
    "serials": (SerialFile, False),
    "part_kinds": (PartKindFile, False),
    "parts": (PartFile, False),
    "fit_rules": (FitRuleFile, False),
    "specimen": (Specimen, False),
    "case": (Case, False),
    "gases": (GasFile, False),
    "drills": (DrillFile, False),
    "fuel": (FuelTable, False),
    "hazards": (HazardFile, False),
    "set_up": (StepFile, False),
    "faults": (FaultTable, False),
    "setup": (SetupFile, False),
    "identify-output": (Findings, True),
    "report-output": (RangeReport, True),
    "date-output": (DateReport, True),
    "fit-output": (FitReport, True),
    "setup-output": (SetupReport, True),
    "check-output": (CheckReport, True),
    "cases-output": (CasesReport, True),
    "problems-output": (ProblemsReport, True),
}


def schema_names() -> list[str]:
    """The schemas there are: one for each kind of file, and one for each command's JSON."""
    return list(_MODELS)


def schema_text(name: str) -> str:
    """One JSON Schema (draft 2020-12) as text; KeyError for a name there is not.

    What a file holds as text may stand there bare, as `1939` or `true` do, so its schema takes both.
    """
    model, output = _MODELS[name]
    schema = model.model_json_schema(mode="serialization" if output else "validation")
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    return json.dumps(schema if output else _bare_scalars(schema), indent=2, ensure_ascii=False) + "\n"


def _bare_scalars(schema: object) -> object:
    """In YAML `1939` and `true` arrive in an editor as number and truth; text fields must let them stand."""
    if isinstance(schema, dict):
        changed = {key: _bare_scalars(value) for key, value in schema.items()}
        if changed.get("type") != "string":
            return changed
        words = [changed.pop("const")] if "const" in changed else changed.get("enum")
        if not isinstance(words, list):
            return changed | {"type": ["string", "number", "boolean"]}
        numbers = [int(str(word)) for word in words if str(word).isdecimal()]
        return changed | {"type": ["string", "integer"] if numbers else "string", "enum": [*words, *numbers]}
    if isinstance(schema, list):
        return [_bare_scalars(value) for value in schema]
    return schema


def write_schemas(folder: Path | None, name: str | None) -> str:
    """Write one schema or all into a folder and tell what was written; without a folder, give the one's text."""
    if name is not None and name not in _MODELS:
        remedy = did_you_mean(name, _MODELS).strip() or f"There are {', '.join(_MODELS)}."
        raise Refused([Problem("hobmark", 1, 1, f"there is no schema '{name[:60]}'.", remedy)])
    if folder is None:
        return schema_text(name or "case")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refused(
            [Problem(str(folder), 1, 1, f"the folder cannot be made: {error.strerror}.", "Choose another.")]
        ) from None
    names = [name] if name is not None else schema_names()
    for each in names:
        write_atomically(folder / f"{each}.schema.json", schema_text(each))
    return "".join(f"{folder / f'{each}.schema.json'}\n" for each in names)
