"""One range examined: the compiled base and a case in, and everything the reports show out of it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.rules import FeatureConclusion
from hobmark.knowledge.vocabulary import Access, Goal, Situation, Sure
from hobmark.reasoning.best_look import best_look
from hobmark.reasoning.dated import Dated, dated, dated_messages
from hobmark.reasoning.derivation import Derivation
from hobmark.reasoning.evidence import all_messages, known_facts, with_gates
from hobmark.reasoning.exposing import doubted, exposing, exposing_looks, is_tested
from hobmark.reasoning.goals import Claim, likeliest, partition
from hobmark.reasoning.model import Model, compile_model
from hobmark.reasoning.questions import (
    GATE_HOLDS,
    Expectation,
    Look,
    LookTable,
    answer_chances,
    costs_here,
    expectations,
    look_table,
    ranked_looks,
)
from hobmark.reasoning.ranking import Ranking, rank
from hobmark.reasoning.reading import likelihood
from hobmark.reasoning.rule_looks import features_in_rules, rule_expectations
from hobmark.reasoning.rules import MakerRules, compile_all_rules


@dataclass(frozen=True)
class Compiled:
    """A base made ready to reason with."""

    base: KnowledgeBase
    model: Model
    rules: Mapping[str, MakerRules]

    @cached_property
    def looks(self) -> LookTable:
        """Answer probabilities of every look."""
        return look_table(self.model)


def compile_base(base: KnowledgeBase) -> Compiled:
    """Compile model and rules; raises ValueError where a rule or a variant cannot be compiled."""
    return Compiled(base, compile_model(base), compile_all_rules(base))


def first_goal(base: KnowledgeBase, case: Case) -> Goal:
    """What is asked of a case unless somebody says otherwise: whether the claim is true, where it claims something."""
    return Goal.VARIANT if claim_of(base, case) is None else Goal.CLAIM


def claim_of(base: KnowledgeBase, case: Case) -> Claim | None:
    """The case's claims as one claim; None where nothing is claimed."""
    claims = case.claims
    maker, variant = claims.maker, None
    if claims.variant is not None:
        maker, variant = base.variant_keys[claims.variant]
    if maker is None and claims.made is None:
        return None
    return Claim(maker, variant, claims.made)


@dataclass(frozen=True)
class Examination:
    """What the base makes of a case. Worked out once, part by part, as it is asked for."""

    compiled: Compiled
    case: Case
    goal: Goal = Goal.VARIANT
    claim: Claim | None = None
    also: frozenset[Access] = frozenset()
    near: Ranking | None = field(default=None, repr=False, compare=False)
    """A ranking of much the same evidence, if there is one: only what differs is then worked out."""

    @cached_property
    def observations(self) -> Sequence[Observation]:
        """The case's observations with the gates they imply."""
        return with_gates(self.compiled.base, self.case.observations)

    @cached_property
    def facts(self) -> Mapping[str, frozenset[str]]:
        """What the observations give the rules."""
        return known_facts(self.compiled.base, self.observations)

    @cached_property
    def derivations(self) -> Mapping[str, Derivation]:
        """By maker, everything that chained; the trace that is shown."""
        return {maker: rules.derive(self.facts) for maker, rules in self.compiled.rules.items() if rules.clauses}

    @cached_property
    def dated(self) -> Sequence[Dated]:
        """What the words and serials found on parts prove."""
        return dated(self.compiled.base, self.case.observations)

    @cached_property
    def ranking(self) -> Ranking:
        """The posterior."""
        base, model = self.compiled.base, self.compiled.model
        found = all_messages(base, model, self.compiled.rules.values(), self.case.observations, self.facts)
        return rank(model, [*found, *dated_messages(base, model, self.dated)], near=self.near)

    @property
    def situation(self) -> Situation:
        """Where the range is looked at."""
        return self.case.situation

    @cached_property
    def parts(self) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        """The goal as a partition of the cells, shape (H,)."""
        return partition(self.compiled.model.cells, self.goal, self.claim)

    @cached_property
    def likeliest(self) -> float:
        """How probable the likeliest answer to the goal is."""
        return likeliest(self.ranking, self.goal, self.claim)

    @cached_property
    def named(self) -> bool:
        """Whether the likeliest answer is as probable as a settled one must be."""
        return self.likeliest >= self.compiled.base.wording.stop.settled

    @cached_property
    def settled(self) -> bool:
        """Whether the goal counts as known: named, and on enough assemblies, or on all that can be had here."""
        if not self.named or is_tested(self.compiled.base, self.ranking):
            return self.named
        places = self.compiled.model.features
        return all(places[feature].assembly in self.ranking.touched for feature in self.offered)

    @cached_property
    def open_features(self) -> frozenset[str]:
        """Features not looked at whose gates hold or very probably hold."""
        answered = self.case.answered() | {seen.feature for seen in self.observations if seen.feature}
        unanswered = [f for f in self.compiled.base.features if f not in answered]
        return frozenset(f for f in unanswered if self._gates_hold(f))

    def _gates_hold(self, feature: str) -> bool:
        base = self.compiled.base
        return all(self._gate_holds(gate, values) for gate, values in base.features[feature].needs.items())

    def _gate_holds(self, gate: str, values: Collection[str]) -> bool:
        gate_values = self.compiled.base.features[gate].value_ids
        seen = next((o for o in self.observations if o.feature == gate), None)
        if seen is not None and (seen.removed or seen.unseen):
            return False
        if seen is not None:
            told = likelihood(self.compiled.base, gate, seen)
            likeliest = {value for value, p in zip(gate_values, told, strict=True) if p >= told.max() - 1e-9}
            return likeliest <= set(values)
        answers = answer_chances(self.compiled.looks, self.ranking, {gate})[gate]
        chance = sum(p for value, p in zip(gate_values, answers, strict=True) if value in values)
        return bool(chance >= GATE_HOLDS * answers.sum()) and self._gates_hold(gate)

    @cached_property
    def expected(self) -> Mapping[str, Expectation]:
        """Expected bits and answers of every open look, those of the rules' features by looking ahead."""
        found = expectations(self.compiled.looks, self.ranking, self.parts, self.open_features)
        return found | rule_expectations(self.compiled, self, self.open_features)

    @cached_property
    def offered(self) -> Mapping[str, float]:
        """The open features that can be had in this situation, with their seconds."""
        return costs_here(self.compiled.base, self.open_features, self.situation, self.also)

    @cached_property
    def best(self) -> Look | None:
        """The first of `looks`, found without working out all of them; None where there is none."""
        base, table, ranking = self.compiled.base, self.compiled.looks, self.ranking
        if self.named:
            return best_look(base, table, *doubted(ranking), exposing(base, ranking, self.offered))
        chained = features_in_rules(self.compiled) & self.offered.keys()
        ahead = dict.fromkeys(chained, lambda feature: rule_expectations(self.compiled, self, {feature}).get(feature))
        return best_look(base, table, ranking, self.parts, self.offered, ahead)

    @cached_property
    def looks(self) -> list[Look]:
        """Looks that can be had in this situation, best first.

        Once the goal has a name they are the looks that would best expose a range the base does not know.
        """
        base, table = self.compiled.base, self.compiled.looks
        if self.named:
            return exposing_looks(base, table, self.ranking, self.open_features, self.situation, self.also)
        return ranked_looks(base, dict(self.expected), self.situation, also=self.also)

    def with_answer(self, seen: Observation) -> Examination:
        """The same examination after one more observation."""
        near: Ranking | None = vars(self).get("ranking", self.near)
        return replace(self, case=self.case.with_observation(seen), near=near)

    def contradictions(self) -> list[tuple[str, str, frozenset[str]]]:
        """Derived features that an observation contradicts: (maker, feature, values the rule gave). Both are shown."""
        seen = self.left_open
        found: dict[tuple[str, str, frozenset[str]], None] = {}
        for maker, derivation in self.derivations.items():
            for firing in derivation.firings:
                for conclusion in self.compiled.rules[maker].rule_of(firing).then:
                    if isinstance(conclusion, FeatureConclusion):
                        values = frozenset(conclusion.is_)
                        if not seen.get(conclusion.feature, values) & values:
                            found[maker, conclusion.feature, values] = None
        return list(found)

    @cached_property
    def left_open(self) -> Mapping[str, frozenset[str]]:
        """The values that certain observations leave open, by feature: those seen, or all but those seen not to be."""
        left = dict(self.facts)
        for seen in self.observations:
            if seen.feature is not None and seen.is_not is not None and seen.sure is Sure.CERTAIN:
                left[seen.feature] = frozenset(self.compiled.base.features[seen.feature].value_ids) - set(seen.is_not)
        return left
