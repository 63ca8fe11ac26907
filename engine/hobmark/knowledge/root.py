"""Where knowledge lies: the shipped base beside the checkout or inside the installed wheel, and the files of a base."""

from __future__ import annotations

import difflib
import errno
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import hobmark
from hobmark.files import refusal_for
from hobmark.problems import Problem, Refused, shown

SHIPPED = "shipped"
"""In place of a folder: the base that comes with the program."""
COMMON_FILES = ("wording.yaml", "assemblies.yaml", "features.yaml")
"""The files that stand once, above the makers."""
CAUTIONS = "reference/cautions.yaml"
"""The cautions shown with every answer."""
PART_KINDS = "reference/part_kinds.yaml"
"""The kinds of parts, and what is measured on each."""
US_PATENTS = "reference/us_patents.yaml"
"""The first number of each year's US patents."""
DATING = ("marking", "post_and_telephone", "standards", "wartime")
DATING_FILES = tuple(f"reference/{name}.yaml" for name in DATING)
"""What forms and words on a plate prove of years, by subject."""
BENCH_FILES = tuple(f"reference/{name}.yaml" for name in ("gases", "drills", "fuel", "hazards", "set_up", "faults"))
"""What is known of gas and jets, hazards, setting up and faults, for any range."""
GASES, DRILLS, FUEL, HAZARDS, SET_UP, FAULTS = BENCH_FILES
REFERENCE_FILES = (CAUTIONS, PART_KINDS, US_PATENTS, *DATING_FILES, *BENCH_FILES)
"""The files of `reference/`."""
_OF_MAKER = ("maker", "sources", "models", "traits", "rules", "serials", "parts", "fit_rules", "setup")
MAKER_FILES = tuple(f"{name}.yaml" for name in _OF_MAKER)
"""The files of one maker's folder."""
ENTRY_FOLDERS = ("specimens", "cases")
"""The folders of a maker that hold one entry a file."""
DEEP = 2
"""How many folders below that of a base the folders of entries lie."""


def knowledge_root(package: Path | None = None) -> Path:
    """The folder of the shipped base, for the package folder `package` (default: the hobmark that is running).

    In an installed wheel it is `hobmark/shipped`; in a checkout it is the top-level `knowledge/`.
    Raises FileNotFoundError where neither stands, which means a broken installation.
    """
    package = package or Path(hobmark.__file__).parent
    for root in (package / "shipped", package.parent.parent / "knowledge"):
        if (root / "features.yaml").is_file():
            return root
    raise FileNotFoundError(f"no knowledge base beside {package}. Install hobmark again.")


def shown_path(path: Path) -> Path:
    """The path as a person would type it: relative to where they stand if it lies below."""
    try:
        return path.absolute().relative_to(Path.cwd())
    except (ValueError, OSError):
        return path


def maker_folders(root: Path) -> list[Path]:
    """The folders below `root` that hold a maker, by name."""
    return sorted(path.parent for path in root.glob("*/maker.yaml"))


def knowledge_files(roots: Sequence[Path]) -> list[Path]:
    """Every file that a base read from `roots` depends on, in a fixed order (cases are not among them)."""
    files: list[Path] = []
    for root in roots:
        files += [root / name for name in (*COMMON_FILES, *REFERENCE_FILES) if (root / name).exists()]
        for folder in maker_folders(root):
            files += [folder / name for name in MAKER_FILES if (folder / name).exists()]
            files += sorted((folder / "specimens").glob("*.yaml"))
        files += [stray.path for stray in _strays(root)]
    return files


def must_hold_knowledge(roots: Sequence[Path]) -> None:
    """Raise Refused for every one of `roots` that is no folder, adds nothing, or is a maker's own folder.

    So it does for a folder in them that may not be looked into: what is in there would be missed without a word.
    """
    unreadable = [problem for root in roots if root.is_dir() for problem in _unreadable(root)]
    if unreadable:
        raise Refused(unreadable)
    problems = [Problem(str(root), 1, 1, *amiss) for root in roots if (amiss := _not_a_root(root)) is not None]
    if problems:
        raise Refused(problems)


def _unreadable(folder: Path, deep: int = DEEP) -> Iterator[Problem]:
    """A problem for every folder, down to those of entries, that may not be listed or searched."""
    try:
        with os.scandir(folder) as listed:
            below = [Path(each.path) for each in listed if each.is_dir()]
        if not os.access(folder, os.R_OK | os.X_OK, effective_ids=os.access in os.supports_effective_ids):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    except OSError as error:
        yield from refusal_for(shown_path(folder), error).problems
        return
    for each in sorted(below) if deep else ():
        yield from _unreadable(each, deep - 1)


def _not_a_root(root: Path) -> tuple[str, str] | None:
    above = f"Name the folder above it: --knowledge {shown_path(root.absolute().parent)}."
    if not os.path.lexists(root):
        return "there is no such folder.", "Give the folder of a knowledge base."
    if not root.is_dir():
        return "this is a file, not a folder.", "Give the folder of a knowledge base."
    holds = maker_folders(root) or any(os.path.lexists(root / name) for name in (*COMMON_FILES, *REFERENCE_FILES))
    if (root / "maker.yaml").exists() or (not holds and any((root / name).exists() for name in MAKER_FILES)):
        return "this is a maker's own folder.", above
    if holds or _strays(root):
        return None
    return (
        "nothing in this folder is read: it holds no folder with a maker.yaml.",
        f"Name the folder above a maker's own, and name the base that comes with hobmark first: --knowledge {SHIPPED}.",
    )


class _Stray(NamedTuple):
    """A YAML file that nothing reads, what it is called from where it should stand, and the names read there."""

    path: Path
    called: str
    known: tuple[str, ...]


def stray_files(root: Path) -> list[Problem]:
    """A problem for every YAML file below `root` that looks as if it were read and is not."""
    return [Problem(str(shown_path(stray.path)), 1, 1, *_passed_over(stray)) for stray in _strays(root)]


def _passed_over(stray: _Stray) -> tuple[str, str]:
    called = f"'{shown(stray.called)}'"
    if stray.called in stray.known:
        return f"{called} is not read without a maker.yaml beside it.", "Add a maker.yaml."
    read_here = f"Read here: {', '.join(stray.known)}. Move it out of the base, or let its name not end in .yaml."
    stems = {name.removesuffix(".yaml"): name for name in stray.known}  # the ending would make all names alike
    near = difflib.get_close_matches(stray.called.rpartition(".")[0].lower(), stems, n=1)
    return f"{called} is not read here.", f"Did you mean '{shown(stems[near[0]])}'?" if near else read_here


def _strays(root: Path) -> list[_Stray]:
    makers, reference = set(maker_folders(root)), root / "reference"
    found = [_Stray(path, path.name, COMMON_FILES) for path in _yaml_in(root) if path.name not in COMMON_FILES]
    for folder in _folders_in(root):
        if folder in makers:
            found += _strays_of_maker(folder)
        elif folder == reference:
            named = (path for path in _yaml_in(folder) if f"reference/{path.name}" not in REFERENCE_FILES)
            found += [_Stray(path, f"reference/{path.name}", REFERENCE_FILES) for path in named]
        else:  # somebody's notes, unless they are called as a maker's files are
            named = (path for path in _yaml_in(folder) if f"{path.stem.lower()}.yaml" in MAKER_FILES)
            found += [_Stray(path, path.name, MAKER_FILES) for path in named]
    return found


def _strays_of_maker(folder: Path) -> Iterator[_Stray]:
    yield from (_Stray(path, path.name, MAKER_FILES) for path in _yaml_in(folder) if path.name not in MAKER_FILES)
    for below in _folders_in(folder):
        holds_entries = below.name in ENTRY_FOLDERS
        for path in _yaml_in(below, "**/*"):
            if not (holds_entries and path.parent == below and path.suffix == ".yaml"):
                homes = (below.name,) if holds_entries else ENTRY_FOLDERS
                called = path.relative_to(folder).as_posix()
                yield _Stray(path, called, tuple(f"{home}/{path.stem}.yaml" for home in homes))


def _folders_in(folder: Path) -> list[Path]:
    return sorted(path for path in folder.iterdir() if path.is_dir())


def _yaml_in(folder: Path, pattern: str = "*") -> list[Path]:
    listed = (path for path in folder.glob(pattern) if path.suffix.lower() in (".yaml", ".yml"))
    return sorted(path for path in listed if not path.name.startswith("."))
