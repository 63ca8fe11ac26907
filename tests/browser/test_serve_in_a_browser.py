"""`hobmark serve` as a person meets it: in a browser, look after look, loaded again, and refused."""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import yaml
from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.cache import load_compiled
from hobmark_tui.views.answers import answers_view

from tests.commands.terminal import command, environment

from .chromium import BINARY, PATIENCE, Browser, browser

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(BINARY is None, reason="no Chromium here: `apt-get install chromium` to run this"),
    pytest.mark.skipif(os.name != "posix", reason="it ends the server by a signal"),
]
LABEL = "barn range"
KEPT = 5
"""Looks that are answered."""


class Serving:
    """`hobmark serve`, running on a folder of cases whose name has a space."""

    def __init__(self, process: asyncio.subprocess.Process, url: str, cases: Path) -> None:
        self.process, self.url, self.cases = process, url, cases
        self.here = f"http://127.0.0.1:{urlsplit(url).port}/"

    @property
    def kept(self) -> list[object]:
        """The observations in the one case on disk."""
        (path,) = self.cases.glob("*.yaml")
        found: list[object] = yaml.safe_load(path.read_text(encoding="utf-8"))["observations"]
        return found

    def answers(self) -> list[str]:
        """The answers of the case on disk, in the words of the page of answers."""
        base = load_compiled([knowledge_root()]).base
        (path,) = self.cases.glob("*.yaml")
        found = [line.says for line in answers_view(base, read_case(path, base).case)]
        assert len(found) == KEPT
        return found

    @property
    def locks(self) -> list[str]:
        return [path.name for path in self.cases.glob(".*.lock")]


Serve = Callable[..., AbstractAsyncContextManager[Serving]]


@pytest.fixture(scope="session")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("cache")


@pytest.fixture
def serve(cache: Path, tmp_path: Path) -> Serve:
    @asynccontextmanager
    async def start(*arguments: object) -> AsyncIterator[Serving]:
        cases = tmp_path / "my cases"
        process = await asyncio.create_subprocess_exec(
            *command("serve", "--port", 0, "--cases", cases, *arguments),
            cwd=tmp_path,
            env=environment(cache),
            stdout=asyncio.subprocess.PIPE,
        )
        assert process.stdout is not None
        try:
            url = await asyncio.wait_for(process.stdout.readline(), PATIENCE)
            yield Serving(process, url.decode().strip(), cases)
            process.send_signal(signal.SIGINT)
            assert await asyncio.wait_for(process.wait(), PATIENCE) == 0
        finally:
            if process.returncode is None:
                process.kill()
                await process.wait()

    return start


@pytest.fixture
async def chromium(tmp_path: Path) -> AsyncIterator[Browser]:
    async with browser(tmp_path / "profile") as found:
        yield found


def question(screen: str) -> str:
    """The question of a case's page, which stands below its name."""
    return screen.splitlines()[1].partition("  ")[0].strip()


async def test_five_looks_answered_by_keys_are_there_when_the_page_is_loaded_again(
    serve: Serve, chromium: Browser, tmp_path: Path
) -> None:
    async with serve() as serving:
        page = await chromium.tab()
        await page.open(serving.url)
        await page.shows("Your cases")
        await page.press("n")
        await page.shows("what is it called?")
        await page.press(*LABEL, "Enter")
        await page.shows(LABEL, "no look taken yet")
        for answered in range(1, KEPT + 1):
            asked = question(page.screen.text)
            await page.press("1")
            async with asyncio.timeout(PATIENCE):
                while question(page.screen.text) == asked:
                    await asyncio.sleep(0.05)
            assert len(serving.kept) == answered, "it is on disk before the next question shows"
        before, next_question = serving.kept, question(page.screen.text)
        await page.picture(tmp_path / "five-looks.png")

        await page.reload()
        await page.shows(LABEL, next_question, "Likeliest")
        assert serving.kept == before
        await page.press("a")
        await page.shows(f"Answers: {LABEL}", *serving.answers())
        await page.picture(tmp_path / "loaded-again.png")

        elsewhere = [url for url in page.asked if urlsplit(url).netloc != urlsplit(serving.url).netloc]
        assert elsewhere == []
        await page.close()
        async with asyncio.timeout(PATIENCE):
            while serving.locks:
                await asyncio.sleep(0.05)


async def test_a_second_tab_is_refused_the_case_that_the_first_has_open(serve: Serve, chromium: Browser) -> None:
    async with serve() as serving:
        first, second = await chromium.tab(), await chromium.tab()
        await first.open(serving.url)
        await first.shows("Your cases")
        await first.press("n")
        await first.shows("what is it called?")
        await first.press(*LABEL, "Enter")
        await first.shows(LABEL, "no look taken yet")
        await second.open(serving.url)
        await second.shows("Your cases", LABEL)
        await second.press("Enter")
        await second.shows("this case is open in another program", "Close it there first")


async def test_one_tab_too_many_is_told_so_on_the_page(serve: Serve, chromium: Browser) -> None:
    async with serve("--tabs", 1) as serving:
        first, second = await chromium.tab(), await chromium.tab()
        await first.open(serving.url)
        await first.shows("Your cases")
        await second.open(serving.url)
        async with asyncio.timeout(PATIENCE):
            while "are taken. Close one" not in await second.text():
                await asyncio.sleep(0.05)


@pytest.mark.parametrize("place", ["", "static/js/textual.js", "ws", "nothing"])
async def test_to_others_there_is_nothing_without_the_token(serve: Serve, chromium: Browser, place: str) -> None:
    async with serve("--host", "0.0.0.0") as serving:
        page = await chromium.tab()
        await page.open(serving.here + place)
        async with asyncio.timeout(PATIENCE):
            while "This needs the token" not in await page.text():
                await asyncio.sleep(0.05)


async def test_to_others_no_websocket_opens_without_the_token(serve: Serve, chromium: Browser) -> None:
    async with serve("--host", "0.0.0.0") as serving:
        page = await chromium.tab()
        await page.open(serving.here)
        await page.value(f"""
            socket = new WebSocket("{serving.here.replace("http", "ws")}ws");
            for (const name of ["open", "error"]) socket.addEventListener(name, () => told ??= name);
            told = null;
        """)
        async with asyncio.timeout(PATIENCE):
            while (told := await page.value("told")) is None:
                await asyncio.sleep(0.05)
        assert told == "error"


async def test_to_others_the_address_with_the_token_opens_and_loses_it(serve: Serve, chromium: Browser) -> None:
    async with serve("--host", "0.0.0.0") as serving:
        page = await chromium.tab()
        await page.open(f"{serving.here}?{urlsplit(serving.url).query}")
        await page.shows("Your cases")
        assert await page.value("location.href") == serving.here
        assert await page.value("document.cookie") == ""
        await page.reload()
        await page.shows("Your cases")
