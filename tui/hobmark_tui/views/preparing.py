"""Looks prepared while a person looks: for each answer they may give, the look to ask next."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal, Situation, Sure
from hobmark.reasoning.ahead import Thinker, prepare, thinker
from hobmark.reasoning.goals import Claim

from hobmark_tui.views.standing import Standing


@dataclass(frozen=True)
class Prepared:
    """For one look: the look to ask next after each single value it may turn out to be, and after None, not seen."""

    feature: str
    after: Mapping[str | None, str]

    def next_after(self, seen: Observation) -> str | None:
        """The look prepared for an answer; None where none was, and the best look by itself is asked."""
        if seen.feature != self.feature:
            return None
        if seen.unseen:
            return self.after.get(None)
        if seen.is_ is None or len(seen.is_) != 1 or seen.sure is not Sure.CERTAIN:
            return None
        return self.after.get(seen.is_[0])


Prepare = Callable[[Standing, Callable[[], bool]], Prepared | None]
"""Works on a thread of its own on what is shown; the second argument tells whether it has become of no use."""


@dataclass
class Ahead:
    """Prepares; keeps what was learned once for a situation and a goal, as long as the program runs."""

    thinkers: dict[tuple[Situation, Goal, Claim | None], Thinker | None] = field(default_factory=dict)

    def __call__(self, standing: Standing, stop: Callable[[], bool]) -> Prepared | None:
        """The looks after each answer to the look that a standing asks, as far as `stop` lets it come."""
        examination, look = standing.offered, standing.look
        if look is None:
            return None
        aim = (examination.situation, examination.goal, examination.claim)
        if aim not in self.thinkers:
            learned = thinker(examination, stop=stop)
            if stop():
                return None
            self.thinkers[aim] = learned
        found = prepare(examination, look, stop=stop, thinking=self.thinkers[aim])
        return Prepared(look, {value: deeper.feature for value, deeper in found.next.items() if deeper is not None})
