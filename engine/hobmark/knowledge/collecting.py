"""Reading single files, their problems collected so that a run tells all of them."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel

from hobmark.knowledge.bench_tables import Reads
from hobmark.knowledge.root import shown_path
from hobmark.knowledge.written import Written
from hobmark.marked_yaml import Node, read_marked, validated
from hobmark.problems import Problem, Refused

M = TypeVar("M", bound=BaseModel)


@dataclass(slots=True)
class Reader:
    """Collects problems, and the entries' places for the cross-file checks."""

    problems: list[Problem] = field(default_factory=list)

    def read(self, model: type[M], path: Path, root: Path, *, partly: bool = False) -> Written[M] | None:
        """The file, or None where it is refused; `partly`: its sound entries, where only some are."""
        shown = str(shown_path(path))
        node: Node | None = None
        try:
            node = read_marked(path, within=root)
            return Written(shown, node, validated(model, node, shown), _names(node))
        except Refused as refused:
            self.problems.extend(replace(problem, path=shown) for problem in refused.problems)
        if node is None or not partly or isinstance(node.value, str):
            return None
        sound = _sound(model, node)
        try:
            return Written(shown, sound, validated(model, sound, shown), _names(node))
        except Refused:  # it is no list of entries at all
            return None

    def read_named(self, root: Path) -> Reads:
        """Reads the files of a name in one folder: one, or none."""

        def read(model: type[M], name: str) -> list[Written[M]]:
            return present(self.read(model, path, root) for path in named(root, name))

        return read


def _sound(model: type[BaseModel], node: Node) -> Node:
    """A file's list or table with those of its entries that hold by themselves."""

    def holds(value: tuple[Node, ...] | Mapping[str, Node]) -> bool:
        try:
            validated(model, node._replace(value=value), "")
        except Refused:
            return False
        return True

    if isinstance(node.value, tuple):
        return node._replace(value=tuple(entry for entry in node.value if holds((entry,))))
    if isinstance(node.value, Mapping):
        return node._replace(value={name: entry for name, entry in node.value.items() if holds({name: entry})})
    return node


def _names(node: Node) -> frozenset[str]:
    """The ids that a file gives to its entries, and to the variants in them."""
    if isinstance(node.value, tuple):
        fields = [entry.value for entry in node.value if isinstance(entry.value, Mapping)]
        ids = [entry["id"].value for entry in fields if "id" in entry]
        return frozenset(each for each in ids if isinstance(each, str))
    if not isinstance(node.value, Mapping):
        return frozenset()
    inner = [entry.value.get("variants") for entry in node.value.values() if isinstance(entry.value, Mapping)]
    variants = [each.value for each in inner if each is not None and isinstance(each.value, Mapping)]
    return frozenset(node.value).union(*variants)


def optional(reader: Reader, model: type[M], path: Path, root: Path) -> Written[M] | None:
    """A file that a maker may go without, its sound entries where only some are."""
    return reader.read(model, path, root, partly=True) if os.path.lexists(path) else None


def named(root: Path, name: str) -> list[Path]:
    """The file of that name in a folder: one, or none."""
    # A link that leads nowhere stands there too, and is told rather than passed over.
    return [root / name] if os.path.lexists(root / name) else []


def present(read: Iterable[Written[M] | None]) -> list[Written[M]]:
    """Those that could be read."""
    return [written for written in read if written is not None]
