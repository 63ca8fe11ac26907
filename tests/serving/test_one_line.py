"""What the server says while it serves: a line a thing, none with a traceback, and no flood."""

from __future__ import annotations

import asyncio
import logging
import socket
from collections.abc import Iterator

import pytest
from hobmark_tui.serving import one_line
from hobmark_tui.serving.one_line import LOG, LOGGERS, speak_in_lines

from .a_tab import Served


@pytest.fixture
def in_lines() -> Iterator[None]:
    loggers = [logging.getLogger(name) for name in LOGGERS]
    before = [(each.handlers[:], each.level, each.propagate) for each in loggers]
    speak_in_lines()
    yield
    for each, (handlers, level, propagate) in zip(loggers, before, strict=True):
        each.handlers[:], each.propagate = handlers, propagate
        each.setLevel(level)


BAD = [
    b"\x00\xff\r\n\r\n",
    b"GET / HTTP/9.9\r\n\r\n",
    b"GET /\x1b]52;c;x\x07 HTTP/1.1\r\nA:\x00b\r\n\r\n",
    b"x" * 100_000,
]


@pytest.mark.usefixtures("in_lines")
@pytest.mark.parametrize("sent", BAD, ids=range(4))
async def test_a_bad_request_is_one_line_and_no_traceback(
    served: Served, capsys: pytest.CaptureFixture[str], sent: bytes
) -> None:
    async with served() as client:
        reader, writer = await asyncio.open_connection("127.0.0.1", client.server.port, family=socket.AF_INET)
        writer.write(sent)
        assert (await reader.read()).startswith(b"HTTP/1.")
        writer.close()
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "Traceback" not in err
    assert err.rstrip("\n").isprintable()


@pytest.mark.usefixtures("in_lines")
def test_what_is_told_commands_no_terminal_and_stays_on_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    LOG.warning("of a tab: %s", "\x1b]52;c;aGk=\x07 \u202e")
    assert capsys.readouterr().err[9:] == "of a tab: \\x1b]52;c;aGk=\\x07 \\u202e\n"


@pytest.mark.usefixtures("in_lines")
def test_a_flood_is_cut_short_and_goes_on_a_minute_later(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for _ in range(500):
        LOG.warning("again")
    assert capsys.readouterr().err.count("\n") == one_line.MOST + 1
    monkeypatch.setattr(one_line, "MINUTE", 0.0)
    LOG.warning("later")
    assert "later" in capsys.readouterr().err
