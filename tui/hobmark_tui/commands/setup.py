"""`hobmark setup`: the set-up card of a range, its symptom first where it has one, and the bench record kept."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from hobmark.bench.record_words import with_told
from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Examination, claim_of

from hobmark_tui.commands.common import (
    Format,
    FormatOption,
    Knowledge,
    Output,
    file_for,
    knowledge_roots,
    read_told,
    say,
    say_json,
    usage,
)
from hobmark_tui.commands.gas_options import FUEL_IS_GONE, GasOptions, recorded, refused
from hobmark_tui.commands.terminal import page_width
from hobmark_tui.exits import ExitCode

Texts = list[str] | None
NOT_KEPT = "What was told of the gas is not kept. Add --keep to write it into the case."


def setup(
    case: Annotated[Path | None, typer.Argument(metavar="CASE", help="The case file of the range.")] = None,
    laid_on: Annotated[
        str | None,
        typer.Option(metavar="GAS[:HOW]", help="What comes out of the pipe, as natural:meter, bottled:tank, :bill."),
    ] = None,
    wanted: Annotated[str | None, typer.Option(metavar="GAS", help="What it is to be set for; no evidence.")] = None,
    jet: Annotated[Texts, typer.Option(metavar="PLACE=SIZE", help="A jet as found: front_left=54.")] = None,
    jet_left: Annotated[Texts, typer.Option(metavar="PLACE=SIZE", help="A jet as left.")] = None,
    hood: Annotated[
        Texts,
        typer.Option(metavar="PLACE=KIND[:SEAT]", help="Its hood: fixed, universal:home, :backed_out."),
    ] = None,
    mark: Annotated[
        Texts, typer.Option(metavar="PLACE=GAS:BY", help="What marks it for a gas: oven_pilot=natural:stamp, :tag.")
    ] = None,
    heat: Annotated[
        Texts, typer.Option(metavar="PLACE=HEAT", help="What it is to give: oven=18000 Btu/h, top=9000 Btu/h.")
    ] = None,
    out_of_use: Annotated[
        Texts, typer.Option(metavar="PLACE=WHO", help="Shut off, capped and labelled: by whom, when.")
    ] = None,
    regulator: Annotated[
        str | None,
        typer.Option(metavar="STATE[:GAS[:PRESSURE]]", help="The range's: none, gone, fitted:natural:4 in wc."),
    ] = None,
    house_regulator: Annotated[
        str | None, typer.Option(metavar="STATE[:GAS[:PRESSURE]]", help="That of the house or tank likewise.")
    ] = None,
    pressure: Annotated[
        Texts, typer.Option(metavar="[AT=]PRESSURE[:LIT]", help="As measured: '4 in wc', 'house=7 in wc:none'.")
    ] = None,
    heating_value: Annotated[
        str | None, typer.Option(metavar="VALUE", help="Of the gas laid on: 830 as metered there, '1015 standard'.")
    ] = None,
    altitude: Annotated[str | None, typer.Option(metavar="HEIGHT", help="Where it stands, as '5000 ft'.")] = None,
    clue: Annotated[
        Texts, typer.Option(metavar="CLUE=VALUE", help="A clue to the gas its jets may be for, as stamp=natural.")
    ] = None,
    explained: Annotated[
        Texts,
        typer.Option(metavar="CLUE=WHY", help="Why a clue speaks against nothing, and who says so."),
    ] = None,
    leak_check: Annotated[
        str | None,
        typer.Option(
            metavar="FIELDS",
            help="method=gauge, start=9 in wc, end=9 in wc, minutes=5, tight=yes, by=NAME, date=2026-12-01.",
        ),
    ] = None,
    co: Annotated[
        Texts, typer.Option(metavar="FIELDS", help="A sample: at=oven_vent, co=120 ppm, o2=9 percent, minutes=15.")
    ] = None,
    dial: Annotated[Texts, typer.Option(metavar="FIELDS", help="A mark of the dial: dial=350 F, reads=372 F.")] = None,
    cleared: Annotated[
        Texts, typer.Option(metavar="WHAT=WHO", help="What stopped everything and was put right, by whom and when.")
    ] = None,
    symptom: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="What is wrong, as one_burner_dead or headache; other words list them all."),
    ] = None,
    found: Annotated[Texts, typer.Option(metavar="CHECK=OUTCOME", help="What a check has shown.")] = None,
    keep: Annotated[bool, typer.Option("--keep", help="Write what was told into the case.")] = False,
    whole: Annotated[bool, typer.Option("--whole", help="Behind the card every step in full, and sources.")] = False,
    release_table: Annotated[
        bool, typer.Option("--release-table", help="When anything may be lit: the whole table, without a case.")
    ] = False,
    output: Output = None,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
    fuel: Annotated[str | None, typer.Option(hidden=True)] = None,
) -> int:
    """Write the set-up card of a CASE: what stops, release to light, gas, a row for each jet, records, cautions.

    Exit code 1 tells that something stops: a symptom, a regulator, jets, a pressure, clues or a leak.
    """
    if fuel is not None:
        raise usage(*FUEL_IS_GONE)
    if release_table:
        from hobmark.reports.release_table import release_table as table

        say(table(page_width()))
        return ExitCode.DONE
    if case is None:
        raise usage("no case is named.", "Name the case file of the range: hobmark setup CASE.")
    path = file_for(output, case)
    compiled = load_compiled(knowledge_roots(knowledge))
    from hobmark.reports.setup import must_have_tables, set_up  # no other command needs it
    from hobmark.reports.setup_text import setup_text

    base = compiled.base
    must_have_tables(base)
    options = GasOptions(
        *(laid_on, wanted, heating_value, altitude, regulator, house_regulator),
        *(jet or [], jet_left or [], hood or [], mark or [], heat or [], out_of_use or [], pressure or []),
        *(clue or [], explained or [], leak_check, co or [], dial or [], cleared or []),
    )
    read = read_told(case, base)
    named, outcomes = _symptom(base, symptom, found or [])
    if keep:
        read = _kept(case, base, options, named, outcomes)
    told = recorded(read.bench, options, base) if not keep else read.bench
    record = with_told(told, named, outcomes) if named is not None and not keep else told
    report = set_up(
        Examination(compiled, read, claim=claim_of(base, read)), str(case), record=record, symptom=named, found=outcomes
    )
    if path is not None:
        from hobmark.reports.writing import write_setup

        write_setup(report, path, whole=whole)
        say(f"{path}\n")
    elif format_ is Format.JSON:
        say_json(report)
    else:
        say(setup_text(report, page_width(), whole=whole))
    if told != read.bench:
        typer.echo(NOT_KEPT, err=True)
    stopped = report.symptom is not None and report.symptom.stop
    return ExitCode.WARNING if stopped or report.release.stopped_by else ExitCode.DONE


def _symptom(base: KnowledgeBase, symptom: str | None, found: list[str]) -> tuple[str | None, list[tuple[str, str]]]:
    """The symptom that words speak of, and what checks have shown; Refused for what the table has not."""
    from hobmark.bench.symptom_words import symptom_id_of
    from hobmark.bench.symptoms import search

    if symptom is None:
        if found:
            raise usage("--found goes with a symptom.", "Add --symptom NAME.")
        return None, []
    outcomes = [(name.strip(), outcome.strip()) for name, _, outcome in (text.partition("=") for text in found)]
    try:
        named = symptom_id_of(base.bench.faults, symptom)
    except ValueError as error:
        raise refused("--symptom", error) from None
    try:
        search(base, named, outcomes)
    except ValueError as error:
        raise refused("--found", error) from None
    return named, outcomes


def _kept(
    path: Path, base: KnowledgeBase, options: GasOptions, symptom: str | None, found: list[tuple[str, str]]
) -> Case:
    """The case with what was told on disk: added to what stands there when nobody else has it open.

    Refused where it cannot be written, or is open in another program.
    """
    from hobmark_tui.sessions.session import CaseSession

    with CaseSession.open(path, base) as session:
        told = recorded(session.case.bench, options, base)
        session.record(with_told(told, symptom, found) if symptom is not None else told)
        if session.trouble or session.notice:
            raise usage(f"{session.trouble or session.notice}", "Nothing was kept.")
        return session.case
