"""The whole attack, a ten-thousandth of it: that each strikes, that it stands, and that what falls is told."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from .attack import striking
from .attack.attacks import Attack, must

TOP = Path(__file__).parents[1]
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.name != "posix", reason="pseudo-terminals and signals are POSIX"),
]


def test_all_stand() -> None:
    line = [sys.executable, "-m", "tests.attack", "--share", "0.0001", "--seed", "7"]
    done = subprocess.run(line, cwd=TOP, capture_output=True, text=True, check=False)
    assert (done.returncode, "all stood" in done.stdout) == (0, True), done.stdout + done.stderr


class Falls:
    def __init__(self, folder: Path) -> None:
        (folder / "made ready").touch()

    def __call__(self, seed: int) -> None:
        must(seed % 2, f"even: {seed}")


def test_what_falls_is_counted_and_told_by_its_seed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(striking, "ATTACKS", (Attack("falls", 4, Falls),))
    struck = striking.strike(0, 8, 4)
    assert struck.fell == [(8, "Fell: even: 8"), (10, "Fell: even: 10")]
