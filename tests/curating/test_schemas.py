"""The JSON Schemas that curators' editors and readers of the JSON go by."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hobmark.curating.schemas import schema_names, schema_text, write_schemas
from hobmark.problems import Refused


@pytest.mark.parametrize("name", schema_names())
def test_every_schema_is_json_of_the_named_draft(name: str) -> None:
    assert json.loads(schema_text(name))["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_a_schema_of_a_file_lets_bare_numbers_stand_for_text() -> None:
    life = json.loads(schema_text("maker"))["properties"]["life"]
    assert life["type"] == ["string", "number", "boolean"]


def test_a_schema_of_output_keeps_its_types() -> None:
    assert json.loads(schema_text("identify-output"))["properties"]["case"]["type"] == "string"


def test_all_schemas_are_written_into_a_new_folder(tmp_path: Path) -> None:
    write_schemas(tmp_path / "new", None)
    assert len(list((tmp_path / "new").glob("*.schema.json"))) == len(schema_names())


def test_an_unknown_schema_is_refused_with_what_was_meant() -> None:
    with pytest.raises(Refused, match=r"Did you mean 'traits'\?"):
        write_schemas(None, "trait")
