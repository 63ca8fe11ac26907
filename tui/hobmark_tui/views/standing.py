"""Where an examination stands: what has been seen, what is asked next, and why."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from hobmark.case import Case
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.examination import Compiled, Examination, claim_of
from hobmark.reasoning.ranking import Ranking


@dataclass(frozen=True)
class Aim:
    """What a session wants to know, and which looks it does not want to be offered again."""

    goal: Goal = Goal.VARIANT
    passed: frozenset[str] = frozenset()

    def without(self, feature: str) -> Aim:
        """The aim with one more look passed over."""
        return replace(self, passed=self.passed | {feature})


@dataclass(frozen=True)
class Standing:
    """One case examined for one aim.

    `now` holds what has been seen; in `offered` the looks passed over count as not to be had. `look` is the feature
    asked for, None where there is none to ask; `chosen` where a person asked for it.
    """

    now: Examination
    offered: Examination
    look: str | None
    chosen: bool = False

    @property
    def case(self) -> Case:
        """The case that was examined."""
        return self.now.case


def examined(compiled: Compiled, case: Case, goal: Goal, near: Ranking | None = None) -> Examination:
    """A case examined for a goal; for its variant where the goal is a claim and nothing is claimed.

    `near` is a ranking of much the same case, if there is one.
    """
    claim = claim_of(compiled.base, case)
    goal = Goal.VARIANT if goal is Goal.CLAIM and claim is None else goal
    return Examination(compiled, case, goal, claim, near=near)


def stand(
    compiled: Compiled,
    case: Case,
    aim: Aim,
    wanted: str | None = None,
    ready: str | None = None,
    before: Standing | None = None,
) -> Standing:
    """Examine a case and choose its next look: the one wanted, else the one made ready, else the best.

    The best is the best by itself of those not passed over; one made `ready` was found by thinking further ahead.
    Only what differs from where the same case stood `before` is worked out.
    """
    now = examined(compiled, case, aim.goal, before.now.ranking if before is not None else None)
    hidden = aim.passed - case.answered()
    offered = examined(compiled, _without(case, hidden), aim.goal, now.ranking) if hidden else now
    if wanted is not None:
        return Standing(now, offered, wanted, chosen=True)
    if ready is not None and ready in offered.open_features and ready not in hidden:
        return Standing(now, offered, ready)
    return Standing(now, offered, offered.best.feature if offered.best is not None else None)


def _without(case: Case, features: Collection[str]) -> Case:
    unseen = (Observation.model_validate({"feature": feature, "unseen": True}) for feature in sorted(features))
    return case.model_copy(update={"observations": (*case.observations, *unseen)})
