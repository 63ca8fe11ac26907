"""What a new case file is called."""

from __future__ import annotations

import datetime
import itertools
import os
from collections.abc import Iterator
from pathlib import Path


def numbered(path: Path) -> Iterator[Path]:
    """The path, then the same numbered from 2 on; those that nothing stands at, not even a broken link."""
    stems = itertools.chain([path.stem], (f"{path.stem}-{number}" for number in itertools.count(2)))
    for stem in stems:
        free = path.with_name(f"{stem}{path.suffix}")
        if not os.path.lexists(free):
            yield free


def new_case_paths(folder: Path) -> Iterator[Path]:
    """`case-DATE.yaml` and on, numbered; those that are free."""
    return numbered(folder / f"case-{datetime.date.today().isoformat()}.yaml")


def new_case_path(folder: Path) -> Path:
    """`case-DATE.yaml`, numbered where that name is taken."""
    return next(new_case_paths(folder))
