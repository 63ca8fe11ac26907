"""How long the engine takes from an answer to what the screen shows of it, at three sizes.

    python tests/bench/look_bench.py [--ranges 4] [--sizes shipped made all]

`shipped` is the shipped base; `made` has 300 variants made 1 to 15 years each of 40, `all` the same made in every year.
Each figure is the median and the 90th percentile over positions from the first look to the last, in milliseconds of the
processor, and the median as a ratio to one product of matrices of that base's size (values of all looks x cells x
variants), timed in the same run. Nothing is asserted. Aimed at, for rank, next look and why together: 35 ms shipped,
135 ms at 300 variants.
"""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Callable
from functools import partial

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy: as in the program

import numpy as np
from big_base import big_base
from hobmark.case import Case
from hobmark.curating.simulating import SimulatedRange, draw_ranges
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.ahead import prepare
from hobmark.reasoning.examination import Compiled, Examination, compile_base
from hobmark.reasoning.stopping import pair_tells, verdict
from hobmark.reports.because import because
from hobmark.reports.findings import findings

SIZES = ("shipped", "made", "all")
MOST_LOOKS = 10

Timed = dict[str, list[float]]


def compiled_base(size: str) -> Compiled:
    """The base of a size, its tables ready."""
    base = read_base([knowledge_root()]) if size == "shipped" else big_base(all_years=size == "all")
    compiled = compile_base(base)
    compiled.looks  # noqa: B018 - worked out once, when the program starts
    return compiled


def seconds(work: Callable[[], object]) -> float:
    """Processor seconds of one call: wall seconds where nothing else runs, and not disturbed by what does."""
    start = time.process_time()
    work()
    return time.process_time() - start


def product(compiled: Compiled) -> Callable[[], object]:
    """One product of matrices of the base's size."""
    model = compiled.model
    rows = sum(len(table.values) for table in model.features.values())
    left, right = np.ones((rows, len(model.cells))), np.ones((len(model.cells), len(model.cells.groups)))
    return partial(np.matmul, left, right)


def game(compiled: Compiled, simulated: SimulatedRange, timed: Timed) -> None:
    """One range looked at from the first look on; every position's parts are timed on an examination of its own."""
    examination = Examination(compiled, Case.model_validate({"hobmark": "1", "observations": []}))
    for _ in range(MOST_LOOKS):
        if examination.settled or examination.best is None:
            return
        feature = examination.best.feature
        answer = simulated.answer(feature)
        told = {"unseen": True} if answer is None else {"is": answer}
        seen = Observation.model_validate({"feature": feature, **told})
        after = partial(examination.with_answer, seen)
        timed["matrix product"].append(seconds(product(compiled)))
        fresh = after()
        timed["rank after one answer"].append(seconds(partial(getattr, fresh, "ranking")))
        timed["next look, ranked"].append(seconds(partial(getattr, fresh, "best")))
        if fresh.best is not None:
            timed["why that look"].append(seconds(partial(because, fresh, fresh.best.feature)))
        timed["verdict, ranked"].append(seconds(partial(verdict, fresh)))
        timed["rank, next look, why"].append(seconds(partial(shown, after())))
        timed["all looks, ranked"].append(seconds(partial(getattr, fresh, "looks")))
        timed["pairs of looks"].append(seconds(partial(pair_tells, fresh)))
        timed["findings, whole"].append(seconds(partial(findings, after(), "case")))
        if fresh.best is not None:
            timed["prepare all answers"].append(seconds(partial(prepare, fresh, fresh.best.feature)))
        examination = fresh


def shown(examination: Examination) -> None:
    """What must be there at once: ranking, next look and its reason, and whether it is settled."""
    if examination.best is not None:
        because(examination, examination.best.feature)
    examination.settled  # noqa: B018 - worked out when asked for


def main() -> None:
    """Print one table for each size."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--ranges", type=int, default=4)
    options.add_argument("--sizes", nargs="+", choices=SIZES, default=list(SIZES))
    told = options.parse_args()
    for size in told.sizes:
        compiled = compiled_base(size)
        timed: Timed = {
            name: []
            for name in (
                "matrix product",
                "rank after one answer",
                "next look, ranked",
                "why that look",
                "verdict, ranked",
                "rank, next look, why",
                "all looks, ranked",
                "pairs of looks",
                "findings, whole",
                "prepare all answers",
            )
        }
        for simulated in draw_ranges(compiled, told.ranges, seed=1):
            game(compiled, simulated, timed)
        cells = compiled.model.cells
        print(f"\n{size}: {len(cells.groups)} lines, {len(compiled.base.features)} looks, {len(cells)} cells")
        unit = float(np.median(timed["matrix product"]))
        for name, found in timed.items():
            middle, most = np.median(found), np.quantile(found, 0.9)
            print(f"{name:22} {middle * 1000:8.1f} ms {most * 1000:8.1f} ms at 90% {middle / unit:8.2f} products")


if __name__ == "__main__":
    main()
