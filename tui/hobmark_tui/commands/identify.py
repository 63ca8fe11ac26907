"""`hobmark identify`: ranking of variants and years with reasons, for cases; or question after question."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer
from hobmark.case import Case, read_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.vocabulary import Access, Goal, Situation
from hobmark.problems import Refused, did_you_mean
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Compiled, Examination, claim_of, first_goal
from hobmark.reports.findings import findings
from hobmark.reports.identify import Findings
from hobmark.reports.text import findings_text

from hobmark_tui.commands.common import (
    Format,
    FormatOption,
    Knowledge,
    WantedGoal,
    knowledge_roots,
    read_told,
    say,
    say_json,
    usage,
)
from hobmark_tui.commands.terminal import page_width
from hobmark_tui.exits import ExitCode

CONTRADICTED = 0.05
"""A claim no more probable than this is contradicted: the exit code warns."""


def identify(
    cases: Annotated[
        list[Path] | None, typer.Argument(metavar="CASE", help="Case files; none asks you, look by look.")
    ] = None,
    next_looks: Annotated[int, typer.Option("--next", min=0, max=50, help="How many looks to suggest.")] = 3,
    against: Annotated[str | None, typer.Option(help="Why not this variant (maker/variant)?")] = None,
    goal: WantedGoal = None,
    situation: Annotated[Situation | None, typer.Option(help="Where you look, if not as the case says.")] = None,
    also: Annotated[list[Access] | None, typer.Option(help="Offer these looks too, as panel_off at a sale.")] = None,
    ask: Annotated[bool, typer.Option("--ask", help="Ask you, look by look; goes on with the CASE named.")] = False,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
) -> int:
    """Rank variants and years for each CASE, with reasons and the next looks.

    Exit code 1 tells that a claim in a case is contradicted.
    """
    if ask or not cases:
        _may_ask(cases or [], goal, format_)
    compiled = load_compiled(knowledge_roots(knowledge))
    rival = _rival(compiled.base, against)
    if ask or not cases:
        return _ask(compiled, cases or [], goal, situation, frozenset(also or ()), next_looks, rival)
    examined: list[Findings] = []
    problems: list[Refused] = []
    for path in cases:
        try:
            case = read_told(path, compiled.base)
            examination = examination_of(compiled, path, case, goal, situation, frozenset(also or ()))
            examined.append(findings(examination, str(path), looks=next_looks, against=rival))
        except Refused as refused:
            problems.append(refused)
    if problems:
        raise Refused(tuple(problem for refused in problems for problem in refused.problems))
    if format_ is Format.JSON:
        say_json(examined[0] if len(examined) == 1 else list(examined))
    else:
        width = page_width()
        say(f"\n{'=' * width}\n\n".join(findings_text(found, width) for found in examined))
    return ExitCode.WARNING if any(map(is_contradicted, examined)) else ExitCode.DONE


def is_contradicted(found: Findings) -> bool:
    """Whether a claim of the case is."""
    return any(claim.probability <= CONTRADICTED for claim in found.claims)


def examination_of(
    compiled: Compiled,
    path: Path,
    case: Case,
    goal: Goal | None,
    situation: Situation | None = None,
    also: frozenset[Access] = frozenset(),
) -> Examination:
    """The examination of the case in the file `path`; Refused where the goal is a claim and it claims nothing.

    Where no goal is named it is the claim, or which variant.
    """
    if situation is not None:
        case = case.model_copy(update={"situation": situation})
    claim = claim_of(compiled.base, case)
    if goal is Goal.CLAIM and claim is None:
        raise usage(f"{path} claims nothing.", "Add 'claims:' to it, or choose another goal.")
    return Examination(compiled, case, goal or first_goal(compiled.base, case), claim, also)


def _rival(base: KnowledgeBase, name: str | None) -> Group | None:
    if name is None:
        return None
    if name not in base.variant_keys:
        remedy = did_you_mean(name, base.variant_keys).strip() or "Write it as maker/variant."
        raise usage(f"--against: unknown variant '{name[:60]}'.", remedy)
    return Group(*base.variant_keys[name])


def _may_ask(cases: list[Path], goal: Goal | None, format_: Format) -> None:
    """Raise Refused where questions cannot be asked as the command line has it."""
    if len(cases) > 1:
        raise usage("--ask goes on with one case, and several are named.", "Name one.")
    if format_ is Format.JSON:
        raise usage("questions are asked in plain lines, not as JSON.", "Leave --format away, or name a case to rank.")
    if goal is Goal.CLAIM and not cases:
        raise usage("the goal 'claim' needs a case that claims something.", "Name it: --ask CASE --goal claim.")
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        if cases:
            raise usage("nobody is there to be asked.", "Leave --ask away, or run it on a terminal.")
        raise usage("no case is named, and nobody is there to be asked.", "Name a case file, or run it on a terminal.")


def _ask(
    compiled: Compiled,
    cases: list[Path],
    goal: Goal | None,
    situation: Situation | None,
    also: frozenset[Access],
    next_looks: int,
    rival: Group | None,
) -> int:
    from hobmark_tui.commands.asking import Asking
    from hobmark_tui.commands.resuming import chosen_path

    if cases:  # as everywhere, a case that is named must be there
        case = read_case(cases[0], compiled.base).case
        goal = examination_of(compiled, cases[0], case, goal, situation, also).goal
    goal = goal or Goal.VARIANT
    path = cases[0] if cases else chosen_path(Path(), compiled, goal)
    if path is None:
        return ExitCode.DONE
    return Asking(compiled, path, goal, situation, also, next_looks, rival).run()
