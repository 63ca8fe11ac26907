"""The hand that changes a case: one thing after another, and nothing once the case was let go."""

from __future__ import annotations

import asyncio

import pytest
from hobmark_tui.sessions.hand import Hand


def test_one_thing_is_done_after_another() -> None:
    done: list[int] = []
    with Hand() as hand:
        for number in range(50):
            hand.submit(done.append, number)
    assert done == list(range(50))


async def test_what_comes_when_the_case_was_let_go_is_cancelled_and_no_fault() -> None:
    hand = Hand()
    hand.shutdown()
    with pytest.raises(asyncio.CancelledError):
        await asyncio.wrap_future(hand.submit(print, "late"))
