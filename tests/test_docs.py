from __future__ import annotations

import re

import pytest

from .refresh_examples import DOCUMENTS, ROOT, commands, table

DEVELOPERS = ROOT / "DEVELOPERS.md"
BASE = ROOT / "knowledge" / "README.md"
NAMED = re.compile(
    r"`([\w.*\-]+(?:/[\w.*\-]+)*/?)`|\]\(([^)#:]+)\)|(?:^|\s)((?:examples|tests|knowledge|engine|tui)/[\w./\-]+)"
)
"""Something in backquotes that may be a path, the target of a link, or a path on a command line."""
ENDINGS = (".md", ".yaml", ".py", ".toml", "/")


def rooms() -> list[str]:
    """Every folder and every file of its own on the floors of the two packages, and every folder of tests."""
    packages = [ROOT / "engine" / "hobmark", ROOT / "tui" / "hobmark_tui"]
    inside = [path for package in packages for path in package.iterdir()]
    folders = [path for path in [*inside, *(ROOT / "tests").iterdir()] if path.is_dir() and any(path.glob("*.py"))]
    files = [path for path in inside if path.suffix == ".py" and path.name != "__init__.py"]
    return sorted({f"{path.name}/" for path in folders} | {path.name for path in files})


def named_paths(text: str) -> set[str]:
    """The paths that a document names, without the case that the program makes for the reader."""
    found = {next(filter(None, match)) for match in NAMED.findall(text)}
    return {name for name in found if name.endswith(ENDINGS) and "DATE" not in name}


def test_readme_names_every_command_with_its_help():
    assert table() in (ROOT / "README.md").read_text(encoding="utf-8"), "Run `python tests/refresh_examples.py`."


def test_every_command_has_help():
    assert [name for name, said in commands() if len(said) < 20] == []


@pytest.mark.parametrize("room", rooms())
def test_developers_names_every_room(room):
    assert f"{room} " in DEVELOPERS.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", [*DOCUMENTS, DEVELOPERS], ids=lambda path: str(path.relative_to(ROOT)))
def test_no_path_in_the_docs_is_missing(path):
    places = [
        ROOT,
        path.parent,
        ROOT / "engine" / "hobmark",
        ROOT / "tui" / "hobmark_tui",
        ROOT / "tests",
        ROOT / "knowledge",
    ]
    named = named_paths(path.read_text(encoding="utf-8"))
    assert [name for name in sorted(named) if not any(any(place.glob(name.rstrip("/"))) for place in places)] == []


def test_the_two_commands_of_readme_are_the_first_it_prints():
    lines = [line for line in (ROOT / "README.md").read_text(encoding="utf-8").splitlines() if line.startswith("$ ")]
    assert "pip install . && .venv/bin/hobmark identify examples/" in lines[0]
    assert "pip install -e '.[test]' && .venv/bin/pytest" in lines[1]


@pytest.mark.parametrize(
    "path", [*DOCUMENTS, DEVELOPERS, BASE, ROOT / "CHANGELOG.md"], ids=lambda path: str(path.relative_to(ROOT))
)
def test_documents_name_no_place_of_one_machine(path):
    assert not re.search(r"(?:^|[\s`'\"(])/(?:home|work|tmp|root|Users)/", path.read_text(encoding="utf-8"))
