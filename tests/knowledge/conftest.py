"""The small base, for every test of the reading of bases."""

from __future__ import annotations

from pathlib import Path

import pytest

from .small_base import SmallBase


@pytest.fixture
def small(tmp_path: Path) -> SmallBase:
    return SmallBase(tmp_path / "base")
