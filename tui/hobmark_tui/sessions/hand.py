"""The one hand that changes an open case, one thing after another."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


class Hand(ThreadPoolExecutor):
    """One thread. A key that comes when its case was let go changes nothing, and is no fault."""

    def __init__(self) -> None:
        """Begin with nothing to do."""
        super().__init__(max_workers=1, thread_name_prefix="case")

    def submit(self, act: Callable[P, T], /, *given: P.args, **named: P.kwargs) -> Future[T]:
        """Do something once all before it is done; a future that is cancelled once the hand was shut down."""
        try:
            return super().submit(act, *given, **named)
        except RuntimeError:
            late: Future[T] = Future()
            late.cancel()
            return late
