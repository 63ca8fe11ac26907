"""A tab of a browser as the server meets it, and a program that speaks as the real one does and starts at once."""

from __future__ import annotations

import json
import socket
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
    elif verb == "size":
        show(f"{os.environ['COLUMNS']}x{os.environ['ROWS']}")
    elif verb == "flood":
        while True:
            show("x" * 1_000_000)
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
async def tab(client: Client, name: str = ONE, query: str = "") -> AsyncIterator[aiohttp.ClientWebSocketResponse]:
    async with client.ws_connect(f"/ws/{name}{query}", headers=origin(client)) as browser:
        yield browser


def stalled(client: Client, name: str) -> tuple[socket.socket, int]:
    """A tab whose program draws without end, and whose browser takes nothing in; and that program's process."""
    own = socket.create_connection(("127.0.0.1", client.server.port), timeout=PATIENCE)
    place = f"{client.server.host}:{client.server.port}"
    asked = (f"GET /ws/{name} HTTP/1.1", f"Host: {place}", f"Origin: http://{place}", *UPGRADE)
    own.sendall("\r\n".join(asked).encode() + b"\r\n\r\n")
    drawn = own.makefile("rb")
    while drawn.readline().strip():
        pass
    size = drawn.read(2)[1]
    process = int(drawn.read(size).split()[0])
    said = json.dumps(["stdin", "flood"]).encode()
    own.sendall(bytes([0x81, 0x80 | len(said)]) + bytes(4) + said)
    return own, process


UPGRADE = (
    "Connection: Upgrade",
    "Upgrade: websocket",
    "Sec-WebSocket-Version: 13",
    "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==",
)


async def told(browser: aiohttp.ClientWebSocketResponse) -> str:
    """What the program shows next."""
    return (await browser.receive_bytes(timeout=PATIENCE)).decode()


async def is_over(browser: aiohttp.ClientWebSocketResponse) -> bool:
    return (await browser.receive(timeout=PATIENCE)).type in (aiohttp.WSMsgType.CLOSE, aiohttp.WSMsgType.CLOSED)
