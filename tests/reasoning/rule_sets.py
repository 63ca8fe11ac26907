"""Rule sets written in a line, and the engines that derive from them, for every test of the chaining."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterable

import pytest
from hobmark.reasoning.chaining import Atom, Clause, Derivation

HAS_DURABLE = importlib.util.find_spec("durable") is not None
needs_durable = pytest.mark.skipif(
    not HAS_DURABLE, reason="durable-rules is not installed: only the counting chainer is tested"
)

Derive = Callable[[Iterable[Clause], Iterable[Atom]], Derivation]


def atom(text: str) -> Atom:
    """`lamp=absent`, or `lamp` for the value yes."""
    feature, _, value = text.partition("=")
    return Atom(feature, value or "yes")


def atoms(text: str) -> tuple[Atom, ...]:
    return tuple(atom(word) for word in text.split())


def clause(name: str, text: str) -> Clause:
    """`rim & clips -> late`; nothing after the arrow is an empty head."""
    body, head = text.split("->")
    return Clause(name, atoms(body.replace("&", " ")), atoms(head))


CHAIN = [clause("first", "rim -> press"), clause("second", "press & clips -> late")]
