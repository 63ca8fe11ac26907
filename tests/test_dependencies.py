"""What pyproject.toml asks of other packages: all that is imported, each with its lowest, bounded with a reason."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from functools import cache
from importlib.metadata import packages_distributions

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from .lowest import PYPROJECT, TOP, asked, lowest_version, name_of, pinned

pytestmark = pytest.mark.skipif(not PYPROJECT.is_file(), reason="hobmark runs from no checkout")

LOADERS = frozenset({"import_module", "find_spec", "importorskip"})
"""Functions whose first argument is the name of a module."""
ELSEWHERE = {"durable": "durable-rules", "importlinter": "import-linter"}
"""Module to distribution for what need not be installed where the tests run."""
PART = {"engine": ("run",), "tui": ("run",), "tests": ("run", "test", "bayes")}
"""Room to the parts of pyproject.toml that its imports may come from."""


@cache
def imported(room: str) -> frozenset[str]:
    """Modules of others that the files of a room import, by their first name."""
    files = sorted((TOP / room).rglob("*.py"))
    ours = {"hobmark", "hobmark_tui"}
    if room == "tests":  # whose studies import each other by their bare names
        ours |= {"tests"} | {path.stem for path in files} | {path.parent.name for path in files}
    named = {name for path in files for name in _names(ast.parse(path.read_text(encoding="utf-8")))}
    return frozenset(name.partition(".")[0] for name in named) - sys.stdlib_module_names - ours


def _names(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        match node:
            case ast.Import(names=names):
                yield from (one.name for one in names)
            case ast.ImportFrom(module=str(name), level=0):
                yield name
            case ast.Call(func=ast.Name(id=called) | ast.Attribute(attr=called), args=[ast.Constant(str(name)), *_]):
                if called in LOADERS:
                    yield name


def brought_by(module: str) -> set[str]:
    """Distributions that bring a module, by what is installed here."""
    return {canonicalize_name(name) for name in installed().get(module, [ELSEWHERE.get(module, module)])}


installed = cache(packages_distributions)


@pytest.mark.parametrize(("room", "module"), [(room, name) for room in PART for name in sorted(imported(room))])
def test_every_module_that_is_imported_is_declared(room: str, module: str) -> None:
    declared = {name_of(requirement) for part in PART[room] for requirement in asked(part)}
    assert brought_by(module) & declared, f"{module}, imported in {room}/, is declared only through another, or not"


@pytest.mark.parametrize("requirement", asked("run"), ids=name_of)
def test_every_package_that_the_program_asks_for_is_imported_by_it(requirement: Requirement) -> None:
    brought = {name for room in ("engine", "tui") for module in imported(room) for name in brought_by(module)}
    assert name_of(requirement) in brought


@pytest.mark.parametrize(
    "requirement", [one for part in ("build", "run", "test", "bayes") for one in asked(part)], ids=name_of
)
def test_every_requirement_states_the_lowest_version_it_runs_with(requirement: Requirement) -> None:
    assert lowest_version(requirement) in requirement.specifier


def lines_that_bound() -> list[int]:
    """Indices of the lines of pyproject.toml that keep a release out from above, or one in between."""
    lines = PYPROJECT.read_text(encoding="utf-8").splitlines() if PYPROJECT.is_file() else []
    return [n for n, line in enumerate(lines) if (text := _quoted(line)) and re.search(r"<|==|!=|~=", text)]


def _quoted(line: str) -> str:
    """The requirement on a line without its marker; "" where there is none."""
    found = re.fullmatch(r'\s+"([^";]+)(;[^"]*)?",', line)
    return found[1] if found else ""


@pytest.mark.parametrize("line", lines_that_bound())
def test_every_upper_bound_has_its_reason_above_it(line: int) -> None:
    lines = PYPROJECT.read_text(encoding="utf-8").splitlines()
    assert lines[line - 1].lstrip().startswith("# "), lines[line]


def test_the_lines_that_bound_are_found() -> None:
    assert len(lines_that_bound()) >= 4


@pytest.mark.parametrize(
    ("text", "pin"),
    [
        ("edtf>=5.0.2", "edtf==5.0.2"),
        ("textual<9,>=8.2", "textual==8.2"),
        ("filelock>=3.30,!=4.1.0", "filelock==3.30"),
        ("concept-formation==0.3.9", "concept-formation==0.3.9"),
        ("durable-rules>=2.0.28; python_version < '3.13'", "durable-rules==2.0.28"),
    ],
)
def test_the_lowest_version_is_the_one_that_is_begun_at(text: str, pin: str) -> None:
    assert pinned(Requirement(text)) == pin


@pytest.mark.parametrize(
    ("text", "said"),
    [("html5lib", "states no lowest"), ("rich<15", "states no lowest"), ("edtf>=5.0.1,!=5.0.1", "shuts out its own")],
)
def test_a_requirement_without_a_lowest_version_is_refused(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        pinned(Requirement(text))
