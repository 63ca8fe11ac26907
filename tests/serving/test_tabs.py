"""A program for each tab: from the tab's first byte to its last, and no longer."""

from __future__ import annotations

import asyncio
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from hobmark_tui.serving import server as server_module
from hobmark_tui.serving.server import command_line

from tests.commands.terminal import PATIENCE, environment

from .a_tab import ONE, Served, is_over, origin, tab, told

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
    monkeypatch.setattr(server_module, "PATIENCE", 0.2)
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


@pytest.mark.parametrize("message", ["no JSON", "{}", "[]", '["stdin"]', '["stdin", 1]', '["resize", 1]', "[1e999]"])
async def test_what_our_page_never_sends_ends_the_tab_or_is_let_be_without_a_traceback(
    served: Served, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    async with served() as client, tab(client) as socket:
        await told(socket)
        await socket.send_str(message)
        await socket.send_json(["stdin", "die"])
        assert await is_over(socket)
    assert "Traceback" not in capsys.readouterr().err


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


@posix
def test_the_command_line_of_a_program_holds_any_words() -> None:
    words = [sys.executable, "-c", "import sys; print(sys.argv[1:])", "my cases", "it's", '"$HOME"', "a;b", "*", ""]
    done = subprocess.run(command_line(words), shell=True, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == str(words[3:])


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
