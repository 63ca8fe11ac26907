"""The door: more than it takes are sent away in words, and who stands in it silent is put out."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest
from aiohttp import web
from hobmark_tui.serving import door
from hobmark_tui.serving.guard import NO_TOKEN, Guard

from tests.commands.terminal import PATIENCE

REQUEST = b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"
Ends = tuple[asyncio.StreamReader, asyncio.StreamWriter]


@asynccontextmanager
async def serving() -> AsyncIterator[int]:
    """A door to nothing but the guard; its port."""
    taken, announced = socket.create_server(("127.0.0.1", 0)), asyncio.Event()
    app = web.Application()
    Guard("token").install(app)
    task = asyncio.create_task(door.serve_until_told(app, taken, announced.set))
    await announced.wait()
    yield int(taken.getsockname()[1])
    task.cancel()
    await asyncio.wait([task])


async def answer(ends: Ends) -> bytes:
    async with asyncio.timeout(PATIENCE):
        try:
            return await ends[0].read()
        except ConnectionError:
            return b""
        finally:
            ends[1].close()


async def asked(port: int) -> bytes:
    """All that one who asks is told."""
    ends = await asyncio.open_connection("127.0.0.1", port)
    ends[1].write(REQUEST)
    return await answer(ends)


async def test_a_thousand_connections_are_told_no_and_the_door_still_opens() -> None:
    async with serving() as port:
        told = await asyncio.gather(*(asked(port) for _ in range(1000)))
        after = await asked(port)
    politely = [each for each in told if NO_TOKEN.encode() in each or each == door.FULL]
    assert len(politely) == 1000
    assert NO_TOKEN.encode() in after


async def test_one_more_than_it_takes_is_told_to_come_again(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(door, "MOST", 3)
    async with serving() as port:
        held = [await asyncio.open_connection("127.0.0.1", port) for _ in range(3)]
        await asyncio.sleep(0.05)
        assert await asked(port) == door.FULL
        for each in held:
            each[1].close()
        await asyncio.sleep(0.05)
        assert NO_TOKEN.encode() in await asked(port)


@pytest.mark.parametrize("begun", [b"", b"GET / HTTP/1.1\r\nHost: ", REQUEST[:-2]], ids=["nothing", "half", "nearly"])
async def test_one_that_asks_for_nothing_whole_is_put_out(monkeypatch: pytest.MonkeyPatch, begun: bytes) -> None:
    monkeypatch.setattr(door, "AT_ONCE", 0.1)
    async with serving() as port:
        ends = await asyncio.open_connection("127.0.0.1", port)
        ends[1].write(begun)
        assert await answer(ends) == b""


async def test_one_that_was_answered_is_not_put_out_as_silent(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(door, "AT_ONCE", 0.1)
    async with serving() as port:
        ends = await asyncio.open_connection("127.0.0.1", port)
        ends[1].write(REQUEST.replace(b"close", b"keep-alive"))
        await ends[0].readuntil(NO_TOKEN.encode())
        await asyncio.sleep(0.3)
        ends[1].write(REQUEST)
        assert NO_TOKEN.encode() in await answer(ends)
