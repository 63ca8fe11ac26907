"""A small base, what is seen on a range, and what a case file holds."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, NoReturn

from hobmark.case import Case, read_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation

from ..knowledge.small_base import SmallBase


@cache
def small_base() -> KnowledgeBase:
    with tempfile.TemporaryDirectory() as folder:
        return SmallBase(Path(folder) / "base").read()


def seen(feature: str, value: str, **more: Any) -> Observation:
    return Observation.model_validate({"feature": feature, "is": value, **more})


LEGS, SKIRT = seen("base", "legs"), seen("base", "skirt")
UREA = seen("dial_material", "urea")
SHELF = seen("high_shelf", "fixed")


def kept(path: Path) -> Case:
    """The case as it stands in the file."""
    return read_case(path, small_base()).case


def looks(case: Case) -> list[tuple[str | None, tuple[str, ...] | None]]:
    return [(each.feature, each.is_) for each in case.observations]


def files(folder: Path) -> list[str]:
    """The names in a folder that a person sees."""
    return sorted(each.name for each in folder.iterdir() if not each.name.startswith("."))


def failing(number: int) -> Callable[..., NoReturn]:
    """A call that the system refuses."""

    def fail(*_: Any, **__: Any) -> NoReturn:
        raise OSError(number, os.strerror(number))

    return fail


full = failing(errno.ENOSPC)
