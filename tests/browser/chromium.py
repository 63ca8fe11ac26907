"""A headless Chromium, driven by its DevTools protocol: a page is opened, keys are pressed, and its screen is read."""

from __future__ import annotations

import asyncio
import base64
import contextlib
import shutil
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import aiohttp

from .drawn_screen import DrawnScreen

BINARY = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome", "chrome"))), None)
"""The browser of this machine, if it has one."""
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-dev-shm-usage", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    *("--window-size=1280,800", "--remote-debugging-port=0"),
)
PATIENCE = 60.0
"""Seconds a loaded machine may take over one step before a test gives up on it."""
KEYS = {"Enter": ("\r", 13), "Escape": ("", 27)}


class Page:
    """One tab. `screen` is what its terminal shows; `asked` is every address that it asked anything of."""

    def __init__(self, browser: Browser, session: str, target: str) -> None:
        self.browser, self.session, self.target = browser, session, target
        self.screen = DrawnScreen()
        self.asked: list[str] = []

    async def send(self, method: str, **given: object) -> dict[str, Any]:
        return await self.browser.send(method, self.session, **given)

    async def open(self, url: str) -> None:
        self.screen = DrawnScreen()
        await self.send("Page.navigate", url=url)

    async def reload(self) -> None:
        self.screen = DrawnScreen()
        await self.send("Page.reload")

    async def value(self, expression: str) -> Any:
        found = await self.send("Runtime.evaluate", expression=expression, returnByValue=True)
        return found["result"].get("value")

    async def press(self, *keys: str) -> None:
        for key in keys:
            text, code = KEYS.get(key, (key, ord(key.upper()[0])))
            named: dict[str, object] = {"key": key, "windowsVirtualKeyCode": code, "text": text}
            await self.send("Input.dispatchKeyEvent", type="keyDown", **named)
            await self.send("Input.dispatchKeyEvent", type="keyUp", key=key, windowsVirtualKeyCode=code)

    async def shows(self, *words: str) -> str:
        """Wait until all the words stand on the screen, and return it."""
        until = asyncio.get_running_loop().time() + PATIENCE
        while not all(word in self.screen.text for word in words):
            assert asyncio.get_running_loop().time() < until, f"{words} never shows:\n{self.screen.text}"
            await asyncio.sleep(0.05)
        return self.screen.text

    async def text(self) -> str:
        """The text of the page itself, as a refusal is."""
        return str(await self.value("document.body ? document.body.innerText : ''"))

    async def picture(self, path: Path) -> None:
        found = await self.send("Page.captureScreenshot")
        path.write_bytes(base64.b64decode(found["data"]))

    async def close(self) -> None:
        await self.browser.send("Target.closeTarget", targetId=self.target)

    def happened(self, method: str, given: dict[str, Any]) -> None:
        if method == "Network.requestWillBeSent":
            self.asked.append(given["request"]["url"])
        elif method == "Network.webSocketCreated":
            self.asked.append(given["url"])
        elif method == "Network.webSocketFrameReceived" and given["response"]["opcode"] == 2:
            self.screen.feed(base64.b64decode(given["response"]["payloadData"]).decode("utf-8", "replace"))


class Browser:
    """The browser's own end of the protocol."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self.socket = socket
        self.count = 0
        self.waiting: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self.pages: dict[str, Page] = {}

    async def listen(self) -> None:
        async for message in self.socket:
            told = message.json()
            if "id" in told:
                self.waiting.pop(told["id"]).set_result(told)
            elif (page := self.pages.get(told.get("sessionId", ""))) is not None:
                page.happened(told["method"], told["params"])

    async def send(self, method: str, session: str | None = None, /, **given: object) -> dict[str, Any]:
        self.count += 1
        answer = self.waiting[self.count] = asyncio.get_running_loop().create_future()
        at = {"sessionId": session} if session else {}
        await self.socket.send_json({"id": self.count, "method": method, "params": given} | at)
        told = await asyncio.wait_for(answer, PATIENCE)
        assert "error" not in told, told
        result: dict[str, Any] = told["result"]
        return result

    async def tab(self) -> Page:
        target = (await self.send("Target.createTarget", url="about:blank"))["targetId"]
        session = (await self.send("Target.attachToTarget", targetId=target, flatten=True))["sessionId"]
        page = self.pages[session] = Page(self, session, target)
        for domain in ("Page", "Network", "Runtime"):
            await page.send(f"{domain}.enable")
        return page


@contextlib.asynccontextmanager
async def browser(profile: Path) -> AsyncIterator[Browser]:
    """A browser with an empty profile, ended with all its processes."""
    assert BINARY is not None
    process = await asyncio.create_subprocess_exec(
        BINARY,
        *FLAGS,
        f"--user-data-dir={profile}",
        stdout=asyncio.subprocess.DEVNULL,
        stderr=asyncio.subprocess.DEVNULL,
    )
    try:
        port, path = await _found(profile / "DevToolsActivePort")
        async with (
            aiohttp.ClientSession() as client,
            client.ws_connect(f"ws://127.0.0.1:{port}{path}", max_msg_size=0) as socket,
        ):
            found = Browser(socket)
            listening = asyncio.create_task(found.listen())
            try:
                yield found
            finally:
                listening.cancel()
                await socket.send_json({"id": 0, "method": "Browser.close"})
    finally:
        with contextlib.suppress(TimeoutError, ProcessLookupError):
            await asyncio.wait_for(process.wait(), 10)
        if process.returncode is None:
            process.kill()
            await process.wait()


async def _found(file: Path) -> list[str]:
    until = asyncio.get_running_loop().time() + PATIENCE
    while not file.exists() or len(file.read_text().splitlines()) < 2:
        assert asyncio.get_running_loop().time() < until, "Chromium does not start"
        await asyncio.sleep(0.05)
    return file.read_text().splitlines()
