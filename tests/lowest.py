"""What pyproject.toml asks of other packages, and the lowest release of each that it allows."""

from __future__ import annotations

import tomllib
from pathlib import Path

import hobmark
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

TOP = Path(hobmark.__file__).parents[2]
PYPROJECT = TOP / "pyproject.toml"


def asked(part: str) -> list[Requirement]:
    """The requirements of one part: `build`, `run`, or an extra by its name; none where there is no checkout."""
    if not PYPROJECT.is_file():
        return []
    settings = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))
    project = settings["project"]
    parts = {"build": settings["build-system"]["requires"], "run": project["dependencies"]}
    return [Requirement(text) for text in (parts | project["optional-dependencies"])[part]]


def name_of(requirement: Requirement) -> str:
    """Its name as all the ways to write it come to."""
    return canonicalize_name(requirement.name)


def applies(requirement: Requirement) -> bool:
    """Whether it is asked for by this Python on this system."""
    return requirement.marker is None or requirement.marker.evaluate()


def lowest_version(requirement: Requirement) -> Version:
    """The version behind its `>=` or `==`; ValueError where it has none, or shuts out the very one it begins at."""
    stated = [Version(one.version) for one in requirement.specifier if one.operator in (">=", "==")]
    if len(stated) != 1:
        raise ValueError(f"'{requirement}' states no lowest version. Write one, as {requirement.name}>=1.2.")
    if stated[0] not in requirement.specifier:
        raise ValueError(f"'{requirement}' shuts out its own lowest version. Write the one after it.")
    return stated[0]


def pinned(requirement: Requirement) -> str:
    """It at its lowest version, as pip takes it: NAME==VERSION."""
    return f"{requirement.name}=={lowest_version(requirement)}"
