"""The full screen on a terminal of its own: how it ends, by key, by signal, by a fault, and whatever bytes come."""

from __future__ import annotations

import errno
import os
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest
from hobmark_tui.app import HobmarkApp
from hobmark_tui.exits import ExitCode
from hobmark_tui.sessions import own_file

from tests.commands.terminal import PATIENCE, warmed
from tests.sessions.cases import failing

from .driving import BEGUN
from .full import Full

pytestmark = pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
CTRL_Q, CTRL_T, BACK = b"\x11", b"\x14", b"\x1b[?1049l"
"""The keys that leave and that turn the light, and what gives a terminal back what it showed before."""
ASKED = "Local codes"
"""What is drawn last of all beside a look that is asked."""


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory, small_root: Path) -> Path:
    return warmed(tmp_path_factory.mktemp("cache"), small_root)


Start = Callable[[], AbstractContextManager["Full"]]


@pytest.fixture
def start(cache: Path, tmp_path: Path, small_root: Path, monkeypatch: pytest.MonkeyPatch) -> Start:
    """Put a case on the screen, its first look asked."""
    (tmp_path / "cases").mkdir()
    monkeypatch.setenv("HOBMARK_CASES", str(tmp_path / "cases"))
    monkeypatch.setenv("TERM", "xterm-256color")
    case = tmp_path / "cases" / "green.yaml"
    case.write_text(BEGUN, encoding="utf-8")

    @contextmanager
    def started() -> Iterator[Full]:
        with Full(cache, tmp_path, "examine", case, "--knowledge", small_root, size=(80, 40)) as screen:
            screen.until(ASKED)
            yield screen

    return started


def test_ctrl_q_leaves_at_once_and_all_is_well(start: Start) -> None:
    with start() as full:
        began = time.monotonic()
        full.key(CTRL_Q)
        full.rest()
        assert (full.code(), BACK in full.drawn) == (0, True)
        assert time.monotonic() - began < PATIENCE / 10


def test_ctrl_q_says_what_is_not_on_disk_and_once_more_leaves_without_it(
    start: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(own_file, "write_atomically", failing(errno.ENOSPC))
    with start() as full:
        full.key(b"1")
        full.until("the disk is full")
        full.key(CTRL_Q)
        full.until("Not on disk:")
        full.key(CTRL_Q)
        assert "not kept: green.yaml: the disk is full" in full.rest()
        assert full.code() == ExitCode.REFUSED


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_it_in_order_and_the_terminal_is_given_back(start: Start, number: signal.Signals) -> None:
    with start() as full:
        full.drawn = b""
        full.signal(number)
        full.rest()
        assert (full.code(), BACK in full.drawn) == (128 + number, True)


@pytest.mark.parametrize(
    "typed",
    [
        b"\xbd",
        b"\xff\xfe\xfa",
        b"\x1b[1114112u",
        b"\x1b[99999999999u",
        b"\x1b[1;2;1114112u",
        b"\xed\xa0\x80",
        b"\x1b[<9999999999;1;1M",
    ],
)
def test_no_byte_a_terminal_may_send_ends_it(start: Start, typed: bytes) -> None:
    with start() as full:
        full.key(typed)
        full.key(b"h")
        full.until("On this page")
        full.key(CTRL_Q)
        full.rest()
        assert full.code() == 0


def test_a_half_of_a_terminal_of_one_byte_a_sign_is_read(start: Start) -> None:
    with start() as full:
        full.key(b"/")
        full.until("type to narrow the list")
        full.key(b"\xbd")
        assert "\u00bd" in full.until("\u00bd")


def test_a_fault_of_its_own_is_one_message_and_gives_the_terminal_back(
    start: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    def faulty(_: HobmarkApp) -> None:
        secret = "what no terminal shows"
        raise ArithmeticError(len(secret))

    monkeypatch.setattr(HobmarkApp, "action_light", faulty)
    with start() as full:
        full.key(CTRL_T)
        told = full.rest()
        assert (full.code(), BACK in full.drawn) == (ExitCode.INTERNAL, True)
        assert told.count("a fault of the program's own (ArithmeticError: 22)") == 1
        assert "secret" not in told
        assert "Traceback" not in told
