"""The full screen on a pseudo-terminal: what a terminal is sent, byte for byte."""

from __future__ import annotations

import os
import re
import select
import time

from tests.commands.terminal import PATIENCE, Terminal


class Full(Terminal):
    """The full screen: bytes go in, and what was drawn since is looked through."""

    drawn = b""

    def key(self, typed: bytes) -> None:
        self.drawn = b""
        os.write(self.own, typed)

    def until(self, words: str) -> str:
        """What was drawn, once these words were, whatever moves the cursor between them."""
        last = time.monotonic() + PATIENCE
        while words not in self.text:
            assert select.select([self.own], [], [], max(0.0, last - time.monotonic()))[0], self.text[-400:]
            try:
                self.drawn += os.read(self.own, 65536)
            except OSError:
                break
        return self.text

    @property
    def text(self) -> str:
        return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", self.drawn.decode("utf-8", "replace"))

    def rest(self) -> str:
        """What was drawn up to its end."""
        while True:
            try:
                piece = os.read(self.own, 65536)
            except OSError:
                return self.text
            if not piece:
                return self.text
            self.drawn += piece

    def settled(self, quiet: float = 0.5) -> bytes:
        """All that was drawn since the last key, once nothing was for some seconds."""
        while select.select([self.own], [], [], quiet)[0]:
            try:
                self.drawn += os.read(self.own, 65536)
            except OSError:
                break
        return self.drawn
