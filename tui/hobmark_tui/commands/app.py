"""The command line's root: which commands there are. Only the one that is called for is loaded."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from typing import Annotated

import typer

from hobmark_tui.exits import ExitCode

COMMANDS = ("identify", "examine", "report", "serve", "setup", "date", "fit")
"""The commands, each in the file of its name; `knowledge` is a group of its own."""
GROUP = "knowledge"
"""The group of the curator's commands."""


def app_for(arguments: Sequence[str]) -> typer.Typer:
    """The command line with the command that `arguments` open with, or with all where they open with none."""
    app = typer.Typer(
        name="hobmark",
        help="Tells which model and year a vintage gas cooking range is, why, and what to look at next.",
        invoke_without_command=True,
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    app.callback()(_root)
    first = arguments[0] if arguments else ""
    known = first in (*COMMANDS, GROUP)
    for name in COMMANDS:
        if name == first or not known:
            app.command(name)(getattr(import_module(f"hobmark_tui.commands.{name}"), name))
    if first == GROUP or not known:
        app.add_typer(import_module(f"hobmark_tui.commands.{GROUP}").app, name=GROUP)
    return app


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
    from hobmark_tui.commands import examine

    if examine.is_terminal():
        raise typer.Exit(examine.examine(None, None))
    typer.echo(context.get_help(), err=True)
    raise typer.Exit(ExitCode.REFUSED)
