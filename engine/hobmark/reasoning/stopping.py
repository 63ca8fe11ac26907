"""When to stop asking, and what to say then: what is settled, what cannot be told apart from here, what could."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.cells import Floats
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.ground import ground_of
from hobmark.reasoning.questions import Look, cannot_tell, expectations, ranked_looks
from hobmark.reasoning.supposing import Supposed, plogp, supposed


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
    if examination.best is not None and examination.best.bits >= stop.worth_a_look:
        return Verdict(False, False, together, None)  # most often so, and found without the other looks
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

    A first look that says nothing even about the cells leaves every second one as it was, so it is passed over. The
    second is weighed by its statements, not by the rules it might set off.
    """
    base = examination.compiled.base
    worth = base.wording.stop.worth_a_look
    by_feature = {look.feature: look for look in examination.looks}
    firsts = [look for look in examination.looks if examination.expected[look.feature].cell_bits >= worth]
    ground = ground_of(
        examination.compiled,
        examination.situation,
        examination.goal,
        examination.claim,
        also=examination.also,
        features=by_feature,
    )
    if ground is None:
        return False
    position = supposed(ground, examination.ranking, by_feature, forgotten=0.0)
    for first in firsts:
        told = 1 - cannot_tell(base, first.feature)
        if _moves_one_message(examination, first.feature):
            gained = _gained(position, first.feature)
        else:
            gained = _gained_by_answers(examination, first.feature, by_feature)
        if any(
            first.bits + told * bits + (1 - told) * by_feature[feature].bits >= worth
            for feature, bits in gained.items()
            if feature != first.feature
        ):
            return True
    return False


def _moves_one_message(examination: Examination, feature: str) -> bool:
    """Whether an answer is one message more and nothing else: no rule minds it, and no gate is answered with it."""
    compiled = examination.compiled
    values = compiled.base.features[feature].value_ids
    minded = any(rules.minds(feature, value) for rules in compiled.rules.values() for value in values)
    seen = {one.feature for one in examination.observations}
    return not minded and set(compiled.base.features[feature].needs) <= seen


def _gained(position: Supposed, feature: str) -> dict[str, float]:
    """Expected bits about the goal of every look once an answer to `feature` is known, b_f of the second allowed for.

    From P(first answer, second answer, part | O), so that nothing is ranked anew.
    """
    ground = position.ground
    f = ground.place[feature]
    joint = position.joints_after(f)
    first = position.standing.joint[:, ground.rows[f]]
    rows = plogp(joint).sum(axis=0) - plogp(joint.sum(axis=0))
    before = plogp(first).sum(axis=0) - plogp(first.sum(axis=0))
    bits = np.add.reduceat(rows, ground.starts, axis=1) - before[:, None]
    gained = (1 - ground.blind) * np.maximum(bits, 0).sum(axis=0)
    return dict(zip(ground.features, gained.tolist(), strict=True))


def _gained_by_answers(examination: Examination, first: str, seconds: Mapping[str, Look]) -> dict[str, float]:
    """The same by ranking anew after every answer, with the rules it sets off."""
    base, expected = examination.compiled.base, examination.expected[first]
    gained = dict.fromkeys(seconds.keys() - {first}, 0.0)
    for value, chance in zip(base.features[first].value_ids, expected.answers, strict=True):
        after = examination.with_answer(Observation.model_validate({"feature": first, "is": value}))
        found = expectations(after.compiled.looks, after.ranking, after.parts, gained.keys())
        for feature, second in found.items():
            gained[feature] += float(chance) * (1 - cannot_tell(base, feature)) * second.goal_bits
    return gained


def outside_look(examination: Examination) -> Look | None:
    """The cheapest look that this situation does not offer and that is worth taking elsewhere; of equals the best."""
    base = examination.compiled.base
    here = {look.feature for look in examination.looks}
    everywhere = ranked_looks(base, dict(examination.expected), examination.situation, also=tuple(base.wording.seconds))
    worth = base.wording.stop.worth_a_look
    could = [look for look in everywhere if look.feature not in here and look.bits >= worth]
    return min(could, key=lambda look: look.seconds, default=None)
