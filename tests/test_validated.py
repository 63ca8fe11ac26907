"""A model's complaints of a YAML file, in a curator's words."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hobmark.marked_yaml import validated
from hobmark.problems import Refused
from pydantic import BaseModel

from .curators_models import (
    JARGON,
    How,
    Trait,
    Traits,
    read,
)


def said_of(folder: Path, entry: str, model: type[BaseModel] = Trait, context: Any = None) -> list[str]:
    node = read(folder, entry)
    with pytest.raises(Refused) as caught:
        validated(model, node, "t.yaml", context)
    lines = str(caught.value).splitlines()
    assert not JARGON & set(str(caught.value).replace("'", " ").split())
    return [line.removeprefix("t.yaml:") for line in lines]


def test_what_fits_the_model_comes_back_as_the_model(tmp_path: Path) -> None:
    trait = validated(Trait, read(tmp_path, "{id: a, how: often, units: 12, of: [x]}"), "t.yaml")
    assert (trait.how, trait.units, trait.of) == (How.often, 12, ["x"])


HEAD = "The comment at the head of the file says how to write it."


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("how: often", "1:1: 'id' is missing. Add it."),
        ("id: a\ncolour: green", "2:1: unknown field 'colour'. Did you mean 'color'?"),
        ("id: a\nhow: allways", "2:6: unknown word 'allways' for how. Did you mean 'always'?"),
        ("id: a\nhow: sdfg", "2:6: unknown word 'sdfg' for how. Write one of: always, often."),
        ("id: a\nhow:", "2:5: how is empty where one word should stand. Write one of: always, often."),
        ("id: a\nhow: [often]", "2:6: how is a list where one word should stand. Write one of: always, often."),
        ("id: a\ncolor: grene", "2:8: unknown word 'grene' for color. Did you mean 'green'?"),
        ("id: a\nnote: [x]", "2:7: note is a list where text should stand. Write plain text."),
        ("id: a\npages: x", "2:8: pages is text where a list should stand. Write a list: [one, two]."),
        ("id: a\npages: [{a: b}]", "2:9: pages is a set of fields where text should stand. Write plain text, and put text that holds a colon in quotes."),
        ("id: a\npages: {a: b}", "2:8: pages is a set of fields where a list should stand. Begin each entry with '- '."),
        ("id: a\npages: [a, b, c, d]", "2:8: pages has too many entries. Give at most 3."),
        ("id: a\nvalues: x", "2:9: values is text where a set of fields should stand. Write fields: {name: value}."),
        ("id: a\nvalues: {offen: x}", "2:10: unknown word 'offen' for values. Did you mean 'often'?"),
        ("id: a\nstep:", "2:6: step is empty where a set of fields should stand. Write fields: {name: value}."),
        ("id: a\nstep: {from: b, valeu: c}", "2:17: unknown field 'valeu'. Did you mean 'value'?"),
        ("id: a\nunits: many", "2:8: 'many' for units is not a whole number. Write it in digits alone, such as 12."),
        ("id: a\nunits: 1.5", "2:8: '1.5' for units is not a whole number. Write it in digits alone, such as 12."),
        ("id: a\nshare: half", "2:8: 'half' for share is not a number. Write it in digits alone, such as 12."),
        ("id: a\nunits: [1]", "2:8: units is a list where a whole number should stand. Write a whole number."),
        ("id: a\nunits: 0", "2:8: '0' for units is too small. Write more than 0."),
        ("id: a\nunits: 101", "2:8: '101' for units is too large. Write 100 or less."),
        ("id: a\nshare: -1", "2:8: '-1' for share is too small. Write 0 or more."),
        ("id: a\nshare: 1", "2:8: '1' for share is too large. Write less than 1."),
        ("id: a\nlabel: x", "2:8: label is too short. Write at least 2 characters."),
        ("id: a\nlabel: xxxxxxxxxx", "2:8: label is too long. Write at most 9 characters."),
        ("id: a\ninvented: maybe", "2:11: 'maybe' for invented is neither true nor false. Write true or false."),
        ("id: A b", f"1:5: 'A b' for id is not in the form it must have. {HEAD}"),
        ("id: a\nwhen: xx", f"2:7: 'xx' for when cannot be used here. {HEAD}"),
        ("id: a\nmade: late", "2:7: 'late' is not an EDTF date. Write 1939/1941 (lasting)."),
        ("id: a\nmade: custom", "2:7: our words. Our remedy."),
        ("id: a\nmade: context", "2:7: the context says so. Do so."),
        ("id: a\nmade: assert", f"2:7: never so. {HEAD}"),
        ("just text", "1:1: the whole is text where a set of fields should stand. Write fields: {name: value}."),
    ],
)  # fmt: skip
def test_a_models_complaint_reads_in_a_curators_words(entry: str, said: str, tmp_path: Path) -> None:
    assert said in said_of(tmp_path, entry, context="the context says so")


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("of: {a: b}", "2:5: of is a set of fields where a list or text should stand. Write a list: [one, two] or plain text."),
        ("of: [x, [y]]", "2:9: of is a list where text should stand. Write plain text."),
        ("run: [{from: x}]", "2:7: 'value' is missing. Add it."),
        ("run: [{from: x, valeu: y}]", "2:17: unknown field 'valeu'. Did you mean 'value'?"),
        ("run: [[x]]", "2:7: run is a list where a set of fields or text should stand. Write fields: {name: value} or plain text."),
        ("then: [{remrk: x}]", "2:9: unknown field 'remrk'. Did you mean 'remark'?"),
        ("then: [{not_befor: x, of: y}]", "2:9: unknown field 'not_befor'. Did you mean 'not_before'?"),
        ("then: [{feature: x, iss: y}]", "2:21: unknown field 'iss'. Did you mean 'is'?"),
        ("then: [{of: y}]", "2:8: 'not_before' or 'not_after' is missing. Add one of them."),
        ("then: [{not_after: [x], of: y}]", "2:20: not_after is a list where text should stand. Write plain text."),
        ("then: [plain]", "2:8: then is text where a set of fields should stand. Write fields: {name: value}."),
        ("hole: {kind: rund, across: 3}", "2:14: unknown word 'rund' for kind. Did you mean 'round'?"),
        ("hole: {across: 3}", "2:7: 'kind' is missing. Add it."),
        ("hole: {kind: square, side: 3, sied: 4}", "2:31: unknown field 'sied'. Did you mean 'side'?"),
        ("hole: {kind: square, side: x}", "2:28: 'x' for side is not a whole number. Write it in digits alone, such as 12."),
    ],
)  # fmt: skip
def test_a_choice_of_forms_gives_one_problem_for_one_value(entry: str, said: str, tmp_path: Path) -> None:
    assert said_of(tmp_path, f"id: a\n{entry}") == [said]


def test_the_fields_listed_are_those_of_the_form_that_was_chosen(tmp_path: Path) -> None:
    (said,) = said_of(tmp_path, "id: a\nhole: {kind: square, side: 3, qqq: 4}")
    assert said == "2:31: unknown field 'qqq'. The fields here are: kind, side."


def test_every_mistake_is_reported_in_file_order(tmp_path: Path) -> None:
    said = said_of(tmp_path, "- {id: a, zzz: 1}\n- {how: never}\n- x\n", Traits)
    assert [line.split(" ")[0] for line in said] == ["1:11:", "2:3:", "2:9:", "3:3:"]
    assert said[-1].startswith("3:3: entry 3 is text")


def test_a_flood_of_mistakes_is_counted_and_cut(tmp_path: Path) -> None:
    said = said_of(tmp_path, "".join(f"- {{id: a, zz{n}: 1}}\n" for n in range(1000)), Traits)
    assert len(said) == 201
    assert said[-1] == "200:11: 800 further problems follow. Mend these first."


def test_echoed_text_is_made_visible_and_cut(tmp_path: Path) -> None:
    (said,) = said_of(tmp_path, f"id: a\nhow: x\u202e{'y' * 99}")
    assert "x\\u202e" in said
    assert "y" * 60 not in said
