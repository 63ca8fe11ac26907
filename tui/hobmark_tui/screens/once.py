"""Pages that are left once."""

from __future__ import annotations

from typing import TypeVar

from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen, Screen

Result = TypeVar("Result")
"""What a page gives to whoever opened it."""


class Once(Screen[Result]):
    """A page that is left once: a key that is pressed twice answers once, and leaves the page below standing."""

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Leave, unless that was done already, or another page has come to stand over this one."""
        return super().dismiss(result) if self.is_active else AwaitComplete()


class Window(Once[Result], ModalScreen[Result]):
    """A small window over a page, left once."""
