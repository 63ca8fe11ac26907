"""What could forbid a critical part and has not been ruled out: as long as it may hold, nothing confirms the part."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from hobmark.bench.fit_clauses import MEASURE, OUTSIDE, FitClauses, Way, measure_name, ways_of
from hobmark.knowledge.base import MakerFolder
from hobmark.knowledge.schema.fit_rules import FAMILY, FITTED, VARIANT, FitConclusion
from hobmark.knowledge.schema.measures import plain_number
from hobmark.knowledge.schema.parts import Part, PartKind, Prohibited
from hobmark.knowledge.vocabulary import FitsAs, MeasuredOn
from hobmark.reasoning.cells import Group
from hobmark.reasoning.derivation import Atom
from hobmark.reasoning.examination import Examination


@dataclass(frozen=True, slots=True)
class Guard:
    """Something that would forbid the part, why, and what to find out: features, and kinds whose number to read.

    `find_out` says it in words where it is neither. `in_hand`: it is seen on the part itself once that is in hand, so
    that an order asks it of the supplier instead.
    """

    because: str
    features: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    find_out: str = ""
    in_hand: bool = False


def open_guards(
    examination: Examination, maker: str, clauses: FitClauses, part: Part, groups: Collection[Group]
) -> tuple[Guard, ...]:
    """The prohibitions and refusing rules of a part that may hold still; one that holds has refused it already."""
    folder = examination.compiled.base.makers[maker]
    known = _Known(examination, folder, clauses, {group.variant for group in groups if group.maker == maker})
    found = []
    for way, because, sources in _forbidding(clauses, part):
        if (asked := known.left(way)) is not None:
            features = tuple(name for name in asked if name not in known.kinds)
            found.append(
                Guard(because, features, tuple(known.kinds[name] for name in asked if name in known.kinds), sources)
            )
    for entry in part.prohibited:
        others = [folder.acting_parts[name] for name in entry.instead_of if name in folder.acting_parts]
        if there := [other for other in others if not known.is_gone(other)]:
            found.append(_instead(examination.compiled.base.kinds[there[0].kind], entry, there))
    return tuple(dict.fromkeys(found))


def _instead(kind: PartKind, entry: Prohibited, others: Sequence[Part]) -> Guard:
    """That what is there now may be one whose place the part must not take; what is left alone is only looked at."""
    named = " or ".join(f"{other.id} ({other.label})" for other in others)
    by_eye = [
        dimension.label
        for name, dimension in kind.dimensions.items()
        if dimension.by_eye and any((need.measure, need.on) == (name, MeasuredOn.RANGE) for need in others[0].needs)
    ]
    how = "by its number, or by a measure at its place that it would not have"
    if kind.left_alone is not None:
        how = f"by its {' and '.join(by_eye) or 'paper'}, by looking, nothing touched"
    told = f"whether what is there now is {named}, {how}"
    return Guard(entry.because, sources=entry.sources, find_out=told)


def _forbidding(clauses: FitClauses, part: Part) -> Iterator[tuple[Way, str, tuple[str, ...]]]:
    for entry in part.prohibited:
        if entry.with_:
            of: Way = [(VARIANT, entry.of)] if entry.of else []
            yield [*of, *entry.with_.items()], entry.because, entry.sources
    for rule in clauses.rules.values():
        against = [c for c in rule.then if isinstance(c, FitConclusion) and c.fit in (FitsAs.NOT, FitsAs.PROHIBITED)]
        if any(part.id in conclusion.parts for conclusion in against):
            for way in ways_of(rule):
                yield way, rule.because, rule.sources


class _Known:
    """What a case settles of conditions: each holds, does not hold, or is open."""

    def __init__(
        self, examination: Examination, folder: MakerFolder, clauses: FitClauses, variants: Collection[str | None]
    ) -> None:
        self._left = examination.left_open
        self._folder, self._variants = folder, variants
        self._measures = clauses.given({}, examination.case.measures, ())
        self._numbers: dict[str, set[str]] = {}
        for read in examination.case.numbers:
            self._numbers.setdefault(read.kind, set()).add(plain_number(read.number))
        self.kinds: Mapping[str, str] = {f"{FITTED} {p.id}": p.kind for p in folder.acting_parts.values()}

    def is_gone(self, other: Part) -> bool:
        """Whether it is known that another part is not there: by the number read there, or a measure of its place.

        Where the number is that of the other, the part is refused already.
        """
        misses = (
            Atom(measure_name(other.id, need), OUTSIDE + need.test) in self._measures
            for need in other.needs
            if need.on is MeasuredOn.RANGE
        )
        return other.kind in self._numbers or any(misses)

    def left(self, way: Way) -> list[str] | None:
        """What is open in a way of meeting conditions; None where it cannot be met, or is met."""
        opens: list[str] = []
        for name, values in way:
            state = self._state(name, values)
            if state is False:
                return None
            opens += [] if state is True else state
        return list(dict.fromkeys(opens)) or None

    def _state(self, name: str, values: Sequence[str]) -> bool | list[str]:
        if name in (VARIANT, FAMILY):
            return bool(self._folder.variants_meant(tuple(values)) & {v for v in self._variants if v is not None})
        if name == FITTED:
            return self._fitted(values)
        if name.startswith(f"{MEASURE} "):
            taken = [atom for atom in self._measures if atom.feature == name]
            return Atom(name, values[0]) in taken if taken else [name]
        left = self._left.get(name)
        if left is None:
            return [name]
        return bool(left & set(values)) if left <= set(values) or not left & set(values) else [name]

    def _fitted(self, parts: Sequence[str]) -> bool | list[str]:
        entries = [self._folder.acting_parts[name] for name in parts if name in self._folder.acting_parts]
        unread = [part for part in entries if part.kind not in self._numbers]
        read = any(set(map(plain_number, part.numbers)) & self._numbers.get(part.kind, set()) for part in entries)
        return True if read else [f"{FITTED} {part.id}" for part in unread] or False
