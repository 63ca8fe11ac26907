"""`hobmark serve`: the full-screen program in a browser."""

from __future__ import annotations

import asyncio
import os
import secrets
import sys
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer
from hobmark.reasoning.cache import load_compiled

from hobmark_tui.commands.common import Knowledge, knowledge_roots, usage
from hobmark_tui.exits import ExitCode

MOST_TABS = 64
"""The most tabs that may be asked for: each is a program of some 100 MB."""


def serve(
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="Address of this machine to be reached at.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="Port; 0 takes a free one.")] = 8000,
    cases: Annotated[
        Path | None, typer.Option("--cases", metavar="FOLDER", help="Folder of the cases; else your own.")
    ] = None,
    tabs: Annotated[
        int, typer.Option("--tabs", min=1, max=MOST_TABS, help="Tabs at once; one more is told that all are taken.")
    ] = 8,
    idle: Annotated[
        int, typer.Option("--idle", metavar="MINUTES", min=1, max=10_080, help="A tab without a key so long is closed.")
    ] = 120,
    without_token: Annotated[
        bool, typer.Option("--open", help="No token: every account on this machine may come in.")
    ] = False,
    knowledge: Knowledge = None,
) -> int:
    """Show the full screen in a browser, on this machine or at another address, to whoever has the token it prints.

    Every tab runs a program of its own. Whoever is let in can read and change every case of the folder, and nothing
    outside it. Ctrl-C ends it.
    """
    load_compiled(knowledge_roots(knowledge))  # a base that is at fault is refused here, and no tab waits for compiling
    from hobmark_tui.sessions.library import CaseLibrary, default_folder

    if cases is not None:
        os.environ["HOBMARK_CASES"] = str(cases.absolute())  # and so the tabs' programs find it
    folder = default_folder().absolute()
    CaseLibrary(folder).entries()
    words = [sys.executable, "-m", "hobmark_tui", "examine", *(f"--knowledge={path}" for path in knowledge or ())]

    from hobmark_tui.serving.door import serve_until_told  # only now: no other command waits for it
    from hobmark_tui.serving.guard import TOKEN, Guard
    from hobmark_tui.serving.listening import Listening
    from hobmark_tui.serving.one_line import speak_in_lines
    from hobmark_tui.serving.server import CaseServer

    listening = Listening.at(host, port)
    if without_token and not listening.is_local:
        raise usage("--open is for this machine alone.", "Leave out --host, or leave out --open and use the token.")
    token = None if without_token else secrets.token_urlsafe(32)

    def announce() -> None:
        sys.stderr.write(exposed(listening.is_local, folder, without_token))
        sys.stderr.flush()
        sys.stdout.write(listening.url + (f"?{TOKEN}={token}" if token else "") + "\n")
        sys.stdout.flush()

    server = CaseServer(words, folder, Guard(token, host, f"hobmark-{listening.port}"), tabs, idle)
    speak_in_lines()
    with suppress(KeyboardInterrupt):
        asyncio.run(serve_until_told(server.application(), listening.socket, announce))
    return ExitCode.DONE


def exposed(is_local: bool, folder: Path, is_open: bool = False) -> str:
    """What being served lays open, in words, and how it ends."""
    place = "".join(sign if sign.isprintable() else "?" for sign in str(folder))
    if is_local:
        who = "has an account on it" if is_open else "has the address below"
        return (
            f"Served to this machine only. Whoever {who} can read and change\n"
            "every case in\n"
            f"  {place}\n"
            "Ctrl-C ends it.\n"
        )
    return (
        "Whoever has the address below can read and change every case in\n"
        f"  {place}\n"
        "and a message may name folders of this machine.\n"
        "The connection is not encrypted: whoever listens on the way reads all of it,\n"
        "the token in the address too. On a network that is not your own use a tunnel:\n"
        "`hobmark serve` here without --host, and `ssh -L 8000:127.0.0.1:8000` to here\n"
        "from there.\n"
        "The token holds until Ctrl-C ends it.\n"
    )
