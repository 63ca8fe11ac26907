"""`hobmark knowledge`: the curator's bench."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer
from hobmark.curating.cases import case_paths, run_cases, run_specimens
from hobmark.curating.check import ENOUGH_RANGES, Trial, checked
from hobmark.curating.schemas import schema_names, write_schemas
from hobmark.reasoning.cache import load_compiled
from hobmark.reports.curating import CasesReport, CheckReport, cases_text, check_text

from hobmark_tui.commands.common import Format, FormatOption, Knowledge, knowledge_roots, say, say_json, usage
from hobmark_tui.exits import ExitCode

app = typer.Typer(
    help="The curator's bench: check a base, run its cases, write schemas.", no_args_is_help=True, rich_markup_mode=None
)


@app.command("check")
def check(
    idle: Annotated[
        bool,
        typer.Option(
            "--idle", help="Also try what each statement, rule and specimen moves, and list those that move nothing."
        ),
    ] = False,
    ranges: Annotated[int, typer.Option(min=10, max=100_000, help="Simulated ranges to try --idle on.")] = (
        ENOUGH_RANGES
    ),
    seed: Annotated[int, typer.Option(help="Seed of the simulated ranges.")] = 1,
    maker: Annotated[str | None, typer.Option(metavar="NAME", help="Try --idle on this maker's entries only.")] = None,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
) -> int:
    """Read every file of a base, kept cases too, and tell every problem with its place; then what to know of it.

    Exit code 1 tells that there is advice, such as statements that say more than all, or entries that move nothing.
    """
    if maker is not None and not idle:
        raise usage("--maker says which entries --idle tries.", "Add --idle.")
    roots = knowledge_roots(knowledge)
    progress = _progress if sys.stderr.isatty() else None
    trial = Trial(ranges=ranges, seed=seed, maker=maker, progress=progress) if idle else None
    report = checked(load_compiled(roots), roots, trial)
    _show(report, check_text(report), format_)
    return ExitCode.WARNING if report.advice or report.idle else ExitCode.DONE


@app.command("cases")
def cases(
    specimens: Annotated[
        bool, typer.Option(help="Also examine every specimen with itself left out of the base.")
    ] = True,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
) -> int:
    """Run every kept case, and every specimen left out in its turn. Exit code 1 tells that one did not behave."""
    roots = knowledge_roots(knowledge)
    compiled = load_compiled(roots)
    outcomes = run_cases(compiled, case_paths(roots))
    if specimens:
        outcomes += run_specimens(compiled.base, compiled)
    report = CasesReport.of(outcomes)
    _show(report, cases_text(report), format_)
    return ExitCode.DONE if report.behaved == report.run else ExitCode.WARNING


@app.command("schema")
def schema(
    out: Annotated[Path | None, typer.Option("--out", "-o", help="Folder to write the schemas to.")] = None,
    name: Annotated[str | None, typer.Option(help="Write this one to standard output.")] = None,
) -> int:
    """Write JSON Schemas: of the knowledge files and the case, for your editor, and of the JSON that commands write."""
    if name is None and out is None:
        say("".join(f"{known}\n" for known in schema_names()))
        return ExitCode.DONE
    say(write_schemas(out, name))
    return ExitCode.DONE


def _progress(done: int, entries: int) -> None:
    """How far --idle is, on one line that is gone when it is done."""
    told = f"{done} of {entries} entries tried" if done < entries else ""
    sys.stderr.write(f"\r\x1b[K{told}")
    sys.stderr.flush()


def _show(report: CheckReport | CasesReport, text: str, format_: Format) -> None:
    if format_ is Format.JSON:
        say_json(report)
    else:
        say(text)
