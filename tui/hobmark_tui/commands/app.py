"""The command line's root: which commands there are."""

from __future__ import annotations

from typing import Annotated

import typer

from hobmark_tui.commands import date, examine, fit, identify, knowledge, serve, setup
from hobmark_tui.exits import ExitCode

app = typer.Typer(
    name="hobmark",
    help="Tells which model and year a vintage gas cooking range is, why, and what to look at next.",
    invoke_without_command=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("identify")(identify.identify)
app.command("examine")(examine.examine)
app.command("serve")(serve.serve)
app.command("setup")(setup.setup)
app.command("date")(date.date)
app.command("fit")(fit.fit)
app.add_typer(knowledge.app, name="knowledge")


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import PackageNotFoundError, version

        from hobmark.reasoning.chaining import engine_in_use

        engine = engine_in_use()
        try:
            number = version("hobmark")
        except PackageNotFoundError:  # run from a checkout
            number = "(not installed)"
        typer.echo(f"hobmark {number}, rules chained by {engine}")
        if "durable" not in engine:
            typer.echo(
                "durable-rules is not installed; the same rules are derived without it. To add it, see README.md."
            )
        raise typer.Exit


@app.callback()
def _root(
    context: typer.Context,
    _wanted: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Version, and which rule engine runs.")
    ] = False,
) -> None:
    """Root of the command line; the options that stand before a command.

    Without a command: the full screen on a terminal, the help elsewhere.
    """
    if context.invoked_subcommand is not None:
        return
    if examine.is_terminal():
        raise typer.Exit(examine.examine(None, None))
    typer.echo(context.get_help(), err=True)
    raise typer.Exit(ExitCode.REFUSED)
