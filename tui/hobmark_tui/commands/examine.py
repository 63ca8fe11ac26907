"""`hobmark examine`, and `hobmark` alone: the full-screen program."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer
from hobmark.case import read_case
from hobmark.reasoning.cache import load_compiled

from hobmark_tui.commands.common import Knowledge, knowledge_roots, usage
from hobmark_tui.serving.tab import end_with_server, is_served


def examine(
    case: Annotated[Path | None, typer.Argument(metavar="CASE", help="Case file; none shows your cases.")] = None,
    knowledge: Knowledge = None,
) -> int:
    """Examine a range on the full screen: look after look, with what is known beside it.

    Your cases are kept in a folder of your own; $HOBMARK_CASES names another.
    """
    if not (is_terminal() or is_served()):
        raise usage(
            "the full screen needs a terminal.", "Run it on one; `hobmark identify CASE` prints a report instead."
        )
    roots = knowledge_roots(knowledge)
    compiled = load_compiled(roots)
    if case is not None:
        read_case(case, compiled.base)  # as everywhere, a case that is named must be there and read
    from hobmark_tui.app import make_app, run  # only now: no other command waits for it
    from hobmark_tui.sessions.library import default_folder
    from hobmark_tui.views.preparing import Ahead

    if is_served():
        end_with_server()
    return run(make_app(compiled, default_folder(), roots=roots, case=case, prepare=Ahead(), for_a_visitor=is_served()))


def is_terminal() -> bool:
    """Whether somebody is there to see a screen, which is drawn on standard error."""
    return all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr))
