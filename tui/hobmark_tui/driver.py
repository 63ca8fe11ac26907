"""The keys of a terminal, whatever bytes it sends: one that no key has costs that key, never the program."""

from __future__ import annotations

import codecs
import os
import selectors
from collections.abc import Callable, Iterable, Iterator
from operator import methodcaller

from textual._parser import ParseError
from textual._xterm_parser import XTermParser
from textual.drivers.linux_driver import LinuxDriver
from textual.message import Message

LATIN = "hobmark-latin"
"""How bytes that are no UTF-8 are read: as a terminal of one byte a sign means them."""
PIECE = 4096
WAIT = 0.1
"""Seconds after which a key that may be the begin of a longer one is taken for itself."""


def _as_latin(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return error.object[error.start : error.end].decode("latin-1"), error.end


codecs.register_error(LATIN, _as_latin)


class Keys:
    """Keys out of what a terminal sends; a sequence that means none is left out, and what follows it is read."""

    def __init__(self) -> None:
        """Begin with nothing half read."""
        self._parser = XTermParser()

    def feed(self, text: str) -> Iterator[Message]:
        """The messages of some text; none of what cannot be read."""
        for sign in text:
            yield from self._readable(methodcaller("feed", sign))

    def tick(self) -> Iterator[Message]:
        """What was half read and is not gone on with."""
        yield from self._readable(XTermParser.tick)

    def _readable(self, read: Callable[[XTermParser], Iterable[Message]]) -> Iterator[Message]:
        try:
            yield from read(self._parser)
        except (ValueError, OverflowError, ParseError, StopIteration, RuntimeError):
            self._parser = XTermParser()  # one that raised goes on no more


class Driver(LinuxDriver):
    """A terminal as the framework drives it, read by `Keys`."""

    def run_input_thread(self) -> None:
        """Read keys until the program ends."""
        keys, decode = Keys(), codecs.getincrementaldecoder("utf-8")(LATIN).decode
        with selectors.SelectSelector() as terminal:
            terminal.register(self.fileno, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                if terminal.select(WAIT):
                    for message in keys.feed(decode(os.read(self.fileno, PIECE))):
                        self.process_message(message)
                for message in keys.tick():
                    self.process_message(message)
