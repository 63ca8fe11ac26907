"""Who may import whom: the contracts hold, and a running engine has loaded no screen and no command line."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import hobmark
import pytest

TOP = Path(hobmark.__file__).parents[2]
CHECKOUT = pytest.mark.skipif(not (TOP / "pyproject.toml").is_file(), reason="hobmark runs from no checkout")
LOAD_ENGINE = """
import importlib, pkgutil, sys
import hobmark
for module in pkgutil.walk_packages(hobmark.__path__, "hobmark."):
    importlib.import_module(module.name)
print(*sorted(name for name in sys.modules if name.partition(".")[0] in {"textual", "typer", "rich", "hobmark_tui"}))
"""


def ran(*command: str) -> subprocess.CompletedProcess[str]:
    """What a command did, run where the imports of this test come from."""
    paths = os.pathsep.join(str(TOP / room) for room in ("engine", "tui"))
    environment = os.environ | {"PYTHONPATH": paths, "OPENBLAS_NUM_THREADS": "1", "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(
        [sys.executable, *command], cwd=TOP, env=environment, capture_output=True, encoding="utf-8", check=False
    )


def layers() -> list[str]:
    """The modules of the contract of floors, highest first."""
    settings = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    (floors,) = [contract for contract in settings["tool"]["importlinter"]["contracts"] if contract["type"] == "layers"]
    return [name for floor in floors["layers"] for name in re.split(r" [|:] ", floor)]


@CHECKOUT
def test_the_import_contracts_hold(tmp_path: Path) -> None:
    pytest.importorskip("importlinter")
    command = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(cache_dir=sys.argv[1]))"
    found = ran("-c", command, str(tmp_path))
    assert found.returncode == 0, found.stdout + found.stderr


@CHECKOUT
def test_every_room_of_the_engine_has_its_floor() -> None:
    rooms = {
        f"hobmark.{path.stem}"
        for path in (TOP / "engine" / "hobmark").iterdir()
        if (path.is_dir() and (path / "__init__.py").is_file()) or path.suffix == ".py"
    }
    assert rooms - {"hobmark.__init__"} == {name for name in layers() if name != "hobmark_tui"}


@CHECKOUT
def test_import_hobmark_and_its_whole_engine_load_no_screen_and_no_command_line() -> None:
    found = ran("-c", LOAD_ENGINE)
    assert (found.returncode, found.stdout.strip(), found.stderr) == (0, "", "")


@CHECKOUT
def test_import_hobmark_alone_loads_nothing_that_takes_time() -> None:
    found = ran(
        "-c", "import sys, hobmark; print(*{'numpy', 'pydantic', 'yaml', 'edtf', 'durable'} & set(sys.modules))"
    )
    assert found.stdout.strip() == ""


HEAVY = (
    "textual jinja2 PIL hobmark.knowledge.schema.parts hobmark.knowledge.schema.bench hobmark.knowledge.reading "
    "hobmark.reports.html hobmark.curating"
)
LOAD_IDENTIFY = f"""
import contextlib, io, sys
from hobmark_tui.__main__ import run
with contextlib.redirect_stdout(io.StringIO()):
    run(["identify", "examples/sale/green-range.yaml"])
print(*(name for name in "{HEAVY}".split() if name in sys.modules))
"""


@CHECKOUT
def test_a_warm_start_of_identify_loads_nothing_it_does_not_need() -> None:
    ran("-m", "hobmark_tui", "identify", "examples/sale/green-range.yaml")  # compiles the base where it must
    found = ran("-c", LOAD_IDENTIFY)
    assert found.stdout.strip() == "", found.stdout + found.stderr
