"""The program behind a tab as it really runs: whatever its page sends it goes on, and it stays in the folder."""

from __future__ import annotations

import asyncio
import os
import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

import pytest
from hobmark_tui.serving.messages import Size
from hobmark_tui.serving.program import Program

from tests.commands.small_base import write_small_base
from tests.commands.terminal import PATIENCE, command, environment, warmed

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the program is forked")
CASE = "hobmark: 1\nlabel: barn range\nsituation: sale\nobservations: []\n"
STEERING = re.compile(r"\x1b(\[[0-9;?<]*[A-Za-z]|\][^\x07]*\x07|[()].|.)")


class Visitor:
    """Keys for a real program, and the words that it has drawn since."""

    def __init__(self) -> None:
        self.program: Program
        self.drawn = b""

    async def show(self, data: bytes) -> None:
        self.drawn += data

    async def press(self, keys: str) -> None:
        """Type keys as a person does, who waits until the screen stands still."""
        before = -1
        while before != len(self.drawn):
            before = len(self.drawn)
            await asyncio.sleep(0.3)
        self.drawn = b""
        await self.program.type(keys.encode())

    async def sees(self, words: str, patience: float = PATIENCE) -> None:
        async with asyncio.timeout(patience):
            while words not in STEERING.sub("", self.drawn.decode("utf-8", "replace")):
                await asyncio.sleep(0.01)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    cases = tmp_path / "cases"
    cases.mkdir()
    (cases / "barn.yaml").write_text(CASE, encoding="utf-8")
    (tmp_path / "secret.html").write_text("the owner's", encoding="utf-8")
    return cases


@pytest.fixture
def visitor(tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> object:
    (tmp_path / "small").mkdir()
    base = write_small_base(tmp_path / "small")
    (tmp_path / "cache").mkdir()
    cache = warmed(tmp_path / "cache", base)
    for name, value in environment(cache, HOBMARK_CASES=str(folder)).items():
        monkeypatch.setenv(name, value)

    @asynccontextmanager
    async def start(*words: object) -> AsyncIterator[Visitor]:
        found = Visitor()
        found.program = await Program.start(
            command("examine", "-k", base, *words), Size(100, 40), found.show, lambda _: None
        )
        try:
            yield found
        finally:
            await found.program.stop()

    return start


@pytest.mark.parametrize(
    "sent", ["\x1b[99999999u", "\x1b[1114112u", "\x1b[<99999999;1;1M", "\x1b" * 500, "\x00\x9f"], ids=range(5)
)
async def test_no_key_makes_a_tab_deaf(visitor: object, sent: str) -> None:
    async with visitor() as tab:  # type: ignore[operator]
        await tab.sees("barn range")
        await tab.press(sent)
        while True:  # what was sent may be the begin of a longer key, and take one with it
            await tab.press("h")
            with suppress(TimeoutError):
                await tab.sees("Every key of this page", 1.0)
                break


async def test_the_list_names_no_folder_of_the_machine(visitor: object, tmp_path: Path) -> None:
    async with visitor() as tab:  # type: ignore[operator]
        await tab.sees("Your cases · cases")
        assert str(tmp_path) not in tab.drawn.decode()


async def test_a_paper_does_not_leave_the_folder(visitor: object, folder: Path, tmp_path: Path) -> None:
    async with visitor(folder / "barn.yaml") as tab:  # type: ignore[operator]
        await tab.sees("barn range")
        await tab.press("b")
        await tab.sees("on paper")
        await tab.press("o")
        await tab.sees("What is to be written?")
        await tab.press("\r")
        await tab.sees("Under which name?")
        await tab.press(str(tmp_path / "secret.html"))  # what stood there was selected
        await tab.sees("cret.html")
        await tab.press("\r")
        await tab.sees("Here a name stands for a file")
    assert (tmp_path / "secret.html").read_text(encoding="utf-8") == "the owner's"
