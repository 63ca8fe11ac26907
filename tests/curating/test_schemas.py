"""The JSON Schemas that curators' editors and readers of the JSON go by."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import ClassVar

import jsonschema
import pytest
import yaml
from hobmark.curating.schemas import schema_names, schema_text, write_schemas
from hobmark.knowledge.root import DATING, knowledge_root
from hobmark.problems import Refused


@pytest.mark.parametrize("name", schema_names())
def test_every_schema_is_json_of_the_named_draft(name: str) -> None:
    assert json.loads(schema_text(name))["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_a_schema_of_a_file_lets_bare_numbers_stand_for_text() -> None:
    life = json.loads(schema_text("maker"))["properties"]["life"]
    assert life["type"] == ["string", "number", "boolean"]


def test_a_schema_of_output_keeps_its_types() -> None:
    assert json.loads(schema_text("identify-output"))["properties"]["case"]["type"] == "string"


SCHEMA_OF = {f"{name}.yaml": name for name in ("wording", "assemblies", "features", "cautions", "maker", "sources")}
SCHEMA_OF |= {f"{name}.yaml": name for name in ("models", "traits", "rules", "serials")}
SCHEMA_OF |= {f"{name}.yaml": name for name in ("gases", "drills", "fuel", "hazards", "set_up", "faults", "setup")}
SCHEMA_OF |= {f"{name}.yaml": name for name in ("part_kinds", "parts", "fit_rules")}
SCHEMA_OF |= {"us_patents.yaml": "us_patents"} | {f"{name}.yaml": "dating" for name in DATING}
TOP = Path(__file__).parents[2]
FILES = sorted([*knowledge_root().rglob("*.yaml"), *(TOP / "examples").rglob("*.yaml")])
WRITTEN = {
    "case": "hobmark: 1\nobservations: [{feature: a, is: b, original: yes}, {feature: c, is: [d, e]}]",
    "features": "a: {label: A, assembly: b, ask: A, look: Up., access: photo, values: {c: {}, d: {}}, needs: {e: f}}",
    "rules": "- {id: a, when: {all: [{b: c}, {d: [e, f]}, {any: [{g: h}]}]}, then: [{feature: i, is: j}, "
    "{not_before: 1939, of: k}], because: So., sources: [l]}",
    "traits": "- {id: a, feature: b, of: [all], run: [c, {from: 1939, value: d, run_out: 6 months}, "
    "{from: 1941, value: e, run_out: 6}], certainty: attested, sources: [f]}",
    "cautions": "a: {says: A., short: A, source: b, status: single, when: {c: d}}",
}
MISTAKEN = {
    "case": "hobmark: 2",
    "features": "a: {label: A, assembly: b, ask: A, look: Up., access: near}",
    "traits": "- {id: a, feature: b, of: [all], run: [c, {from: 1939, value: d, run_out: soon}], certainty: attested, "
    "sources: [f]}",
}


def schema_name(path: Path) -> str:
    """Which schema goes with a file."""
    return "specimen" if path.parent.name == "specimens" else SCHEMA_OF.get(path.name, "case")


class Editor(yaml.SafeLoader):
    """YAML as an editor reads it: of bare words, true, false, null and numbers alone are no text."""

    yaml_implicit_resolvers: ClassVar = {}


Editor.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("true|false"), list("tf"))
Editor.add_implicit_resolver("tag:yaml.org,2002:null", re.compile("null|~|$"), ["n", "~", ""])
Editor.add_implicit_resolver("tag:yaml.org,2002:int", re.compile("-?[0-9]+$"), list("-0123456789"))
Editor.add_implicit_resolver("tag:yaml.org,2002:float", re.compile(r"-?[0-9]+\.[0-9]+$"), list("-0123456789"))


@cache
def validator(name: str) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(json.loads(schema_text(name)))


def complaints(name: str, text: str) -> list[str]:
    """What an editor that goes by the schema underlines."""
    return [error.message for error in validator(name).iter_errors(yaml.load(text, Editor))]


@pytest.mark.parametrize("path", FILES, ids=lambda path: "/".join(path.parts[-3:]))
def test_every_shipped_file_and_every_example_fits_its_schema(path: Path) -> None:
    assert complaints(schema_name(path), path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("name", sorted(WRITTEN))
def test_what_people_write_fits_its_schema(name: str) -> None:
    assert complaints(name, WRITTEN[name]) == []


@pytest.mark.parametrize("name", sorted(MISTAKEN))
def test_a_mistake_does_not_fit_its_schema(name: str) -> None:
    assert complaints(name, MISTAKEN[name])


@pytest.mark.parametrize("name", schema_names())
def test_every_schema_is_a_schema(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(schema_text(name)))


def test_all_schemas_are_written_into_a_new_folder(tmp_path: Path) -> None:
    write_schemas(tmp_path / "new", None)
    assert len(list((tmp_path / "new").glob("*.schema.json"))) == len(schema_names())


def test_an_unknown_schema_is_refused_with_what_was_meant() -> None:
    with pytest.raises(Refused, match=r"Did you mean 'traits'\?"):
        write_schemas(None, "trait")
