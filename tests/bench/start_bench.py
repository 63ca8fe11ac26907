"""How long `hobmark identify` takes from start to end, as a ratio to importing what it stands on, in one run.

    python tests/bench/start_bench.py [--runs 15]

The two commands take turns, so that a noisy machine slows both. Target: the median ratio at most 4.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
CASE = ROOT / "examples" / "sale" / "green-range.yaml"
BASELINE = [sys.executable, "-c", "import numpy, pydantic, yaml"]
IDENTIFY = [sys.executable, "-m", "hobmark_tui", "identify", str(CASE)]


def seconds(command: list[str], environment: dict[str, str]) -> float:
    """Wall seconds of one whole process; it must succeed (exit code 1 is a contradicted claim)."""
    start = time.perf_counter()
    done = subprocess.run(command, env=environment, capture_output=True, check=False)
    taken = time.perf_counter() - start
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr.decode())
    return taken


def main() -> None:
    """Print the medians and their ratio, with a warm and with an empty cache."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--runs", type=int, default=15)
    runs = options.parse_args().runs
    with tempfile.TemporaryDirectory() as cache:
        paths = os.pathsep.join([str(ROOT / "engine"), str(ROOT / "tui")])
        environment = {**os.environ, "HOBMARK_CACHE": cache, "PYTHONPATH": paths}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program has its bytecode
        cold = seconds(IDENTIFY, environment)
        baseline, whole = [], []
        for _ in range(runs):
            baseline.append(seconds(BASELINE, environment))
            whole.append(seconds(IDENTIFY, environment))
    ratios = sorted(b / a for a, b in zip(baseline, whole, strict=True))
    print(f"baseline  {statistics.median(baseline):.3f} s  (import numpy, pydantic, yaml; median of {runs})")
    print(f"identify  {statistics.median(whole):.3f} s  (warm cache; with an empty one {cold:.2f} s)")
    print(f"ratio     {statistics.median(ratios):.2f}  (smallest {ratios[0]:.2f}, largest {ratios[-1]:.2f}; target 4)")


if __name__ == "__main__":
    main()
