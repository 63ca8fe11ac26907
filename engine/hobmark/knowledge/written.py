"""An entry together with the file and the place it was written at, for the checks that look across files."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from hobmark.marked_yaml import Node, locate
from hobmark.problems import Problem

T = TypeVar("T", covariant=True)


@dataclass(frozen=True, slots=True)
class Written(Generic[T]):
    """A validated entry, the text tree it came from and the path to show.

    Of a file with mistakes in some of its entries only the sound ones are in `node` and `entry`; `names` holds the
    ids of all, so that nobody is told that a name with a mistake beside it stands nowhere.
    """

    path: str
    node: Node
    entry: T
    names: frozenset[str] = frozenset()

    def problem(self, loc: Sequence[str | int], message: str, remedy: str) -> Problem:
        """A problem at the place of `loc` in the tree."""
        line, column = locate(self.node, loc)
        return Problem(self.path, line, column, message, remedy)
