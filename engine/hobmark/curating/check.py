"""What a curator should know of a base that reads: counts, advice on statements, and entries that carry no weight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from hobmark.case import read_case
from hobmark.curating.idle import Removal, removals
from hobmark.dates import read_ends, share_of_years
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.works import Trait
from hobmark.knowledge.vocabulary import Access, HowOften
from hobmark.reasoning.cells import variant_years
from hobmark.reasoning.examination import Compiled
from hobmark.reasoning.factory import specimen_years
from hobmark.reasoning.statements import level_of
from hobmark.reports.curating import CheckReport, Counts, Weightless

ENOUGH_DECIBANS = 1.0
"""What taking an entry away must move somewhere, or it is filler."""
MOST_SILENT = 1 / 3
"""Share of the features seen at once, and spoken of by other makers, that a maker's statements may leave out."""
TOO_MUCH = 1.05
"""Words of one level about one feature, cell by cell, may add up to this before they say more than all."""


def checked(compiled: Compiled, case_files: Sequence[Path] | None, *, ranges: int = 400, seed: int = 1) -> CheckReport:
    """The report on a base; with `case_files` every entry is also taken away in its turn."""
    base = compiled.base
    found: list[Removal] = []
    if case_files is not None:
        cases = [read_case(path, base).case for path in case_files]
        found = removals(compiled, cases, ranges=ranges, seed=seed, enough=ENOUGH_DECIBANS)
    idle = [Weightless(kind=r.kind, id=r.id, decibans=r.decibans) for r in found if r.decibans < ENOUGH_DECIBANS]
    return CheckReport(
        features=len(base.features),
        assemblies=len(base.assemblies),
        makers=[_counts(maker, folder) for maker, folder in base.makers.items()],
        advice=[line for folder in base.makers.values() for line in _advice(base, folder)],
        tried=len(found),
        idle=idle,
    )


def _counts(maker: str, folder: MakerFolder) -> Counts:
    return Counts(
        maker=maker,
        variants=len(folder.variants),
        traits=len(folder.acting_traits),
        runs=sum(bool(trait.run) for trait in folder.acting_traits),
        rules=len(folder.acting_rules),
        specimens=len(folder.specimens),
    )


def _advice(base: KnowledgeBase, folder: MakerFolder) -> Iterator[str]:
    yield from _says_too_much(base, folder)
    for specimen in folder.specimens:
        if specimen.known.variant in folder.variants:
            years, _ = variant_years(folder.variants[specimen.known.variant], folder.maker.life)
            if specimen_years(specimen, years).sum() == 0:
                made = specimen.known.made
                yield f"{specimen.id}: made {made}, when no {specimen.known.variant} was: it counts for nothing."
    for feature in sorted(folder.tested_features & folder.stated_features - folder.concluded_features):
        yield f"{feature}: rules and statements both speak of it; a rule from it alone is not weighed."
    yield from _says_too_little(base, folder)


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
        applies = (
            share_of_years(*read_ends(trait.made), years) >= 0.5 if trait.made else np.ones(len(years), dtype=bool)
        )
        words = list(trait.values.values()) or [trait.how or HowOften.ALWAYS]
        total += applies * sum(base.wording.often[how] for how in words)
    return bool((total > TOO_MUCH).any())
