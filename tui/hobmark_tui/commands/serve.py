"""`hobmark serve`: the full-screen program in a browser."""

from __future__ import annotations

import os
import secrets
import sys
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer
from hobmark.reasoning.cache import load_compiled

from hobmark_tui.commands.common import Knowledge, knowledge_roots
from hobmark_tui.exits import ExitCode

GRACE = 8.0
"""Seconds that connections have for ending when the server does."""


def serve(
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="Address of this machine to be reached at.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="Port; 0 takes a free one.")] = 8000,
    cases: Annotated[
        Path | None, typer.Option("--cases", metavar="FOLDER", help="Folder of the cases; else your own.")
    ] = None,
    knowledge: Knowledge = None,
) -> int:
    """Show the full screen in a browser on this machine; at another address, to whoever has the token it prints.

    Every tab runs a program of its own. Whoever is let in can read and change every case of the folder. Ctrl-C ends it.
    """
    load_compiled(knowledge_roots(knowledge))  # a base that is at fault is refused here, and no tab waits for compiling
    from hobmark_tui.sessions.library import CaseLibrary, default_folder

    if cases is not None:
        os.environ["HOBMARK_CASES"] = str(cases.absolute())  # and so the tabs' programs find it
    folder = default_folder().absolute()
    CaseLibrary(folder).entries()
    words = [sys.executable, "-m", "hobmark_tui", "examine", *(f"--knowledge={path}" for path in knowledge or ())]
    with suppress(KeyboardInterrupt):
        _listen(host, port, words, folder)
    return ExitCode.DONE


def _listen(host: str, port: int, words: list[str], folder: Path) -> None:
    from aiohttp import web  # only now: no other command waits for it

    from hobmark_tui.serving.guard import TOKEN, Guard
    from hobmark_tui.serving.listening import Listening
    from hobmark_tui.serving.server import CaseServer

    listening = Listening.at(host, port)
    token = None if listening.is_local else secrets.token_urlsafe(32)

    def announce() -> None:
        sys.stderr.write(exposed(listening.is_local, folder))
        sys.stderr.flush()
        sys.stdout.write(listening.url + (f"?{TOKEN}={token}" if token else "") + "\n")
        sys.stdout.flush()

    server = CaseServer(words, folder, Guard(token, host, f"hobmark-{listening.port}"), announce)
    # No log of requests: the first one of a browser has the token in it.
    web.run_app(server._make_app(), sock=listening.socket, print=None, access_log=None, shutdown_timeout=GRACE)


def exposed(is_local: bool, folder: Path) -> str:
    """What being served lays open, in words, and how it ends."""
    place = "".join(sign if sign.isprintable() else "?" for sign in str(folder))
    if is_local:
        return (
            "Served to this machine only. Whoever has an account on it can open the\n"
            "address below, and read and change every case in\n"
            f"  {place}\n"
            "Ctrl-C ends it.\n"
        )
    return (
        "Whoever has the address below can read and change every case in\n"
        f"  {place}\n"
        "and sees names of folders of this machine. The connection is not encrypted:\n"
        "whoever listens on the way reads all of it, the token in the address too. On a\n"
        "network that is not your own use a tunnel: `hobmark serve` here without --host,\n"
        "and `ssh -L 8000:127.0.0.1:8000` to here from there.\n"
        "The token holds until Ctrl-C ends it.\n"
    )
