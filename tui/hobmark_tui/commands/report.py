"""`hobmark report`: all that is known of a range on one page to hand over or to print."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from hobmark.reasoning.cache import load_compiled

from hobmark_tui.commands.common import (
    Format,
    FormatOption,
    Knowledge,
    Output,
    WantedGoal,
    file_for,
    knowledge_roots,
    read_told,
    say,
    say_json,
)
from hobmark_tui.commands.identify import examination_of, is_contradicted
from hobmark_tui.commands.terminal import page_width
from hobmark_tui.exits import ExitCode


def report(
    case: Annotated[Path, typer.Argument(metavar="CASE", help="The case file; its photos lie beside it or below.")],
    output: Output = None,
    goal: WantedGoal = None,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
) -> int:
    """Write the report of a CASE: name, years, what is its own, photos, reasons with sources, next looks, cautions.

    A name that ends in .html gives one page to print, with the photos in it and without their location. Exit code 1
    tells that a claim in the case is contradicted.
    """
    from hobmark.reports.range_report import report_text  # no other command needs them
    from hobmark.reports.writing import report_of, write_report

    path = file_for(output, case)
    compiled = load_compiled(knowledge_roots(knowledge))
    examination = examination_of(compiled, case, read_told(case, compiled.base), goal)
    if path is not None:
        found = write_report(examination, case, path)
        say(f"{path}\n")
    else:
        found = report_of(examination, case)
        if format_ is Format.JSON:
            say_json(found)
        else:
            say(report_text(found, page_width()))
    return ExitCode.WARNING if is_contradicted(found) else ExitCode.DONE
