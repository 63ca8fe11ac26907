"""`hobmark fit`: does a part fit a range, and which check would prove it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from hobmark.case import read_case
from hobmark.problems import plain
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Examination

from hobmark_tui.commands.common import (
    ENDINGS,
    Format,
    FormatOption,
    Knowledge,
    file_for,
    knowledge_roots,
    say,
    say_json,
    usage,
)
from hobmark_tui.commands.terminal import page_width
from hobmark_tui.exits import ExitCode

if TYPE_CHECKING:
    from hobmark.reports.fit import FitReport


def fit(
    case: Annotated[Path, typer.Argument(metavar="CASE", help="The case file; its measures and numbers count.")],
    parts: Annotated[
        list[str],
        typer.Argument(metavar="PART", help="A part's id, a number that stands on it, or a kind, as top_burner."),
    ],
    order: Annotated[
        bool, typer.Option("--order", help="An order sheet for each PART as well; of a kind, for the likeliest.")
    ] = False,
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", metavar="FILE", help=f"With --order: write the sheets to a file. {ENDINGS}"),
    ] = None,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
) -> int:
    """Tell whether a PART fits the range of a CASE, which checks would prove it, and where to look for one.

    Exit code 1 tells that a PART does not fit or must not be put there; of a kind, that its likeliest part does not;
    and that no order sheet was made to be written to a file.
    """
    from hobmark.reports.fit_findings import fit_report, is_warning  # no other command needs them
    from hobmark.reports.fit_text import fit_text

    path = file_for(output, case)
    if path is not None and not order:
        raise usage("--output is for order sheets.", "Add --order, or leave --output away.")
    compiled = load_compiled(knowledge_roots(knowledge))
    read = read_case(case, compiled.base).case
    report = fit_report(Examination(compiled, read), str(case), parts, order=order)
    if path is not None:
        _write(report, path)
    elif format_ is Format.JSON:
        say_json(report)
    else:
        say(fit_text(report, page_width()))
    unwritten = path is not None and not report.orders
    return ExitCode.WARNING if unwritten or is_warning(report) else ExitCode.DONE


def _write(report: FitReport, path: Path) -> None:
    """Write the order sheets there are; people are told which there are none of, and why."""
    from hobmark.reports.writing import write_order

    for each in report.not_ordered:
        typer.echo(plain(f"No order sheet for {each}"), err=True)
    if report.orders:
        write_order(report, path)
        say(f"{path}\n")
    else:
        typer.echo(plain(f"Nothing is written to {path}."), err=True)
