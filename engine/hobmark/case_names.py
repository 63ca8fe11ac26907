"""The names in a case held against a base: what it does not know, and what contradicts itself."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING, NamedTuple

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.problems import did_you_mean, listed, shown

if TYPE_CHECKING:
    from hobmark.case import Case, Claims, Expected

Loc = tuple[str | int, ...]
"""The way to a place in a case: field names and places in lists."""
LIKE = 0.75
"""How like a name must be to one that is set aside to be suggested, as difflib measures it."""


class Strange(NamedTuple):
    """A name that a base does not know: where it stands, what it is the name of, and what there is of that kind."""

    loc: Loc
    kind: str
    name: str
    known: Collection[str]


def is_strange(seen: Observation, base: KnowledgeBase) -> bool:
    """Whether somebody looked at what the base does not know."""
    return seen.feature is not None and seen.feature not in base.features


def strange_names(case: Case, base: KnowledgeBase) -> Iterator[Strange]:
    """Features, variants and makers in a case that the base has not."""
    for place, seen in enumerate(case.observations):
        if seen.feature is not None and is_strange(seen, base):
            yield Strange(("observations", place, "feature"), "feature", seen.feature, base.features)
    yield from _strange_variants(case, base)


def _strange_variants(case: Case, base: KnowledgeBase) -> Iterator[Strange]:
    named: list[tuple[Loc, str | None]] = [(("not", place), name) for place, name in enumerate(case.not_)]
    for loc, name in (*named, (("claims", "variant"), case.claims.variant)):
        if name is not None and name not in base.variant_keys:
            yield Strange(loc, "variant", name, base.variant_keys)
    if case.claims.maker is not None and case.claims.maker not in base.makers:
        yield Strange(("claims", "maker"), "maker", case.claims.maker, base.makers)


def aside_words(strange: Strange) -> tuple[str, str]:
    """What is told of a name that is set aside; another is suggested only where it must be meant."""
    name = strange.name.rpartition("/")[2]  # two variants of a maker are not alike by the maker's name
    said = did_you_mean(name, [each for each in strange.known if "/" not in each], LIKE)
    return f"unknown {strange.kind} '{shown(strange.name)}'.", f"Set aside; it stays in the file.{said}"


def _refused_words(strange: Strange) -> tuple[str, str]:
    otherwise = "Write it as maker/variant." if strange.kind == "variant" else f"Use one of {listed(strange.known)}."
    said = did_you_mean(strange.name, strange.known).strip() or otherwise
    return f"unknown {strange.kind} '{shown(strange.name)}'.", said


def name_faults(case: Case, base: KnowledgeBase) -> Iterator[tuple[Loc, str, str]]:
    """Names in a case that the base has not, or that contradict each other: (place, what is wrong, what to do)."""
    for each in _strange_variants(case, base):
        yield each.loc, *_refused_words(each)
    for part, said in (("claims", case.claims), ("expect", case.expect)):
        if said is not None:
            yield from _contradiction(part, said, base)
    if case.expect is not None:
        maker, variant = case.expect.maker, case.expect.variant
        if variant is not None and variant not in base.variant_keys:
            loc: Loc = ("expect", "variant")
            yield loc, *_refused_words(Strange(loc, "variant", variant, base.variant_keys))
        if maker is not None and maker not in base.makers:
            loc = ("expect", "maker")
            yield loc, *_refused_words(Strange(loc, "maker", maker, base.makers))
        assemblies: list[tuple[Loc, str]] = [
            *((("not_its_own", place), assembly) for place, assembly in enumerate(case.expect.not_its_own)),
            *((("originality", assembly, "[key]"), assembly) for assembly in case.expect.originality),
        ]
        for loc, assembly in assemblies:
            if assembly not in base.assemblies:
                remedy = did_you_mean(assembly, base.assemblies).strip() or f"Use one of {listed(base.assemblies)}."
                yield ("expect", *loc), f"unknown assembly '{assembly}'.", remedy
        for part_name in case.expect.fit:
            if part_name not in base.part_keys:
                remedy = did_you_mean(part_name, base.part_keys).strip() or "Write the id of a part, as in parts.yaml."
                yield ("expect", "fit", part_name, "[key]"), f"unknown part '{shown(part_name)}'.", remedy
    if case.bench != BenchRecord():
        from hobmark.knowledge.record_names import record_faults  # drills and symptoms, for those who have a record

        yield from record_faults(case.bench, base)
    if case.measures or case.numbers:
        from hobmark.knowledge.stores import bench_faults  # parts are typed for those who ask for them

        yield from bench_faults(case.measures, case.numbers, base)


def _contradiction(part: str, said: Claims | Expected, base: KnowledgeBase) -> Iterator[tuple[Loc, str, str]]:
    """A maker beside a variant that another maker made; each known, as an unknown one is told by itself."""
    if said.maker in base.makers and said.variant in base.variant_keys:
        maker, _ = base.variant_keys[said.variant]
        if said.maker != maker:
            amiss = f"'{said.maker}' did not make the variant '{said.variant}'; '{maker}' did."
            yield (part, "maker"), amiss, "Delete the maker, or name a variant of its own."
