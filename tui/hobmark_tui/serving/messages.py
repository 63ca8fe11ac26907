"""What our page says over its WebSocket, read strictly: whatever else comes is no message of ours."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

LONGEST = 65_536
"""Bytes of one message: a long paste, and not more."""
NARROWEST, WIDEST = 20, 500
"""Columns of a screen that is drawn, whatever a browser asks for: its cells are memory of ours."""
LOWEST, HIGHEST = 10, 200
"""Rows of it."""
USUAL = {"width": 80, "height": 24}
"""The size of a screen that tells none, in columns and rows."""
_MARK = 32


class Malformed(ValueError):
    """Something that our page never says."""


@dataclass(frozen=True, slots=True)
class Size:
    """A screen's size, held within what is drawn."""

    width: int
    height: int

    @classmethod
    def within(cls, width: int, height: int) -> Size:
        """The nearest size that is drawn."""
        return cls(min(max(width, NARROWEST), WIDEST), min(max(height, LOWEST), HIGHEST))


@dataclass(frozen=True, slots=True)
class Keys:
    """What was typed, tapped or pasted, as a terminal sends it."""

    data: bytes


@dataclass(frozen=True, slots=True)
class Ping:
    """A mark that is to be sent back."""

    mark: str


@dataclass(frozen=True, slots=True)
class Focus:
    """Whether the page is in front."""

    here: bool


Message = Size | Keys | Ping | Focus


def read_message(text: str) -> Message | None:
    """One message of the page; None for a kind that asks for nothing here. Raises Malformed."""
    try:
        said = json.loads(text)
    except (ValueError, RecursionError):
        raise Malformed from None
    match said:
        case ["stdin", str(typed)]:
            return Keys(_encoded(typed))
        case ["resize", {"width": int(width), "height": int(height)}]:
            return Size.within(width, height)
        case ["ping", str(mark)] if len(mark) <= _MARK:
            return Ping(mark)
        case ["focus" | "blur" as kind, *_]:
            return Focus(kind == "focus")
        case [str(kind), *_] if kind not in ("stdin", "resize", "ping"):
            return None
        case _:
            raise Malformed


def read_size(query: Any) -> Size:
    """The size that the address of a WebSocket names; the usual one for what it does not."""
    return Size.within(*(_whole(query.get(side, ""), usual) for side, usual in USUAL.items()))


def _whole(text: str, usual: int) -> int:
    try:
        return int(text)
    except ValueError:  # no number, or one of thousands of digits
        return usual


def _encoded(typed: str) -> bytes:
    try:
        return typed.encode("utf-8")
    except UnicodeEncodeError:  # half of a pair of surrogates, which JSON lets through
        raise Malformed from None
