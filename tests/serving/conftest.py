"""What the server's tests share: the server on a stub of the program."""

from __future__ import annotations

import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from aiohttp.test_utils import TestClient, TestServer
from hobmark_tui.serving.guard import Guard
from hobmark_tui.serving.server import CaseServer

from .a_tab import STUB, Client, Served


@pytest.fixture
def served(tmp_path: Path) -> Served:
    """The server on a stub of the program, and a client of it."""
    stub = tmp_path / "the stub.py"
    stub.write_text(STUB, encoding="utf-8")

    @asynccontextmanager
    async def start(guard: Guard | None = None, **limits: float) -> AsyncIterator[Client]:
        server = CaseServer([sys.executable, str(stub)], tmp_path, guard or Guard(), **limits)
        async with TestClient(TestServer(server.application())) as client:
            yield client

    return start
