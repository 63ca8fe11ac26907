"""Looks that only the rules understand: what a look at a rule's condition could set off, chained ahead.

For each answer x, what it says of its own feature and the messages of the rules it would fire are ranked with the
rest: J(x, h) is in proportion to p(h | O, x) P(O, x). A rule's message has no scale of its own, so the chances of the
answers are as good as its words.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

import numpy as np

from hobmark.reasoning.evidence import Message, derived_messages
from hobmark.reasoning.questions import Expectation
from hobmark.reasoning.ranking import rank

if TYPE_CHECKING:
    from hobmark.reasoning.examination import Compiled, Examination


def rule_expectations(compiled: Compiled, examination: Examination, wanted: Collection[str]) -> dict[str, Expectation]:
    """Expectations of the features in `wanted` of which some answer would fire a rule that weighs now."""
    found = {}
    before = _fired(compiled, examination, {})
    for feature in sorted(features_in_rules(compiled) & set(wanted)):
        expected = _expectation(compiled, examination, feature, before)
        if expected is not None:
            found[feature] = expected
    return found


def features_in_rules(compiled: Compiled) -> set[str]:
    """The features that some rule has a condition on."""
    return {feature for rules in compiled.rules.values() for feature in rules.sets}


def _expectation(
    compiled: Compiled, examination: Examination, feature: str, before: Mapping[str, frozenset[str]]
) -> Expectation | None:
    model, ranking = compiled.model, examination.ranking
    table = model.features[feature]
    values = table.values
    after = [_fired_after(compiled, examination, feature, value, before) for value in values]
    if all(fired == before for fired in after):
        return None
    direct = [message for message in ranking.messages if message.maker is None]
    joint = np.empty((len(values), len(model.cells)))
    for row, fired in enumerate(after):
        answer = Message(table.assembly, model.message(feature, table.slips[row]), feature)
        derived = _messages(compiled, examination, fired, feature)
        outcome = rank(model, [*direct, answer, *derived], near=ranking)
        joint[row] = outcome.posterior * np.exp(outcome.log_evidence - ranking.log_evidence)
    joint /= joint.sum()
    grouped = np.zeros((len(values), int(examination.parts.max()) + 1))
    np.add.at(grouped.T, examination.parts, joint.T)
    answers = joint.sum(axis=1)
    turned = grouped.argmax(axis=1) != int(np.bincount(examination.parts, ranking.posterior).argmax())
    return Expectation(_information(grouped), _information(joint), answers, float(answers @ turned))


def _fired(
    compiled: Compiled, examination: Examination, more: Mapping[str, frozenset[str]]
) -> Mapping[str, frozenset[str]]:
    facts = {**examination.facts, **more}
    return {maker: rules.weighed(facts) for maker, rules in compiled.rules.items()}


def _fired_after(
    compiled: Compiled, examination: Examination, feature: str, value: str, before: Mapping[str, frozenset[str]]
) -> Mapping[str, frozenset[str]]:
    """What weighs after an answer; chained only for the makers in whose rules the answer is a condition or a clash."""
    told = {**examination.facts, feature: frozenset({value})}
    known = examination.facts.get(feature)
    return {
        maker: rules.weighed(told) if known is not None or rules.minds(feature, value) else before[maker]
        for maker, rules in compiled.rules.items()
    }


def _messages(
    compiled: Compiled, examination: Examination, fired: Mapping[str, frozenset[str]], looked_at: str
) -> list[Message]:
    observed = [seen.feature for seen in examination.observations if seen.feature is not None and seen.is_reading]
    observed.append(looked_at)
    messages: list[Message] = []
    for maker, rules in compiled.rules.items():
        messages += derived_messages(compiled.base, compiled.model, rules, fired[maker], observed)
    return messages


def _information(joint: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> float:
    """I(x; g) in bits of a joint distribution, shape (K, G)."""
    product = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
    where = joint > 0
    return float(max(0.0, (joint[where] * np.log2(joint[where] / product[where])).sum()))
