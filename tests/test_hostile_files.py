"""Files gone wrong in 1,330 ways: each reads, or is refused in its place; none hangs, is changed, or breaks hobmark."""

from __future__ import annotations

import os
import shutil
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
from hobmark.case import case_text, read_case
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.problems import Problem, Refused
from hobmark.reasoning.examination import Compiled, Examination, claim_of, compile_base
from hobmark.reports.findings import findings
from hobmark.reports.text import findings_text

from .commands.small_base import write_small_base
from .mutations import mutated

LONGEST = 2.0
"""Seconds of work that one file may cost. The processor's, as the machine may be busy with other things."""
SMALL, SHIPPED, CASES = 400, 130, 800
"""How many files of each kind go wrong: of a small base, of a shipped maker's, cases. `tests.attack` has 100,000."""
SOON = {"small": 100, "shipped": 30, "cases": 100}
"""How many of them every run tries; the rest is for `-m slow`."""

CASE = """hobmark: 1
label: green range, Saturday sale
situation: sale
claims: {maker: coppice, variant: coppice/finch, made: "1940"}
observations:
  - {feature: door_window, is: large}
  - {feature: burner_head, is: [ring, star], sure: likely}
  - {feature: legs, is_not: curved, note: seen from afar}
  - {feature: drip_pan_depth, measured: 1 1/4 in}
  - {feature: clock, removed: true, note: two plugged holes}
  - {feature: insulation, unseen: true}
  - {plate_text: "PAT. 2,108,343 - 2,199,026", found_on: rating_plate}
  - {serial: "H 41877", found_on: body}
expect: {variant: coppice/finch, made: "1946/1948", not_its_own: [electrics]}
not: [coppice/wren]
"""


def seeds(kind: str, count: int) -> list[object]:
    return [n if n < SOON[kind] else pytest.param(n, marks=pytest.mark.slow) for n in range(count)]


@dataclass(frozen=True)
class Trial:
    """What came of one file: what was refused (None: it reads), and the seconds it took."""

    refused: tuple[Problem, ...] | None
    seconds: float
    changed: list[str]


@contextmanager
def limited() -> Iterator[None]:
    """Break off what takes longer than any file may."""

    def hung(*_: object) -> None:
        raise AssertionError(f"more than {LONGEST} s")

    if not hasattr(signal, "SIGPROF"):
        yield
        return
    before = signal.signal(signal.SIGPROF, hung)
    signal.setitimer(signal.ITIMER_PROF, LONGEST)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def tried(folder: Path, path: Path, data: bytes, action: Callable[[], object]) -> Trial:
    """Put `data` in a file's place, act, and put the file back."""
    good = path.read_bytes()
    path.write_bytes(data)
    before, refused, start = contents(folder), None, time.process_time()
    try:
        with limited():
            action()
    except Refused as error:
        refused = error.problems
    finally:
        seconds, after = time.process_time() - start, contents(folder)
        path.write_bytes(good)
    return Trial(refused, seconds, sorted(name for name in before | after if before.get(name) != after.get(name)))


def used(root: Path, case: Path | None = None) -> None:
    """What a command does with a base: read it, compile it, and rank a case."""
    compiled = compile_base(read_base([root]))
    if case is not None:
        examined(compiled, case)


def examined(compiled: Compiled, path: Path) -> None:
    case = read_case(path, compiled.base).case
    findings_text(findings(Examination(compiled, case, claim=claim_of(compiled.base, case)), case.label))
    case_text(case)


def out_of_place(trial: Trial, folder: Path) -> list[Problem]:
    """Problems without a path and line of the files read, or that do not stand on one short line."""
    lines = {
        str(path): data.count(b"\n") + data.count(b"\r") + 2
        for path, data in ((path, path.read_bytes()) for path in folder.rglob("*") if path.is_file())
    }
    return [
        problem
        for problem in trial.refused or ()
        if not (problem.path in lines or problem.path == str(folder))
        or problem.line < 1
        or problem.column < 1
        or not (problem.message and problem.remedy)
        or not str(problem).isprintable()
        or len(str(problem)) > 600
    ]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = write_small_base(tmp_path_factory.mktemp("hostile"))
    (root.parent / "case.yaml").write_text(CASE, encoding="utf-8")
    used(root, root.parent / "case.yaml")  # models are built and packages loaded once, on nobody's time
    return root


@pytest.fixture(scope="module")
def compiled(small: Path) -> Compiled:
    return compile_base(read_base([small]))


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("shipped") / "knowledge"
    shutil.copytree(knowledge_root(), root, ignore=shutil.ignore_patterns("brindlemere", "cases"))
    read_base([root])
    return root


def chosen(root: Path, seed: int) -> Path:
    """The file that goes wrong, each in its turn."""
    files = sorted(root.rglob("*.yaml"))
    return files[seed % len(files)]


def of_small(root: Path, seed: int) -> Trial:
    path = chosen(root, seed)
    return tried(root, path, mutated(path.read_bytes(), seed), lambda: used(root, root.parent / "case.yaml"))


def of_shipped(root: Path, seed: int) -> Trial:
    path = chosen(root, seed)
    return tried(root, path, mutated(path.read_bytes(), 10_000 + seed), lambda: read_base([root]))


def of_cases(compiled: Compiled, folder: Path, seed: int) -> Trial:
    path = folder / "case.yaml"
    return tried(folder, path, mutated(CASE.encode(), 20_000 + seed), lambda: examined(compiled, path))


@pytest.mark.parametrize("seed", seeds("small", SMALL))
def test_a_small_base_with_a_file_gone_wrong_ranks_a_case_or_is_refused_in_its_place(small: Path, seed: int) -> None:
    trial = of_small(small, seed)
    assert (trial.changed, out_of_place(trial, small.parent)) == ([], [])
    assert trial.refused != ()
    assert trial.seconds < LONGEST


@pytest.mark.parametrize("seed", seeds("shipped", SHIPPED))
def test_the_shipped_base_with_a_file_gone_wrong_reads_or_is_refused_in_its_place(shipped: Path, seed: int) -> None:
    trial = of_shipped(shipped, seed)
    assert (trial.changed, out_of_place(trial, shipped)) == ([], [])
    assert trial.refused != ()
    assert trial.seconds < LONGEST


@pytest.mark.parametrize("seed", seeds("cases", CASES))
def test_a_case_gone_wrong_is_ranked_or_refused_in_its_place(compiled: Compiled, tmp_path: Path, seed: int) -> None:
    (tmp_path / "case.yaml").write_text(CASE, encoding="utf-8")
    trial = of_cases(compiled, tmp_path, seed)
    assert (trial.changed, out_of_place(trial, tmp_path)) == ([], [])
    assert trial.refused != ()
    assert trial.seconds < LONGEST


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("a0: &a0 [x, x]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 40)), "too large"),
        ("a: &a [*a]\n", "names nothing complete above it"),
        ("a: " + "[" * 100_000 + "]" * 100_000, "deep. Flatten it."),  # by PyYAML 6.0.4 or, before it, by us
        ("a: " + "{b: " * 100_000, "nested more than 40 deep"),
        ("hobmark: !!python/object/apply:os.getcwd []\n", "words that begin with ! are not read"),
        ("hobmark: 1\nhobmark: 1\n", "stands twice"),
        ("hobmark: 1\n---\nhobmark: 1\n", "a second document begins here"),
        ("hobmark: " + "9" * 100_000, "unknown word"),
        ("hobmark: 1\nexpect: {variant: " + "y" * 5000 + "}\n", "unknown variant"),
        ("hobmark: 1\nclaims: {made: " + "9" * 5000 + "}\n", "is not an EDTF date"),
        ("hobmark: 1\nobservations:\n" + "- {feature: legs, is: curved}\n" * 2000, "too many entries. Give"),
        ("hobmark: 1\nlabel: " + "x" * 6_000_000, "larger than 5 MiB"),
        ("", "'hobmark' is missing"),
    ],
    ids=[
        "bomb", "circle", "deep lists", "deep fields", "tag", "field twice", "two documents", "huge number",
        "huge name", "huge date", "one thing 2,000 times", "huge file", "nothing",
    ],
)  # fmt: skip
def test_a_file_made_to_do_harm_is_refused_in_words(
    compiled: Compiled, tmp_path: Path, written: str, said: str
) -> None:
    (tmp_path / "case.yaml").write_text(CASE, encoding="utf-8")
    path = tmp_path / "case.yaml"
    trial = tried(tmp_path, path, written.encode(), lambda: examined(compiled, path))
    assert said in "\n".join(map(str, trial.refused or ()))
    assert (trial.changed, out_of_place(trial, tmp_path)) == ([], [])
    assert trial.seconds < LONGEST


def main() -> None:
    """Try them all and print how many were refused, how many read, and the longest time."""
    import tempfile

    with tempfile.TemporaryDirectory() as name:
        top = Path(os.path.realpath(name))
        small_root = write_small_base(top)
        (top / "case.yaml").write_text(CASE, encoding="utf-8")
        whole = compile_base(read_base([small_root]))
        shipped_root = top / "knowledge"
        shutil.copytree(knowledge_root(), shipped_root, ignore=shutil.ignore_patterns("brindlemere", "cases"))
        kinds: dict[str, tuple[int, Callable[[int], Trial]]] = {
            "small base": (SMALL, lambda seed: of_small(small_root, seed)),
            "shipped base": (SHIPPED, lambda seed: of_shipped(shipped_root, seed)),
            "cases": (CASES, lambda seed: of_cases(whole, top, seed)),
        }
        for kind, (count, trial_of) in kinds.items():
            trials = [trial_of(seed) for seed in range(count)]
            refused = sum(trial.refused is not None for trial in trials)
            longest = max(trial.seconds for trial in trials)
            print(f"{kind}: {count} files, {refused} refused, {count - refused} read, longest {longest:.2f} s")


if __name__ == "__main__":
    main()
