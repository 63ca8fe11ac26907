"""Reading the YAML files into a KnowledgeBase, with every problem of a run collected and told in file order."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, RootModel

from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.references import check_cautions, check_common, check_folder
from hobmark.knowledge.root import CAUTIONS, COMMON_FILES, SHIPPED, maker_folders
from hobmark.knowledge.schema.entry import Id
from hobmark.knowledge.schema.looks import Assembly, Caution, Feature, Wording
from hobmark.knowledge.schema.observations import Specimen
from hobmark.knowledge.schema.rules import Rule
from hobmark.knowledge.schema.works import Family, Maker, Source, Trait
from hobmark.knowledge.written import Written
from hobmark.marked_yaml import read_marked, validated
from hobmark.problems import Problem, Refused

M = TypeVar("M", bound=BaseModel)


class AssemblyFile(RootModel[dict[Id, Assembly]]):
    """assemblies.yaml."""


class FeatureFile(RootModel[dict[Id, Feature]]):
    """features.yaml."""


class CautionFile(RootModel[dict[Id, Caution]]):
    """reference/cautions.yaml."""


class SourceFile(RootModel[dict[Id, Source]]):
    """sources.yaml."""


class ModelFile(RootModel[dict[Id, Family]]):
    """models.yaml."""


class TraitFile(RootModel[tuple[Trait, ...]]):
    """traits.yaml."""


class RuleFile(RootModel[tuple[Rule, ...]]):
    """rules.yaml."""


@dataclass(slots=True)
class _Reader:
    """Collects problems, and the entries' places for the cross-file checks."""

    problems: list[Problem] = field(default_factory=list)

    def read(self, model: type[M], path: Path, root: Path) -> Written[M] | None:
        shown = str(shown_path(path))
        try:
            node = read_marked(path, within=root)
            return Written(shown, node, validated(model, node, shown))
        except Refused as refused:
            self.problems.extend(replace(problem, path=shown) for problem in refused.problems)
            return None


def shown_path(path: Path) -> Path:
    """The path as a person would type it: relative to where they stand if it lies below."""
    try:
        return path.absolute().relative_to(Path.cwd())
    except (ValueError, OSError):
        return path


def read_base(roots: Sequence[Path]) -> KnowledgeBase:
    """Read one base from the folders `roots`, later ones adding to earlier ones.

    Raises Refused with every problem found, in file order.
    """
    reader = _Reader()
    wording: Written[Wording] | None = None
    assemblies: list[Written[AssemblyFile]] = []
    features: list[Written[FeatureFile]] = []
    cautions: list[Written[CautionFile]] = []
    folders: list[tuple[Path, Path]] = []
    for root in roots:
        if not root.is_dir():
            reader.problems.append(
                Problem(str(root), 1, 1, "there is no such folder.", "Give the folder of a knowledge base.")
            )
            continue
        for path in _named(root, "wording.yaml"):
            wording = reader.read(Wording, path, root) or wording
        assemblies += _present(reader.read(AssemblyFile, path, root) for path in _named(root, "assemblies.yaml"))
        features += _present(reader.read(FeatureFile, path, root) for path in _named(root, "features.yaml"))
        cautions += _present(reader.read(CautionFile, path, root) for path in _named(root, CAUTIONS))
        folders += [(root, folder) for folder in maker_folders(root)]
    if reader.problems:
        for root, folder_path in folders:
            _read_folder(reader, root, folder_path, None)
        raise Refused(_in_order(reader.problems))
    if wording is None or not assemblies or not features:
        first = str(roots[0]) if roots else "."
        remedy = f"Add them, or name the base that comes with hobmark first: --knowledge {SHIPPED}."
        raise Refused((Problem(first, 1, 1, f"there is no {', '.join(COMMON_FILES)} here.", remedy),))
    base = KnowledgeBase(
        wording=wording.entry,
        assemblies=_merged(assemblies, reader.problems),
        features=_merged(features, reader.problems),
        makers={},
        cautions=_merged(cautions, reader.problems),
    )
    for written in features:
        reader.problems += check_common(written, base)
    for known in cautions:
        reader.problems += check_cautions(known, base)
    makers: dict[str, MakerFolder] = {}
    for root, folder_path in folders:
        read = _read_folder(reader, root, folder_path, base)
        if read is None:
            continue
        maker, folder = read
        if folder.maker.id in makers:
            message = f"the maker '{folder.maker.id}' is read already."
            reader.problems.append(maker.problem(("id",), message, "Name its folder once."))
        makers[folder.maker.id] = folder
    if not makers and not reader.problems:
        reader.problems.append(
            Problem(str(roots[0]), 1, 1, "there is no maker here.", "Add a folder with a maker.yaml.")
        )
    if reader.problems:
        raise Refused(_in_order(reader.problems))
    return base.with_makers(makers)


def _read_folder(
    reader: _Reader, root: Path, folder: Path, base: KnowledgeBase | None
) -> tuple[Written[Maker], MakerFolder] | None:
    """One maker's folder; without a base its files are read for their own mistakes only."""
    count = len(reader.problems)
    maker = reader.read(Maker, folder / "maker.yaml", root)
    sources = _optional(reader, SourceFile, folder / "sources.yaml", root)
    models = reader.read(ModelFile, folder / "models.yaml", root)
    traits = _optional(reader, TraitFile, folder / "traits.yaml", root)
    rules = _optional(reader, RuleFile, folder / "rules.yaml", root)
    paths = sorted((folder / "specimens").glob("*.yaml"), key=os.fspath)
    specimens = _present(reader.read(Specimen, path, root) for path in paths)
    if base is None or maker is None or models is None or len(reader.problems) > count:
        return None
    read = MakerFolder(
        maker=maker.entry,
        sources=sources.entry.root if sources else {},
        families=models.entry.root,
        traits=traits.entry.root if traits else (),
        rules=rules.entry.root if rules else (),
        specimens=tuple(written.entry for written in specimens),
    )
    reader.problems += check_folder(read, base, models, traits, rules, specimens)
    return maker, read


def _optional(reader: _Reader, model: type[M], path: Path, root: Path) -> Written[M] | None:
    return reader.read(model, path, root) if os.path.lexists(path) else None


def _named(root: Path, name: str) -> list[Path]:
    # A link that leads nowhere stands there too, and is told rather than passed over.
    return [root / name] if os.path.lexists(root / name) else []


def _present(read: Iterable[Written[M] | None]) -> list[Written[M]]:
    return [written for written in read if written is not None]


def _merged(files: Sequence[Written[RootModel[dict[str, M]]]], problems: list[Problem]) -> dict[str, M]:
    merged: dict[str, M] = {}
    for written in files:
        for name, entry in written.entry.root.items():
            if name in merged:
                message = f"duplicate id '{name}', used in an earlier folder."
                problems.append(written.problem((name, "[key]"), message, "Choose a new one."))
            merged[name] = entry
    return merged


def _in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    return tuple(_once(sorted(problems)))


def _once(problems: Iterable[Problem]) -> Iterator[Problem]:
    return iter(dict.fromkeys(problems))
