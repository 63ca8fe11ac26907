"""What papers, checks, numbers and fit rules say of parts, as clauses for the chainer.

Facts are true or false and identity is not, so the clauses are chained once for each place: one variant, and a stretch
of its years over which every paper says the same. Measures enter as whole numbers of 0.01 mm, and each amounts to the
tests it passes or fails. What a clause tells of a part is one of four facts about it: what papers say (`papers`), what
proves it here (`proof`), what refuses it (`refused`), and that it is on the range by its number (`fitted`).
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from hobmark.knowledge.schema.fit_rules import FitRule, MeasureCondition
from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead, hundredths, plain_number
from hobmark.knowledge.schema.parts import Part, Tested
from hobmark.knowledge.schema.rules import AnyOf
from hobmark.reasoning.chaining import DurableChainer, chainer
from hobmark.reasoning.derivation import Atom, Clause, CountingChainer, Derivation
from hobmark.reasoning.rules import Facts, set_atom

MADE, MAKER = "made", "maker"
PAPERS, PROOF, REFUSED, CHECK, MEASURE, NUMBER = "papers", "proof", "refused", "check", "measure", "number"
SUPERSEDED, TWO_WAY, ONE_WAY, MEASURED, INSTEAD = "superseded", "two_way", "one_way", "measured", "instead of "
MEETS, FAILS, OUTSIDE = "meets", "fails", "outside "
ALL_CHECKS = "all"

Kind = Literal["papers", "check", "number", "supersession", "prohibition", "rule"]


@dataclass(frozen=True, slots=True)
class Told:
    """What a clause was made from: whose word it is, of which part, in words."""

    kind: Kind
    id: str
    part: str
    says: str
    because: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class FitClauses:
    """The clauses about some parts of one maker. `sets` and `tests` hold what some condition tests."""

    maker: str
    parts: Mapping[str, Part]
    clauses: tuple[Clause, ...]
    told: Mapping[str, Told]
    spans: tuple[str, ...]
    sets: Mapping[str, frozenset[frozenset[str]]]
    tests: Mapping[str, tuple[Tested, ...]]
    rules: Mapping[str, FitRule]

    @cached_property
    def _engines(self) -> tuple[DurableChainer | CountingChainer, CountingChainer]:
        return chainer(self.clauses), CountingChainer(self.clauses)

    def derive(self, given: Iterable[Atom]) -> Derivation:
        """Chain to the least fixpoint with the engine that gives the shown trace.

        The counting chainer's result stands where the two differ, or where the engine fails: see MakerRules.derive.
        """
        engine, counting = self._engines
        facts = list(given)
        counted = counting.derive(facts)
        try:
            derivation = engine.derive(facts)
        except RuntimeError:
            return counted
        return derivation if derivation == counted else counted

    def given(self, facts: Facts, measures: Iterable[MeasureTaken], numbers: Iterable[NumberRead]) -> list[Atom]:
        """What is known of the range whichever it is, as atoms."""
        atoms: dict[Atom, None] = {}
        for feature, values in facts.items():
            if feature in self.sets:
                wider = [tested for tested in self.sets[feature] if values <= tested]
                atoms |= dict.fromkeys([set_atom(feature, values), *(set_atom(feature, each) for each in wider)])
        for taken in measures:
            for name in self._measured(taken):
                atoms |= dict.fromkeys(_amounts_to(name, taken.value, self.tests[name]))
        for read in numbers:
            atoms[Atom(f"{NUMBER} {read.kind}", plain_number(read.number))] = None
        return list(atoms)

    def _measured(self, taken: MeasureTaken) -> list[str]:
        """The measures of single parts, and of rules, that one taken in the case speaks of."""
        part = taken.part.rpartition("/")[2] if taken.part is not None else None
        of_rules = [measure_name(taken.kind, taken)] if taken.kind is not None else []
        of_parts = [measure_name(p.id, taken) for p in self.parts.values() if p.id == part or p.kind == taken.kind]
        return [name for name in (*of_parts, *of_rules) if name in self.tests]


def measure_name(of: str, test: Tested | MeasureTaken) -> str:
    """The fact that a measure is: of which part or kind, taken where."""
    return f"{MEASURE} {of} {test.measure} {test.on.value}"


def _amounts_to(name: str, value: str, tests: Iterable[Tested]) -> Iterator[Atom]:
    """The measure itself, and each test it passes or fails."""
    for test in tests:
        yield Atom(name, value if test.between is None else str(hundredths(value)))
        yield Atom(name, test.test if test.holds(value) else OUTSIDE + test.test)


Way = list[tuple[str, tuple[str, ...]]]
"""One way of meeting a rule: names and the values of which one must be known."""


def ways_of(rule: FitRule) -> list[Way]:
    """A rule's conditions with `any` spread out; a measure stands under the name of its fact, with its test."""
    choices: list[list[Way]] = []
    for condition in rule.when.all:
        if isinstance(condition, MeasureCondition):
            choices.append([[(measure_name(condition.of, condition), (condition.test,))]])
        else:
            options = condition.any if isinstance(condition, AnyOf) else (condition,)
            choices.append([list(option.items()) for option in options])
    return [list(itertools.chain.from_iterable(way)) for way in itertools.product(*choices)]
