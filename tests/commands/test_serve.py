"""`hobmark serve`: what the command refuses, what it says, and how it ends."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import socket
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import aiohttp
import pytest
from hobmark.problems import Refused
from hobmark_tui.exits import ExitCode
from hobmark_tui.serving.listening import Listening

from .conftest import Hobmark
from .terminal import PATIENCE, command, environment

posix = pytest.mark.skipif(os.name != "posix", reason="signals are POSIX")


@pytest.fixture
def own_cases(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HOBMARK_CASES", str(tmp_path))  # put back afterwards, whatever a command sets
    return tmp_path


@pytest.fixture
def taken() -> Iterator[int]:
    with socket.create_server(("127.0.0.1", 0)) as other:
        yield other.getsockname()[1]


@pytest.mark.usefixtures("own_cases")
def test_a_port_in_use_is_a_mistake_of_usage_with_a_way_out(hobmark: Hobmark, small: Path, taken: int) -> None:
    done = hobmark("serve", "-k", small, "--port", taken)
    assert done.code == ExitCode.REFUSED
    assert f"port {taken} of 127.0.0.1 is in use. Choose another with --port" in done.err


@pytest.mark.usefixtures("own_cases")
@pytest.mark.parametrize("host", ["192.0.2.7", "no.such.name.invalid", "1.2.3.4.5", "a" * 300, "\N{SNOWMAN}..x"])
def test_an_address_of_no_machine_or_another_is_a_mistake_of_usage(hobmark: Hobmark, small: Path, host: str) -> None:
    done = hobmark("serve", "-k", small, "--port", 0, "--host", host)
    assert done.code == ExitCode.REFUSED
    assert "is no address of this machine. Write one, as 127.0.0.1" in done.err


@pytest.mark.parametrize("port", ["-1", "65536", "http"])
def test_a_port_that_is_none_is_a_mistake_of_usage(hobmark: Hobmark, port: str) -> None:
    assert hobmark("serve", "--port", port).code == ExitCode.REFUSED


@pytest.mark.usefixtures("own_cases")
def test_cases_that_are_no_folder_are_refused(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = hobmark("serve", "-k", small, "--port", 0, "--cases", tmp_path / "file")
    assert (done.code, "this is a file, not a folder" in done.err) == (ExitCode.REFUSED, True)


@pytest.mark.usefixtures("own_cases")
def test_others_never_come_in_without_the_token(hobmark: Hobmark, small: Path) -> None:
    done = hobmark("serve", "-k", small, "--port", 0, "--host", "0.0.0.0", "--open")
    assert (done.code, "--open is for this machine alone" in done.err) == (ExitCode.REFUSED, True)


@pytest.mark.usefixtures("own_cases")
@pytest.mark.parametrize("given", [("--tabs", 0), ("--tabs", 65), ("--idle", 0)])
def test_a_limit_that_is_none_is_a_mistake_of_usage(hobmark: Hobmark, small: Path, given: tuple[str, int]) -> None:
    assert hobmark("serve", "-k", small, "--port", 0, *given).code == ExitCode.REFUSED


@pytest.mark.usefixtures("own_cases")
def test_a_base_at_fault_is_refused_before_anything_is_served(hobmark: Hobmark, tmp_path: Path) -> None:
    assert hobmark("serve", "-k", tmp_path, "--port", 0).code == ExitCode.REFUSED


@pytest.mark.parametrize(
    ("host", "is_local"), [("127.0.0.1", True), ("localhost", True), ("127.0.0.9", True), ("0.0.0.0", False)]
)
def test_only_what_is_bound_to_this_machine_alone_may_be_open(host: str, is_local: bool) -> None:
    listening = Listening.at(host, 0)
    with listening.socket:
        assert listening.is_local is is_local


def test_the_address_of_all_addresses_is_one_that_others_can_open() -> None:
    listening = Listening.at("0.0.0.0", 0)
    with listening.socket:
        assert "0.0.0.0" not in listening.url


def test_an_address_with_colons_stands_in_brackets() -> None:
    if not socket.has_ipv6:
        pytest.skip("this machine has no IPv6")
    try:
        listening = Listening.at("::1", 0)
    except Refused:
        pytest.skip("this machine has no IPv6")
    with listening.socket:
        assert listening.url == f"http://[::1]:{listening.port}/"
        assert listening.is_local


@pytest.fixture
def started(cache: Path, small: Path, tmp_path: Path) -> Iterator[Callable[..., subprocess.Popen[str]]]:
    running: list[subprocess.Popen[str]] = []

    def start(*arguments: object) -> subprocess.Popen[str]:
        folder = tmp_path / "my cases"
        running.append(
            subprocess.Popen(
                command("serve", "-k", small, "--port", 0, "--cases", folder, *arguments),
                cwd=tmp_path,
                env=environment(cache),
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
        )
        return running[-1]

    yield start
    for process in running:
        process.kill()
        process.communicate()


@posix
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_in_order(started: Callable[..., subprocess.Popen[str]], number: signal.Signals) -> None:
    process = started("--open")
    assert process.stdout is not None
    assert re.fullmatch(r"http://127\.0\.0\.1:\d+/\n", process.stdout.readline())
    process.send_signal(number)
    out, err = process.communicate(timeout=PATIENCE)
    assert (process.returncode, out) == (ExitCode.DONE, "")
    assert "my cases" in err
    assert "Traceback" not in err


@posix
@pytest.mark.parametrize("host", ["127.0.0.1", "0.0.0.0"], ids=["another account here", "another machine"])
async def test_it_tells_the_token_once_and_lets_nobody_in_without_it(
    started: Callable[..., subprocess.Popen[str]], host: str
) -> None:
    process = started("--host", host)
    assert process.stdout is not None
    url = await asyncio.to_thread(process.stdout.readline)
    found = re.fullmatch(r"http://[^/]+:(\d+)/\?token=([\w-]{43})\n", url)
    assert found is not None
    here = f"http://127.0.0.1:{found[1]}/"
    async with aiohttp.ClientSession(cookie_jar=aiohttp.CookieJar(unsafe=True)) as client:
        async with client.get(here) as answer:
            assert answer.status == 401
        async with client.get(here, params={"token": found[2]}) as answer:
            assert (answer.status, str(answer.url)) == (200, here)
    process.send_signal(signal.SIGINT)
    out, err = await asyncio.to_thread(process.communicate, timeout=PATIENCE)
    assert found[2] not in out + err
    assert "can read and change" in err
    assert ("not encrypted" in err) is (host == "0.0.0.0")
    assert "Ctrl-C ends it" in err


def test_off_a_terminal_the_full_screen_is_for_the_server_alone(hobmark: Hobmark) -> None:
    assert hobmark("examine").code == ExitCode.REFUSED
