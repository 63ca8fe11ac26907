"""The program of one browser tab, as it runs itself: it has no terminal, and ends with the server that started it."""

from __future__ import annotations

import os
import select
import signal
import sys
import threading
import time

DRIVER = "textual.drivers.web_driver:WebDriver"
"""What the server sets TEXTUAL_DRIVER to."""
PATIENCE = 1.5
"""Seconds it has for ending in order; every answer is on disk already."""


def is_served() -> bool:
    """Whether a browser shows the screen."""
    return os.environ.get("TEXTUAL_DRIVER") == DRIVER


def end_with_server() -> None:
    """End when nobody is left to send keys: a server that was killed cannot say so, and the case would stay locked."""
    if os.name == "posix" and sys.__stdin__ is not None:
        threading.Thread(target=_until_hang_up, args=(sys.__stdin__.fileno(),), daemon=True).start()


def _until_hang_up(handle: int) -> None:
    hang_up = select.poll()
    hang_up.register(handle, 0)  # a hang-up is told unasked, and the keys are left to whom they belong
    hang_up.poll()
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(PATIENCE)
    os.kill(os.getpid(), signal.SIGKILL)
