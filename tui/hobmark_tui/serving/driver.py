"""The keys of a browser's tab, whatever its page sends: one that no key has costs that key, never the tab."""

from __future__ import annotations

import codecs
import os
import selectors
import sys

from textual.drivers._byte_stream import ByteStream
from textual.drivers.web_driver import WebDriver

from hobmark_tui.driver import LATIN, PIECE, WAIT, Keys


class ServedDriver(WebDriver):
    """The framework's driver for a browser, its keys read by `Keys`."""

    def run_input_thread(self) -> None:
        """Read keys, and what the server says beside them, until the program ends."""
        keys, packets = Keys(), ByteStream()
        decode = codecs.getincrementaldecoder("utf-8")(LATIN).decode
        assert sys.__stdin__ is not None
        handle = sys.__stdin__.fileno()
        with selectors.DefaultSelector() as server:
            server.register(handle, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                if server.select(WAIT):
                    data = os.read(handle, PIECE)
                    if not data:
                        return
                    for kind, payload in packets.feed(data):
                        if kind == "D":
                            for message in keys.feed(decode(payload)):
                                self.process_message(message)
                        else:
                            self._on_meta(kind, payload)
                for message in keys.tick():
                    self.process_message(message)
