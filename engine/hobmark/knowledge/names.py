"""Names that one entry uses must stand elsewhere, and ids must stand once: the checks that all files share."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Protocol

from hobmark.knowledge.base import EVERY_VARIANT, KnowledgeBase
from hobmark.knowledge.written import Written
from hobmark.problems import Problem, did_you_mean, listed

Loc = tuple[str | int, ...]
"""The way to a place in a file: field names and places in lists."""


class Named(Protocol):
    """An entry with an id of its own."""

    @property
    def id(self) -> str:
        """Its permanent name."""


def duplicate_ids(written: Written[object], entries: Sequence[Named]) -> Iterator[Problem]:
    """Ids of a list stand once."""
    first: dict[str, int] = {}
    for position, entry in enumerate(entries):
        if entry.id in first:
            line = written.problem((first[entry.id], "id"), "", "").line
            message = f"duplicate id '{entry.id}', first used at line {line}."
            yield written.problem((position, "id"), message, "Ids are permanent: choose a new one.")
        first.setdefault(entry.id, position)


def feature_values(
    written: Written[object],
    loc: Loc,
    feature: str,
    values: Sequence[str],
    base: KnowledgeBase,
    *,
    key: bool = False,
    beside: str | None = None,
) -> Iterator[Problem]:
    """The feature and its values stand; `key`: the feature is a field's name, `beside`: the field of the values."""
    if feature not in base.features:
        yield unknown_name(written, (*loc, "[key]") if key else loc, "feature", feature, base.features)
        return
    known = base.features[feature].value_ids
    for position, value in enumerate(values):
        if value not in known:
            home = loc if key or beside is None else (*loc[:-1], beside)
            yield unknown_value(written, (*home, position), value, feature, known)


def variants_named(written: Written[object], loc: Loc, of: Sequence[str], named: Collection[str]) -> Iterator[Problem]:
    """The variants and families in an `of` stand."""
    known = {EVERY_VARIANT, *named}
    for position, name in enumerate(of):
        if name not in known:
            yield unknown_name(written, (*loc, position), "variant or family", name, known)


def sources_cited(
    written: Written[object], loc: Loc, sources: Sequence[str], citable: Collection[str]
) -> Iterator[Problem]:
    """The sources of an entry stand."""
    for position, source in enumerate(sources):
        if source.partition(":")[0] not in citable:
            yield unknown_name(written, (*loc, "sources", position), "source", source.partition(":")[0], citable)


def unknown_name(written: Written[object], loc: Loc, kind: str, name: str, known: Collection[str]) -> Problem:
    """A name that stands nowhere, with the closest that does."""
    remedy = did_you_mean(name, known).strip() or f"Add it, or use one that stands: {listed(sorted(known), 8)}."
    return written.problem(loc, f"unknown {kind} '{name[:60]}'.", remedy)


def unknown_value(written: Written[object], loc: Loc, value: str, feature: str, known: Sequence[str]) -> Problem:
    """A value that a feature does not take, with the closest that it does."""
    remedy = did_you_mean(value, known).strip() or f"It takes {listed(known)}."
    return written.problem(loc, f"unknown value '{value[:60]}' for {feature}.", remedy)
