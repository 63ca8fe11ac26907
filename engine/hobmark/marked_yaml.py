"""YAML read as text with the place of every value, and checked against a model in a curator's words.

No scalar is guessed at: `on`, `no`, `1940` and `12E4` stay what they look like; the model gives them a type.
"""

from __future__ import annotations

import re
import types
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, NamedTuple, NoReturn, TypeVar, Union, get_args, get_origin

import yaml
from pydantic import BaseModel, RootModel, ValidationError
from pydantic_core import ErrorDetails, core_schema

from hobmark.files import UNWANTED, read_text
from hobmark.problems import Fault, Problem, Refused, collapsed, shown, spoken, without_echoes, worded
from hobmark.yaml_words import yaml_worded

DEPTH_LIMIT = 40
"""Deepest nesting that is read, aliases followed."""

NODE_LIMIT = 200_000
"""Most nodes a file may amount to, each alias counted as the copy it stands for; a large base's files have a tenth."""

PROBLEM_LIMIT = 200
"""Most problems reported for one file; where there are more, one further problem says how many."""

M = TypeVar("M", bound=BaseModel)

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NO_KEYS: Mapping[str, tuple[int, int]] = types.MappingProxyType({})
_PYDANTIC_KINDS = frozenset(get_args(core_schema.ErrorType))
_NOT_A_NAME = "a field's name must be plain text.", "Write 'name: value'."
_WRITE_OUT = "Write out what it stands for."
_QUOTED = re.compile(r"'((?:[^'\\]|\\.)*)'")


class Node(NamedTuple):
    """A value and where it stands, counted from 1; a mapping's `keys` are the places of its field names.

    A named tuple, because building frozen dataclasses takes longer than parsing the YAML they stand for.
    """

    value: str | tuple[Node, ...] | Mapping[str, Node]
    line: int
    column: int
    keys: Mapping[str, tuple[int, int]] = _NO_KEYS


class _Notes:
    """The problems of one file: what can be read past is noted, the rest stops the reading."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.problems: list[Problem] = []

    def note(self, mark: Any, message: str, remedy: str) -> None:
        self.problems.append(Problem(self.path, mark.line + 1, mark.column + 1, message, remedy))
        if len(self.problems) >= PROBLEM_LIMIT:
            raise Refused(self.problems)

    def stop(self, mark: Any, message: str, remedy: str) -> NoReturn:
        self.note(mark, message, remedy)
        raise Refused(self.problems)

    def text(self, event: Any) -> None:
        if event.tag is not None:
            self.note(event.start_mark, *yaml_worded("tag"))
        if bad := UNWANTED.search(event.value):  # it came as an escape: read_text sees only what is plain
            amiss = f"the character {shown(bad[0])} cannot stand in a text."
            self.note(event.start_mark, amiss, "Delete it.")

    def key(self, event: Any, keys: Mapping[str, tuple[int, int]]) -> None:
        line = keys[event.value][0] if event.value in keys else 0
        twice = f"the field '{shown(event.value)}' stands twice, first at line {line}.", "Keep one of them."
        self.note(event.start_mark, *(twice if line else _NOT_A_NAME))

    def syntax(self, error: Exception, text: str) -> NoReturn:
        said = f"{getattr(error, 'context', '')} {getattr(error, 'problem', '')}"
        end = yaml.Mark("", len(text), text.count("\n"), len(text) - text.rfind("\n") - 1, None, 0)
        marks = [getattr(error, name, None) for name in ("problem_mark", "context_mark")]
        if "simple key" in said:  # it stands where the key began, not where the parser gave up waiting
            marks.reverse()
        # Where a thing opens helps more than where the file ends, past which the parser may point.
        mark = next((mark for mark in marks if mark and mark.index < end.index), end)
        before = text[text.rfind("\n", 0, mark.index) + 1 : mark.index]
        self.stop(mark, *yaml_worded(said, text[mark.index : mark.index + 1], before))


def _root(text: str, notes: _Notes) -> Node:
    """The nodes of one document, from the parser's events; Python's own stack is spared.

    Of the open collection: `entries` or `fields` with `keys`, the `key` that waits for its value, what
    `opened` it, its `height` (nesting below), the count when it `began`. One loop, as calls cost time.
    """
    next_event, new = _LOADER(text).get_event, tuple.__new__
    entries: list[Node] = []
    fields: dict[str, Node] | None = None
    keys: dict[str, tuple[int, int]] = {}
    key: str | None = None
    opened: Any = None
    height = began = count = documents = 0
    stack: list[Any] = []
    anchors: dict[str, tuple[Node, int, int] | None] = {}
    while True:
        event = next_event()
        kind = type(event)
        if kind is yaml.ScalarEvent:
            value, mark, anchor = event.value, event.start_mark, event.anchor
            if event.tag is not None or event.style == '"':
                notes.text(event)
            line, column = mark.line + 1, mark.column + 1
            node, size, high = new(Node, (value, line, column, _NO_KEYS)), 1, 0
            if fields is not None and key is None:
                if not value or value in keys or event.style in ("|", ">"):
                    notes.key(event, keys)
                key, keys[value] = value, (line, column)
                continue
        elif fields is not None and key is None and kind is not yaml.MappingEndEvent:
            notes.stop(event.start_mark, *_NOT_A_NAME)
        elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
            if event.tag is not None:
                notes.note(event.start_mark, *yaml_worded("tag"))
            if len(stack) >= DEPTH_LIMIT:
                notes.stop(event.start_mark, f"this is nested more than {DEPTH_LIMIT} deep.", "Flatten it.")
            if event.anchor is not None:
                anchors[event.anchor] = None
            stack.append((entries, fields, keys, key, opened, height, began))
            entries, fields, keys = [], ({} if kind is yaml.MappingStartEvent else None), {}
            key, opened, height, began = None, event, 0, count
            continue
        elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
            mark, anchor, size, high = opened.start_mark, opened.anchor, count - began + 1, height + 1
            whole = tuple(entries) if fields is None else types.MappingProxyType(fields)
            node = Node(whole, mark.line + 1, mark.column + 1, types.MappingProxyType(keys) if keys else _NO_KEYS)
            entries, fields, keys, key, opened, height, began = stack.pop()
        elif kind is yaml.AliasEvent:
            named = f"the alias '*{shown(event.anchor)}'"
            if (meant := anchors.get(event.anchor)) is None:
                notes.stop(event.start_mark, f"{named} names nothing complete above it.", _WRITE_OUT)
            node, size, high = meant
            count, anchor = count + size - 1, None
            if count >= NODE_LIMIT or len(stack) + high > DEPTH_LIMIT:
                notes.stop(event.start_mark, f"{named} makes the file too large.", _WRITE_OUT)
        elif kind is yaml.StreamEndEvent:
            return entries[0] if entries and entries[0].value != "" else Node(types.MappingProxyType({}), 1, 1)
        else:
            if (documents := documents + (kind is yaml.DocumentStartEvent)) > 1:
                notes.stop(event.start_mark, "a second document begins here.", "Keep one document to a file.")
            continue
        if (count := count + 1) >= NODE_LIMIT:
            notes.stop(event.start_mark, f"the file holds more than {NODE_LIMIT:,} entries.", "Split it.")
        if anchor is not None:
            anchors[anchor] = node, size, high
        if high > height:
            height = high
        if fields is None:
            entries.append(node)
        elif key is not None:
            fields[key], key = node, None


def read_marked(path: Path, within: Path | None = None, *, pipes: bool = False) -> Node:
    """The one document of a YAML file, every scalar as text; an empty file is an empty mapping.

    Raises Refused for whatever `read_text` refuses, and for tags, doubled fields, names that are not plain
    text, several documents, nesting beyond DEPTH_LIMIT and aliases beyond NODE_LIMIT.
    """
    text = read_text(path, within, pipes=pipes)
    notes = _Notes(str(path))
    try:
        root = _root(text, notes)
    except (yaml.YAMLError, ValueError, OverflowError) as error:  # numbers in escapes come through bare
        notes.syntax(error, text.rstrip())
    if notes.problems:
        raise Refused(notes.problems)
    return root


def plain(node: Node) -> object:
    """The same as nested dict, list and str. Recursive: `read_marked` bounds the depth."""
    value = node.value
    if isinstance(value, tuple):
        return [plain(entry) for entry in value]
    return value if isinstance(value, str) else {name: plain(entry) for name, entry in value.items()}


def _child(node: Node, step: str | int) -> Node | None:
    value = node.value
    if isinstance(value, tuple):
        return value[step] if isinstance(step, int) and 0 <= step < len(value) else None
    return None if isinstance(value, str) else value.get(str(step))


def locate(node: Node, loc: Sequence[str | int], *, key: bool = False) -> tuple[int, int]:
    """Line and column of the deepest value along `loc`; with `key`, or if `loc` ends in "[key]", of its name.

    Steps that are not in the file are passed over: labels of a union's branches, and a missing field.
    """
    place = name = node.line, node.column
    for step in loc:
        if (child := _child(node, step)) is not None:
            place = child.line, child.column
            name, node = node.keys.get(str(step), place), child
    return name if key or tuple(loc[-1:]) == ("[key]",) else place


def _options(annotation: Any) -> list[Any]:
    """The types a value may have, with unions, aliases and root models opened."""
    if isinstance(annotation, type) and issubclass(annotation, RootModel):
        return _options(annotation.model_fields["root"].annotation)
    if hasattr(annotation, "__value__"):
        return _options(annotation.__value__)
    if get_origin(annotation) is Annotated:
        return _options(get_args(annotation)[0])
    if get_origin(annotation) in (Union, types.UnionType):
        return [option for member in get_args(annotation) for option in _options(member)]
    return [annotation]


def _fields(option: Any) -> Mapping[str, Any]:
    """The types of a model's fields, by the name a file uses; empty for anything but a model."""
    if not (isinstance(option, type) and issubclass(option, BaseModel)):
        return {}
    return {info.alias or name: info.annotation for name, info in option.model_fields.items()}


def _fields_along(model: type[BaseModel], loc: Sequence[str | int], tags: frozenset[int]) -> tuple[str, ...]:
    """The fields a record may have where `loc` leads.

    A union's branch goes by its own name, or by the word its discriminator holds.
    """
    options = _options(model)
    for at, step in enumerate(loc):
        if at in tags:
            named = [o for o in options if step == getattr(o, "__name__", "")]
            worded_so = [o for o in options if any(step in get_args(held) for held in _fields(o).values())]
            options = named or worded_so or options
            continue
        inner: list[Any] = []
        for option in options:
            fields, held = _fields(option), get_args(option)  # of a mapping, the values' type comes last
            inner += [fields[str(step)]] if step in fields else held if isinstance(step, int) else held[-1:]
        options = [option for member in inner for option in _options(member)]
    return tuple(dict.fromkeys(name for option in options for name in _fields(option)))


def _fault(model: type[BaseModel], node: Node, error: ErrorDetails) -> Fault:
    kind, loc, details, given = error["type"], error["loc"], dict(error.get("ctx", {})), error["input"]
    discriminator = _QUOTED.findall(str(details.get("discriminator", "")))[:1]
    if kind == "union_tag_not_found" and discriminator:
        kind, loc = "missing", (*loc, *discriminator)
    elif kind == "union_tag_invalid" and discriminator:
        kind, loc, given = "enum", (*loc, *discriminator), details["tag"]
    if kind not in _PYDANTIC_KINDS:
        details["error"] = error["msg"]  # a validator's own kind of error, in its own words
    tags, here = set(), node
    for at, step in enumerate(loc):
        if (child := _child(here, step)) is not None:
            here = child
        elif isinstance(step, str) and step != "[key]" and not (kind == "missing" and at == len(loc) - 1):
            tags.add(at)
    expected = details.get("expected", details.get("expected_tags", ""))
    known = tuple(map(str, loc[-1:])) if kind == "missing" else tuple(_QUOTED.findall(str(expected)))
    if kind == "extra_forbidden":
        known = _fields_along(model, loc[:-1], frozenset(tags))
    return Fault(kind, loc, frozenset(tags), given, details, known)


def _problem(fault: Fault, node: Node, path: str) -> Problem:
    if fault.kind in ("value_error", "assertion_error") or fault.kind not in _PYDANTIC_KINDS | {"shape"}:
        said = spoken(str(fault.details.get("error", "")))
    else:
        said = worded(fault.kind, fault.name, fault.given, fault.details, fault.known)
    return Problem(path, *locate(node, fault.loc, key=fault.kind == "extra_forbidden"), *said)


def validated(model: type[M], node: Node, path: str, context: Any = None) -> M:
    """The node as the model has it. Raises Refused with a problem for each mistake, in file order.

    `context` goes to the model's validators. Their ValueErrors are repeated as they stand, so should read
    "what is wrong. What to do."
    """
    try:
        return model.model_validate(plain(node), context=context)
    except ValidationError as refused:
        errors = refused.errors(include_url=False)
    faults = without_echoes(collapsed(_fault(model, node, error) for error in errors))
    places = sorted(faults, key=lambda fault: locate(node, fault.loc))
    problems = sorted(_problem(fault, node, path) for fault in places[:PROBLEM_LIMIT])
    if more := len(faults) - len(problems):
        rest = f"{more} further problems follow.", "Mend these first."
        problems.append(Problem(path, problems[-1].line, problems[-1].column, *rest))
    raise Refused(problems)
