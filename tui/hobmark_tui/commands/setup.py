"""`hobmark setup`: a sheet for setting a range up, its symptom first where it has one."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Annotated

import typer
from hobmark.bench.fuel import Evidence, read_evidence
from hobmark.bench.jets import altitude_of
from hobmark.bench.symptoms import search
from hobmark.case import read_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Quantity
from hobmark.knowledge.schema.bench import Gas
from hobmark.problems import Refused
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Examination, claim_of

from hobmark_tui.commands.common import (
    Format,
    FormatOption,
    Knowledge,
    Output,
    file_for,
    knowledge_roots,
    say,
    say_json,
    usage,
)
from hobmark_tui.commands.terminal import page_width
from hobmark_tui.exits import ExitCode


def setup(
    case: Annotated[Path | None, typer.Argument(metavar="CASE", help="The case file of the range.")] = None,
    fuel: Annotated[Gas | None, typer.Option(help="The gas it is to be set for, if that is known.")] = None,
    altitude: Annotated[str | None, typer.Option(metavar="HEIGHT", help="Where it stands, as '5000 ft'.")] = None,
    symptom: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="What is wrong, as one_burner_dead; any other word lists them all."),
    ] = None,
    found: Annotated[
        list[str] | None, typer.Option(metavar="CHECK=OUTCOME", help="What a check has shown; may be repeated.")
    ] = None,
    clue: Annotated[
        list[str] | None,
        typer.Option(metavar="CLUE=VALUE", help="A clue to its gas, as jet_size=54,55; may be repeated."),
    ] = None,
    output: Output = None,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
) -> int:
    """Write the sheet for setting up the range of a CASE: steps, settings with their sources, cautions, jets.

    Exit code 1 tells of a symptom that stops everything, or that clues to the gas, a gas named or jets found disagree.
    """
    if case is None:
        raise usage("no case is named.", "Name the case file of the range: hobmark setup CASE.")
    path = file_for(output, case)
    compiled = load_compiled(knowledge_roots(knowledge))
    from hobmark.reports.setup import must_have_tables, set_up  # no other command needs it
    from hobmark.reports.setup_text import setup_text

    base = compiled.base
    must_have_tables(base)
    outcomes = _outcomes(base, symptom, found or [])
    clues = _clues(base, clue or [])
    height = _height(altitude) if altitude is not None else None
    read = read_case(case, base).case
    report = set_up(
        Examination(compiled, read, claim=claim_of(base, read)),
        str(case),
        gas=fuel,
        altitude=height,
        symptom=symptom,
        found=outcomes,
        evidence=clues,
    )
    if path is not None:
        from hobmark.reports.writing import write_setup

        write_setup(report, path)
        say(f"{path}\n")
    elif format_ is Format.JSON:
        say_json(report)
    else:
        say(setup_text(report, page_width()))
    stopped = report.symptom is not None and report.symptom.stop
    return ExitCode.WARNING if stopped or report.gas.contradictions else ExitCode.DONE


def _outcomes(base: KnowledgeBase, symptom: str | None, found: list[str]) -> list[tuple[str, str]]:
    """What checks have shown; Refused for what the symptom's table has not."""
    if symptom is None:
        if found:
            raise usage("--found goes with a symptom.", "Add --symptom NAME.")
        return []
    outcomes = [(name.strip(), outcome.strip()) for name, _, outcome in (text.partition("=") for text in found)]
    try:
        search(base, symptom, outcomes)
    except ValueError as error:
        raise _refused("--found" if outcomes else "--symptom", error) from None
    return outcomes


def _clues(base: KnowledgeBase, texts: list[str]) -> list[Evidence]:
    """Clues to the gas; Refused for one that says no such thing, and for one that is given twice."""
    clues = [_clue(base, text) for text in texts]
    twice = next((name for name, count in Counter(each.clue for each in clues).items() if count > 1), None)
    if twice is not None:
        raise usage(f"--clue {twice} is given twice.", "Give it once; sizes of several jets as 54,55.")
    return clues


def _clue(base: KnowledgeBase, text: str) -> Evidence:
    try:
        return read_evidence(text, base)
    except ValueError as error:
        raise _refused("--clue", error) from None


def _height(text: str) -> Quantity:
    try:
        return altitude_of(text)
    except ValueError as error:
        raise _refused("--altitude", error) from None


def _refused(option: str, error: ValueError) -> Refused:
    message, _, remedy = str(error).partition(". ")
    return usage(f"{option}: {message.rstrip('.')}.", remedy or "Write it as --help shows.")
