"""The list of cases, and the shipped ones that may be copied into it."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path

from hobmark.case import Case, read_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.vocabulary import Goal
from hobmark.problems import Refused, spelt
from hobmark.reasoning.examination import Compiled

from hobmark_tui.commands.resuming import looks_words
from hobmark_tui.sessions.library import Entry
from hobmark_tui.views.choices import Choice
from hobmark_tui.views.leaders import leaders_view
from hobmark_tui.views.standing import examined

WELCOME = (
    "hobmark tells which model and year an old gas range is, and why: answer one look after another.",
    "Each answer is on disk at once. Cannot see, not sure, was there and now gone are answers too.",
    "Begin with your own range (n), or open a shipped example (x) and look about.",
)
"""What the first start says."""
KEEP = "keep"
"""The choice by which nothing is deleted."""
EXAMPLES = (
    "heron-deluxe-1939-four-photos",
    "kestrel-behind-a-heron-front",
    "curlew-deluxe-1937-claimed-as-1950",
    "heron-bottled-words-on-the-plate",
)
"""Shipped cases that show much: a listing with a claim, a marriage, a wrong date, words on a plate."""


def ago(then: datetime.datetime, now: datetime.datetime) -> str:
    """How long ago, in the one unit that matters."""
    seconds = max(0.0, (now - then).total_seconds())
    for unit, length in (("day", 86400), ("hour", 3600), ("minute", 60)):
        count = int(seconds // length)
        if count:
            return f"{count} {unit}{'' if count == 1 else 's'} ago"
    return "just now"


def leader_words(compiled: Compiled, path: Path) -> str:
    """The leading answer of a case on disk; raise Refused where it cannot be read."""
    case = read_case(path, compiled.base).case
    if not case.observations:
        return "nothing looked at yet"
    leaders = leaders_view(examined(compiled, case, Goal.VARIANT))
    first = leaders.lines[0]
    return f"{first.percent} {first.label}{f', {first.years}' if first.years else ''}"


def detail_words(leader: str, looks: int, touched: datetime.datetime, now: datetime.datetime) -> str:
    """The second line of a case in the list."""
    return f"{leader or '...'} · {looks_words(looks)} · {ago(touched, now)}"


def bare(case: Case) -> Case:
    """A shipped case as a person would have begun it: what it is kept to test is left out."""
    return case.model_copy(update={"expect": None, "not_": (), "todo": None})


def delete_choices(entry: Entry) -> list[Choice]:
    """Whether a case is to be deleted; the first choice keeps it."""
    name = spelt(entry.path.name)
    which = f"{name}, {looks_words(entry.looks)}" if entry.problem is None else name
    return [
        Choice(KEEP, "Keep it", which),
        Choice("delete", "Delete it", "It goes to the trash folder; u brings it back."),
    ]


def example_choices(roots: Sequence[Path], base: KnowledgeBase) -> list[Choice]:
    """The shipped cases worth opening first, of whatever base is read; its first ones where it has none of these."""
    paths = [path for root in roots for path in sorted(root.glob("*/cases/*.yaml"))]
    chosen = [path for name in EXAMPLES for path in paths if path.stem == name] or paths[: len(EXAMPLES)]
    found = []
    for path in chosen:
        try:
            case = read_case(path, base).case
        except Refused:  # a curator's own business, not a newcomer's
            continue
        where = base.wording.situations[case.situation].label
        found.append(Choice(str(path), case.label, f"{where}, {looks_words(len(case.answered()))}"))
    return found
