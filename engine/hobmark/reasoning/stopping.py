"""When to stop asking, and what to say then: what is settled, what cannot be told apart from here, what could."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.cells import Floats
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.questions import Look, cannot_tell, expectations, ranked_looks


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether to go on.

    `together` are the goal's parts that hold 95%, likeliest first; `outside` is the cheapest look that this situation
    does not offer and that could tell them apart.
    """

    settled: bool
    stop: bool
    together: tuple[int, ...]
    outside: Look | None


def verdict(examination: Examination) -> Verdict:
    """Judge an examination by the wording's stop numbers."""
    stop = examination.compiled.base.wording.stop
    parts = np.asarray(np.bincount(examination.parts, examination.ranking.posterior), dtype=np.float64)
    together = smallest_set(parts, stop.settled)
    if examination.settled:
        return Verdict(True, True, together, None)
    if examination.named:
        return Verdict(False, False, together, None)
    if any(look.bits >= stop.worth_a_look for look in examination.looks):
        return Verdict(False, False, together, None)
    if pair_tells(examination):
        return Verdict(False, False, together, None)
    return Verdict(False, True, together, outside_look(examination))


def smallest_set(parts: Floats, enough: float) -> tuple[int, ...]:
    """The fewest parts that hold `enough` of the probability, likeliest first."""
    order = np.argsort(-parts, kind="stable")
    held = np.cumsum(parts[order])
    count = int(np.searchsorted(held, enough - 1e-12)) + 1
    return tuple(int(part) for part in order[:count])


def pair_tells(examination: Examination) -> bool:
    """Whether some two looks together reach the worth of a look, though none does alone.

    A first look that says nothing even about the cells leaves every second one as it was, so it is passed over.
    """
    base = examination.compiled.base
    worth = base.wording.stop.worth_a_look
    by_feature = {look.feature: look for look in examination.looks}
    for first in examination.looks:
        expected = examination.expected[first.feature]
        if expected.cell_bits < worth:
            continue
        told = 1 - cannot_tell(base, first.feature)
        gained = dict.fromkeys(set(by_feature) - {first.feature}, 0.0)
        for value, chance in zip(base.features[first.feature].value_ids, expected.answers, strict=True):
            after = examination.with_answer(Observation.model_validate({"feature": first.feature, "is": value}))
            found = expectations(after.compiled.looks, after.ranking, after.parts, gained.keys())
            for feature, second in found.items():
                gained[feature] += told * float(chance) * (1 - cannot_tell(base, feature)) * second.goal_bits
        if any(first.bits + bits + (1 - told) * by_feature[f].bits >= worth for f, bits in gained.items()):
            return True
    return False


def outside_look(examination: Examination) -> Look | None:
    """The cheapest look that this situation does not offer and that is worth taking elsewhere; of equals the best."""
    base = examination.compiled.base
    here = {look.feature for look in examination.looks}
    everywhere = ranked_looks(base, dict(examination.expected), examination.situation, also=tuple(base.wording.seconds))
    worth = base.wording.stop.worth_a_look
    could = [look for look in everywhere if look.feature not in here and look.bits >= worth]
    return min(could, key=lambda look: look.seconds, default=None)
