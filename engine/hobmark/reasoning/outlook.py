"""The outlook from a position: how many seconds of looks are still to come until the goal counts as settled.

A function of the parts' probabilities and of how many assemblies are still to be looked at. Its form is fixed; the
weights are learned for a base, a situation and a goal by playing simulated games and by fitted value iteration: what a
position is worth is the least, over all looks, of the look's seconds and the worth of where it leads.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from hobmark.reasoning.cells import Floats, Ints
from hobmark.reasoning.ground import Ground
from hobmark.reasoning.supposing import Standing, Supposed, opening, plogp

FRESH_BITS = 0.4
"""What a look at an assembly not looked at yet is worth beside its bits, while enough of them are lacking."""
GAMES, ROUNDS = 1600, 3
"""Simulated games to learn from, and rounds of value iteration. With a quarter of the games what is learned depends on
which were drawn, by some hundredths of greedy's seconds; twice the rounds lost two hundredths."""
MOST_KEPT = 25_000_000
"""Numbers kept of the positions that value iteration goes over, 200 megabytes: those of the first games."""
WANDERING = 0.3
"""Share of looks in these games that are drawn from the best AMONG, so that other positions than the best are met."""
AMONG = 8
MOST_LOOKS = 40
"""A game longer than this is broken off."""
RIDGE, RIDGE_OF_PARTS = 3.0, 100.0
"""Weight of the penalty on the weights; the parts' own have another where the seconds are those of games, since few
games end in each part. Value iteration, whose seconds are expected ones, needs no more than the first."""

_LOOKS = (0.15, 0.36, 2.8, 0.3, 0.0, 11.4)
"""Where nothing was learned, weights in looks of the usual seconds: as found on the shipped base, parts apart."""
_PER_ASSEMBLY = 1.25
WRONG = 15
"""What a settled answer that is wrong costs, in looks of the usual seconds. At nothing, looks thought ahead aim at the
bare probability that settles, and a settled answer is true a little less often than greedy's."""
SHARED = len(_LOOKS)
"""Weights that do not belong to one part."""


@dataclass(frozen=True)
class Outlook:
    """Weights in seconds: `shared` (SHARED,), then one for each part's share of the entropy (parts,).

    `each` is what every assembly still lacking costs once the goal has a name.
    """

    shared: Floats
    by_part: Floats
    each: float
    wrong: float

    def seconds(self, ground: Ground, chances: Floats, parts: Ints, lacking: Floats | Ints | int) -> Floats:
        """Expected seconds to come; `chances` has shape (G, ...), `lacking` that of what is left without G."""
        shares = -plogp(chances)
        own = np.tensordot(np.vstack([np.ones(len(parts)), self.by_part[parts]]), shares, (1, 0))
        top = ground.likeliest(chances, parts)
        short = np.maximum(0.0, np.log(np.maximum(1 - top, 1e-9) / max(1 - ground.settled, 1e-9)))
        strange = chances[ground.unlisted[parts]].sum(axis=0)
        w = self.shared
        open_goal = w[0] + (w[1] + w[4] * lacking) * own[0] + w[2] * short + w[3] * lacking + w[5] * strange + own[1]
        open_goal = np.maximum(open_goal, self.each * np.maximum(lacking, 1))
        return np.asarray(np.where(top >= ground.settled, self.each * lacking + self.wrong * (1 - top), open_goal))


def plain_outlook(ground: Ground) -> Outlook:
    """The outlook where nothing was learned of this base."""
    looks = ground.usual_seconds
    none = np.zeros(int(ground.parts.max()) + 1)
    return Outlook(looks * np.array(_LOOKS), none, looks * _PER_ASSEMBLY, looks * WRONG)


def one_deep(position: Standing, outlook: Outlook) -> Floats:
    """Expected seconds until settled with each look taken next and the outlook after it, shape (F,)."""
    ground = position.ground
    answers = position.joint.sum(axis=0)
    chances = position.joint / np.maximum(answers, 1e-300)
    lacking = np.maximum(0, ground.enough - len(position.touched) - position.fresh)
    later = outlook.seconds(ground, chances, position.parts, lacking[ground.look_of_row])
    unchanged = outlook.seconds(ground, position.by_part, position.parts, position.lacking)
    told = np.add.reduceat(answers * later, ground.starts)
    seconds = ground.seconds + (1 - ground.blind) * told + ground.blind * unchanged
    return np.asarray(np.where(position.open_looks, seconds, np.inf))


@dataclass(frozen=True, slots=True)
class _Met:
    """A position met in a game: what the weights multiply in it, the looks taken before and the seconds still to come.

    `standing` is kept of undecided positions, and while there is room: it takes up to a megabyte.
    """

    about: Floats
    named: bool
    lacking: int
    taken: int
    seconds: float
    standing: Standing | None


def learned_outlook(
    ground: Ground, *, games: int = GAMES, seed: int = 1, stop: Callable[[], bool] = lambda: False
) -> Outlook | None:
    """Learn the outlook of a ground from so many games; the same seed gives the same. None where `stop` said so."""
    start = opening(ground)
    met: list[_Met] = []
    room = MOST_KEPT
    for number in range(games):
        if stop():
            return None
        played = _game(start, np.random.default_rng([seed, number]), keep=room > 0)
        room -= sum(one.standing.joint.size for one in played if one.standing is not None)
        met += played
    undecided = [one for one in met if not one.named]
    named = [one for one in met if one.named and one.lacking]
    outlook = plain_outlook(ground)
    if named:
        outlook = replace(outlook, each=float(np.mean([one.seconds / one.lacking for one in named])))
    kept = [one for one in undecided if one.standing is not None]
    if len(kept) < SHARED:
        return outlook
    outlook = _fitted(
        outlook,
        np.array([one.about for one in undecided]),
        np.array([one.seconds for one in undecided]),
        np.array([one.taken for one in undecided], dtype=np.float64),
    )
    about = np.array([one.about for one in kept])
    for _ in range(ROUNDS):
        if stop():
            return None
        least = [one_deep(one.standing, outlook).min() for one in kept if one.standing is not None]
        outlook = _fitted(outlook, about, np.array(least))
    return outlook


def _described(standing: Standing) -> Floats:
    """What the weights multiply in one position, shape (SHARED + parts,)."""
    ground, chances = standing.ground, standing.by_part
    shares = np.zeros(int(ground.parts.max()) + 1)
    shares[standing.parts] = -plogp(chances)
    top = float(ground.likeliest(chances, standing.parts))
    short = max(0.0, float(np.log(max(1 - top, 1e-9) / max(1 - ground.settled, 1e-9))))
    lacking, entropy = standing.lacking, float(shares.sum())
    strange = float(chances[ground.unlisted[standing.parts]].sum())
    return np.concatenate([[1.0, entropy, short, lacking, lacking * entropy, strange], shares])


def _fitted(outlook: Outlook, about: Floats, seconds: Floats, taken: Floats | None = None) -> Outlook:
    """Least squares with a small penalty.

    Long games are hard ones and have more positions, so where the seconds are those of games the looks `taken` before
    a position are fitted beside and left out again.
    """
    columns = about
    penalty = np.full(about.shape[1], RIDGE)
    penalty[0] = 0.01
    if taken is not None:
        penalty[SHARED:] = RIDGE_OF_PARTS
        beside = np.column_stack([taken, np.maximum(0, taken - 6), np.maximum(0, taken - 12)])
        columns = np.column_stack([about, beside])
        penalty = np.concatenate([penalty, np.full(beside.shape[1], 0.01)])
    weights: Floats = np.linalg.solve(columns.T @ columns + np.diag(penalty), columns.T @ seconds).astype(np.float64)
    own = weights[: about.shape[1]].copy()
    own[0] += float((columns @ weights - about @ own).mean())
    return replace(outlook, shared=own[:SHARED], by_part=own[SHARED:])


def _game(start: Supposed, stream: np.random.Generator, *, keep: bool) -> list[_Met]:
    """The positions of one simulated game but for those without an open look; answers as the position expects them."""
    ground, position = start.ground, start
    met: list[tuple[Standing, float]] = []
    paid = 0.0
    while len(met) < MOST_LOOKS and position.open_looks.any():
        standing = position.standing
        met.append((standing, paid))
        f = _next_in_game(standing, stream)
        if f is None:
            break
        paid += float(ground.seconds[f])
        if stream.random() < ground.blind[f]:
            position = position.unseen(f)
            continue
        chances = np.cumsum(standing.joint.sum(axis=0)[ground.rows[f]])
        value = int(np.searchsorted(chances, stream.random() * chances[-1], side="right"))
        position = position.after(f, min(value, len(chances) - 1))
    return [
        _Met(
            _described(standing),
            standing.named,
            standing.lacking,
            looks,
            paid - before,
            standing if keep and not standing.named else None,
        )
        for looks, (standing, before) in enumerate(met)
    ]


def _next_in_game(position: Standing, stream: np.random.Generator) -> int | None:
    ground = position.ground
    offered = position.open_looks
    if position.named:
        offered = offered & position.fresh
    if not offered.any() or (position.named and not position.lacking):
        return None
    if not position.named and position.bits[offered].max() < ground.worth:
        return None
    extra = FRESH_BITS * position.fresh if position.lacking else 0.0
    index = np.where(offered, (position.bits + extra) / ground.seconds, -1.0)
    best = np.argsort(-index, kind="stable")[: min(AMONG, int(offered.sum()))]
    wanders = not position.named and stream.random() < WANDERING
    return int(stream.choice(best)) if wanders else int(best[0])
