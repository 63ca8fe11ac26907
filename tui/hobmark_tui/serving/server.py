"""The server: our page, and behind every tab a program of its own.

textual-serve does the work. It has no hooks for what is added here, so `_make_app`, `_process_messages`, `_process` and
`_task` are used as they are in 1.1; `pyproject.toml` keeps to that.
"""

from __future__ import annotations

import asyncio
import os
import secrets
import shlex
import subprocess
from asyncio.subprocess import Process
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from aiohttp import web
from textual_serve.app_service import AppService
from textual_serve.server import Server, to_int

from hobmark_tui.serving.guard import Guard
from hobmark_tui.sessions.locking import lock_path

PAGE = Path(__file__).with_name("page.html")
PATIENCE, CLOSING = 5.0, 2.0
"""Seconds a program has to end once its tab is closed, and a browser to say that it has closed a connection."""
HEARTBEAT = 15.0
"""Seconds between two signs of life: a phone that has gone out of reach does not say that it has."""
MALFORMED = (AssertionError, AttributeError, LookupError, TypeError, ValueError)
"""What textual-serve raises where something other than its own script sends it messages."""


class Program(AppService):
    """The program of one tab; it is gone when the tab is, and the tab is told when it is."""

    @property
    def process_id(self) -> int:
        """Its process."""
        assert self._process is not None
        return self._process.pid

    async def run(self) -> None:
        """Hand on what it shows; where it ends without a word, as one that was killed does, the tab hears of it."""
        await super().run()
        await self.remote_close()

    async def stop(self) -> None:
        """Ask it to end, and end it where it does not. Every answer is on disk already."""
        process = self._process
        if process is None:
            return
        killing = asyncio.get_running_loop().call_later(PATIENCE, _kill, process)
        await super().stop()
        await process.wait()
        killing.cancel()


def _kill(process: Process) -> None:
    with suppress(ProcessLookupError):
        process.kill()


@dataclass(eq=False, slots=True)
class Tab:
    """A browser tab that is connected."""

    name: str
    """What the tab calls itself; it stays the same when the page is loaded again."""
    websocket: web.WebSocketResponse
    attended: asyncio.Task[None] | None = None
    """Runs as long as the program does."""
    closing: bool = False

    async def close(self) -> None:
        """Let go of the browser, and wait until the program has ended."""
        self.closing = True
        with suppress(RuntimeError):  # the browser is not connected yet, and will find it closing
            await self.websocket.close()
        if self.attended is not None:
            await asyncio.wait([self.attended])

    async def show(self, data: bytes) -> None:
        """Hand data to the browser. One that has gone gets none, but the program is still read, or it could not end."""
        if not self.websocket.closed:
            with suppress(ConnectionError):
                await self.websocket.send_bytes(data)

    async def tell(self, text: str) -> None:
        """Hand a message to the browser, if it is still there."""
        if not self.websocket.closed:
            with suppress(ConnectionError):
                await self.websocket.send_str(text)


class CaseServer(Server):
    """Serves a folder of cases."""

    def __init__(self, words: Sequence[str], folder: Path, guard: Guard, announce: Callable[[], None]) -> None:
        """Run the command line `words` for each tab, on the cases of `folder`; `announce` is called when it serves."""
        super().__init__(command_line(words), title="hobmark")
        self.words, self.folder, self.guard, self.announce = tuple(words), folder, guard, announce
        self.open: list[Tab] = []
        self.left: dict[str, Path] = {}
        """The case that each tab had open when it closed."""

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()
        app.router.add_get("/ws/{tab:[0-9a-f]{32}}", self.handle_websocket)
        self.guard.install(app)
        return app

    async def on_startup(self, app: web.Application) -> None:  # noqa: ARG002 - as Server has it
        """Say where it is reached, now that Ctrl-C ends it in order."""
        self.announce()

    async def on_shutdown(self, app: web.Application) -> None:  # noqa: ARG002 - as Server has it
        """End every program."""
        await asyncio.gather(*(tab.close() for tab in self.open))

    async def handle_index(self, request: web.Request) -> web.Response:  # noqa: ARG002 - as Server has it
        """Our page. It loads nothing from elsewhere, and finds its way back under any name of the machine."""
        text = PAGE.read_text(encoding="utf-8")
        return web.Response(text=text, content_type="text/html", headers={"Cache-Control": "no-store"})

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """Run a tab's program for as long as the tab is there.

        A page that is loaded again takes over from its former self, whose program may not have ended yet, and may not
        have noticed that its browser has gone; so the case is free, and is opened again.
        """
        name = request.match_info.get("tab") or secrets.token_hex(16)
        tab = Tab(name, web.WebSocketResponse(heartbeat=HEARTBEAT, timeout=CLOSING))
        former = [each for each in self.open if each.name == name]
        self.open.append(tab)
        tab.attended = asyncio.create_task(self._attend(tab, former, request))
        await asyncio.shield(tab.attended)  # a browser that goes cuts nothing short of what is done when it has gone
        return tab.websocket

    async def _attend(self, tab: Tab, former: Sequence[Tab], request: web.Request) -> None:
        try:
            await asyncio.gather(*(each.close() for each in former))
            await tab.websocket.prepare(request)
            if tab.closing:
                await tab.websocket.close()
            else:
                await self._run(tab, *(to_int(request.query.get(side, ""), usual) for side, usual in SIZE.items()))
        finally:
            self.open.remove(tab)

    async def _run(self, tab: Tab, width: int, height: int) -> None:
        program = Program(
            command_line([*self.words, *self._case_of(tab.name)]),
            write_bytes=tab.show,
            write_str=tab.tell,
            close=tab.websocket.close,  # type: ignore[arg-type]  # it returns whether it was open
            download_manager=self.download_manager,
        )
        await program.start(width, height)
        try:
            await self._process_messages(tab.websocket, program)
        except MALFORMED:
            await tab.websocket.close()
        finally:
            case = await asyncio.to_thread(case_held_by, self.folder, program.process_id)
            if case is not None:
                self.left[tab.name] = case
            await program.stop()

    def _case_of(self, tab: str) -> list[str]:
        """The case to open at once, if the tab had one open: as words of the command line."""
        case = self.left.pop(tab, None)
        return [str(case)] if case is not None and case.is_file() else []


SIZE = {"width": 80, "height": 24}
"""The size of a screen that tells none, in characters."""


def command_line(words: Sequence[str]) -> str:
    """The words as a line for the system's shell, which makes way for the program where it can."""
    return subprocess.list2cmdline(words) if os.name == "nt" else f"exec {shlex.join(words)}"


def case_held_by(folder: Path, process: int) -> Path | None:
    """The case of a folder that a process has open, which its lock tells where the system lets it be read."""
    for case in folder.glob("*.yaml"):
        lock = lock_path(case)
        with suppress(OSError):
            if lock.is_file() and lock.read_bytes().startswith(b"%d " % process):
                return case.absolute()
    return None
