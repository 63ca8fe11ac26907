"""Which case file a session of questions writes: the newest begun one of this folder, or a new one."""

from __future__ import annotations

from pathlib import Path

from hobmark.case import CaseFile, read_case
from hobmark.knowledge.vocabulary import Goal
from hobmark.problems import Refused
from hobmark.reasoning.examination import Compiled, Examination, claim_of
from hobmark.reasoning.stopping import verdict
from hobmark.reports.page import wrapped

from hobmark_tui.commands.terminal import Screen
from hobmark_tui.sessions.naming import new_case_path

LOOKED_THROUGH = 20
"""How many of a folder's newest cases are tried: each costs a moment, and an older one can be named."""


def newest_begun(folder: Path, compiled: Compiled, screen: Screen) -> CaseFile | None:
    """The newest `case-*.yaml` of a folder, of whatever date and state, that reads and holds a look."""
    named = [path for path in folder.glob("case-*.yaml") if path.is_file()]
    for path in sorted(named, key=_age, reverse=True)[:LOOKED_THROUGH]:
        try:
            found = read_case(path, compiled.base)
        except Refused as refused:
            screen.tell(f"Passed over, as it cannot be read: {refused.problems[0]}")
            continue
        if found.case.observations:
            return found
    return None


def state_words(found: CaseFile, compiled: Compiled, goal: Goal) -> str:
    """How far a case has come: its looks, and whether it is settled or nothing more can be told."""
    judged = verdict(Examination(compiled, found.case, goal, claim_of(compiled.base, found.case)))
    state = ", settled" if judged.settled else ", nothing more to be told from there" if judged.stop else ""
    return looks_words(len(found.case.answered())) + state


def _age(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:  # gone since it was listed
        return 0.0


def chosen_path(folder: Path, compiled: Compiled, goal: Goal) -> Path | None:
    """The file to go on with, as the person says, or a new one; None where the person stops here."""
    screen = Screen()
    found = newest_begun(folder, compiled, screen)
    if found is None:
        return new_case_path(folder)
    question = f"Go on with {found.path.name} ({state_words(found, compiled, goal)})? y/n"
    while True:
        typed = screen.ask(wrapped(question, width=screen.width) + " ")
        if typed is None or typed.lower() in ("q", "quit"):
            return None
        if typed.lower() in ("y", "yes"):
            return found.path
        if typed.lower() in ("n", "no"):
            return new_case_path(folder)
        screen.tell("y goes on with it, n begins a new case, q stops.")


def looks_words(count: int) -> str:
    """`1 look`, `2 looks`."""
    return "1 look" if count == 1 else f"{count} looks"
