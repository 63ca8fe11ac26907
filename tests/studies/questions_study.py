"""What choosing looks well saves: simulated ranges played by the program and by plainer policies.

Every policy meets the same ranges, is told the same answers and stops by the same rules; only the order of looks
differs. Prints one table, and the seconds of the program against each checklist. Exit status 1 where the target is
missed.
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
from hobmark.reasoning.examination import compile_base
from playing import Played, Player, Policy, Stop, StoppedBy, by_gain, by_index, in_order, play

PROGRAM, GAIN, CHECKLIST, WALK, RANDOM = (
    "program",
    "gain, cost ignored",
    "checklist by opening index",
    "checklist in file order",
    "random order",
)
POLICIES = (PROGRAM, GAIN, CHECKLIST, WALK, RANDOM)
MOST_OF_CHECKLIST = 0.75
"""Target: the program's mean seconds as a share of the checklist's."""
LEAST_RIGHT = 0.95
"""Target: how often a settled answer is true."""
BINS = 10
PACKET = 25
"""Ranges a worker takes at a time."""

_ready: tuple[Player, tuple[SimulatedRange, ...], int] | None = None


def prepare(root: Path, count: int, seed: int, situation: Situation, goal: Goal) -> None:
    """Read, compile and draw once in each worker; the draws are the same in all."""
    global _ready
    compiled = compile_base(read_base([root]))
    _ready = Player(compiled, situation, goal), draw_ranges(compiled, count, seed), seed


def policy_for(name: str, player: Player, simulated: SimulatedRange, seed: int) -> Policy:
    """The policy of a name; a random order is drawn for each range from a stream that no answer comes from."""
    if name == PROGRAM:
        return by_index
    if name == GAIN:
        return by_gain
    if name == CHECKLIST:
        return in_order(player.opening_order)
    offered = [feature for feature in player.compiled.base.features if feature in player.seconds]
    if name == WALK:
        return in_order(offered)
    return in_order(np.random.default_rng([seed, simulated.number, 1]).permutation(offered).tolist())


def games(first: int) -> list[list[Played]]:
    """One packet of ranges, played by each policy in turn."""
    assert _ready is not None
    player, ranges, seed = _ready
    numbers = player.compiled.base.wording.stop
    stop = Stop(numbers.settled, numbers.worth_a_look)
    packet = ranges[first : first + PACKET]
    return [[play(player, one, policy_for(name, player, one, seed), stop) for one in packet] for name in POLICIES]


def calibration_error(played: list[Played]) -> float:
    """ECE of the answer's probability at the stop, in BINS bins of equal width."""
    said = np.array([game.probability for game in played])
    true = np.array([game.right for game in played], dtype=float)
    place = np.minimum((said * BINS).astype(int), BINS - 1)
    gaps = [abs(said[place == b].sum() - true[place == b].sum()) for b in range(BINS)]
    return float(sum(gaps) / len(played))


def right_of(played: list[Played]) -> float:
    """The share of games with a true answer."""
    return float(np.mean([game.right for game in played])) if played else float("nan")


def line_of(name: str, played: list[Played]) -> str:
    """One line of the table."""
    settled = [game for game in played if game.stopped_by is StoppedBy.SETTLED]
    looks = np.array([game.looks for game in played])
    seconds = np.array([game.seconds for game in played])
    said = float(np.mean([game.probability for game in played]))
    return (
        f"{name:27} {len(settled) / len(played):7.3f} {looks.mean():6.2f} {np.median(looks):4.0f}"
        f" {seconds.mean():8.1f} {np.median(seconds):6.0f} {right_of(settled):7.3f} {right_of(played):6.3f}"
        f" {said:6.3f} {calibration_error(played):6.3f}"
    )


def ratio_of(ours: list[Played], theirs: list[Played]) -> tuple[float, float, float]:
    """Ratio of mean seconds over the same ranges, and the middle 95% of it when the ranges are drawn again."""
    pair = np.array([[game.seconds for game in ours], [game.seconds for game in theirs]])
    again = np.random.default_rng(0).integers(0, pair.shape[1], (1000, pair.shape[1]))
    means = pair[:, again].mean(axis=2)
    low, high = np.quantile(means[0] / means[1], [0.025, 0.975])
    return float(pair[0].mean() / pair[1].mean()), float(low), float(high)


def main() -> int:
    """Run the study."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    asked.add_argument("--ranges", type=int, default=2000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--situation", type=Situation, default=Situation.SALE, choices=list(Situation))
    asked.add_argument("--goal", type=Goal, default=Goal.VARIANT, choices=[Goal.VARIANT, Goal.YEAR, Goal.MAKER])
    asked.add_argument("--knowledge", type=Path, default=knowledge_root())
    asked.add_argument("--processes", type=int, default=2)
    told = asked.parse_args()
    began = time.monotonic()
    base = read_base([told.knowledge])
    prepared = (told.knowledge, told.ranges, told.seed, told.situation, told.goal)
    played: dict[str, list[Played]] = {name: [] for name in POLICIES}
    with ProcessPoolExecutor(told.processes, initializer=prepare, initargs=prepared) as pool:
        for packet in pool.map(games, range(0, told.ranges, PACKET)):
            for name, found in zip(POLICIES, packet, strict=True):
                played[name] += found
    listed = sum(len(folder.variants) for folder in base.makers.values())
    print(f"{told.ranges} ranges of {listed} variants, seed {told.seed}; {told.situation}, goal {told.goal};", end=" ")
    print(f"{len(drawn_features(compile_base(base)))} features drawn of {len(base.features)}")
    print(f"{'':27} settled  looks       seconds        right when  right")
    print(f"{'policy':27}   share   mean  med     mean    med settled    all   said    ECE")
    for name in POLICIES:
        print(line_of(name, played[name]))
    ratios = {name: ratio_of(played[PROGRAM], played[name]) for name in (CHECKLIST, WALK)}
    for name, (ratio, low, high) in ratios.items():
        print(f"seconds, program / {name}: {ratio:.3f} ({low:.3f} to {high:.3f})")
    settled = right_of([game for game in played[PROGRAM] if game.stopped_by is StoppedBy.SETTLED])
    met = ratios[CHECKLIST][0] <= MOST_OF_CHECKLIST and settled >= LEAST_RIGHT
    print(f"target: at most {MOST_OF_CHECKLIST} of the checklist, right when settled {LEAST_RIGHT} or more:", end=" ")
    print("met" if met else "NOT met", f"({time.monotonic() - began:.0f} s)")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
