"""What thinking ahead saves: simulated ranges played greedily, and with every look after the first prepared ahead.

Both meet the same ranges, are told the same answers and stop by the same rules. The look on the screen is greedy, since
it must be there at once; each later one was worked out while the person took the look before it. Prints one table and
the ratio of seconds, paired by range. Exit status 1 where the target is missed.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy: the arrays are small, and threads would only wait

import numpy as np
from hobmark.curating.simulating import SimulatedRange, draw_ranges, drawn_features
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.ahead import BUDGET, Thinker
from hobmark.reasoning.examination import compile_base
from hobmark.reasoning.ground import ground_of
from hobmark.reasoning.outlook import learned_outlook, plain_outlook
from playing import SHARED_LOOKS, Played, Player, Policy, Position, Stop, StoppedBy, by_index, play
from questions_study import line_of, ratio_of, right_of

GREEDY, PLAIN, AHEAD = "greedy", "ahead, nothing learned", "ahead"
POLICIES = (GREEDY, PLAIN, AHEAD)
MOST_OF_GREEDY = 0.93
"""Target: mean seconds with looks prepared ahead as a share of greedy's."""
LEAST_RIGHT, MOST_LOST = 0.95, 0.01
"""Target: how often a settled answer is true, and how much less often than greedy's at most."""
PACKET = 25
"""Ranges a worker takes at a time."""

_ready: tuple[Player, tuple[SimulatedRange, ...], dict[str, Policy]] | None = None


def thinking_ahead(thinking: Thinker, budget: int) -> Policy:
    """Greedy at first, then what thinking ahead prepared; early positions, which many games share, are kept."""
    kept: dict[tuple[object, ...], str | None] = {}

    def chosen(position: Position) -> str | None:
        if not position.told:
            return by_index(position)
        open_features = [feature for feature in position.player.seconds if position.is_open(feature)]
        found = thinking.choose(position.ranking, open_features, position.looks, budget=budget)
        return found.feature if found is not None else None

    def policy(position: Position) -> str | None:
        if len(position.told) > SHARED_LOOKS:
            return chosen(position)
        key = tuple(position.told.items())
        if key not in kept:
            kept[key] = chosen(position)
        return kept[key]

    return policy


def prepare(root: Path, count: int, seed: int, situation: Situation, goal: Goal, budget: int) -> None:
    """Read, compile, learn and draw once in each worker; the same in all. What is learned from has another seed."""
    global _ready
    compiled = compile_base(read_base([root]))
    ground = ground_of(compiled, situation, goal, features=drawn_features(compiled))
    if ground is None:
        raise SystemExit(f"{situation} offers no look")
    outlook = learned_outlook(ground, seed=seed + 1_000_000) or plain_outlook(ground)
    policies = {
        GREEDY: by_index,
        PLAIN: thinking_ahead(Thinker(ground, plain_outlook(ground)), budget),
        AHEAD: thinking_ahead(Thinker(ground, outlook), budget),
    }
    _ready = Player(compiled, situation, goal), draw_ranges(compiled, count, seed), policies


def games(first: int) -> list[list[Played]]:
    """One packet of ranges, played by each policy in turn."""
    assert _ready is not None
    player, ranges, policies = _ready
    numbers = player.compiled.base.wording.stop
    stop = Stop(numbers.settled, numbers.worth_a_look)
    packet = ranges[first : first + PACKET]
    return [[play(player, one, policies[name], stop) for one in packet] for name in POLICIES]


def settled_right(played: list[Played]) -> float:
    """How often an answer is true that the game was stopped on."""
    return right_of([game for game in played if game.stopped_by is StoppedBy.SETTLED])


def lost_right(ours: list[Played], theirs: list[Played]) -> tuple[float, float, float]:
    """How much less often answers are true than theirs, over the ranges settled by both, and the middle 95% of it."""
    both = [
        (one.right, other.right)
        for one, other in zip(ours, theirs, strict=True)
        if one.stopped_by is StoppedBy.SETTLED and other.stopped_by is StoppedBy.SETTLED
    ]
    lost = np.array([float(other) - float(one) for one, other in both])
    again = np.random.default_rng(0).integers(0, len(lost), (1000, len(lost)))
    low, high = np.quantile(lost[again].mean(axis=1), [0.025, 0.975])
    return float(lost.mean()), float(low), float(high)


def main() -> int:
    """Run the study."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    asked.add_argument("--ranges", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--situation", type=Situation, default=Situation.SALE, choices=list(Situation))
    asked.add_argument("--goal", type=Goal, default=Goal.VARIANT, choices=[Goal.VARIANT, Goal.YEAR, Goal.MAKER])
    asked.add_argument("--budget", type=int, default=BUDGET, help="positions looked into for each look")
    asked.add_argument("--knowledge", type=Path, default=knowledge_root())
    asked.add_argument("--processes", type=int, default=2)
    told = asked.parse_args()
    began = time.monotonic()
    prepared = (told.knowledge, told.ranges, told.seed, told.situation, told.goal, told.budget)
    played: dict[str, list[Played]] = {name: [] for name in POLICIES}
    with ProcessPoolExecutor(told.processes, initializer=prepare, initargs=prepared) as pool:
        for packet in pool.map(games, range(0, told.ranges, PACKET)):
            for name, found in zip(POLICIES, packet, strict=True):
                played[name] += found
    print(f"{told.ranges} ranges, seed {told.seed}; {told.situation}, goal {told.goal}; budget {told.budget}")
    print(f"{'':27} settled  looks       seconds        right when  right")
    print(f"{'policy':27}   share   mean  med     mean    med settled    all   said    ECE")
    for name in POLICIES:
        print(line_of(name, played[name]))
    ratios = {name: ratio_of(played[name], played[GREEDY]) for name in (PLAIN, AHEAD)}
    for name, (ratio, low, high) in ratios.items():
        quicker = float(np.mean([a.seconds < b.seconds for a, b in zip(played[name], played[GREEDY], strict=True)]))
        slower = float(np.mean([a.seconds > b.seconds for a, b in zip(played[name], played[GREEDY], strict=True)]))
        print(f"seconds, {name} / greedy: {ratio:.3f} ({low:.3f} to {high:.3f});", end=" ")
        print(f"quicker for {quicker:.0%} of the ranges, slower for {slower:.0%}")
    right, greedys = settled_right(played[AHEAD]), settled_right(played[GREEDY])
    met = ratios[AHEAD][0] <= MOST_OF_GREEDY and right >= max(LEAST_RIGHT, greedys - MOST_LOST)
    lost, low, high = lost_right(played[AHEAD], played[GREEDY])
    print(f"right when settled: ahead {right:.4f}, greedy {greedys:.4f}; over the ranges settled by both", end=" ")
    print(f"{lost:.4f} less ({low:.4f} to {high:.4f})")
    print(f"target: at most {MOST_OF_GREEDY} of greedy's seconds, and as right:", end=" ")
    print("met" if met else "NOT met", f"({time.monotonic() - began:.0f} s)")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
