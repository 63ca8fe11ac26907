"""Thinking ahead: while a person looks, the next look is worked out for each answer they may give.

Greedy is there at once. Here a few of the best looks are followed further: over the answers to each, and there over all
looks again, to the outlook of seconds still to come until the goal counts as settled. What is least is taken. Work is
counted in positions, so that the same budget gives the same look on any machine.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.cells import Floats
from hobmark.reasoning.ground import Ground, ground_of
from hobmark.reasoning.outlook import FRESH_BITS, Outlook, learned_outlook, one_deep, plain_outlook
from hobmark.reasoning.questions import Look, cannot_tell, expectations
from hobmark.reasoning.ranking import Ranking
from hobmark.reasoning.supposing import Standing, Supposed, supposed

if TYPE_CHECKING:
    from hobmark.reasoning.examination import Examination

WIDTH = 6
"""How many looks are followed from a position; with 12 the lookahead takes more looks whose worth it overrates."""
BUDGET = 200
"""Positions looked into for one answer: two looks deep as a rule, more where few looks are left."""
NEVER = 1e-9
"""Answers less probable than this are not followed; there may be no cell left that could give them."""


@dataclass(frozen=True, slots=True)
class Deeper:
    """The next look after an answer: `deep` looks were thought through (1: greedy alone), `positions` looked into."""

    feature: str
    deep: int
    positions: int


@dataclass(frozen=True)
class Prepared:
    """What was worked out while a person looked; `next` by value of the look, None for "cannot tell".

    A value maps to None where nothing is left to look at after it. `whole`: every answer was thought of.
    """

    look: str
    next: Mapping[str | None, Deeper | None]
    whole: bool


@dataclass
class _Work:
    """What may still be done: positions, and whether somebody calls a halt."""

    left: int
    stop: Callable[[], bool]
    done: int = field(default=0)

    def take(self, positions: int) -> bool:
        """Whether so many positions may still be looked into; if so they are counted."""
        if positions > self.left or self.stop():
            return False
        self.left -= positions
        self.done += positions
        return True


@dataclass(frozen=True)
class Thinker:
    """Ground and outlook: all that thinking ahead of any case on this base, situation and goal needs."""

    ground: Ground
    outlook: Outlook

    def choose(
        self,
        ranking: Ranking,
        open_features: Collection[str],
        looks: Sequence[Look],
        *,
        budget: int = BUDGET,
        stop: Callable[[], bool] = lambda: False,
    ) -> Deeper | None:
        """The next look of a position whose greedy order is `looks`; None where that is empty.

        Greedy stays where the goal has a name (then a look is to expose a stranger), and where its first look is one
        that only rules understand. It looks two deep, then deeper while the budget lasts, one depth at a time.
        """
        if not looks:
            return None
        greedy = Deeper(looks[0].feature, 1, 0)
        offered = [look for look in looks if look.feature in self.ground.place and self._is_told(look.feature)]
        if len(offered) < 2 or offered[0] is not looks[0]:
            return greedy
        position = supposed(self.ground, ranking, open_features)
        if position.standing.named:
            return greedy
        work = _Work(budget, stop)
        followed = self._followed(position, offered)
        best, spent, growth = greedy, 0, 1.0
        for deep in range(2, len(offered) + 1):
            if work.left < spent * growth:  # the next depth would not be finished
                break
            before = work.done
            costs = [self._cost(position, f, deep, work) for f in followed]
            found = [cost for cost in costs if cost is not None]
            if len(found) < len(costs):
                break
            least = min(range(len(found)), key=lambda i: (round(found[i], 9), i))
            best = Deeper(self.ground.features[followed[least]], deep, work.done)
            spent = work.done - before
            growth = min(WIDTH, len(offered)) * spent / len(followed) if deep == 2 else growth
        return best

    def _is_told(self, feature: str) -> bool:
        return self.ground.model.features[feature].stated

    def _followed(self, position: Supposed, looks: Sequence[Look]) -> list[int]:
        """The looks worth following, greedy's first: by index, those at assemblies still lacking lifted."""
        place, fresh = self.ground.place, position.standing.fresh
        lift = FRESH_BITS if position.standing.lacking else 0.0

        def lifted(look: Look) -> float:
            return round(look.index + lift * float(fresh[place[look.feature]]) / look.seconds, 12)

        order = sorted(looks, key=lambda look: (-lifted(look), look.feature))
        return list(dict.fromkeys(place[look.feature] for look in [looks[0], *order[:WIDTH]]))

    def _cost(self, position: Supposed, f: int, deep: int, work: _Work) -> float | None:
        """Expected seconds until settled with look f next, `deep` looks thought through; None where work ran out."""
        if deep <= 2:
            return self._two_deep(position, f, work)
        ground, rows = self.ground, self.ground.rows[f]
        chances = position.standing.joint[:, rows].sum(axis=0)
        told = 0.0
        for value, chance in enumerate(chances / chances.sum()):
            if chance <= NEVER:
                continue
            later = self._least(position.after(f, value), deep - 1, work)
            if later is None:
                return None
            told += float(chance) * later
        unseen = self._unseen(position, f)
        return float(ground.seconds[f] + (1 - ground.blind[f]) * told + ground.blind[f] * unseen)

    def _least(self, position: Supposed, deep: int, work: _Work) -> float | None:
        """Expected seconds from a position on, with the best look next."""
        if position.standing.named or not position.open_looks.any():
            return self._now(position.standing)
        shallow = one_deep(position.standing, self.outlook)
        order = np.argsort(shallow, kind="stable")[: min(WIDTH, int(position.open_looks.sum()))]
        costs = [self._cost(position, int(f), deep, work) for f in order]
        found = [cost for cost in costs if cost is not None]
        return min(found) if len(found) == len(costs) else None

    def _unseen(self, position: Supposed, f: int) -> float:
        """What is still to come where the look told nothing: another look one deep."""
        shallow = one_deep(position.standing.unseen(f), self.outlook)
        return float(shallow.min()) if np.isfinite(shallow).any() else self._now(position.standing)

    def _now(self, standing: Standing) -> float:
        return float(self.outlook.seconds(self.ground, standing.by_part, standing.parts, standing.lacking))

    def _two_deep(self, position: Supposed, f: int, work: _Work) -> float | None:
        """Look f, then over each of its answers the best of all looks, then the outlook."""
        ground, rows = self.ground, self.ground.rows[f]
        values = rows.stop - rows.start
        if not work.take(values):
            return None
        joint = position.standing.joint[:, rows]
        chances = joint.sum(axis=0)
        here = joint / np.maximum(chances, 1e-300)
        touched = len(position.touched | {int(ground.assembly[f])})
        now = self._outlook(here, position, np.full(values, max(0, ground.enough - touched)))
        named = ground.likeliest(here, position.parts) >= ground.settled
        seconds = self._second_looks(position, f, chances, now, touched)
        least = np.where(named | ~np.isfinite(seconds).any(axis=1), now, seconds.min(axis=1))
        told = float(least @ chances / chances.sum())
        blind = ground.blind[f]
        unseen = self._unseen(position, f) if blind > 0 else 0.0
        return float(ground.seconds[f] + (1 - blind) * told + blind * unseen)

    def _second_looks(self, position: Supposed, f: int, chances: Floats, now: Floats, touched: int) -> Floats:
        """Expected seconds after each answer to f with every other look next, shape (K, F); infinite where shut."""
        ground = self.ground
        joint = position.joints_after(f)
        answers = joint.sum(axis=0)
        fresh = position.standing.fresh & (ground.assembly != ground.assembly[f])
        lacking = np.maximum(0, ground.enough - touched - fresh)[ground.look_of_row]
        later = self._outlook(joint / np.maximum(answers, 1e-300), position, lacking)
        told = np.add.reduceat(answers * later, ground.starts, axis=1) / np.maximum(chances, 1e-300)[:, None]
        seconds = ground.seconds + (1 - ground.blind) * told + ground.blind * now[:, None]
        return np.asarray(np.where(position.open_after(f), seconds, np.inf))

    def _outlook(self, chances: Floats, position: Supposed, lacking: Floats) -> Floats:
        return self.outlook.seconds(self.ground, chances, position.parts, lacking)


def thinker(
    examination: Examination, *, learn: bool = True, stop: Callable[[], bool] = lambda: False
) -> Thinker | None:
    """What `prepare` needs, good for every case on this base with this situation, goal and claim.

    Learning the outlook takes seconds; without it, or where `stop` said so, the plain one stands. None where this
    situation offers no look.
    """
    ground = ground_of(
        examination.compiled, examination.situation, examination.goal, examination.claim, also=examination.also
    )
    if ground is None:
        return None
    learned = learned_outlook(ground, stop=stop) if learn else None
    return Thinker(ground, learned or plain_outlook(ground))


def prepare(
    examination: Examination,
    look: str,
    *,
    seconds: float | None = None,
    stop: Callable[[], bool] = lambda: False,
    budget: int = BUDGET,
    thinking: Thinker | None = None,
) -> Prepared:
    """Work out the next look for each answer to `look`, likeliest answers first, until `stop` or the seconds are over.

    Safe in a worker thread: nothing that is shared is changed. Answers not reached are left out of `next`; for those
    greedy stands. Without `thinking` the plain outlook is used.
    """
    thinking = thinking or thinker(examination, learn=False)
    end = time.monotonic() + seconds if seconds is not None else None

    def is_over() -> bool:
        return stop() or (end is not None and time.monotonic() >= end)

    found: dict[str | None, Deeper | None] = {}
    answers = answers_likeliest_first(examination, look)
    for value in answers:
        if is_over():
            break
        told = {"unseen": True} if value is None else {"is": value}
        after = examination.with_answer(Observation.model_validate({"feature": look, **told}))
        if after.settled or not after.looks:
            found[value] = None
        elif thinking is None:
            found[value] = Deeper(after.looks[0].feature, 1, 0)
        else:
            found[value] = thinking.choose(after.ranking, after.open_features, after.looks, budget=budget, stop=is_over)
    return Prepared(look, found, len(found) == len(answers))


def answers_likeliest_first(examination: Examination, look: str) -> list[str | None]:
    """The values of a look and None for "cannot tell", by how probable each answer is."""
    base = examination.compiled.base
    expected = examination.expected.get(look)
    if expected is None:
        found = expectations(examination.compiled.looks, examination.ranking, examination.parts, {look})
        expected = found[look]
    blind = cannot_tell(base, look)
    chances: dict[str | None, float] = {
        value: (1 - blind) * float(chance)
        for value, chance in zip(base.features[look].value_ids, expected.answers, strict=True)
    }
    chances[None] = blind
    return sorted(chances, key=lambda value: -round(chances[value], 9))
