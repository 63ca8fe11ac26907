"""What is not a range's own: how often the program calls a swapped assembly, how often rightly, how well calibrated.

Ranges are drawn from the base that judges them, and from bases whose swap rates, words or priors are others. Beside
the program stands the optimum, coded apart, that knows how each of these draws came about. Exit status 1 where a
target is missed.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy: the arrays are small, and threads would only wait
sys.path.append(str(Path(__file__).parents[1]))  # for the optimum, which the tests of outside/ hold to enumeration

import numpy as np
from altered import with_doubts, with_swaps, with_units
from hobmark.curating.simulating import SimulatedRange, draw_ranges, drawn_features
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.vocabulary import Situation
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Compiled, compile_base
from hobmark.reasoning.questions import cannot_tell
from outside.swap_optimum import optimum_for
from playing import Player
from verdicts import Verdicts, calibration_error

FIRST_LOOKS = 15
"""A sale's worth of looks: the first so many of the program's opening order."""
FROM_OPTIMUM = 0.01
"""Target: how far precision and recall may lie from the optimum's where the base is true."""
ECE_TRUE, ECE_ALTERED = 0.02, 0.04
"""Targets: calibration error where the base is true, and where ranges come from an altered one."""
TRUE, LISTED = "the base is true", "the same, listed variants only"
BASES: dict[str, Callable[[KnowledgeBase, int], KnowledgeBase]] = {
    TRUE: lambda base, _: base,
    LISTED: lambda base, _: base,
    "swap rates x 2": lambda base, _: with_swaps(base, 2),
    "swap rates / 2": lambda base, _: with_swaps(base, 0.5),
    "(1 - word) x 2": lambda base, _: with_doubts(base, 2),
    "(1 - word) / 2": lambda base, _: with_doubts(base, 0.5),
    "units x 2 or / 2": lambda base, seed: with_units(base, 2, seed),
}
"""Where ranges are drawn from: what becomes of the judging base, given the seed."""

_judge: Player | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """One set of ranges after so many looks, over every assembly that can be swapped, (ranges x A,) each.

    `changed` marks swaps after which a looked-at feature shows another value than the range's own part would. `leader`
    holds the probability of the likeliest variant of each range against whether it is that, (ranges,).
    """

    name: str
    looks: int
    ranges: int
    program: Verdicts
    optimum: Verdicts
    changed: np.ndarray
    leader: Verdicts

    @property
    def error(self) -> float:
        """ECE of the program, over bins of equal width."""
        return calibration_error(self.program.curve)

    @property
    def from_optimum(self) -> float:
        """The larger distance of the program's precision and recall from the optimum's."""
        program, optimum = self.program, self.optimum
        return max(abs(program.precision - optimum.precision), abs(program.recall - optimum.recall))


def prepare(root: Path) -> None:
    """Read and compile the judging base once in each worker."""
    global _judge
    _judge = Player(compile_base(read_base([root])), Situation.SALE)


def measure(name: str, count: int, seed: int) -> tuple[Judged, Judged]:
    """Draw ranges as the name says, and judge them after all looks and after the first ones."""
    assert _judge is not None
    base = BASES[name](_judge.compiled.base, seed)
    true = _judge.compiled if base is _judge.compiled.base else compile_base(base)
    ranges = draw_ranges(true, count, seed, None if name == LISTED else true.model.cells.groups)
    found = [
        judged(name, _judge, true, ranges, looks)
        for looks in (drawn_features(true), _judge.opening_order[:FIRST_LOOKS])
    ]
    return found[0], found[1]


def judged(name: str, judge: Player, true: Compiled, ranges: Sequence[SimulatedRange], looks: Sequence[str]) -> Judged:
    """What the program and the optimum say of each range and assembly after these looks, and what was so."""
    model = true.model
    listed = np.array([not model.cells.groups[group].unlisted for group in model.cells.group])
    blind = {feature: cannot_tell(true.base, feature) for feature in drawn_features(true)}
    optimum = optimum_for(true.base, model, blind, listed if name == LISTED else None)
    told = [{feature: one.readings[feature] for feature in looks} for one in ranges]
    may = np.flatnonzero(judge.compiled.model.sigma > 0)
    so = np.array([[model.assemblies[a] in one.swapped for a in may] for one in ranges]).ravel()
    differ = [changed_by(true, one, looks) for one in ranges]
    changed = np.array([[model.assemblies[a] in places for a in may] for places in differ])
    said = [said_of(judge, one, looks) for one in ranges]
    program = np.array([swapped[may] for swapped, *_ in said]).ravel()
    best = optimum.not_its_own(told)[:, may].ravel()
    leader = Verdicts(
        np.array([chance for _, _, chance in said]),
        np.array([group == one.group for one, (_, group, _) in zip(ranges, said, strict=True)]),
    )
    return Judged(name, len(looks), len(ranges), Verdicts(program, so), Verdicts(best, so), changed.ravel(), leader)


def said_of(judge: Player, one: SimulatedRange, looks: Sequence[str]) -> tuple[np.ndarray, Group, float]:
    """What the program says after these looks: P(not its own) of each assembly (A,), the leading line and its P."""
    position = judge.opening
    for feature in looks:
        position = position.after(feature, one.answer(feature))
    ranking = position.ranking
    return ranking.swapped, ranking.model.cells.groups[ranking.leader], float(ranking.by_group[ranking.leader])


def changed_by(true: Compiled, one: SimulatedRange, looks: Sequence[str]) -> frozenset[str]:
    """The swapped assemblies of which a look that told something met another value than before the swap."""
    seen = (feature for feature in looks if one.readings[feature] is not None and feature not in one.swapped_alone)
    differ = {true.base.features[feature].assembly for feature in seen if one.shows[feature] != one.own[feature]}
    return one.swapped & differ


def print_table(found: Sequence[Judged]) -> None:
    """One line for each set of ranges."""
    print(f"{'':30}{'':6}   precision       recall   of changed    ECE, bins of        alarms leader")
    print(f"{'ranges drawn from':30} swaps  prog   opt   prog   opt   prog   opt  width count  Brier a range   ECE")
    for one in found:
        program, optimum = one.program, one.optimum
        pairs = (
            (program.precision, optimum.precision),
            (program.recall, optimum.recall),
            (program.recall_among(one.changed), optimum.recall_among(one.changed)),
        )
        print(
            f"{one.name:30}{int(program.true.sum()):6}",
            *(f"{ours:6.3f}{theirs:6.3f}" for ours, theirs in pairs),
            f"{one.error:6.4f}{calibration_error(program.curve_of_equal_counts):7.4f}{program.brier:7.4f}"
            f"{program.false_alarms / one.ranges:7.3f}{calibration_error(one.leader.curve):7.4f}",
        )


def print_curve(one: Judged) -> None:
    """The calibration curve, program beside optimum."""
    print(f"\ncalibration, {one.name}, {one.looks} looks")
    print(f"{'':12}{'program':>26}{'optimum':>27}")
    print("P(not its own)    count    said      so      count    said      so")
    others = {line.low: line for line in one.optimum.curve}
    for line in one.program.curve:
        beside = others.get(line.low)
        theirs = f"{beside.count:9}  {beside.said:6.3f}  {beside.true:6.3f}" if beside else ""
        print(f"{line.low:4.1f} to {line.high:3.1f} {line.count:12}  {line.said:6.3f}  {line.true:6.3f}  {theirs}")


def missed(found: Sequence[Judged]) -> list[str]:
    """The targets that all looks miss, each as a line."""
    lines = []
    for one in found:
        true = one.name in (TRUE, LISTED)
        most = ECE_TRUE if true else ECE_ALTERED
        for what, error in (("not its own", one.error), ("the leader", calibration_error(one.leader.curve))):
            if not error <= most:
                lines.append(f"{one.name}: ECE of {what} {error:.4f}, at most {most} wanted")
        if true and not one.from_optimum <= FROM_OPTIMUM:
            lines.append(f"{one.name}: {one.from_optimum:.4f} from the optimum, at most {FROM_OPTIMUM} wanted")
    return lines


def main() -> int:
    """Run the study."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    asked.add_argument("--ranges", type=int, default=20_000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--knowledge", type=Path, default=knowledge_root())
    asked.add_argument("--processes", type=int, default=2)
    told = asked.parse_args()
    began = time.monotonic()
    with ProcessPoolExecutor(told.processes, initializer=prepare, initargs=(told.knowledge,)) as pool:
        found = list(pool.map(measure, BASES, [told.ranges] * len(BASES), [told.seed] * len(BASES)))
    whole, early = [first for first, _ in found], [second for _, second in found]
    for part in (whole, early):
        print(f"{told.ranges} ranges, seed {told.seed}; {part[0].looks} looks; called at 0.5")
        print_table(part)
        print()
    print_curve(whole[0])
    print_curve(early[0])
    lines = missed(whole)
    print(
        f"\ntargets, all looks: within {FROM_OPTIMUM} of the optimum and ECE at most {ECE_TRUE} where the base is true,"
        f"\nECE at most {ECE_ALTERED} elsewhere:",
        "NOT met" if lines else "met",
        f"({time.monotonic() - began:.0f} s)",
    )
    for line in lines:
        print(" ", line)
    return 1 if lines else 0


if __name__ == "__main__":
    sys.exit(main())
