"""Reading the YAML files into a KnowledgeBase, with every problem of a run collected and told in file order."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, RootModel

from hobmark.knowledge.base import KnowledgeBase, MakerFolder, StoredCommonShelf, StoredMakerShelf
from hobmark.knowledge.bench_tables import BenchFiles, SetupFile, bench_of, check_bench, check_setup
from hobmark.knowledge.collecting import Reader, named, optional, present
from hobmark.knowledge.dating_tables import DatingFile, PatentFile, tables_of
from hobmark.knowledge.file_models import (
    AssemblyFile,
    CautionFile,
    FeatureFile,
    FitRuleFile,
    ModelFile,
    PartFile,
    PartKindFile,
    RuleFile,
    SerialFile,
    SourceFile,
    TraitFile,
)
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
    stray_files,
)
from hobmark.knowledge.schema.looks import Wording
from hobmark.knowledge.schema.observations import Specimen
from hobmark.knowledge.schema.shelf import CommonShelf, MakerShelf
from hobmark.knowledge.schema.works import Maker
from hobmark.knowledge.stores import check_fit_rules, check_kinds, check_parts
from hobmark.knowledge.written import Written
from hobmark.problems import Problem, Refused

M = TypeVar("M", bound=BaseModel)


def read_base(roots: Sequence[Path]) -> KnowledgeBase:
    """Read one base from the folders `roots`, later ones adding to earlier ones.

    Raises Refused with every problem found, in file order.
    """
    must_hold_knowledge(roots)
    reader = Reader()
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
        for path in named(root, "wording.yaml"):
            wording = reader.read(Wording, path, root) or wording
        assemblies += present(reader.read(AssemblyFile, path, root) for path in named(root, "assemblies.yaml"))
        features += present(reader.read(FeatureFile, path, root) for path in named(root, "features.yaml"))
        cautions += present(reader.read(CautionFile, path, root) for path in named(root, CAUTIONS))
        kinds += present(reader.read(PartKindFile, path, root) for path in named(root, PART_KINDS))
        patents += present(reader.read(PatentFile, path, root) for path in named(root, US_PATENTS))
        dating += present(reader.read(DatingFile, path, root) for name in DATING_FILES for path in named(root, name))
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
    reader: Reader, root: Path, folder: Path, base: KnowledgeBase | None
) -> tuple[Written[Maker], MakerFolder] | None:
    """One maker's folder; without a base its files are read for their own mistakes only."""
    maker = reader.read(Maker, folder / "maker.yaml", root)
    sources = optional(reader, SourceFile, folder / "sources.yaml", root)
    models = reader.read(ModelFile, folder / "models.yaml", root, partly=True)
    traits = optional(reader, TraitFile, folder / "traits.yaml", root)
    rules = optional(reader, RuleFile, folder / "rules.yaml", root)
    serials = optional(reader, SerialFile, folder / "serials.yaml", root)
    parts = optional(reader, PartFile, folder / "parts.yaml", root)
    fit_rules = optional(reader, FitRuleFile, folder / "fit_rules.yaml", root)
    setup = optional(reader, SetupFile, folder / "setup.yaml", root)
    paths = sorted((folder / "specimens").glob("*.yaml"), key=os.fspath)
    specimens = present(reader.read(Specimen, path, root) for path in paths)
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
