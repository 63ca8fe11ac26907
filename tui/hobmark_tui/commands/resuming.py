"""Which case file a session of questions writes: an unfinished one of this folder, or a new one."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

from hobmark.case import CaseFile, read_case
from hobmark.knowledge.vocabulary import Goal
from hobmark.problems import Refused
from hobmark.reasoning.examination import Compiled, Examination, claim_of
from hobmark.reasoning.stopping import verdict

from hobmark_tui.commands.terminal import ask, tell

LOOKED_THROUGH = 20
"""How many of a folder's newest cases are tried: each costs a moment, and an older one can be named."""

_NAME = re.compile(r"case-[0-9]{4}-[0-9]{2}-[0-9]{2}(-[0-9]+)?\.yaml")


def new_case_path(folder: Path) -> Path:
    """`case-DATE.yaml`, numbered where that name is taken."""
    today = datetime.date.today().isoformat()
    path = folder / f"case-{today}.yaml"
    number = 2
    while path.exists() or path.is_symlink():
        path = folder / f"case-{today}-{number}.yaml"
        number += 1
    return path


def unfinished(folder: Path, compiled: Compiled, goal: Goal) -> CaseFile | None:
    """The newest `case-DATE.yaml` of a folder, of whatever date, that reads and has looks left that tell something."""
    named = [path for path in folder.glob("case-*.yaml") if _NAME.fullmatch(path.name) and path.is_file()]
    for path in sorted(named, key=_age, reverse=True)[:LOOKED_THROUGH]:
        try:
            found = read_case(path, compiled.base)
        except Refused as refused:
            tell(f"Passed over, as it cannot be read: {refused.problems[0]}")
            continue
        if not verdict(Examination(compiled, found.case, goal, claim_of(compiled.base, found.case))).stop:
            return found
    return None


def _age(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:  # gone since it was listed
        return 0.0


def chosen_path(folder: Path, compiled: Compiled, goal: Goal) -> Path | None:
    """The file to go on with, as the person says, or a new one; None where the person stops here."""
    found = unfinished(folder, compiled, goal)
    if found is None:
        return new_case_path(folder)
    while True:
        typed = ask(f"Go on with {found.path.name} ({looks_words(len(found.case.answered()))})? y/n ")
        if typed is None or typed.lower() in ("q", "quit"):
            return None
        if typed.lower() in ("y", "yes"):
            return found.path
        if typed.lower() in ("n", "no"):
            return new_case_path(folder)
        tell("y goes on with it, n begins a new case, q stops.")


def looks_words(count: int) -> str:
    """`1 look`, `2 looks`."""
    return "1 look" if count == 1 else f"{count} looks"
