"""Curators' rules as clauses for the chainer, and what came of them: facts, bounds, remarks and cautions.

A condition on a set of values becomes one test on the atom `feature = a|b`; a fact that lies wholly inside a set
meets it. `any` is spread over several clauses. A maker's rules are chained by themselves: they say nothing of others.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.rules import AnyOf, FeatureConclusion, Rule
from hobmark.reasoning.chaining import DurableChainer, chainer
from hobmark.reasoning.derivation import Atom, Clause, CountingChainer, Derivation, Firing

Facts = Mapping[str, frozenset[str]]
"""Feature id -> the values of which one is known to hold."""


def set_atom(feature: str, values: Iterable[str]) -> Atom:
    """The atom for "feature is one of these values"."""
    return Atom(feature, "|".join(sorted(values)))


def atom_values(atom: Atom) -> frozenset[str]:
    """The values an atom speaks of."""
    return frozenset(atom.value.split("|"))


@dataclass(frozen=True)
class MakerRules:
    """One maker's rules, compiled. `sets` holds every set of values some condition tests, by feature."""

    maker: str
    rules: Mapping[str, Rule]
    clauses: tuple[Clause, ...]
    sets: Mapping[str, frozenset[frozenset[str]]]
    stated: frozenset[str]

    @cached_property
    def engine(self) -> DurableChainer | CountingChainer:
        """The chainer that gives the shown trace, compiled once."""
        return chainer(self.clauses)

    @cached_property
    def counting(self) -> CountingChainer:
        """The chainer for looking ahead."""
        return CountingChainer(self.clauses)

    def given(self, facts: Facts, *, unstated_only: bool = False) -> list[Atom]:
        """The atoms that known facts amount to; only of features without statements where asked."""
        atoms: dict[Atom, None] = {}
        for feature, values in facts.items():
            if feature in self.sets and not (unstated_only and feature in self.stated):
                atoms |= dict.fromkeys(_amounts_to(feature, values, self.sets))
        return list(atoms)

    def derive(self, facts: Facts) -> Derivation:
        """Chain to the least fixpoint with the engine that gives the shown trace.

        The engine drops firings without a word if the clock leaps while it works (a laptop waking), so the counting
        chainer's result stands where the two differ, or where the engine fails.
        """
        given = self.given(facts)
        counted = self.counting.derive(given)
        try:
            derivation = self.engine.derive(given)
        except RuntimeError:
            return counted
        return derivation if derivation == counted else counted

    def rule_of(self, firing_or_clause: Firing | str) -> Rule:
        """The rule a clause was made from."""
        clause = firing_or_clause if isinstance(firing_or_clause, str) else firing_or_clause.clause
        return self.rules[clause.partition("#")[0]]

    def weighed(self, facts: Facts) -> frozenset[str]:
        """Ids of the rules that may weigh: those with a proof in which nothing observed carries statements.

        What an observed feature with statements tells is weighed there; a rule from it would count it twice. Nor does
        anything weigh that rests on a conclusion which a direct observation contradicts.
        """
        fired = self.counting.close(self.given(facts, unstated_only=True), self._contradicted(facts))
        return frozenset(clause.partition("#")[0] for clause in fired)

    def minds(self, feature: str, value: str) -> bool:
        """Whether knowing this value could change what weighs: it meets a test, or clashes with a conclusion."""
        meets = feature not in self.stated and any(value in tested for tested in self.sets.get(feature, ()))
        return meets or feature in self._concluded

    @cached_property
    def _concluded(self) -> frozenset[str]:
        return frozenset(atom.feature for clause in self.clauses for atom in clause.head)

    def _contradicted(self, facts: Facts) -> frozenset[Atom]:
        """The conclusions that no value observed leaves standing."""
        heads = {atom for clause in self.clauses for atom in clause.head}
        return frozenset(a for a in heads if a.feature in facts and not facts[a.feature] & atom_values(a))


def _amounts_to(feature: str, values: frozenset[str], sets: Mapping[str, frozenset[frozenset[str]]]) -> list[Atom]:
    tested = [wider for wider in sets.get(feature, ()) if values <= wider]
    return sorted({set_atom(feature, values), *(set_atom(feature, wider) for wider in tested)})


def compile_rules(folder: MakerFolder) -> MakerRules:
    """Clauses of a maker's acting rules. How far `any` may multiply is the schema's to say."""
    rules = {rule.id: rule for rule in folder.acting_rules}
    bodies = {rule.id: _bodies(rule) for rule in rules.values()}
    sets: dict[str, set[frozenset[str]]] = {}
    for ways in bodies.values():
        for feature, values in itertools.chain.from_iterable(ways):
            sets.setdefault(feature, set()).add(values)
    frozen = {feature: frozenset(found) for feature, found in sets.items()}
    clauses = []
    for rule in rules.values():
        head: dict[Atom, None] = {}
        for conclusion in rule.then:
            if isinstance(conclusion, FeatureConclusion):
                head |= dict.fromkeys(_amounts_to(conclusion.feature, frozenset(conclusion.is_), frozen))
        of_rule = bodies[rule.id]
        for number, way in enumerate(of_rule):
            body = tuple(dict.fromkeys(set_atom(feature, values) for feature, values in way))
            name = rule.id if len(of_rule) == 1 else f"{rule.id}#{number + 1}"
            clauses.append(Clause(name, body, tuple(head)))
    return MakerRules(folder.maker.id, rules, tuple(clauses), frozen, folder.stated_features)


def _bodies(rule: Rule) -> list[list[tuple[str, frozenset[str]]]]:
    choices: list[list[list[tuple[str, frozenset[str]]]]] = []
    for condition in rule.when.all:
        options = condition.any if isinstance(condition, AnyOf) else (condition,)
        choices.append([[(feature, frozenset(values)) for feature, values in option.items()] for option in options])
    return [list(itertools.chain.from_iterable(way)) for way in itertools.product(*choices)]


def compile_all_rules(base: KnowledgeBase) -> dict[str, MakerRules]:
    """Every maker's rules, by maker id."""
    return {maker: compile_rules(folder) for maker, folder in base.makers.items()}
