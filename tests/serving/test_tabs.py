"""A program for each tab: from the tab's first byte to its last, and no longer."""

from __future__ import annotations

import asyncio
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from aiohttp import WSCloseCode, WSMsgType
from hobmark_tui.serving import program as program_module
from hobmark_tui.serving import server as server_module
from hobmark_tui.serving.server import FULL, GONE_IDLE

from tests.commands.terminal import PATIENCE, environment

from .a_tab import ONE, Served, is_over, origin, stalled, tab, told

posix = pytest.mark.skipif(os.name != "posix", reason="signals and locks that can be read are POSIX")


def runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


async def test_each_tab_has_a_program_of_its_own(served: Served) -> None:
    async with served() as client, tab(client, ONE) as first, tab(client, "b" * 32) as second:
        assert int(await told(first)) != int(await told(second))


@posix
async def test_when_the_tab_closes_its_program_ends(served: Served) -> None:
    async with served() as client:
        async with tab(client) as socket:
            process = int(await told(socket))
        async with asyncio.timeout(PATIENCE):
            while runs(process):
                await asyncio.sleep(0.01)


@posix
async def test_a_program_that_does_not_end_is_ended(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(program_module, "PATIENCE", 0.2)
    async with served() as client:
        async with tab(client) as socket:
            process = int(await told(socket))
            await socket.send_json(["stdin", "deaf"])
            assert await told(socket) == "deaf"
        async with asyncio.timeout(PATIENCE):
            while runs(process):
                await asyncio.sleep(0.01)


@posix
async def test_when_the_server_ends_every_program_does(served: Served) -> None:
    async with served() as client:
        socket = await client.ws_connect(f"/ws/{ONE}", headers=origin(client))
        process = int(await told(socket))
    assert not runs(process)


async def test_a_tab_whose_program_died_is_told(served: Served) -> None:
    async with served() as client, tab(client) as socket:
        await told(socket)
        await socket.send_json(["stdin", "die"])
        assert await is_over(socket)


@pytest.mark.parametrize(
    "message", ["no JSON", "{}", "[]", '["stdin"]', '["stdin", 1]', '["resize", 1]', "[1e999]", "[" * 60_000]
)
async def test_what_our_page_never_sends_ends_the_tab_or_is_let_be_without_a_traceback(
    served: Served, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    async with served() as client, tab(client) as socket:
        await told(socket)
        await socket.send_str(message)
        await socket.send_json(["stdin", "die"])
        assert await is_over(socket)
    assert "Traceback" not in capsys.readouterr().err


async def test_bytes_end_the_tab(served: Served) -> None:
    async with served() as client, tab(client) as socket:
        await told(socket)
        await socket.send_bytes(b'["stdin", "x"]')
        assert await is_over(socket)


async def test_a_message_of_megabytes_ends_the_tab(served: Served) -> None:
    async with served() as client, tab(client) as socket:
        await told(socket)
        await socket.send_json(["stdin", "x" * 3_000_000])
        assert await is_over(socket)


async def test_a_screen_is_held_within_what_is_drawn(served: Served) -> None:
    async with served() as client, tab(client, query="?width=1000000000&height=1000000000") as socket:
        await told(socket)
        await socket.send_json(["stdin", "size"])
        assert await told(socket) == "500x200"


async def test_one_tab_more_than_there_may_be_is_told_why(served: Served) -> None:
    async with served(most=1) as client, tab(client, ONE) as first:
        await told(first)
        async with tab(client, "b" * 32) as second:
            ended = await second.receive(timeout=PATIENCE)
        assert (ended.data, ended.extra) == (WSCloseCode.TRY_AGAIN_LATER, FULL.format(1))
        await first.send_json(["stdin", "size"])
        assert await told(first) == "80x24"


@posix
async def test_a_tab_that_takes_over_needs_no_place_of_its_own(served: Served) -> None:
    async with served(most=1) as client, tab(client) as former:
        process = int(await told(former))
        async with tab(client) as socket:
            assert int(await told(socket)) != process


async def test_when_a_tab_goes_its_place_is_free(served: Served) -> None:
    async with served(most=1) as client:
        async with tab(client, ONE) as first:
            await told(first)
        async with asyncio.timeout(PATIENCE):
            while True:
                async with tab(client, "b" * 32) as second:
                    if (await second.receive(timeout=PATIENCE)).type is WSMsgType.BINARY:
                        break


async def test_a_tab_without_a_key_for_long_is_closed_and_told(served: Served) -> None:
    async with served(idle_minutes=0.01) as client, tab(client) as socket:
        await told(socket)
        await socket.send_json(["focus"])
        ended = await socket.receive(timeout=PATIENCE)
        assert (ended.type, ended.extra) == (WSMsgType.CLOSE, GONE_IDLE.format(0.01))


@posix
async def test_a_browser_that_takes_nothing_in_costs_its_tab_and_holds_up_nobody(
    served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server_module, "STALLED", 0.3)
    async with served() as client:
        own, process = await asyncio.to_thread(stalled, client, "c" * 32)
        async with tab(client) as other:
            assert await told(other)
        async with asyncio.timeout(PATIENCE):
            while runs(process):
                await asyncio.sleep(0.02)
        own.close()


@posix
async def test_a_page_that_is_loaded_again_opens_the_same_case(served: Served, tmp_path: Path) -> None:
    case = tmp_path / "the case.yaml"
    case.touch()
    async with served() as client:
        async with tab(client) as socket:
            await told(socket)
            await socket.send_json(["stdin", f"hold {tmp_path / '.the case.yaml.lock'}"])
            assert await told(socket) == "held"
        async with tab(client) as socket:
            assert (await told(socket)).partition(" ")[2] == str(case)


@posix
async def test_it_takes_over_from_its_former_self_that_does_not_know_it_is_gone(served: Served, tmp_path: Path) -> None:
    (tmp_path / "case.yaml").touch()
    async with served() as client, tab(client) as former:
        process = int(await told(former))
        await former.send_json(["stdin", f"hold {tmp_path / '.case.yaml.lock'}"])
        assert await told(former) == "held"
        async with tab(client) as socket:
            assert (await told(socket)).partition(" ")[2] == str(tmp_path / "case.yaml")
            assert not runs(process)
            assert await is_over(former)


@posix
async def test_another_tab_does_not_open_it(served: Served, tmp_path: Path) -> None:
    (tmp_path / "case.yaml").touch()
    async with served() as client:
        async with tab(client, ONE) as socket:
            await told(socket)
            await socket.send_json(["stdin", f"hold {tmp_path / '.case.yaml.lock'}"])
            assert await told(socket) == "held"
        async with tab(client, "b" * 32) as socket:
            assert (await told(socket)).partition(" ")[2] == ""


@posix
async def test_a_case_that_was_taken_away_meanwhile_is_not_opened(served: Served, tmp_path: Path) -> None:
    (tmp_path / "case.yaml").touch()
    async with served() as client:
        async with tab(client) as socket:
            await told(socket)
            await socket.send_json(["stdin", f"hold {tmp_path / '.case.yaml.lock'}"])
            assert await told(socket) == "held"
            (tmp_path / "case.yaml").rename(tmp_path / "elsewhere")
        async with tab(client) as socket:
            assert (await told(socket)).partition(" ")[2] == ""


HUNG_UP = """
import signal, sys, time
from hobmark_tui.serving import tab
tab.PATIENCE = 0.2
if sys.argv[1] == "deaf":
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
tab.end_with_server()
print("waits", flush=True)
time.sleep(600)
"""


@posix
@pytest.mark.parametrize(("kind", "number"), [("polite", signal.SIGTERM), ("deaf", signal.SIGKILL)])
def test_a_program_whose_server_was_killed_ends_by_itself(tmp_path: Path, kind: str, number: signal.Signals) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HUNG_UP, kind],
        env=environment(tmp_path),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdout.readline()
        assert process.poll() is None
        process.stdin.close()
        assert process.wait(PATIENCE) == -number
