"""`hobmark fit`: does a part fit a range, and which check would prove it."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from hobmark.bench.orders import OrderFor
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Hand
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
    read_told,
    say,
    say_json,
    usage,
)
from hobmark_tui.commands.terminal import page_width
from hobmark_tui.exits import ExitCode

if TYPE_CHECKING:
    from hobmark.reports.fit import FitReport


MOST_ORDERED = 99
"""Of one part; more is a slip of the keyboard."""


class HandAsked(StrEnum):
    """A hand as it is asked for by mail."""

    LEFT = "left"
    RIGHT = "right"
    UNIVERSAL = "universal"


HANDS: Mapping[HandAsked, Hand] = {
    HandAsked.LEFT: Hand.LEFT,
    HandAsked.RIGHT: Hand.RIGHT,
    HandAsked.UNIVERSAL: Hand.EITHER,
}


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
    place: Annotated[
        JetPlace | None,
        typer.Option("--place", help="With --order: where it goes, facing the range.", show_choices=False),
    ] = None,
    hand: Annotated[HandAsked | None, typer.Option("--hand", help="With --order: its hand, facing the range.")] = None,
    quantity: Annotated[
        int | None, typer.Option("--quantity", min=1, max=MOST_ORDERED, help="With --order: how many of the set.")
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
    wanted = OrderFor(place, HANDS[hand] if hand is not None else None, quantity)
    for option, given in (("--output", path), ("--place", place), ("--hand", hand), ("--quantity", quantity)):
        if given is not None and not order:
            raise usage(f"{option} is for order sheets.", f"Add --order, or leave {option} away.")
    compiled = load_compiled(knowledge_roots(knowledge))
    read = read_told(case, compiled.base)
    report = fit_report(Examination(compiled, read), str(case), parts, order=order, wanted=wanted)
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
