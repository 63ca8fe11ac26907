"""What the sessions' tests share: a small base, and a case to open."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.knowledge.base import KnowledgeBase

from .cases import small_base


@pytest.fixture
def base() -> KnowledgeBase:
    return small_base()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A case of one look, in a folder of its own."""
    (tmp_path / "cases").mkdir()
    path = tmp_path / "cases" / "green.yaml"
    path.write_text(
        "hobmark: 1\nlabel: green range\nsituation: bench\nobservations:\n  - {feature: base, is: legs}\n",
        encoding="utf-8",
    )
    return path
