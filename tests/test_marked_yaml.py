"""YAML as text with its places, and what of it is refused."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

import os
import time
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
import yaml
from hobmark import marked_yaml
from hobmark.marked_yaml import locate, plain, read_marked, validated
from hobmark.problems import Problem, Refused
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from .curators_models import JARGON, Traits, read

LOADERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if hasattr(yaml, "CSafeLoader") else [])]


@pytest.fixture(params=LOADERS, ids=lambda loader: loader.__name__)
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(marked_yaml, "_LOADER", request.param)


either_loader = pytest.mark.usefixtures("loader")


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
@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=200) | st.lists(st.sampled_from(PIECES), max_size=40).map(b"".join))
def test_random_bytes_are_read_or_refused_and_nothing_else(data: bytes, tmp_path: Path) -> None:
    read_or_refuse(tmp_path, data)


@either_loader
@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
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


@pytest.mark.parametrize("piece", ["[],", "{},", "a,"])
def test_a_file_of_more_entries_than_any_base_has_is_refused_on_the_way(piece: str, tmp_path: Path) -> None:
    path = tmp_path / "many.yaml"
    path.write_text(f"a: [{piece * 250_000}]\n", encoding="utf-8")
    with pytest.raises(Refused, match="more than 200,000 entries"):
        read_marked(path)
