"""Inside the folder of cases: where a visitor stays, whatever name is typed and wherever a link leads."""

from __future__ import annotations

import os
from pathlib import Path

from hobmark.files import refusal

OUTSIDE = "Here a name stands for a file in the folder of cases. Write one without a folder, as report.html."


def is_inside(folder: Path, path: Path) -> bool:
    """Whether a file lies in a folder itself or below it, once every link on the way was followed."""
    return os.path.commonpath([real := os.path.realpath(folder), os.path.realpath(path)]) == real


def is_bare(name: str) -> bool:
    """Whether a typed name is a file's and nothing else: no folder, no drive, no home, none that is hidden."""
    return not (set(name) & set("/\\:") or name.startswith((".", "~")))


def stay_inside(folder: Path, path: Path) -> None:
    """Raise Refused for a file that lies elsewhere than in a folder."""
    if not is_inside(folder, path):
        raise refusal(path, "this leads out of the folder of cases.", "The owner of the folder can copy it there.")
