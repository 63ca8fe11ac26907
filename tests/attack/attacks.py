"""What an attack is: made ready once in a folder of its own, then struck again and again, each time by a seed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol


class Strike(Protocol):
    """One attack, ready: strikes once, and raises where anything did not hold."""

    def __call__(self, seed: int) -> None: ...


@dataclass(frozen=True, slots=True)
class Attack:
    """A kind of attack. `times`: how often it is struck in a whole run; `packet`: how often with one making ready."""

    name: str
    times: int
    ready: Callable[[Path], Strike]
    packet: int = 500


class Fell(AssertionError):
    """Something did not hold."""


def must(holds: object, words: object) -> None:
    """Raise Fell, with words, unless something holds."""
    if not holds:
        raise Fell(str(words)[:500])
