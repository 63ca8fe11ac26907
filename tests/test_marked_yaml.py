"""YAML as text with its places, and a model's complaints in a curator's words."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

import os
import time
from collections.abc import Mapping
from contextlib import suppress
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any, Literal

import pytest
import yaml
from hobmark import marked_yaml
from hobmark.marked_yaml import Node, locate, plain, read_marked, validated
from hobmark.problems import Problem, Refused
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict, Field, RootModel, ValidationInfo, field_validator
from pydantic_core import PydanticCustomError

LOADERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if hasattr(yaml, "CSafeLoader") else [])]


@pytest.fixture(params=LOADERS, ids=lambda loader: loader.__name__)
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(marked_yaml, "_LOADER", request.param)


either_loader = pytest.mark.usefixtures("loader")


def read(folder: Path, text: str) -> Node:
    (folder / "a.yaml").write_text(text, encoding="utf-8")
    return read_marked(folder / "a.yaml")


def refusals(folder: Path, text: str) -> list[str]:
    with pytest.raises(Refused) as caught:
        read(folder, text)
    path = str(folder / "a.yaml")
    return [str(problem).removeprefix(path + ":") for problem in caught.value.problems]


@either_loader
@pytest.mark.parametrize(
    "text", ["on", "no", "1940", "12E4", "~", "null", "0x1F", "1:30", "2019-05", ".5", "'", "=", "<<"]
)
def test_every_scalar_is_the_text_that_was_written(text: str, tmp_path: Path) -> None:
    written = '"\'"' if text == "'" else text
    assert plain(read(tmp_path, f"a: {written}")) == {"a": text}


@either_loader
def test_an_empty_value_is_empty_text(tmp_path: Path) -> None:
    assert plain(read(tmp_path, "a:\nb: ''\nc: [x, ]\n")) == {"a": "", "b": "", "c": ["x"]}


@either_loader
@pytest.mark.parametrize("text", ["", "# only a comment\n", "---\n", "\ufeff", "---\n...\n"])
def test_an_empty_file_is_an_empty_mapping(text: str, tmp_path: Path) -> None:
    root = read(tmp_path, text)
    assert isinstance(root.value, Mapping)
    assert (dict(root.value), root.line, root.column) == ({}, 1, 1)


@either_loader
def test_values_and_field_names_know_their_places(tmp_path: Path) -> None:
    root = read(tmp_path, "# head\n- {id: x, of: [ä, b]}\n- id: y\n  look: >-\n    long\n")
    assert (root.line, root.column) == (2, 1)
    assert locate(root, (0,)) == (2, 3)
    assert locate(root, (0, "of", 1)) == (2, 19)
    assert locate(root, (0, "of"), key=True) == (2, 11)
    assert locate(root, (1, "look")) == (4, 9)


@either_loader
def test_a_place_off_the_tree_is_the_nearest_on_it(tmp_path: Path) -> None:
    root = read(tmp_path, "a:\n  b: [x]\n")
    assert locate(root, ("a", "Branch", "b", "list[str]", 0)) == (2, 7)
    assert locate(root, ("a", "missing")) == locate(root, ("a",)) == (2, 3)
    assert locate(root, ("a", "[key]")) == (1, 1)
    assert locate(root, ("a", "b", 7)) == locate(root, ("a", "b")) == (2, 6)


def test_nodes_cannot_be_changed(tmp_path: Path) -> None:
    root: Any = read(tmp_path, "a: b")
    with pytest.raises(AttributeError):
        root.line = 7
    with pytest.raises(TypeError):
        root.value["a"] = root


@either_loader
def test_an_alias_stands_for_what_it_names_and_keeps_its_first_place(tmp_path: Path) -> None:
    root = read(tmp_path, "a: &x [1, 2]\nb: *x\nc: &y d\ne: *y\n")
    assert plain(root) == {"a": ["1", "2"], "b": ["1", "2"], "c": "d", "e": "d"}
    assert locate(root, ("b", 1)) == (1, 11)


TAGS = "words that begin with ! are not read. Remove it, or put the text in quotes."


@either_loader
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: !!str b", f"1:4: {TAGS}"),
        ("a: !!python/object:os.system b", f"1:4: {TAGS}"),
        ("a: ! b", f"1:4: {TAGS}"),
        ("- !x [b]", f"1:3: {TAGS}"),
        ("a: 1\nb: 2\na: 3", "3:1: the field 'a' stands twice, first at line 1. Keep one of them."),
        ("[a]: b", "1:1: a field's name must be plain text. Write 'name: value'."),
        ("{a: b}: c", "1:1: a field's name must be plain text. Write 'name: value'."),
        ('"": c', "1:1: a field's name must be plain text. Write 'name: value'."),
        ("a: &x b\n*x : c", "2:1: a field's name must be plain text. Write 'name: value'."),
        ("? |\n  a\n: c", "1:3: a field's name must be plain text. Write 'name: value'."),
        ("a: b\n---\nc: d", "2:1: a second document begins here. Keep one document to a file."),
        ('a: "\\0"', "1:4: the character \\x00 cannot stand in a text. Delete it."),
        ('"\\e": b', "1:1: the character \\x1b cannot stand in a text. Delete it."),
        ("a: *x", "1:4: the alias '*x' names nothing complete above it. Write out what it stands for."),
        ("a: &x [*x]", "1:8: the alias '*x' names nothing complete above it. Write out what it stands for."),
        ("[" * 41 + "]" * 41, "1:41: this is nested more than 40 deep. Flatten it."),
        ("[" * 99, "1:41: this is nested more than 40 deep. Flatten it."),
    ],
)
def test_what_yaml_allows_and_a_curator_does_not_need_is_refused(text: str, said: str, tmp_path: Path) -> None:
    assert refusals(tmp_path, text) == [said]


@either_loader
def test_forty_deep_is_read(tmp_path: Path) -> None:
    assert plain(read(tmp_path, "[" * 40 + "]" * 40))


@either_loader
def test_what_can_be_read_past_is_reported_together(tmp_path: Path) -> None:
    said = refusals(tmp_path, "a: 1\na: 2\nb: !x 3\nc: [")
    assert [line.split(":")[0] for line in said] == ["2", "3", "4"]


@either_loader
@pytest.mark.parametrize(
    "text",
    [
        "a0: &a0 [x]\n" + "".join(f"a{n}: &a{n} [{f'*a{n - 1}, ' * 9}]\n" for n in range(1, 9)),
        "a: &a0 [x]\n" + "".join(f"b{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 300)),
    ],
    ids=["wide", "deep"],
)  # fmt: skip
def test_aliases_that_explode_are_refused(text: str, tmp_path: Path) -> None:
    (said,) = refusals(tmp_path, text)
    assert said.endswith("makes the file too large. Write out what it stands for.")


@either_loader
@pytest.mark.parametrize(
    ("text", "place", "message"),
    [
        ("a: b: c", "1:5", "a colon stands inside this text. Put the text in quotes."),
        ("a: [b: c: d]", "1:9", "a colon stands inside this text. Put the text in quotes."),
        ("- {a: b: c, d: e}", "1:8", "a colon stands inside this text. Put the text in quotes."),
        ("a: b\nc\n", "2:1", "a field has no colon after its name."),
        ("a:\n\t- b", "2:1", "this line is indented with a tab. Indent with spaces."),
        ("a:\n  b: 1\n\tc: 2\n", "3:1", "this line is indented with a tab. Indent with spaces."),
        ("a:\n  - b\n \t- c\n", "3:2", "this line is indented with a tab. Indent with spaces."),
        ("a: @b", "1:4", "nothing can begin with this sign. Put the text in quotes."),
        ("a: 'b\nc: d\n", "1:4", "a quotation mark is opened here and never closed."),
        ("a: [b, c: d\n", "1:4", "a list in [ ] lacks a comma or its closing bracket."),
        ("- a\nb: c", "2:1", "this line stands in a list and has no dash."),
        ("- {a: b}\n{a: c}\n", "2:1", "this line stands in a list and has no dash."),
        ("- {a: b}\n{a: c}\n- {a: d}\n", "2:1", "this line stands in a list and has no dash."),
        ("- a: 1\n  b: 2\na: 3\n", "3:1", "this line stands in a list and has no dash."),
        ("{a: 1,\n", "", "a value, a field name or a closing bracket is missing here."),
        ("a: 'b\n---\n", "2:1", "a quotation mark above this is never closed."),
        ('a: "\\y"', "1:", "the backslash begins nothing that is known."),
        ("a: 1\n  b: 2\n", "2:4", "a colon stands where no field can begin."),
        ("  a: 1\n b: 2\n", "2:2", "this line does not fit those above it."),
        ("a: *", "1:4", "a name must follow this & or *."),
        ("a: !<x", "1:4", "words that begin with ! are not read."),
        ("%YAML 3.0\n---\na: b", "1:1", "the YAML cannot be read here."),
    ],
)
def test_a_slip_of_syntax_is_told_in_plain_words(text: str, place: str, message: str, tmp_path: Path) -> None:
    (said,) = refusals(tmp_path, text)
    assert message in said
    assert said.startswith(place)


def test_the_limits_of_a_file_hold_for_yaml(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="not UTF-8"):
        read_bytes(tmp_path, b"a: \xff")
    with pytest.raises(Refused, match="larger than 5 MiB"):
        read_bytes(tmp_path, b" " * 6_000_000)
    if os.name == "posix":
        (tmp_path / "base").mkdir()
        (tmp_path / "base" / "link").symlink_to("../a.yaml")
        with pytest.raises(Refused, match="leads out of its folder"):
            read_marked(tmp_path / "base" / "link", within=tmp_path / "base")


def read_bytes(folder: Path, data: bytes) -> object:
    (folder / "a.yaml").write_bytes(data)
    root = read_marked(folder / "a.yaml")
    return plain(root)


SEED = b"""# traits
- {id: bm-t014, feature: grate_pattern, of: [heron], value: finger, how: usually, sources: [cat-39:7]}
- id: &a bm-t020
  run: [porcelain, {from: "[1938..1939]", value: phenolic}, {from: "1951", value: 'urea'}]
  note: >-
    two lines
  of: *a
"""
PIECES = [b"\t", b"\n", b"- ", b"? ", b": ", b"[", b"]", b"{", b"}", b"&a ", b"*a", b"!x ", b"|\n", b"'", b'"',
          b"\\U99999999", b"%YAML 1." + b"9" * 5000 + b"\n", b"---\n", b"...\n", b"\xe2\x80\xa8", b"\xff", b"\0", b"#"]  # fmt: skip


@either_loader
@settings(max_examples=300, deadline=2000, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=200) | st.lists(st.sampled_from(PIECES), max_size=40).map(b"".join))
def test_random_bytes_are_read_or_refused_and_nothing_else(data: bytes, tmp_path: Path) -> None:
    read_or_refuse(tmp_path, data)


@either_loader
@settings(max_examples=300, deadline=2000, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    cuts=st.lists(
        st.tuples(st.integers(0, len(SEED)), st.integers(0, 9), st.sampled_from(PIECES)),
        min_size=1,
        max_size=6,
    )
)
def test_mutated_yaml_is_read_or_refused_and_nothing_else(cuts: list[tuple[int, int, bytes]], tmp_path: Path) -> None:
    data = SEED
    for at, length, piece in cuts:
        data = data[:at] + piece + data[at + length :]
    read_or_refuse(tmp_path, data)


def read_or_refuse(folder: Path, data: bytes) -> None:
    problems: tuple[Problem, ...] = ()
    try:
        read_bytes(folder, data)
        validated(Traits, read_marked(folder / "a.yaml"), "a.yaml")
    except Refused as refused:
        problems = refused.problems
    for problem in problems:
        assert problem.line > 0
        assert problem.column > 0
        assert problem.remedy
        assert not JARGON & set(problem.message.split())


@pytest.mark.skipif(not hasattr(yaml, "CSafeLoader"), reason="PyYAML's own parser takes a minute for 5 MiB")
@pytest.mark.parametrize(
    "piece", ["[", "{", "- ", "? ", "a: ", "&a ", "'", '"\\', "!", "\n", " ", "#", "a\n", "*a ", "|\n ", "%"]
)
def test_five_mebibytes_of_one_sign_end_soon(piece: str, tmp_path: Path) -> None:
    began = time.perf_counter()
    with suppress(Refused):
        read(tmp_path, piece * (5 * 1024 * 1024 // len(piece)))
    assert time.perf_counter() - began < 10


JARGON = {"Input", "input", "Field", "Extra", "instance", "dictionary", "Value", "pydantic", "str", "dict"}


class How(StrEnum):
    always = "always"
    often = "often"


class Strict(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Step(Strict):
    from_: str = Field(alias="from")
    value: str


class Became(Strict):
    feature: str
    is_: str = Field(alias="is")


class NotBefore(Strict):
    not_before: str
    of: str


class NotAfter(Strict):
    not_after: str
    of: str


class Remark(Strict):
    remark: str


class Round(Strict):
    kind: Literal["round"]
    across: int


class Square(Strict):
    kind: Literal["square"]
    side: int


class Trait(Strict):
    id: str = Field(pattern="^[a-z0-9-]+$")
    how: How = How.always
    color: Literal["green", "ivory"] = "green"
    of: list[str] | str = "all"
    note: str = ""
    pages: list[str] = Field(default=[], max_length=3)
    values: dict[How, str] = {}
    units: int = Field(default=1, gt=0, le=100)
    share: float = Field(default=0.5, ge=0, lt=1)
    label: str = Field(default="xx", min_length=2, max_length=9)
    invented: bool = True
    made: str = ""
    when: bytes = Field(default=b"", max_length=1)
    run: list[Step | str] = []
    then: list[Became | NotBefore | NotAfter | Remark] = []
    hole: Annotated[Round | Square, Field(discriminator="kind")] | None = None
    step: Step | None = None

    @field_validator("made")
    @classmethod
    def _date(cls, made: str, info: ValidationInfo) -> str:
        if made == "late":
            raise ValueError("'late' is not an EDTF date. Write 1939/1941 (lasting).")
        if made == "custom":
            raise PydanticCustomError("own_kind", "our {what}. Our remedy.", {"what": "words"})
        if made == "context":
            raise ValueError(f"{info.context}. Do so.")
        if made == "assert":
            raise AssertionError("never so")
        return made


class Traits(RootModel[list[Trait]]):
    pass


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
