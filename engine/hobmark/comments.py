"""The comments that a person wrote into a YAML file, kept where the program writes that file anew."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

import yaml

if TYPE_CHECKING:
    from ruamel.yaml import YAML

TELLING = ("feature", "place", "clue", "symptom", "check", "file", "kind", "part", "measure", "at", "dial")
"""Fields that tell which of a list an entry is, so that it is known again where another of its fields changed."""
WIDE = 1_000_000
"""Letters of a line: none is folded."""


def with_comments(old: str, new: str) -> str:
    """The YAML text `new` with the comments of `old`, each beside what it stood beside.

    Comments whose entry is gone stand at the head, so that none is lost; all do where the texts cannot be joined.
    """
    if "#" not in old:
        return new
    before = list(_comments(old))
    joined = _joined(old, new) if before else new
    left, lost = list(_comments(joined)), list[str]()
    for each in before:
        if each in left:
            left.remove(each)
        else:
            lost.append(each)
    return "".join(f"{each}\n" for each in lost) + joined


def _round_trip() -> YAML:
    from ruamel.yaml import YAML  # only for those who wrote comments

    made = YAML()
    made.preserve_quotes = True
    made.width = WIDE
    made.indent(mapping=2, sequence=4, offset=2)
    return made


def _comments(text: str) -> Iterator[str]:
    """Every comment of a text, from its sign on; none where it is no YAML."""
    from ruamel.yaml.error import YAMLError

    try:
        tokens = list(_round_trip().scan(io.StringIO(text)))
    except YAMLError:
        return
    for token in tokens:
        for told in _tokens(getattr(token, "comment", None)):
            yield from (line.strip() for line in told.value.splitlines() if line.strip())


def _tokens(told: Any) -> Iterator[Any]:
    """The tokens of a comment, which are kept in lists of lists."""
    if isinstance(told, list):
        for each in told:
            yield from _tokens(each)
    elif told is not None:
        yield told


def _joined(old: str, new: str) -> str:
    """`old` with what `new` says; `new` itself where that would say anything else."""
    from ruamel.yaml.error import YAMLError

    try:
        kept, told = _round_trip().load(old), _round_trip().load(new)
        out = io.StringIO()
        _round_trip().dump(_merged(kept, told), out)
        return out.getvalue() if yaml.safe_load(out.getvalue()) == yaml.safe_load(new) else new
    except (YAMLError, yaml.YAMLError, ValueError):
        return new


def _merged(kept: Any, told: Any) -> Any:
    """What is told, as far as it can be in the place and the manner of what was kept."""
    if isinstance(kept, dict) and isinstance(told, dict):
        for key in [key for key in kept if key not in told]:
            del kept[key]
        for at, (key, value) in enumerate(told.items()):
            if key in kept:
                kept[key] = _merged(kept[key], value)
            else:
                _put(kept, at, key, value)
        return kept
    if isinstance(kept, list) and isinstance(told, list) and kept and told:
        return _merged_list(kept, told)
    alike = kept == told and all(isinstance(kept, kind) == isinstance(told, kind) for kind in (str, bool))
    return kept if alike else told


def _put(kept: Any, at: int, key: object, value: object) -> None:
    """A new field at its place; a mapping that was read with its comments has places."""
    kept.insert(at, key, value)


def _merged_list(kept: list[Any], told: list[Any]) -> list[Any]:
    """A list in place: what was alike or of the same name stays where its comments are."""
    old, new = [_name(each) for each in kept], [_name(each) for each in told]
    for act, first, last, start, end in reversed(SequenceMatcher(None, old, new, autojunk=False).get_opcodes()):
        if act == "equal":
            for at, value in zip(range(first, last), told[start:end], strict=True):
                kept[at] = _merged(kept[at], value)
            continue
        for at in reversed(range(first, last)):
            del kept[at]
        for value in reversed(told[start:end]):
            kept.insert(first, value)
    return kept


def _name(entry: Any) -> str:
    """What an entry of a list is known by: its telling fields, or all of it."""
    if isinstance(entry, dict):
        telling = {name: entry[name] for name in TELLING if name in entry}
        return json.dumps(telling or entry, default=str, sort_keys=True)
    return json.dumps(entry, default=str)
