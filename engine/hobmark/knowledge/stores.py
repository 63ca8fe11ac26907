"""Checks of parts across files: names that stand, chains without a circle, needs that can be measured."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

import numpy as np
from pydantic import RootModel

from hobmark.dates import read_ends, read_span, share_of_years
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.names import duplicate_ids, feature_values, sources_cited, unknown_name, variants_named
from hobmark.knowledge.schema.fit_rules import FAMILY, FITTED, VARIANT, FitConclusion, FitRule, MeasureCondition
from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead, hundredths, plain_number
from hobmark.knowledge.schema.parts import Part, PartKind, Tested
from hobmark.knowledge.schema.rules import AnyOf
from hobmark.knowledge.schema.works import Variant
from hobmark.knowledge.vocabulary import FitsAs, Hand, PartClass, Status
from hobmark.knowledge.written import Written
from hobmark.problems import Problem, one_of, shown, spoken

Loc = tuple[str | int, ...]
Parts = Written[RootModel[tuple[Part, ...]]]
FitRules = Written[RootModel[tuple[FitRule, ...]]]
_STRICTNESS = list(PartClass)


def check_kinds(kinds: Written[RootModel[dict[str, PartKind]]], base: KnowledgeBase) -> Iterator[Problem]:
    """Kinds of parts name assemblies, cautions, features and measures that exist."""
    for name, kind in kinds.entry.root.items():
        for field, assembly in (("assembly", kind.assembly), ("seat", kind.seat)):
            if assembly is not None and assembly not in base.assemblies:
                yield unknown_name(kinds, (name, field), "assembly", assembly, base.assemblies)
        for place, caution in enumerate(kind.cautions):
            if caution not in base.cautions:
                yield unknown_name(kinds, (name, "cautions", place), "caution", caution, base.cautions)
        for place, feature in enumerate(kind.looks):
            if feature not in base.features:
                yield unknown_name(kinds, (name, "looks", place), "feature", feature, base.features)
        if kind.jet is not None and (kind.jet not in kind.dimensions or kind.dimensions[kind.jet].words):
            lengths = [measure for measure, dimension in kind.dimensions.items() if not dimension.words]
            yield unknown_name(kinds, (name, "jet"), f"length of {name}", kind.jet, lengths)


def check_parts(
    parts: Parts, folder: MakerFolder, base: KnowledgeBase, named: Collection[str], citable: Collection[str]
) -> Iterator[Problem]:
    """Everything in one maker's parts.yaml that only shows beside other entries and files."""
    entries = parts.entry.root
    ids = {*(part.id for part in entries), *parts.names}
    yield from duplicate_ids(parts, entries)
    for position, part in enumerate(entries):
        if part.kind not in base.kinds:
            yield unknown_name(parts, (position, "kind"), "kind of part", part.kind, base.kinds)
        else:
            yield from _check_against_kind(parts, position, part, base.kinds[part.kind])
        for place, fits in enumerate(part.fits):
            yield from variants_named(parts, (position, "fits", place, "of"), fits.of, named)
            yield from sources_cited(parts, (position, "fits", place), fits.sources, citable)
        for place, need in enumerate(part.needs):
            yield from sources_cited(parts, (position, "needs", place), need.sources, citable)
        for place, earlier in enumerate(part.supersedes):
            loc: Loc = (position, "supersedes", place)
            if earlier.part not in ids - {part.id}:
                yield unknown_name(parts, (*loc, "part"), "part", earlier.part, ids - {part.id})
            yield from sources_cited(parts, loc, earlier.sources, citable)
        yield from _check_prohibited(parts, position, part, base, named, citable)
        if part.modification is not None:
            yield from sources_cited(parts, (position, "modification"), part.modification.sources, citable)
    yield from _check_circles(parts)
    yield from _check_owners(parts, folder)
    yield from _check_numbers(parts)


def _check_against_kind(parts: Parts, position: int, part: Part, kind: PartKind) -> Iterator[Problem]:
    if _STRICTNESS.index(part.class_) > _STRICTNESS.index(kind.class_):
        message = f"a {kind.label} is {kind.class_.value} at the least, and this one is {part.class_.value}."
        yield parts.problem((position, "class"), message, f"Write {kind.class_.value}.")
    for place, at in enumerate(part.places):
        if at not in kind.places:
            message = f"a {kind.label} does not stand at {at.value}."
            yield parts.problem((position, "places", place), message, one_of(at.value, kind.places))
    for place, need in enumerate(part.needs):
        yield from _check_test(parts, (position, "needs", place), need, part.kind, kind)
        if need.measure in kind.dimensions and need.how is None and kind.dimensions[need.measure].how is None:
            message = f"'{need.measure}' cannot be measured: it is not said how."
            yield parts.problem((position, "needs", place), message, "Write 'how', with the tool and the two points.")


def _check_test(written: Written[object], loc: Loc, test: Tested, name: str, kind: PartKind) -> Iterator[Problem]:
    """A measure is one of its kind's; lengths are tested by lengths, and words by words that it may be."""
    if test.measure not in kind.dimensions:
        yield unknown_name(written, (*loc, "measure"), f"measure of {name}", test.measure, kind.dimensions)
        return
    words = kind.dimensions[test.measure].words
    if words and test.is_ is None:
        message = f"'{test.measure}' is no length."
        yield written.problem((*loc, "between"), message, f"Write 'is:' with one of {', '.join(words)}.")
    elif not words and test.is_ is not None:
        message = f"'{test.measure}' is a length."
        yield written.problem((*loc, "is"), message, "Write 'between: [least, greatest]', each with its unit.")
    for place, word in enumerate(test.is_ or ()):
        if words and word not in words:
            message = f"'{shown(word)}' is no {test.measure} of a {kind.label}."
            yield written.problem((*loc, "is", place), message, one_of(word, words))


def _check_prohibited(
    parts: Parts, position: int, part: Part, base: KnowledgeBase, named: Collection[str], citable: Collection[str]
) -> Iterator[Problem]:
    ids = {*(other.id for other in parts.entry.root), *parts.names} - {part.id}
    for place, prohibited in enumerate(part.prohibited):
        loc: Loc = (position, "prohibited", place)
        yield from variants_named(parts, (*loc, "of"), prohibited.of, named)
        for feature, values in prohibited.with_.items():
            yield from feature_values(parts, (*loc, "with", feature), feature, values, base, key=True)
        for at, other in enumerate(prohibited.instead_of):
            if other not in ids:
                yield unknown_name(parts, (*loc, "instead_of", at), "part", other, ids)
        yield from sources_cited(parts, loc, prohibited.sources, citable)


def _check_circles(parts: Parts) -> Iterator[Problem]:
    """No part supersedes itself, however long the chain."""
    earlier = {part.id: [link.part for link in part.supersedes] for part in parts.entry.root}
    for position, part in enumerate(parts.entry.root):
        for place, link in enumerate(part.supersedes):
            if (chain := _way(earlier, link.part, part.id)) is not None:
                told = " -> ".join([part.id, *chain])
                message = f"'{part.id}' supersedes itself in a circle: {told}."
                remedy = "Leave the link out that points from the earlier part to the later one."
                yield parts.problem((position, "supersedes", place, "part"), message, remedy)


def _way(earlier: Mapping[str, Sequence[str]], start: str, end: str) -> list[str] | None:
    """The first way along the links from one part to another, both included."""
    ahead, seen = [[start]], {start}
    while ahead:
        way = ahead.pop()
        if way[-1] == end:
            return way
        for name in earlier.get(way[-1], ()):
            if name not in seen:
                seen.add(name)
                ahead.append([*way, name])
    return None


def _check_owners(parts: Parts, folder: MakerFolder) -> Iterator[Problem]:
    """Every part is on some range of its maker: by a paper of its own, or in the place of one that is."""
    entries = {part.id: part for part in parts.entry.root}
    owned = {part.id for part in entries.values() if any(fits.as_ is not FitsAs.NOT for fits in part.fits)}
    links = [(part.id, link.part) for part in entries.values() for link in part.supersedes if link.break_ is None]
    for _ in entries:  # a chain is no longer than the list
        owned |= {later for later, earlier in links if earlier in owned}
    for position, part in enumerate(parts.entry.root):
        for place, fits in enumerate(part.fits):
            variants = [folder.variants[v] for v in folder.variants_meant(fits.of) if v in folder.variants]
            if (
                fits.made is not None
                and variants
                and not any(_made_in(v, fits.made, folder.maker.life) for v in variants)
            ):
                message = f"none of {', '.join(fits.of)} was made in {fits.made}."
                yield parts.problem((position, "fits", place, "made"), message, "Mend these years, or 'of'.")
        if part.id not in owned and part.status is not Status.RETIRED:
            message = f"'{part.id}' fits nothing: no range is named that has it, and no part whose place it takes."
            yield parts.problem((position, "id"), message, "Write 'fits', or 'supersedes'.")


def _made_in(variant: Variant, made: str, life: str) -> bool:
    span = read_span(life)
    quarters = np.arange(span.first_year or 1800, (span.last_year or 2100) + 1, 0.25)
    return bool((variant.made_in(quarters, 0.25) * share_of_years(*read_ends(made), quarters, 0.25)).any())


def _check_numbers(parts: Parts) -> Iterator[Problem]:
    """One number does not stand on a left and on a right part: mirrored castings are numbered apart."""
    first: dict[str, tuple[int, int, Part]] = {}
    for position, part in enumerate(parts.entry.root):
        for place, number in enumerate(part.numbers):
            at, other_place, other = first.setdefault(plain_number(number), (position, place, part))
            sides = {part.hand, other.hand}
            if at != position and sides == {Hand.LEFT, Hand.RIGHT}:
                line = parts.problem((at, "numbers", other_place), "", "").line
                message = (
                    f"'{shown(number)}' is a {part.hand.value} part here and a {other.hand.value} one at line {line}."
                )
                remedy = "Mend one of the two: mirrored castings are numbered apart."
                yield parts.problem((position, "numbers", place), message, remedy)


def check_fit_rules(
    rules: FitRules, parts: Parts | None, base: KnowledgeBase, named: Collection[str], citable: Collection[str]
) -> Iterator[Problem]:
    """Fit rules test what can be known, and speak of parts that stand."""
    ids = {*(part.id for part in parts.entry.root), *parts.names} if parts is not None else set()
    critical = {p.id for p in parts.entry.root if p.class_ is PartClass.CRITICAL} if parts is not None else set()
    yield from duplicate_ids(rules, rules.entry.root)
    for position, rule in enumerate(rules.entry.root):
        yield from sources_cited(rules, (position,), rule.sources, citable)
        for place, condition in enumerate(rule.when.all):
            loc: Loc = (position, "when", "all", place)
            if isinstance(condition, MeasureCondition):
                if condition.of not in base.kinds:
                    yield unknown_name(rules, (*loc, "of"), "kind of part", condition.of, base.kinds)
                else:
                    yield from _check_test(rules, loc, condition, condition.of, base.kinds[condition.of])
                continue
            choices = condition.any if isinstance(condition, AnyOf) else (condition,)
            for at, choice in enumerate(choices):
                where: Loc = (*loc, "any", at) if isinstance(condition, AnyOf) else loc
                for name, values in choice.items():
                    yield from _check_condition(rules, (*where, name), name, values, base, named, ids)
        for place, conclusion in enumerate(rule.then):
            if not isinstance(conclusion, FitConclusion):
                continue
            for at, part in enumerate(conclusion.parts):
                where = (position, "then", place, "parts", at)
                if part not in ids:
                    yield unknown_name(rules, where, "part", part, ids)
                elif part in critical and conclusion.fit is FitsAs.MODIFIED:
                    yield rules.problem(where, "a critical part is never modified.", "Write what fits as it is.")


def _check_condition(
    rules: FitRules,
    loc: Loc,
    name: str,
    values: Sequence[str],
    base: KnowledgeBase,
    named: Collection[str],
    parts: Collection[str],
) -> Iterator[Problem]:
    if name == FITTED:
        for place, part in enumerate(values):
            if part not in parts:
                yield unknown_name(rules, (*loc, place), "part", part, parts)
    elif name in (VARIANT, FAMILY):
        yield from variants_named(rules, loc, values, named)
    else:
        yield from feature_values(rules, loc, name, values, base, key=True)


def bench_faults(
    measures: Sequence[MeasureTaken], numbers: Sequence[NumberRead], base: KnowledgeBase
) -> Iterator[tuple[Loc, str, str]]:
    """What is wrong with the measures and numbers of a case: (place, what is wrong, what to do)."""
    first: dict[tuple[str | None, str, str], int] = {}
    for position, taken in enumerate(measures):
        loc: Loc = ("measures", position)
        kind = taken.kind
        if taken.part is not None:
            if taken.part not in base.part_keys:
                yield (*loc, "part"), f"unknown part '{shown(taken.part)}'.", one_of(taken.part, base.part_keys)
                continue
            maker, part = base.part_keys[taken.part]
            kind = base.makers[maker].acting_parts[part].kind
        if kind not in base.kinds:
            yield (*loc, "kind"), f"unknown kind of part '{shown(str(kind))}'.", one_of(str(kind), base.kinds)
            continue
        yield from _measure_fault(loc, taken, base.kinds[kind])
        key = (taken.part or kind, taken.measure, taken.on.value)
        if key in first:
            message = f"'{taken.measure}' is measured already, as entry {first[key] + 1}."
            yield (*loc, "measure"), message, "Keep one."
        first.setdefault(key, position)
    for position, read in enumerate(numbers):
        if read.kind not in base.kinds:
            message = f"unknown kind of part '{shown(read.kind)}'."
            yield ("numbers", position, "kind"), message, one_of(read.kind, base.kinds)


def _measure_fault(loc: Loc, taken: MeasureTaken, kind: PartKind) -> Iterator[tuple[Loc, str, str]]:
    if taken.measure not in kind.dimensions:
        remedy = one_of(taken.measure, kind.dimensions)
        yield (*loc, "measure"), f"unknown measure '{taken.measure}' of a {kind.label}.", remedy
        return
    words = kind.dimensions[taken.measure].words
    if words and taken.value not in words:
        yield (*loc, "value"), f"'{shown(taken.value)}' is no {taken.measure}.", one_of(taken.value, words)
    elif not words:
        try:
            hundredths(taken.value)
        except ValueError as refused:
            yield (*loc, "value"), *spoken(str(refused))
