"""What a curator should know of a base that reads: counts, advice on statements, and entries that carry no weight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hobmark.case import Case
from hobmark.curating.cases import case_paths, read_kept
from hobmark.curating.idle import Progress, Removal, removals
from hobmark.dating.serial_words import contradiction
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.root import maker_folders, shown_path
from hobmark.knowledge.schema.works import Trait
from hobmark.knowledge.vocabulary import Access, HowOften
from hobmark.marked_yaml import Node, plain, read_marked
from hobmark.problems import Problem, Refused, one_of, shown
from hobmark.reasoning.cells import variant_years
from hobmark.reasoning.examination import Compiled
from hobmark.reasoning.factory import specimen_years
from hobmark.reasoning.statements import applies_in, level_of
from hobmark.reports.curating import CheckReport, Counts, NeverTried, Weightless

ENOUGH_DECIBANS = 1.0
"""What taking an entry away must move somewhere, or it is filler."""
ENOUGH_RANGES = 400
"""Simulated ranges below which what was seldom made is hardly tried."""
MOST_LISTED = 6
"""Statements that one line of advice names."""
MOST_SILENT = 1 / 3
"""Share of the features seen at once, and spoken of by other makers, that a maker's statements may leave out."""
TOO_MUCH = 1.05
"""Words of one level about one feature, cell by cell, may add up to this before they say more than all."""


@dataclass(frozen=True, slots=True)
class Trial:
    """How to try what each entry moves: on how many simulated ranges, of which seed, and of one maker or all."""

    ranges: int = ENOUGH_RANGES
    seed: int = 1
    maker: str | None = None
    progress: Progress | None = None


def checked(compiled: Compiled, roots: Sequence[Path], trial: Trial | None = None) -> CheckReport:
    """The report on the base that `roots` hold; with a trial every entry is also taken away in its turn.

    Raises Refused with every problem of the kept cases, which are read too, and for a maker that is not in the base.
    """
    base = compiled.base
    cases = [kept.case for kept in read_kept(base, case_paths(roots))]
    found = _tried(compiled, cases, trial) if trial is not None else []
    light = [removal for removal in found if removal.decibans < ENOUGH_DECIBANS]
    return CheckReport(
        features=len(base.features),
        assemblies=len(base.assemblies),
        makers=[_counts(maker, folder) for maker, folder in base.makers.items()],
        cases=len(cases),
        advice=[line for folder in base.makers.values() for line in _advice(base, folder, roots)],
        tried=sum(removal.tried for removal in found),
        idle=[Weightless(kind=r.kind, id=r.id, decibans=r.decibans) for r in light if r.tried],
        never_tried=[NeverTried(kind=r.kind, id=r.id) for r in light if not r.tried],
        hints=_hints(trial),
    )


def _tried(compiled: Compiled, cases: Sequence[Case], trial: Trial) -> list[Removal]:
    makers = compiled.base.makers
    if trial.maker is not None and trial.maker not in makers:
        message = f"unknown maker '{shown(trial.maker)}'."
        raise Refused([Problem("hobmark", 1, 1, message, one_of(trial.maker, makers))])
    how = {"ranges": trial.ranges, "seed": trial.seed}
    return removals(compiled, cases, **how, enough=ENOUGH_DECIBANS, maker=trial.maker, progress=trial.progress)


def _hints(trial: Trial | None) -> list[str]:
    if trial is None or trial.ranges >= ENOUGH_RANGES:
        return []
    return [
        f"{trial.ranges} simulated ranges show few of what was seldom made. Before you take an entry away, try it on "
        f"{ENOUGH_RANGES} or more: --ranges {ENOUGH_RANGES}."
    ]


def _counts(maker: str, folder: MakerFolder) -> Counts:
    return Counts(
        maker=maker,
        variants=len(folder.variants),
        traits=len(folder.acting_traits),
        runs=sum(bool(trait.run) for trait in folder.acting_traits),
        rules=len(folder.acting_rules),
        specimens=len(folder.specimens),
        parts=len(folder.acting_parts),
        fit_rules=len(folder.acting_fit_rules),
    )


def _advice(base: KnowledgeBase, folder: MakerFolder, roots: Sequence[Path]) -> Iterator[str]:
    yield from _says_too_much(base, folder)
    for specimen in folder.specimens:
        if specimen.known.variant in folder.variants:
            years, _ = variant_years(folder.variants[specimen.known.variant], folder.maker.life)
            if specimen_years(specimen, years).sum() == 0:
                made = specimen.known.made
                yield f"{specimen.id}: made {made}, when no {specimen.known.variant} was: it counts for nothing."
    yield from _says_twice(folder, roots)
    yield from _dates_against(folder, roots)
    yield from _says_too_little(base, folder)


def _says_twice(folder: MakerFolder, roots: Sequence[Path]) -> Iterator[str]:
    """Statements on features that the maker's rules test too, with where each stands."""
    features = sorted(folder.tested_features & folder.stated_features - folder.concluded_features)
    lines = _lines_of(folder.maker.id, "traits.yaml", roots) if features else {}
    for feature in features:
        about = [trait.id for trait in folder.acting_traits if trait.feature == feature]
        listed = ", ".join(f"{name} ({lines[name]})" if name in lines else name for name in about[:MOST_LISTED])
        more = f" and {len(about) - MOST_LISTED} more" if len(about) > MOST_LISTED else ""
        yield (
            f"{feature}: rules test it and statements speak of it, so a rule from it alone is not weighed. "
            f"Keep one of them; the statements are {listed}{more}."
        )


def _dates_against(folder: MakerFolder, roots: Sequence[Path]) -> Iterator[str]:
    """Dated serial numbers that cannot both be right, with where their block stands."""
    against = [(block, pair) for block in folder.serials for pair in block.untold]
    lines = _lines_of(folder.maker.id, "serials.yaml", roots) if against else {}
    for block, (low, high) in against:
        yield (
            f"{block.id} ({lines.get(block.id, folder.maker.id)}): "
            f"{contradiction(block.anchors[low], block.anchors[high])}. Both count, and widen what is read near them. "
            "If you know of it, write 'against' in one, with the other's number."
        )


def _lines_of(maker: str, name: str, roots: Sequence[Path]) -> dict[str, str]:
    """Entry id -> file and line, of one list in the maker's folder; a base from the cache knows no places."""
    for folder in (folder for root in roots for folder in maker_folders(root)):
        try:
            about = plain(read_marked(folder / "maker.yaml"))
            if isinstance(about, dict) and about.get("id") == maker:
                entries, path = read_marked(folder / name).value, shown_path(folder / name)
                fields = [(entry.line, plain(entry)) for entry in entries if isinstance(entry, Node)]
                return {str(each["id"]): f"{path}:{line}" for line, each in fields if isinstance(each, dict)}
        except Refused:
            continue
    return {}


def _says_too_little(base: KnowledgeBase, folder: MakerFolder) -> Iterator[str]:
    """A maker of whom little is said fits everything a little, and draws ranges of makers that are not listed."""
    others = {f for other in base.makers.values() if other is not folder for f in other.stated_features}
    seen_at_once = {f for f in others if base.features[f].access in (Access.PHOTO, Access.GLANCE)}
    silent = sorted(seen_at_once - folder.stated_features)
    if len(silent) > MOST_SILENT * len(seen_at_once):
        yield (
            f"{folder.maker.id}: nothing is said of {len(silent)} of the {len(seen_at_once)} features that are seen at "
            f"once and that others speak of, so it will draw ranges of makers you do not list. Say what it used, or "
            f"what it never did: {', '.join(silent[:6])}."
        )


def _says_too_much(base: KnowledgeBase, folder: MakerFolder) -> Iterator[str]:
    """Statements of one level that together name the values of a cell more than once over."""
    by_feature: dict[str, list[Trait]] = {}
    for trait in folder.acting_traits:
        if not trait.run:
            by_feature.setdefault(trait.feature, []).append(trait)
    told: set[tuple[str, ...]] = set()
    for traits in by_feature.values():
        for variant in folder.variants:
            for level in (0, 1, 2):
                here = [t for t in traits if level_of(t, variant, folder.family_of[variant]) == level]
                ids = tuple(t.id for t in here)
                if len(here) > 1 and ids not in told and _overfull(base, folder, variant, here):
                    told.add(ids)
                    yield (
                        f"{', '.join(ids)}: together they say more than all of {variant}. "
                        "Make one 'against' the other, or part them by 'made'."
                    )


def _overfull(base: KnowledgeBase, folder: MakerFolder, variant: str, traits: Sequence[Trait]) -> bool:
    ids = {trait.id for trait in traits}
    if any(ids & set(trait.against) for trait in traits):
        return False
    years, _ = variant_years(folder.variants[variant], folder.maker.life)
    total = np.zeros(len(years))
    for trait in traits:
        applies = applies_in(trait.made, years)
        words = list(trait.values.values()) or [trait.how or HowOften.ALWAYS]
        total += applies * sum(base.wording.often[how] for how in words)
    return bool((total > TOO_MUCH).any())
