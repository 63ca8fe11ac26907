"""Reading the YAML files into a KnowledgeBase, with every problem of a run collected and told in file order."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Annotated, TypeVar

from pydantic import BaseModel, BeforeValidator, RootModel

from hobmark.knowledge.base import KnowledgeBase, MakerFolder, StoredCommonShelf, StoredMakerShelf
from hobmark.knowledge.bench_tables import BenchFiles, Reads, SetupFile, bench_of, check_bench, check_setup
from hobmark.knowledge.dating_tables import DatingFile, PatentFile, tables_of
from hobmark.knowledge.numbering import check_numbers
from hobmark.knowledge.references import check_cautions, check_common, check_folder, check_serials
from hobmark.knowledge.root import (
    CAUTIONS,
    COMMON_FILES,
    DATING_FILES,
    PART_KINDS,
    SHIPPED,
    US_PATENTS,
    maker_folders,
    must_hold_knowledge,
    shown_path,
    stray_files,
)
from hobmark.knowledge.schema.entry import Id
from hobmark.knowledge.schema.fit_rules import FitRule
from hobmark.knowledge.schema.looks import Assembly, Caution, Feature, Wording
from hobmark.knowledge.schema.observations import Specimen
from hobmark.knowledge.schema.parts import Part, PartKind
from hobmark.knowledge.schema.rules import Rule
from hobmark.knowledge.schema.serials import SerialFormat
from hobmark.knowledge.schema.shelf import CommonShelf, MakerShelf
from hobmark.knowledge.schema.works import Family, Maker, Source, Trait
from hobmark.knowledge.stores import check_fit_rules, check_kinds, check_parts
from hobmark.knowledge.written import Written
from hobmark.marked_yaml import Node, read_marked, validated
from hobmark.problems import Problem, Refused

M = TypeVar("M", bound=BaseModel)


class AssemblyFile(RootModel[dict[Id, Assembly]]):
    """assemblies.yaml."""


class FeatureFile(RootModel[dict[Id, Feature]]):
    """features.yaml."""


class CautionFile(RootModel[dict[Id, Caution]]):
    """reference/cautions.yaml."""


class PartKindFile(RootModel[dict[Id, PartKind]]):
    """reference/part_kinds.yaml."""


class SourceFile(RootModel[dict[Id, Source]]):
    """sources.yaml."""


class ModelFile(RootModel[dict[Id, Family]]):
    """models.yaml."""


def _none_yet(entries: object) -> object:
    return () if entries == {} else entries


class TraitFile(RootModel[Annotated[tuple[Trait, ...], BeforeValidator(_none_yet)]]):
    """traits.yaml; where nothing is written yet, no statement."""


class RuleFile(RootModel[Annotated[tuple[Rule, ...], BeforeValidator(_none_yet)]]):
    """rules.yaml; where nothing is written yet, no rule."""


class SerialFile(RootModel[Annotated[tuple[SerialFormat, ...], BeforeValidator(_none_yet)]]):
    """serials.yaml; where nothing is written yet, no numbers."""


class PartFile(RootModel[Annotated[tuple[Part, ...], BeforeValidator(_none_yet)]]):
    """parts.yaml; where nothing is written yet, no part."""


class FitRuleFile(RootModel[Annotated[tuple[FitRule, ...], BeforeValidator(_none_yet)]]):
    """fit_rules.yaml; where nothing is written yet, no rule."""


@dataclass(slots=True)
class _Reader:
    """Collects problems, and the entries' places for the cross-file checks."""

    problems: list[Problem] = field(default_factory=list)

    def read(self, model: type[M], path: Path, root: Path, *, partly: bool = False) -> Written[M] | None:
        """The file, or None where it is refused; `partly`: its sound entries, where only some are."""
        shown = str(shown_path(path))
        node: Node | None = None
        try:
            node = read_marked(path, within=root)
            return Written(shown, node, validated(model, node, shown), _names(node))
        except Refused as refused:
            self.problems.extend(replace(problem, path=shown) for problem in refused.problems)
        if node is None or not partly or isinstance(node.value, str):
            return None
        sound = _sound(model, node)
        try:
            return Written(shown, sound, validated(model, sound, shown), _names(node))
        except Refused:  # it is no list of entries at all
            return None

    def read_named(self, root: Path) -> Reads:
        """Reads the files of a name in one folder: one, or none."""

        def read(model: type[M], name: str) -> list[Written[M]]:
            return _present(self.read(model, path, root) for path in _named(root, name))

        return read


def _sound(model: type[BaseModel], node: Node) -> Node:
    """A file's list or table with those of its entries that hold by themselves."""

    def holds(value: tuple[Node, ...] | Mapping[str, Node]) -> bool:
        try:
            validated(model, node._replace(value=value), "")
        except Refused:
            return False
        return True

    if isinstance(node.value, tuple):
        return node._replace(value=tuple(entry for entry in node.value if holds((entry,))))
    if isinstance(node.value, Mapping):
        return node._replace(value={name: entry for name, entry in node.value.items() if holds({name: entry})})
    return node


def _names(node: Node) -> frozenset[str]:
    """The ids that a file gives to its entries, and to the variants in them."""
    if isinstance(node.value, tuple):
        fields = [entry.value for entry in node.value if isinstance(entry.value, Mapping)]
        ids = [entry["id"].value for entry in fields if "id" in entry]
        return frozenset(each for each in ids if isinstance(each, str))
    if not isinstance(node.value, Mapping):
        return frozenset()
    inner = [entry.value.get("variants") for entry in node.value.values() if isinstance(entry.value, Mapping)]
    variants = [each.value for each in inner if each is not None and isinstance(each.value, Mapping)]
    return frozenset(node.value).union(*variants)


def read_base(roots: Sequence[Path]) -> KnowledgeBase:
    """Read one base from the folders `roots`, later ones adding to earlier ones.

    Raises Refused with every problem found, in file order.
    """
    must_hold_knowledge(roots)
    reader = _Reader()
    wording: Written[Wording] | None = None
    assemblies: list[Written[AssemblyFile]] = []
    features: list[Written[FeatureFile]] = []
    cautions: list[Written[CautionFile]] = []
    kinds: list[Written[PartKindFile]] = []
    patents: list[Written[PatentFile]] = []
    dating: list[Written[DatingFile]] = []
    bench = BenchFiles([], [], [], [], [], [])
    folders: list[tuple[Path, Path]] = []
    for root in roots:
        reader.problems += stray_files(root)
        for path in _named(root, "wording.yaml"):
            wording = reader.read(Wording, path, root) or wording
        assemblies += _present(reader.read(AssemblyFile, path, root) for path in _named(root, "assemblies.yaml"))
        features += _present(reader.read(FeatureFile, path, root) for path in _named(root, "features.yaml"))
        cautions += _present(reader.read(CautionFile, path, root) for path in _named(root, CAUTIONS))
        kinds += _present(reader.read(PartKindFile, path, root) for path in _named(root, PART_KINDS))
        patents += _present(reader.read(PatentFile, path, root) for path in _named(root, US_PATENTS))
        dating += _present(reader.read(DatingFile, path, root) for name in DATING_FILES for path in _named(root, name))
        bench.read(reader.read_named(root))
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
        dating=tables_of(patents, dating, reader.problems),
        shelf=StoredCommonShelf(
            CommonShelf(kinds=_merged(kinds, reader.problems), bench=bench_of(bench, reader.problems))
        ),
    )
    for written in features:
        reader.problems += check_common(written, base)
    for known in cautions:
        reader.problems += check_cautions(known, base)
    for each in kinds:
        reader.problems += check_kinds(each, base)
    reader.problems += check_bench(bench, base)
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
    maker = reader.read(Maker, folder / "maker.yaml", root)
    sources = _optional(reader, SourceFile, folder / "sources.yaml", root)
    models = reader.read(ModelFile, folder / "models.yaml", root, partly=True)
    traits = _optional(reader, TraitFile, folder / "traits.yaml", root)
    rules = _optional(reader, RuleFile, folder / "rules.yaml", root)
    serials = _optional(reader, SerialFile, folder / "serials.yaml", root)
    parts = _optional(reader, PartFile, folder / "parts.yaml", root)
    fit_rules = _optional(reader, FitRuleFile, folder / "fit_rules.yaml", root)
    setup = _optional(reader, SetupFile, folder / "setup.yaml", root)
    paths = sorted((folder / "specimens").glob("*.yaml"), key=os.fspath)
    specimens = _present(reader.read(Specimen, path, root) for path in paths)
    unread = sources is None and os.path.lexists(folder / "sources.yaml")
    if base is None or maker is None or models is None or unread:
        return None
    read = MakerFolder(
        maker=maker.entry,
        sources=sources.entry.root if sources else {},
        families=models.entry.root,
        traits=traits.entry.root if traits else (),
        rules=rules.entry.root if rules else (),
        serials=serials.entry.root if serials else (),
        specimens=tuple(written.entry for written in specimens),
        shelf=StoredMakerShelf(
            MakerShelf(
                parts=parts.entry.root if parts else (),
                fit_rules=fit_rules.entry.root if fit_rules else (),
                setup=setup.entry.root if setup else (),
            )
        ),
    )
    citable = {path.stem for path in paths}.union(sources.names if sources else ())
    reader.problems += check_folder(read, base, models, traits, rules, specimens, citable)
    named = {*read.families, *read.variants, *models.names}
    if setup is not None:
        reader.problems += check_setup(setup, named, base, citable)
    if serials is not None:
        reader.problems += [*check_serials(serials, named, base, citable), *check_numbers(serials, read.maker.life)]
    if parts is not None:
        reader.problems += check_parts(parts, read, base, named, citable)
    if fit_rules is not None:
        reader.problems += check_fit_rules(fit_rules, parts, base, named, citable)
    return maker, read


def _optional(reader: _Reader, model: type[M], path: Path, root: Path) -> Written[M] | None:
    return reader.read(model, path, root, partly=True) if os.path.lexists(path) else None


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
