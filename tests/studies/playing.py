"""Games on simulated ranges: a policy chooses look after look until it is settled or nothing is worth a look.

The program's own policy is the code its users get; the others are what it is measured against.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

import numpy as np
from hobmark.curating.simulating import SimulatedRange, drawn_features
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.cells import Floats, Group, Ints
from hobmark.reasoning.evidence import Message
from hobmark.reasoning.examination import Compiled
from hobmark.reasoning.exposing import exposing_looks, is_tested
from hobmark.reasoning.goals import best_window, likeliest, partition
from hobmark.reasoning.questions import GATE_HOLDS, Look, cost_of, expectations, ranked_looks
from hobmark.reasoning.ranking import Ranking, rank

Told = Mapping[str, frozenset[str] | None]
"""Feature -> the values it may have (None: could not tell), in the order of the looks."""

SHARED_LOOKS, MOST_SHARED = 3, 150
"""Positions up to so many looks, and so many of them, are kept: games that choose alike begin alike."""


@dataclass(frozen=True)
class Player:
    """A base, a situation and a goal made ready for many quick games; no message is worked out twice."""

    compiled: Compiled
    situation: Situation
    goal: Goal = Goal.VARIANT
    _messages: dict[tuple[str, frozenset[str]], Message] = field(default_factory=dict, repr=False)
    _begun: dict[tuple[object, ...], Position] = field(default_factory=dict, repr=False)

    @cached_property
    def seconds(self) -> dict[str, float]:
        """What each look offered here costs; only drawn features."""
        costs = {
            feature: cost_of(self.compiled.base, feature, self.situation) for feature in drawn_features(self.compiled)
        }
        return {feature: cost for feature, cost in costs.items() if cost is not None}

    @cached_property
    def parts(self) -> Ints:
        """The goal as a partition of the cells, shape (H,)."""
        return partition(self.compiled.model.cells, self.goal)

    @cached_property
    def opening(self) -> Position:
        """Before any look."""
        return self.position({})

    @cached_property
    def opening_order(self) -> tuple[str, ...]:
        """Every look offered here, by its index when nothing is known."""
        found = expectations(self.compiled.looks, self.opening.ranking, self.parts, self.seconds)
        return tuple(look.feature for look in ranked_looks(self.compiled.base, found, self.situation))

    def position(self, told: Told) -> Position:
        """The position where so much is told."""
        if len(told) > SHARED_LOOKS:
            return Position(self, told)
        key = tuple(told.items())
        if key not in self._begun and len(self._begun) >= MOST_SHARED:
            return Position(self, told)
        return self._begun.setdefault(key, Position(self, told))

    def message(self, feature: str, values: frozenset[str]) -> Message:
        """The certain reading "one of these values" as a message."""
        if (feature, values) not in self._messages:
            table = self.compiled.model.features[feature]
            reading = table.slips[[value in values for value in table.values]].sum(axis=0)
            made = Message(table.assembly, self.compiled.model.message(feature, reading), feature)
            self._messages[feature, values] = made
        return self._messages[feature, values]


@dataclass(frozen=True)
class Position:
    """What a game knows so far; `told` holds the gates that answers implied, too."""

    player: Player
    told: Told

    @cached_property
    def ranking(self) -> Ranking:
        """The posterior."""
        messages = [self.player.message(f, values) for f, values in self.told.items() if values is not None]
        return rank(self.player.compiled.model, messages)

    @cached_property
    def likeliest(self) -> float:
        """How probable the likeliest answer to the goal is."""
        return likeliest(self.ranking, self.player.goal)

    @cached_property
    def looks(self) -> list[Look]:
        """The open looks as the program ranks them, best first."""
        return self._ranked([feature for feature in self.player.seconds if self.is_open(feature)])

    @cached_property
    def is_tested(self) -> bool:
        """Whether enough assemblies were looked at, or none is left to look at here."""
        places, touched = self.player.compiled.model.features, self.ranking.touched
        unseen = any(places[f].assembly not in touched for f in self.player.seconds if self.is_open(f))
        return is_tested(self.player.compiled.base, self.ranking) or not unseen

    def is_open(self, feature: str) -> bool:
        """Whether the look is offered here, not taken yet, and its gates hold or very probably hold."""
        if feature in self.told or feature not in self.player.seconds:
            return False
        needs = self.player.compiled.base.features[feature].needs
        return all(self._holds(gate, values) for gate, values in needs.items())

    def is_worth(self, bits: float) -> bool:
        """Whether some open look is expected to bring so many bits about the goal.

        Assembly by assembly, so that a policy that never weighs looks needs not pay for all of them.
        """
        if "looks" in vars(self):
            return any(look.bits >= bits for look in self.looks)
        by_assembly: dict[int, list[str]] = {}
        for feature in self.player.seconds:
            if self.is_open(feature):
                place = self.player.compiled.model.features[feature].assembly
                by_assembly.setdefault(place, []).append(feature)
        return any(look.bits >= bits for features in by_assembly.values() for look in self._ranked(features))

    def after(self, feature: str, reading: str | None) -> Position:
        """The position after one more look; the answer to a gated look asserts its gates."""
        told = {**self.told, feature: None if reading is None else frozenset({reading})}
        asserted = [feature] if reading is not None else []
        for name in asserted:  # grows while it is walked: a gate may have a gate
            for gate, values in self.player.compiled.base.features[name].needs.items():
                if told.get(gate) is None:
                    told[gate] = frozenset(values)
                    asserted.append(gate)
        return self.player.position(told)

    def _holds(self, gate: str, values: Collection[str]) -> bool:
        if gate in self.told:
            read = self.told[gate]
            return read is not None and read <= set(values)
        chances = self._gate_answers[gate]
        inside = [value in values for value in self.player.compiled.model.features[gate].values]
        return bool(chances[inside].sum() >= GATE_HOLDS * chances.sum())

    @cached_property
    def _gate_answers(self) -> dict[str, Floats]:
        gates = {gate for feature in self.player.seconds for gate in self.player.compiled.base.features[feature].needs}
        unknown = [gate for gate in gates if gate not in self.told]
        found = expectations(self.player.compiled.looks, self.ranking, self.player.parts, unknown)
        return {gate: expected.answers for gate, expected in found.items()}

    def _ranked(self, features: Collection[str]) -> list[Look]:
        player, base = self.player, self.player.compiled.base
        if self.likeliest >= base.wording.stop.settled:
            return exposing_looks(base, player.compiled.looks, self.ranking, features, player.situation, ())
        found = expectations(player.compiled.looks, self.ranking, player.parts, features)
        return ranked_looks(player.compiled.base, found, player.situation)


Policy = Callable[[Position], str | None]
"""Chooses the next look; None where nothing is left to look at."""


def by_index(position: Position) -> str | None:
    """The program's own choice: expected bits for the seconds they cost."""
    return position.looks[0].feature if position.looks else None


def by_gain(position: Position) -> str | None:
    """The look with the most bits about the goal, whatever it costs."""
    best = sorted(position.looks, key=lambda look: (-round(look.bits, 12), look.feature))
    return best[0].feature if best else None


def in_order(features: Sequence[str]) -> Policy:
    """One order for every range; a gated look waits until its gate holds."""
    return lambda position: next((feature for feature in features if position.is_open(feature)), None)


class StoppedBy(StrEnum):
    """Why a game ended."""

    SETTLED = "settled"
    NOTHING_WORTH = "nothing worth a look"
    NOTHING_LEFT = "nothing left"


@dataclass(frozen=True, slots=True)
class Stop:
    """When to stop: the goal is settled, or no single look is worth taking. None switches a rule off.

    The program also weighs pairs of looks before it gives up; that is too slow for thousands of games, so these
    stop a little earlier where two features only tell together.
    """

    settled: float | None
    worth: float | None


@dataclass(frozen=True, slots=True)
class Played:
    """How one game ended. `leader` is the most probable group, `right` whether the goal's answer is true."""

    number: int
    looks: int
    seconds: float
    stopped_by: StoppedBy
    leader: Group
    truth: Group
    probability: float
    right: bool


Turn = tuple[Position, str | None]
"""A position, and the look that is taken next there."""


def positions(player: Player, simulated: SimulatedRange, policy: Policy) -> Iterator[Turn]:
    """Each position of a game played until nothing is left to look at; the last one has no look."""
    position = player.opening
    while (feature := policy(position)) is not None:
        yield position, feature
        position = position.after(feature, simulated.answer(feature))
    yield position, None


def play(player: Player, simulated: SimulatedRange, policy: Policy, stop: Stop) -> Played:
    """Play one game to its end. A look that tells nothing costs its seconds too."""
    taken: list[str] = []
    for position, feature in positions(player, simulated, policy):
        why = _reason_to_stop(position, feature, stop)
        if why is not None or feature is None:
            break
        taken.append(feature)
    leader = position.ranking.model.cells.groups[position.ranking.leader]
    return Played(
        number=simulated.number,
        looks=len(taken),
        seconds=sum(player.seconds[feature] for feature in taken),
        stopped_by=why or StoppedBy.NOTHING_LEFT,
        leader=leader,
        truth=simulated.group,
        probability=position.likeliest,
        right=_is_right(position, simulated, leader),
    )


def _reason_to_stop(position: Position, feature: str | None, stop: Stop) -> StoppedBy | None:
    if stop.settled is not None and position.likeliest >= stop.settled:
        if position.is_tested:
            return StoppedBy.SETTLED
        return None if feature is not None else StoppedBy.NOTHING_LEFT
    if feature is None:
        return StoppedBy.NOTHING_LEFT
    if stop.worth is not None and not position.is_worth(stop.worth):
        return StoppedBy.NOTHING_WORTH
    return None


def _is_right(position: Position, simulated: SimulatedRange, leader: Group) -> bool:
    goal, ranking = position.player.goal, position.ranking
    if goal is Goal.YEAR:
        window = best_window(ranking.by_year)
        return window.first <= simulated.year <= window.last
    if goal is Goal.MAKER:
        by_maker = np.bincount(position.player.parts, ranking.posterior)
        return (*ranking.model.cells.makers, None)[int(by_maker.argmax())] == simulated.group.maker
    return leader == simulated.group
