"""`hobmark serve` under a crowd: tabs, connections, messages that no page sends; bounded, answered, and gone after."""

from __future__ import annotations

import asyncio
import json
import os
import random
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlsplit

import aiohttp

from tests.attack.attacks import must
from tests.commands.small_base import write_small_base
from tests.commands.terminal import PATIENCE, command, environment, warmed

TABS, CROWD, CONNECTIONS = 8, 100, 1000
"""Tabs that there may be, tabs that come, and connections without the token."""
MOST_MEMORY = 300 * 1024**2
"""Bytes that a tab's program may take; the server itself has as much."""
GONE = 2.0
"""Seconds after which nothing of a tab runs any more."""
ODD = (
    "no JSON", "{}", "[]", '["stdin"]', '["stdin", 1]', '["resize", {"width": 1e99}]', "[" * 60_000, '["ping", {}]',
    '["stdin", "\\ud800"]', '["resize", {"width": 1000000000, "height": 1000000000}]', '["quit"]', '["deliver", 1]',
    json.dumps(["stdin", "\x1b[99999999u" * 50]), json.dumps(["stdin", "x" * 60_000]),
    json.dumps(["stdin", "x" * 200_000]),
)  # fmt: skip


class _Served:
    """A server on a folder of cases, with the token it printed."""

    def __init__(self, folder: Path) -> None:
        small = write_small_base(folder)
        (folder / "cache").mkdir()
        cache = warmed(folder / "cache", small)
        self.said = folder / "said"
        with self.said.open("wb") as said:
            self.server = subprocess.Popen(
                command("serve", "-k", small, "--port", 0, "--tabs", TABS, "--cases", folder / "cases"),
                env=environment(cache),
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=said,
                text=True,
            )
        assert self.server.stdout is not None
        self.url = self.server.stdout.readline().strip()
        self.here = f"http://127.0.0.1:{urlsplit(self.url).port}"

    def __del__(self) -> None:
        self.server.send_signal(signal.SIGINT)
        self.server.wait(PATIENCE)

    def programs(self) -> list[int]:
        """The processes of its tabs."""
        found = Path(f"/proc/{self.server.pid}/task/{self.server.pid}/children").read_text(encoding="ascii")
        return [int(each) for each in found.split()]

    def client(self) -> aiohttp.ClientSession:
        """A browser."""
        return aiohttp.ClientSession(
            cookie_jar=aiohttp.CookieJar(unsafe=True), connector=aiohttp.TCPConnector(limit=0), read_bufsize=2**20
        )

    async def stands(self) -> None:
        """It still lets in whoever has the token, and said nothing but lines."""
        async with self.client() as client, client.get(self.url) as answer:
            must(answer.status == 200, f"status {answer.status}")
        told = self.said.read_text(encoding="utf-8")
        must("Traceback" not in told, told[-400:])

    async def all_gone(self) -> None:
        """No tab's program runs any more."""
        began = time.monotonic()
        while self.programs():
            must(time.monotonic() - began < GONE, f"{len(self.programs())} programs after {GONE} s")
            await asyncio.sleep(0.05)


def _memory(process: int) -> int:
    pages = Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1]
    return int(pages) * os.sysconf("SC_PAGE_SIZE")


class Tabs(_Served):
    """A hundred tabs: as many as there may be run, the others are told; then all leave at once."""

    def __call__(self, seed: int) -> None:
        asyncio.run(self._crowd(seed))

    async def _crowd(self, seed: int) -> None:
        draw = random.Random(seed)
        async with self.client() as client:
            async with client.get(self.url) as answer:
                must(answer.status == 200, f"status {answer.status}")
            came = await asyncio.gather(*(self._comes(client, draw.randbytes(16).hex()) for _ in range(CROWD)))
            stayed = [socket for socket in came if not socket.closed]
            must(len(stayed) == TABS, f"{len(stayed)} tabs run")
            must(len(self.programs()) == TABS, f"{len(self.programs())} programs")
            memory = [_memory(each) for each in (*self.programs(), self.server.pid)]
            must(max(memory) < MOST_MEMORY, f"{max(memory) / 1024**2:.0f} MB")
            await asyncio.gather(*(socket.close() for socket in stayed))
        await self.all_gone()
        await self.stands()

    async def _comes(self, client: aiohttp.ClientSession, name: str) -> aiohttp.ClientWebSocketResponse:
        size = "?width=1000000000&height=1000000000"
        socket = await client.ws_connect(f"{self.here}/ws/{name}{size}", headers={"Origin": self.here})
        first = await socket.receive(PATIENCE)
        if first.type is aiohttp.WSMsgType.CLOSE:
            must("are taken" in str(first.extra), first.extra)
        return socket


class Connections(_Served):
    """A thousand connections at once without the token, silent ones and rubbish too: each is told no, or put out."""

    def __call__(self, seed: int) -> None:
        asyncio.run(self._crowd(seed))

    async def _crowd(self, seed: int) -> None:
        draw = random.Random(seed)
        sends = [
            draw.choice((b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n", b"\x00\xff" * 99 + b"\r\n\r\n", b""))
            for _ in range(CONNECTIONS)
        ]
        told = await asyncio.gather(*(self._comes(each) for each in sends))
        words = [b"401 Unauthorized", b"503 Service", b"400 Bad"]
        unsaid = [
            each for sent, each in zip(sends, told, strict=True) if sent and not any(word in each for word in words)
        ]
        must(not unsaid, f"{len(unsaid)} were told nothing: {unsaid[:1]}")
        await self.stands()

    async def _comes(self, sent: bytes) -> bytes:
        reader, writer = await asyncio.open_connection("127.0.0.1", urlsplit(self.url).port)
        try:
            writer.write(sent)
            async with asyncio.timeout(PATIENCE):
                return await reader.read(100)
        except ConnectionError:
            return b""
        finally:
            writer.close()


class Messages(_Served):
    """A tab that sends what no page sends, then goes without a word: its program goes with it."""

    def __call__(self, seed: int) -> None:
        asyncio.run(self._sends(seed))

    async def _sends(self, seed: int) -> None:
        draw = random.Random(seed)
        async with self.client() as client:
            async with client.get(self.url) as answer:
                must(answer.status == 200, f"status {answer.status}")
            socket = await client.ws_connect(
                f"{self.here}/ws/{draw.randbytes(16).hex()}", headers={"Origin": self.here}
            )
            odd: list[Callable[[], object]] = []
            for _ in range(draw.randint(1, 12)):
                said = draw.choice(ODD)
                odd.append(lambda said=said: socket.send_str(said))
                if draw.random() < 0.1:
                    odd.append(lambda: socket.send_bytes(draw.randbytes(50)))
            for each in odd:
                if socket.closed:
                    break
                try:
                    await each()  # type: ignore[misc]
                except ConnectionError:
                    break
            must(all(_memory(each) < MOST_MEMORY for each in self.programs()), "memory of a tab's program")
            if draw.random() < 0.5:
                await socket.close()
        await self.all_gone()
        await self.stands()
