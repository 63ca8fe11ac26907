"""Checks across files: every name used is a name that stands somewhere, and ids are used once."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from pathlib import PurePath

import numpy as np
from pydantic import RootModel

from hobmark.dates import read_span
from hobmark.knowledge.base import EVERY_VARIANT, KnowledgeBase, MakerFolder
from hobmark.knowledge.limits import (
    check_changes,
    check_rivals,
    check_ruled_out,
    check_same_feature,
    check_years,
)
from hobmark.knowledge.names import (
    Loc,
    duplicate_ids,
    feature_values,
    sources_cited,
    unknown_name,
    unknown_value,
    variants_named,
)
from hobmark.knowledge.schema.looks import Caution, Feature
from hobmark.knowledge.schema.observations import MM_PER_INCH, Observation, Specimen, read_length
from hobmark.knowledge.schema.rules import AnyOf, BoundConclusion, FeatureConclusion, Rule
from hobmark.knowledge.schema.serials import SerialFormat
from hobmark.knowledge.schema.works import Family, Trait, Variant
from hobmark.knowledge.written import Written
from hobmark.problems import Problem, shown

SHORTEST, LONGEST = 1.0, 3000.0
"""What is measured on a range is between these, in mm, unless its bands part what is thinner."""


def check_common(features: Written[RootModel[dict[str, Feature]]], base: KnowledgeBase) -> Iterator[Problem]:
    """Features name assemblies, and need features and values, that exist; no feature needs itself in a circle."""
    for name, feature in features.entry.root.items():
        for assembly, loc in ((feature.assembly, "assembly"), (feature.traces_on, "traces_on")):
            if assembly is not None and assembly not in base.assemblies:
                yield unknown_name(features, (name, loc), "assembly", assembly, base.assemblies)
        for needed, values in feature.needs.items():
            yield from feature_values(features, (name, "needs", needed), needed, values, base, key=True)
        if _needs_itself(name, base):
            yield features.problem((name, "needs"), f"'{name}' needs itself in a circle.", "Break the circle.")


def check_cautions(cautions: Written[RootModel[dict[str, Caution]]], base: KnowledgeBase) -> Iterator[Problem]:
    """Cautions are called for by features and values that exist."""
    for name, caution in cautions.entry.root.items():
        for feature, values in caution.when.items():
            yield from feature_values(cautions, (name, "when", feature), feature, values, base, key=True)


def _needs_itself(name: str, base: KnowledgeBase) -> bool:
    seen: set[str] = set()
    waiting = list(base.features[name].needs)
    while waiting:
        needed = waiting.pop()
        if needed == name:
            return True
        if needed not in seen and needed in base.features:
            seen.add(needed)
            waiting += base.features[needed].needs
    return False


def check_folder(
    folder: MakerFolder,
    base: KnowledgeBase,
    models: Written[RootModel[dict[str, Family]]],
    traits: Written[RootModel[tuple[Trait, ...]]] | None,
    rules: Written[RootModel[tuple[Rule, ...]]] | None,
    specimens: Sequence[Written[Specimen]],
    citable: Collection[str],
) -> list[Problem]:
    """All cross-file problems of one maker's folder; `citable` are the sources and specimens that stand in it."""
    problems = list(_check_models(models, folder, citable))
    named = {*folder.families, *folder.variants, *models.names}
    if traits is not None:
        problems += _check_traits(traits, named, base, citable)
        problems += [*check_changes(traits, folder), *check_rivals(traits, folder)]
        problems += [*check_years(traits, folder), *check_same_feature(traits)]
    if rules is not None:
        problems += _check_rules(rules, named, base, citable)
        problems += check_ruled_out(rules)
    for written in specimens:
        problems += _check_specimen(written, folder, named - set(folder.families), base)
    return problems


def _check_models(
    models: Written[RootModel[dict[str, Family]]], folder: MakerFolder, citable: Collection[str]
) -> Iterator[Problem]:
    first: dict[str, str] = {EVERY_VARIANT: "the word for every variant"} | dict.fromkeys(models.entry.root, "a family")
    for fid, family in models.entry.root.items():
        if fid == EVERY_VARIANT:
            message = f"a family cannot be called '{fid}', the word for every variant."
            yield models.problem((fid, "[key]"), message, "Choose another id.")
        for vid, variant in family.variants.items():
            loc: Loc = (fid, "variants", vid)
            if vid in first:
                message = f"duplicate id '{vid}', which is {first[vid]}."
                yield models.problem((*loc, "[key]"), message, "Choose a new one.")
            first[vid] = "a variant already"
            yield from sources_cited(models, loc, variant.sources, citable)
            if not _made_within(variant, folder.maker.life):
                message = f"'{vid}' was made in no year of {folder.maker.life}, the life of the works."
                yield models.problem((*loc, "made"), message, "Mend these dates, or 'life' in maker.yaml.")


def _made_within(variant: Variant, life: str) -> bool:
    span = read_span(life)
    years = np.arange(span.first_year or 0, (span.last_year or 0) + 1)
    return bool(variant.made_in(years).any())


def _check_traits(
    traits: Written[RootModel[tuple[Trait, ...]]], named: Collection[str], base: KnowledgeBase, citable: Collection[str]
) -> Iterator[Problem]:
    ids = {*(trait.id for trait in traits.entry.root), *traits.names}
    yield from duplicate_ids(traits, traits.entry.root)
    for position, trait in enumerate(traits.entry.root):
        yield from feature_values(traits, (position, "feature"), trait.feature, (), base)
        if trait.feature in base.features:
            known = base.features[trait.feature].value_ids
            for value in trait.named:
                if value not in known:
                    yield unknown_value(traits, _value_loc(position, trait, value), value, trait.feature, known)
        yield from variants_named(traits, (position, "of"), trait.of, named)
        yield from sources_cited(traits, (position,), trait.sources, citable)
        for place, rival in enumerate(trait.against):
            if rival not in ids or rival == trait.id:
                yield unknown_name(traits, (position, "against", place), "statement", rival, ids - {trait.id})


def _value_loc(position: int, trait: Trait, value: str) -> Loc:
    if trait.value is not None:
        return (position, "value")
    if trait.values:
        return (position, "values", value, "[key]")
    step = next(i for i, x in enumerate(trait.run) if value == (x if isinstance(x, str) else x.value))
    return (position, "run", step) if isinstance(trait.run[step], str) else (position, "run", step, "value")


def _check_rules(
    rules: Written[RootModel[tuple[Rule, ...]]], named: Collection[str], base: KnowledgeBase, citable: Collection[str]
) -> Iterator[Problem]:
    yield from duplicate_ids(rules, rules.entry.root)
    for position, rule in enumerate(rules.entry.root):
        yield from sources_cited(rules, (position,), rule.sources, citable)
        for place, condition in enumerate(rule.when.all):
            loc: Loc = (position, "when", "all", place)
            choices = condition.any if isinstance(condition, AnyOf) else (condition,)
            for choice_place, choice in enumerate(choices):
                at: Loc = (*loc, "any", choice_place) if isinstance(condition, AnyOf) else loc
                for feature, values in choice.items():
                    yield from feature_values(rules, (*at, feature), feature, values, base, key=True)
        for place, conclusion in enumerate(rule.then):
            at = (position, "then", place)
            if isinstance(conclusion, FeatureConclusion):
                yield from feature_values(
                    rules, (*at, "feature"), conclusion.feature, conclusion.is_, base, beside="is"
                )
            elif isinstance(conclusion, BoundConclusion):
                if conclusion.of not in base.assemblies:
                    yield unknown_name(rules, (*at, "of"), "assembly", conclusion.of, base.assemblies)
                yield from variants_named(rules, (*at, "rules_out"), conclusion.rules_out, named)


def _check_specimen(
    written: Written[Specimen], folder: MakerFolder, variants: Collection[str], base: KnowledgeBase
) -> Iterator[Problem]:
    specimen = written.entry
    if (called := PurePath(written.path).name) != f"{specimen.id}.yaml":
        message = f"the file of '{specimen.id}' is called {shown(called)}."
        yield written.problem(("id",), message, f"Call it {specimen.id}.yaml, or write the id it has.")
    if specimen.maker != folder.maker.id:
        message = f"'{specimen.maker}' is not the maker of this folder."
        yield written.problem(("maker",), message, f"Write '{folder.maker.id}', or move the file.")
    if specimen.known.variant not in variants:
        yield unknown_name(written, ("known", "variant"), "variant", specimen.known.variant, variants)
    yield from check_observations(written, specimen.observations, base)


def check_observations(
    written: Written[object],
    observations: Sequence[Observation],
    base: KnowledgeBase,
    apart: Collection[int] = frozenset(),
) -> Iterator[Problem]:
    """Observations name features, values and assemblies that exist, measure what can be measured, and say it once.

    Those at the places `apart` are not looked at.
    """
    first: dict[str, int] = {}
    for position, seen in enumerate(observations):
        if position in apart:
            continue
        loc: Loc = ("observations", position)
        if seen.found_on is not None and seen.found_on not in {*base.assemblies, "rating_plate"}:
            yield unknown_name(written, (*loc, "found_on"), "assembly", seen.found_on, base.assemblies)
        if seen.feature is None:
            continue
        given = (seen.is_ or ()) + (seen.is_not or ())
        beside = "is" if seen.is_ else "is_not"
        yield from feature_values(written, (*loc, "feature"), seen.feature, given, base, beside=beside)
        if seen.feature in base.features:
            feature = base.features[seen.feature]
            if seen.measured is not None and feature.measure is None:
                remedy = f"Write 'is:' with one of {', '.join(feature.value_ids)}."
                yield written.problem((*loc, "measured"), f"'{seen.feature}' is not measured.", remedy)
            elif seen.measured is not None and (amiss := _beyond(feature, read_length(seen.measured))):
                yield written.problem((*loc, "measured"), f"'{shown(seen.measured)}' is {amiss[0]}.", amiss[1])
            if seen.is_not is not None and set(seen.is_not) >= set(feature.value_ids):
                yield written.problem((*loc, "is_not"), "this leaves no value at all.", "Leave one value open.")
            if seen.removed and feature.traces_on is None and "absent" not in feature.value_ids:
                remedy = "Write 'unseen: true', or what it is."
                yield written.problem((*loc, "removed"), f"'{seen.feature}' cannot be removed.", remedy)
        if seen.feature in first:
            message = f"'{seen.feature}' is observed already, as entry {first[seen.feature] + 1}."
            yield written.problem((*loc, "feature"), message, "Keep one, or write a list of values.")
        first.setdefault(seen.feature, position)


def _beyond(feature: Feature, length: float) -> tuple[str, str] | None:
    """What is amiss with a length that no part of a range has, most likely a slip of the unit or of the point."""
    to_mm = MM_PER_INCH if feature.measure is not None and feature.measure.unit == "in" else 1.0
    edges = [edge * to_mm for band in feature.bands for edge in feature.band_edges(band) if 0 < edge < math.inf]
    shortest = min([SHORTEST, *(edge / 10 for edge in edges)])  # what is told apart below a millimetre is thinner still
    if shortest <= length <= LONGEST:
        return None
    amiss = "shorter" if length < shortest else "longer"
    return f"{amiss} than this part of any range", f"Write {shortest:g} mm to {LONGEST / 1000:g} m, with its unit."


def check_serials(
    serials: Written[RootModel[tuple[SerialFormat, ...]]],
    named: Collection[str],
    base: KnowledgeBase,
    citable: Collection[str],
) -> Iterator[Problem]:
    """Blocks name parts, variants and sources that stand, and their anchors sources."""
    yield from duplicate_ids(serials, serials.entry.root)
    for position, block in enumerate(serials.entry.root):
        if block.found_on not in {*base.assemblies, "rating_plate"}:
            yield unknown_name(serials, (position, "found_on"), "assembly", block.found_on, base.assemblies)
        yield from variants_named(serials, (position, "of"), block.of, named)
        yield from sources_cited(serials, (position,), block.sources, citable)
        for place, anchor in enumerate(block.anchors):
            yield from sources_cited(serials, (position, "anchors", place), anchor.sources, citable)
