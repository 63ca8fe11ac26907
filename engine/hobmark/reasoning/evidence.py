"""Evidence: every observation, implied gate and weighed conclusion as one message to an assembly.

A message m has shape (makers + 1, H): row k is its value for each cell when the range in hand is of maker k.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hobmark.dates import read_span
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.rules import BoundConclusion, FeatureConclusion, Rule
from hobmark.reasoning.cells import Floats, Group
from hobmark.reasoning.model import Model
from hobmark.reasoning.reading import known_values, likelihood
from hobmark.reasoning.rules import Facts, MakerRules


@dataclass(frozen=True, slots=True)
class Message:
    """One piece of evidence on one assembly.

    `feature` is the feature it is about, or None for a bound; `maker` and `rules` name where a derived one comes from,
    `dated` the words or the serial that bound it.
    """

    assembly: int
    values: Floats
    feature: str | None = None
    maker: str | None = None
    rules: tuple[str, ...] = ()
    dated: Observation | None = None


def with_gates(base: KnowledgeBase, observations: Sequence[Observation]) -> list[Observation]:
    """The observations, and what answering a gated feature asserts of its gates where these were not observed."""
    told = {seen.feature for seen in observations if seen.is_reading}
    whole = list(observations)
    for seen in whole:  # grows while it is walked: a gate may have a gate
        if seen.feature is None or not seen.is_reading or seen.removed or seen.original is False:
            continue
        for gate, values in base.features[seen.feature].needs.items():
            if gate not in told:
                told.add(gate)
                whole.append(Observation.model_validate({"feature": gate, "is": values, "sure": seen.sure}))
    return whole


def direct_messages(base: KnowledgeBase, model: Model, observations: Iterable[Observation]) -> list[Message]:
    """One message for each reading; a removed thing is weighed on the assembly that bears its traces."""
    messages = []
    for seen in observations:
        if seen.feature is None or not seen.is_reading or seen.original is False:
            continue  # what is known to be another range's says nothing of this one
        reading = likelihood(base, seen.feature, seen)
        traces_on = base.features[seen.feature].traces_on
        if seen.removed and traces_on is not None:
            place = model.assemblies.index(traces_on)
            messages.append(Message(place, model.message(seen.feature, reading, alone=False), seen.feature))
        else:
            place = model.features[seen.feature].assembly
            messages.append(Message(place, model.message(seen.feature, reading), seen.feature))
    return messages


def known_facts(base: KnowledgeBase, observations: Iterable[Observation]) -> dict[str, frozenset[str]]:
    """What the observations give the rules: certain positive readings only."""
    facts = {}
    for seen in observations:
        values = known_values(base, seen) if seen.original is not False else None
        if values is not None and seen.feature is not None:
            facts[seen.feature] = values
    return facts


def derived_messages(
    base: KnowledgeBase, model: Model, rules: MakerRules, fired: Iterable[str], observed: Iterable[str]
) -> list[Message]:
    """Messages of the rules named in `fired`, for features not in `observed`; other makers' cells take the mean."""
    seen = set(observed)
    found: dict[str, dict[frozenset[str], tuple[float, list[str]]]] = {}
    bounds: dict[str, list[tuple[Rule, BoundConclusion]]] = {}
    for rule in (rules.rules[name] for name in sorted(set(fired))):
        for conclusion in rule.then:
            if isinstance(conclusion, FeatureConclusion) and conclusion.feature not in seen:
                of_feature = found.setdefault(conclusion.feature, {})
                word, names = of_feature.get(values := frozenset(conclusion.is_), (0.0, []))
                of_feature[values] = (max(word, base.wording.often[conclusion.how]), [*names, rule.id])
            elif isinstance(conclusion, BoundConclusion):
                bounds.setdefault(conclusion.of, []).append((rule, conclusion))
    messages = []
    for feature, values, word, names in _narrowest(found):
        table = model.features[feature]
        inside = np.array([value in values for value in table.values])
        others = max(1, len(table.values) - int(inside.sum()))
        plain = model.message(feature, np.where(inside, word, (1 - word) / others))
        messages.append(
            Message(table.assembly, _own_cells(model, rules.maker, plain), feature, rules.maker, tuple(names))
        )
    for assembly, conclusions in bounds.items():
        satisfied = np.ones(len(model.cells), dtype=bool)
        for _, bound in conclusions:
            satisfied &= _satisfies(base, model, rules.maker, bound)
        plain = np.where(satisfied, 1.0, model.floor)[None, :].repeat(len(model.cells.makers) + 1, axis=0)
        bounding = tuple(dict.fromkeys(rule.id for rule, _ in conclusions))
        place = model.assemblies.index(assembly)
        messages.append(Message(place, _own_cells(model, rules.maker, plain), None, rules.maker, bounding))
    return messages


def _narrowest(
    found: Mapping[str, Mapping[frozenset[str], tuple[float, list[str]]]],
) -> Iterator[tuple[str, frozenset[str], float, list[str]]]:
    """Each feature's conclusions but for those that only say less than another: they are not a second witness."""
    for feature, conclusions in found.items():
        for values, (word, names) in conclusions.items():
            if not any(narrower < values for narrower in conclusions):
                yield feature, values, word, names


def _own_cells(model: Model, maker: str, message: Floats) -> Floats:
    """The message on the maker's cells, and its prior mean over them everywhere else."""
    cells = model.cells
    own = cells.maker == cells.makers.index(maker)
    weight = cells.prior[own] / cells.prior[own].sum()
    mean = message[:, own] @ weight
    return np.where(own[None, :], message, mean[:, None])


def _satisfies(
    base: KnowledgeBase, model: Model, maker: str, bound: BoundConclusion
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    cells = model.cells
    if bound.not_before is not None:
        first = read_span(bound.not_before).first_year
        return cells.year >= (first if first is not None else cells.year.min())
    if bound.not_after is not None:
        last = read_span(bound.not_after).last_year
        return cells.year <= (last if last is not None else cells.year.max())
    out = np.zeros(len(cells), dtype=bool)
    for variant in base.makers[maker].variants_meant(bound.rules_out):
        out |= cells.of_group(Group(maker, variant))
    return ~out


def all_messages(
    base: KnowledgeBase, model: Model, rules: Iterable[MakerRules], observations: Sequence[Observation], facts: Facts
) -> list[Message]:
    """Direct and derived messages of a case."""
    whole = with_gates(base, observations)
    messages = direct_messages(base, model, whole)
    observed = [seen.feature for seen in whole if seen.feature is not None and seen.is_reading]
    for maker_rules in rules:
        messages += derived_messages(base, model, maker_rules, maker_rules.weighed(facts), observed)
    return messages
