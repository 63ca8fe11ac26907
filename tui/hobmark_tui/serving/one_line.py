"""What the server says while it serves: one line for each thing, on standard error, and a flood of them cut short."""

from __future__ import annotations

import logging
import sys
import time

from hobmark.problems import visible

MOST = 30
"""Lines a minute."""
MINUTE = 60.0
LONGEST = 300
"""Characters of a line."""
LOGGERS = ("aiohttp.server", "aiohttp.web", "aiohttp.websocket", "asyncio", __name__)
LOG = logging.getLogger(__name__)
"""Where the server itself writes."""


class OneLine(logging.Handler):
    """A line a record: what happened and the kind of fault, and nothing that a visitor wrote word for word."""

    def __init__(self, most: int = MOST) -> None:
        """Write at most so many lines a minute."""
        super().__init__()
        self._most, self._began, self._written = most, time.monotonic(), 0

    def emit(self, record: logging.LogRecord) -> None:
        """Write one line; of more than `most` in a minute only that there are more."""
        now = time.monotonic()
        if now - self._began >= MINUTE:
            self._began, self._written = now, 0
        self._written += 1
        if self._written > self._most + 1:
            return
        if self._written == self._most + 1:
            said = "more of that kind; not told for a minute."
        else:
            said = "".join(map(visible, record.getMessage().partition("\n")[0][:LONGEST]))
            if record.exc_info and record.exc_info[0] is not None:
                said += f" ({record.exc_info[0].__name__})"
        sys.stderr.write(f"{time.strftime('%H:%M:%S')} {said}\n")
        sys.stderr.flush()


def speak_in_lines() -> OneLine:
    """Send all that the server and its libraries log through one such handler."""
    handler = OneLine()
    for name in LOGGERS:
        logger = logging.getLogger(name)
        logger.handlers[:] = [handler]
        logger.setLevel(logging.DEBUG if name == "aiohttp.server" else logging.WARNING)  # bad requests are told there
        logger.propagate = False
    return handler
