"""A tab of a browser as the server meets it, and a program that speaks as the real one does and starts at once."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager

import aiohttp
from aiohttp.test_utils import TestClient

from tests.commands.terminal import PATIENCE

ONE = "a" * 32
"""What a tab calls itself."""
STUB = """
import os, sys, time
from pathlib import Path

def show(text):
    sys.stdout.buffer.write(b"D" + len(text).to_bytes(4, "big") + text.encode())
    sys.stdout.buffer.flush()

sys.stdout.buffer.write(b"__GANGLION__\\n")
show(f"{os.getpid()} {' '.join(sys.argv[1:])}")
held = None
while kind := sys.stdin.buffer.read(1):
    said = sys.stdin.buffer.read(int.from_bytes(sys.stdin.buffer.read(4), "big")).decode()
    if kind == b"M" and "quit" in said:
        break
    verb, _, name = said.partition(" ")
    if verb == "hold":
        held = Path(name)
        held.write_text(f"{os.getpid()} machine\\n")
        show("held")
    elif verb == "die":
        os._exit(1)
    elif verb == "deaf":
        show("deaf")
        time.sleep(600)
if held:
    held.unlink()
"""
"""A program that speaks as Textual's does in a browser, and starts at once."""

Client = TestClient[aiohttp.web.Request, aiohttp.web.Application]
Served = Callable[..., AbstractAsyncContextManager[Client]]


def origin(client: Client) -> dict[str, str]:
    """What a browser sends with a WebSocket of our own page."""
    return {"Origin": str(client.make_url("")).rstrip("/")}


@asynccontextmanager
async def tab(client: Client, name: str = ONE) -> AsyncIterator[aiohttp.ClientWebSocketResponse]:
    async with client.ws_connect(f"/ws/{name}", headers=origin(client)) as socket:
        yield socket


async def told(socket: aiohttp.ClientWebSocketResponse) -> str:
    """What the program shows next."""
    return (await socket.receive_bytes(timeout=PATIENCE)).decode()


async def is_over(socket: aiohttp.ClientWebSocketResponse) -> bool:
    return (await socket.receive(timeout=PATIENCE)).type in (aiohttp.WSMsgType.CLOSE, aiohttp.WSMsgType.CLOSED)
