"""The program behind a browser tab: a process that speaks as the screen's framework does where it has no terminal.

Either way go packets: a sign for the kind, four bytes for the size (big-endian), and so many bytes. Before its first
packet the program says a line of its own, `READY`.
"""

from __future__ import annotations

import asyncio
import json
import os
from asyncio.subprocess import PIPE, Process
from collections.abc import Awaitable, Callable, Sequence
from contextlib import suppress

from hobmark_tui.serving.messages import Size
from hobmark_tui.serving.tab import DRIVER

READY = b"__GANGLION__\n"
DATA, META = b"D", b"M"
LARGEST = 16 * 1024 * 1024
"""Bytes of one packet; a screen's are some ten thousand."""
PATIENCE = 1.5
"""Seconds a program has to end once its tab is closed. Every answer is on disk already."""
DEAF = 10.0
"""Seconds after which a program that takes in no key is given up."""
_PIECE = 65_536
_WORDS = 2000
"""Bytes of what a program says as it fails that are told."""


class GivenUp(Exception):
    """The program takes nothing in any more."""


class Program:
    """A process and its two ends."""

    def __init__(self, process: Process, show: Callable[[bytes], Awaitable[None]], log: Callable[[str], None]) -> None:
        """Hand what it draws to `show`, and what it says as it fails to `log`."""
        self._process, self._show, self._log = process, show, log
        self.shown = asyncio.create_task(self._hand_on())
        """Runs as long as it draws."""
        self._complaints = asyncio.create_task(self._listen())

    @classmethod
    async def start(
        cls, words: Sequence[str], size: Size, show: Callable[[bytes], Awaitable[None]], log: Callable[[str], None]
    ) -> Program:
        """Start the command line `words` on a screen of a size."""
        process = await asyncio.create_subprocess_exec(
            *words, stdin=PIPE, stdout=PIPE, stderr=PIPE, env=_environment(size)
        )
        return cls(process, show, log)

    @property
    def process_id(self) -> int:
        """Its process."""
        return self._process.pid

    async def type(self, data: bytes) -> None:
        """Hand it keys. Raises GivenUp where it takes none in."""
        await self._send(DATA, data)

    async def resize(self, size: Size) -> None:
        """Tell it the size of its screen. Raises GivenUp."""
        await self._tell(type="resize", width=size.width, height=size.height)

    async def focus(self, here: bool) -> None:
        """Tell it whether anybody looks. Raises GivenUp."""
        await self._tell(type="focus" if here else "blur")

    async def stop(self) -> None:
        """Ask it to end, and end it where it does not; back when it is gone."""
        killing = asyncio.get_running_loop().call_later(PATIENCE, self._kill)
        with suppress(GivenUp):
            await self._tell(type="quit")
        await self._process.wait()
        killing.cancel()
        await asyncio.wait([self.shown, self._complaints])

    async def _tell(self, **said: object) -> None:
        await self._send(META, json.dumps(said).encode())

    async def _send(self, kind: bytes, data: bytes) -> None:
        keys = self._process.stdin
        assert keys is not None
        try:
            keys.write(kind + len(data).to_bytes(4, "big") + data)
            async with asyncio.timeout(DEAF):
                await keys.drain()
        except (OSError, RuntimeError):  # a TimeoutError is an OSError; one that has ended takes nothing in either
            raise GivenUp from None

    def _kill(self) -> None:
        with suppress(ProcessLookupError):
            self._process.kill()

    async def _hand_on(self) -> None:
        drawn = self._process.stdout
        assert drawn is not None
        with suppress(asyncio.IncompleteReadError, asyncio.LimitOverrunError, ConnectionError):
            await drawn.readuntil(READY)
            while True:
                kind, size = await drawn.readexactly(1), int.from_bytes(await drawn.readexactly(4), "big")
                if size > LARGEST:
                    break
                data = await drawn.readexactly(size)
                if kind == DATA:
                    await self._show(data)
                elif kind == META and _is_exit(data):
                    break
        while await drawn.read(_PIECE):  # read on: one that still writes could not end
            pass

    async def _listen(self) -> None:
        complaints = self._process.stderr
        assert complaints is not None
        kept = b""
        while data := await complaints.read(_WORDS):
            kept = (kept + data)[:_WORDS]
        for line in kept.decode("utf-8", "replace").splitlines():
            self._log(f"The program of a tab says: {line}")


def _is_exit(data: bytes) -> bool:
    with suppress(ValueError):
        return bool(json.loads(data)["type"] == "exit")
    return False


def _environment(size: Size) -> dict[str, str]:
    return {
        **os.environ,
        "TEXTUAL_DRIVER": DRIVER,
        "TEXTUAL_FPS": "60",
        "TEXTUAL_COLOR_SYSTEM": "truecolor",
        "TERM_PROGRAM": "textual",
        "COLUMNS": str(size.width),
        "ROWS": str(size.height),
    }
