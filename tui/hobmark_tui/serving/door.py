"""The door: how many may stand in it at once, how long one may stand there and ask for nothing, and how it is shut."""

from __future__ import annotations

import asyncio
import signal
import socket
from asyncio import BaseTransport, Protocol, WriteTransport
from collections.abc import Callable
from contextlib import suppress

from aiohttp import web

from hobmark_tui.serving.guard import Handler
from hobmark_tui.serving.one_line import LOG

MOST = 256
"""Connections at once; a browser takes about six, and a tab holds one."""
AT_ONCE = 10.0
"""Seconds within which a connection asks for something, whole."""
QUIET = 15.0
"""Seconds that one that was answered is kept for the next request."""
LINGER, MOST_LINGERING = 1.0, 1024
"""Seconds that one which is sent away has to hear why, and how many may hear it at once."""
FILES = 4096
"""Files that may be open, where the system lets us: each connection is one."""
GRACE = 4.0
"""Seconds that connections have for ending when the server does."""
WAITING = 2048
"""Connections that the system holds until they are looked at: one that finds no room there is left hanging."""
_WORDS = b"Too many connections. Try again later.\n"
FULL = (
    b"HTTP/1.1 503 Service Unavailable\r\nContent-Type: text/plain\r\nRetry-After: 10\r\n"
    b"Content-Length: %d\r\nConnection: close\r\n\r\n%s" % (len(_WORDS), _WORDS)
)
"""What one is told that is sent away."""


class Door:
    """Makes the other end of every connection that comes."""

    def __init__(self, server: web.Server) -> None:
        """Lead to a server."""
        self._server = server
        self._silent: set[web.RequestHandler] = set()

    def __call__(self) -> Protocol:
        """Take in one, or send it away in words."""
        if len(self._server.connections) >= MOST:
            LOG.warning("Too many connections at once: one is sent away.")
            return _SentAway()
        taken = self._server()
        self._silent.add(taken)
        asyncio.get_running_loop().call_later(AT_ONCE, self._wait_no_longer, taken)
        return taken

    def hears(self, connection: web.RequestHandler) -> None:
        """One has asked for something."""
        self._silent.discard(connection)

    def _wait_no_longer(self, connection: web.RequestHandler) -> None:
        if connection in self._silent:
            self._silent.discard(connection)
            connection.force_close()


class _SentAway(Protocol):
    """One that is told to come again, and read for a moment: closed upon what it says, it would not hear the words."""

    lingering = 0

    def connection_made(self, transport: BaseTransport) -> None:
        assert isinstance(transport, WriteTransport)
        _SentAway.lingering += 1
        transport.write(FULL)
        if _SentAway.lingering > MOST_LINGERING:
            transport.abort()
            return
        transport.write_eof()
        asyncio.get_running_loop().call_later(LINGER, transport.abort)

    def connection_lost(self, error: Exception | None) -> None:  # noqa: ARG002 - as asyncio calls it
        _SentAway.lingering -= 1


def _make_room() -> None:
    with suppress(ImportError, OSError, ValueError):  # elsewhere than on POSIX there is no such limit
        import resource

        soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
        wanted = FILES if hard == resource.RLIM_INFINITY else min(FILES, hard)
        resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, wanted), hard))


async def serve_until_told(app: web.Application, taken: socket.socket, announce: Callable[[], None]) -> None:
    """Serve on a port that is bound, call `announce` once it is, and end in order at Ctrl-C or SIGTERM."""

    _make_room()

    @web.middleware
    async def heard(request: web.Request, handler: Handler) -> web.StreamResponse:
        door.hears(request.protocol)
        return await handler(request)

    app.middlewares.insert(0, heard)
    # No log of requests: the first one of a browser has the token in it.
    runner = web.AppRunner(app, access_log=None, keepalive_timeout=QUIET, shutdown_timeout=GRACE)
    await runner.setup()
    assert runner.server is not None
    door = Door(runner.server)
    loop, told = asyncio.get_running_loop(), asyncio.Event()
    with suppress(NotImplementedError):  # elsewhere than on POSIX Ctrl-C is raised here
        for number in (signal.SIGINT, signal.SIGTERM):
            loop.add_signal_handler(number, told.set)
    listening = await loop.create_server(door, sock=taken, backlog=WAITING)
    try:
        announce()
        await told.wait()
    finally:
        listening.close()
        await runner.cleanup()
