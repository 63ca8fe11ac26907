"""The server: our page, and behind every tab a program of its own, as many as the owner lets there be."""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

import textual_serve
from aiohttp import WSCloseCode, WSMsgType, web

from hobmark_tui.serving.guard import Guard
from hobmark_tui.serving.messages import LONGEST, Focus, Keys, Malformed, Ping, Size, read_message, read_size
from hobmark_tui.serving.one_line import LOG
from hobmark_tui.serving.program import GivenUp, Program
from hobmark_tui.sessions.locking import lock_path

PAGE = Path(__file__).with_name("page.html")
STATIC = Path(textual_serve.__file__).with_name("static")
"""The script that draws a terminal in a browser, its styles and fonts."""
CLOSING = 1.5
"""Seconds a browser has to say that it has closed a connection."""
HEARTBEAT = 15.0
"""Seconds between two signs of life: a phone that has gone out of reach does not say that it has."""
STALLED = 20.0
"""Seconds after which a browser that takes in nothing is given up: its program must not wait for it."""
TABS, IDLE = 8, 120.0
"""Tabs at once, and minutes without a key after which one is closed, unless the owner says otherwise."""
REMEMBERED = 256
"""Tabs whose open case is remembered."""
FULL = "All tabs there may be ({}) are taken. Close one; `hobmark serve --tabs` allows more."
GONE_IDLE = "Closed after {:g} minutes without a key. Every answer is kept."


@dataclass(eq=False, slots=True)
class Tab:
    """A browser tab that is connected."""

    name: str
    """What the tab calls itself; it stays the same when the page is loaded again."""
    websocket: web.WebSocketResponse
    transport: asyncio.WriteTransport | None
    asked_to_end: asyncio.Event = field(default_factory=asyncio.Event)
    touched: float = 0.0
    """When a key came last, by the loop's clock."""
    attended: asyncio.Task[None] | None = None
    """Runs as long as the program does."""

    async def end(self) -> None:
        """Ask for its end, and wait until its program has ended."""
        self.asked_to_end.set()
        if self.attended is not None:
            await asyncio.wait([self.attended])

    async def show(self, data: bytes) -> None:
        """Hand data to the browser. One that has gone gets none; one that takes none in is let go."""
        try:
            async with asyncio.timeout(STALLED):
                await self.websocket.send_bytes(data)
        except TimeoutError:
            LOG.warning("A browser takes nothing in: its tab is closed.")
            self.let_go()
        except (ConnectionError, RuntimeError):
            pass

    async def close(self, why: str = "", code: int = WSCloseCode.OK) -> None:
        """Tell the browser why and let go of it; one that does not answer is not waited for."""
        try:
            async with asyncio.timeout(2 * CLOSING):
                await self.websocket.close(code=code, message=why.encode())
        except TimeoutError:
            self.let_go()
        except (ConnectionError, RuntimeError):
            pass

    def let_go(self) -> None:
        """End the connection at once."""
        if self.transport is not None:
            self.transport.abort()


class CaseServer:
    """Serves a folder of cases."""

    def __init__(
        self, words: Sequence[str], folder: Path, guard: Guard, most: int = TABS, idle_minutes: float = IDLE
    ) -> None:
        """Run the command line `words` for each tab, on the cases of `folder`; at most so many tabs, so long idle."""
        self.words, self.folder, self.guard = tuple(words), folder, guard
        self.most, self.idle_minutes = most, idle_minutes
        self.open: list[Tab] = []
        self.left: dict[str, Path] = {}
        """The case that each tab had open when it closed."""

    def application(self) -> web.Application:
        """All that is answered, behind the guard."""
        app = web.Application()
        app.router.add_get("/", self.handle_index)
        app.router.add_get("/ws", self.handle_websocket)
        app.router.add_get("/ws/{tab:[0-9a-f]{32}}", self.handle_websocket)
        app.router.add_static("/static", STATIC)
        app.on_shutdown.append(self.end_all)
        self.guard.install(app)
        return app

    async def end_all(self, app: web.Application) -> None:  # noqa: ARG002 - as aiohttp calls it
        """End every program."""
        await asyncio.gather(*(tab.end() for tab in self.open))

    async def handle_index(self, request: web.Request) -> web.Response:  # noqa: ARG002 - as aiohttp calls it
        """Our page. It loads nothing from elsewhere, and finds its way back under any name of the machine."""
        text = PAGE.read_text(encoding="utf-8")
        return web.Response(text=text, content_type="text/html", headers={"Cache-Control": "no-store"})

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """Run a tab's program for as long as the tab is there.

        A page that is loaded again takes over from its former self, whose program may not have ended yet, and may not
        have noticed that its browser has gone; so the case is free, and is opened again.
        """
        name = request.match_info.get("tab") or secrets.token_hex(16)
        websocket = web.WebSocketResponse(heartbeat=HEARTBEAT, timeout=CLOSING, max_msg_size=LONGEST)
        if not websocket.can_prepare(request):
            raise web.HTTPBadRequest(text="Only our own page asks for this, over a WebSocket.\n")
        tab = Tab(name, websocket, _transport(request), touched=asyncio.get_running_loop().time())
        former = [each for each in self.open if each.name == name]
        if not former and len(self.open) >= self.most:
            LOG.warning("All tabs there may be (%d) are taken: one more is told so.", self.most)
            await websocket.prepare(request)
            await tab.close(FULL.format(self.most), WSCloseCode.TRY_AGAIN_LATER)
            return websocket
        self.open.append(tab)
        tab.attended = asyncio.create_task(self._attend(tab, former, request))
        await asyncio.shield(tab.attended)  # a browser that goes cuts nothing short of what is done when it has gone
        return websocket

    async def _attend(self, tab: Tab, former: Sequence[Tab], request: web.Request) -> None:
        why = ""
        try:
            await asyncio.gather(*(each.end() for each in former))
            await tab.websocket.prepare(request)
            if not tab.asked_to_end.is_set():
                why = await self._run(tab, read_size(request.query))
        finally:
            self.open.remove(tab)
            await tab.close(why)

    async def _run(self, tab: Tab, size: Size) -> str:
        """Run its program until either has gone; why it was ended, where the browser is to be told."""
        program = await Program.start([*self.words, *self._case_of(tab.name)], size, tab.show, LOG.warning)
        hearing = asyncio.create_task(_hear(tab, program))
        idle = asyncio.create_task(self._idle(tab))
        others = [hearing, idle, asyncio.create_task(tab.asked_to_end.wait())]
        try:
            await asyncio.wait([program.shown, *others], return_when=asyncio.FIRST_COMPLETED)
            return GONE_IDLE.format(self.idle_minutes) if idle.done() else ""
        finally:
            for each in others:
                each.cancel()
            case = await asyncio.to_thread(case_held_by, self.folder, program.process_id)
            if case is not None:
                self.left[tab.name] = case
                while len(self.left) > REMEMBERED:
                    del self.left[next(iter(self.left))]
            await program.stop()
            await asyncio.gather(*others, return_exceptions=True)

    async def _idle(self, tab: Tab) -> None:
        loop = asyncio.get_running_loop()
        while (left := tab.touched + 60 * self.idle_minutes - loop.time()) > 0:
            await asyncio.sleep(left)

    def _case_of(self, tab: str) -> list[str]:
        """The case to open at once, if the tab had one open: as words of the command line."""
        case = self.left.pop(tab, None)
        return [str(case)] if case is not None and case.is_file() else []


async def _hear(tab: Tab, program: Program) -> None:
    """Hand on what the page says, until it goes or says what it never says."""
    async for said in tab.websocket:
        try:
            if said.type is not WSMsgType.TEXT:
                raise Malformed
            message = read_message(said.data)
            if isinstance(message, Keys):
                tab.touched = asyncio.get_running_loop().time()
                await program.type(message.data)
            elif isinstance(message, Size):
                await program.resize(message)
            elif isinstance(message, Focus):
                await program.focus(message.here)
            elif isinstance(message, Ping):
                await tab.websocket.send_json(["pong", message.mark])
        except Malformed:
            LOG.warning("A tab sent what our page never says: it is closed.")
            return
        except (GivenUp, ConnectionError):
            return


def _transport(request: web.Request) -> asyncio.WriteTransport | None:
    transport = request.transport
    return transport if isinstance(transport, asyncio.WriteTransport) else None


def case_held_by(folder: Path, process: int) -> Path | None:
    """The case of a folder that a process has open, which its lock tells where the system lets it be read."""
    for case in folder.glob("*.yaml"):
        lock = lock_path(case)
        with suppress(OSError):
            if lock.is_file() and lock.read_bytes().startswith(b"%d " % process):
                return case.absolute()
    return None
