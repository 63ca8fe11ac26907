"""What is worked out beside the screen is named by a few words: a whole case spelled out at every key takes longer."""

from __future__ import annotations

import pytest
from hobmark.reasoning.examination import Compiled
from textual.dom import DOMNode
from textual.worker import Worker

from .conftest import NARROW, Open
from .driving import FARM

LONGEST = 40


async def test_a_worker_is_named_by_a_few_words(
    opened: Open, shipped: Compiled, monkeypatch: pytest.MonkeyPatch
) -> None:
    names: list[str] = []
    begin = DOMNode.run_worker

    def noted(node: DOMNode, *given: object, description: str = "", **more: object) -> Worker[object]:
        names.append(description)
        return begin(node, *given, description=description, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(DOMNode, "run_worker", noted)
    async with opened(NARROW, text=FARM, compiled=shipped) as driven:
        await driven.press("1", "u", "r", "escape", "a", "escape", "b", "t", "m")
    assert len(names) > 5
    assert [name for name in names if len(name) > LONGEST] == []
