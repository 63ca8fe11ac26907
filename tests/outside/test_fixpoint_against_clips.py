"""The derivation against CLIPS: forward chaining to the fixpoint on generated rule sets.

Source: CLIPS Reference Manual, volume I (Basic Programming Guide): defrule, the conjunction of
patterns on the left side, assert on the right, and `run` until the agenda is empty; through clipspy.
CLIPS, durable-rules (in one ruleset and spread over many) and the counting chainer must agree on
every fact that holds and every rule that fires; the latter two on the whole derivation.

The comparison runs in a process of its own under a time limit, because an engine that hangs in C
holds the interpreter lock and no time limit inside the process would be served.
"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

RULE_SETS = 600
"""Generated rule sets, at the least."""

TIME_LIMIT = 120
"""Seconds for all of them; they take about fifteen."""

MISSING = [name for name in ("clips", "durable", "hypothesis") if importlib.util.find_spec(name) is None]


def in_its_own_process(what: str) -> str:
    """Run one comparison of this file; what it printed. A hang or a crash fails the test."""
    if MISSING:
        pytest.skip(f"NOT COMPARED WITH CLIPS: not installed: {', '.join(MISSING)}")
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path), "PYTHONHASHSEED": "0"}
    try:
        done = subprocess.run(
            [sys.executable, str(Path(__file__)), what],
            env=environment,
            capture_output=True,
            text=True,
            timeout=TIME_LIMIT,
            check=False,
        )
    except subprocess.TimeoutExpired:
        pytest.fail(f"no answer after {TIME_LIMIT} seconds: an engine hangs")
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_generated_rule_sets_reach_the_same_fixpoint_in_all_engines() -> None:
    assert int(in_its_own_process("generated")) >= RULE_SETS


def test_a_large_rule_set_reaches_the_same_fixpoint_in_all_engines() -> None:
    assert int(in_its_own_process("large")) > 1_000


def clips_fixpoint(clauses: Iterable[Any], given: Iterable[Any]) -> tuple[set[Any], set[str]]:
    """Facts that hold and ids of rules that fired, by CLIPS; names go in as symbols, by number."""
    import clips

    clauses, given = list(clauses), list(given)
    every = {atom for clause in clauses for atom in (*clause.body, *clause.head)} | set(given)
    symbol = {atom: f"(fact f{number} v{number})" for number, atom in enumerate(sorted(every))}
    world = clips.Environment()
    for number, clause in enumerate(clauses):
        tests = " ".join(symbol[atom] for atom in clause.body)
        gives = " ".join(symbol[atom] for atom in clause.head)
        world.build(f"(defrule r{number} {tests} => (assert (fired r{number}) {gives}))")
    for atom in given:
        world.assert_string(symbol[atom])
    world.run()
    there = {str(fact) for fact in world.facts()}
    fired = {clause.id for number, clause in enumerate(clauses) if f"(fired r{number})" in there}
    return {atom for atom in every if symbol[atom] in there}, fired


def compare(clauses: list[Any], given: list[Any], spreads: Iterable[Any]) -> int:
    """Assert that all engines agree, durable-rules under several limits; how many rules fired."""
    from hobmark.reasoning.chaining import CountingChainer, DurableChainer

    counting = CountingChainer(clauses)
    expected = counting.derive(given)
    facts, fired = clips_fixpoint(clauses, given)
    assert set(expected.facts) == facts
    assert {firing.clause for firing in expected.firings} == fired == counting.close(given)
    for limits in spreads:
        durable = DurableChainer(clauses, limits)
        for _ in range(2):
            assert durable.derive(given) == expected
        assert durable.derive(given[:1]) == counting.derive(given[:1])
        durable.release()
    return len(fired)


def generated() -> int:
    """Small rule sets of any shape, awkward text among the values; how many were compared."""
    from hobmark.reasoning.chaining import Atom, Clause, Limits
    from hypothesis import HealthCheck, given, settings
    from hypothesis import strategies as st

    spreads = [Limits(), Limits(rules=4), Limits(uses=8, tests=9)]
    words = st.sampled_from(["rim", "lamp", "badge"])
    values = st.sampled_from(["absent", "one", "two"]) | st.sampled_from(["", '"', "\\", "é\n", "half \ud83d"])
    atoms = st.builds(Atom, words, values)
    sides = st.tuples(st.lists(atoms, min_size=1, max_size=5), st.lists(atoms, max_size=2))
    compared = 0

    @settings(
        max_examples=RULE_SETS,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    @given(st.lists(sides, max_size=14), st.lists(atoms, max_size=6))
    def agree(rules: list[Any], known: list[Any]) -> None:
        nonlocal compared
        clauses = [Clause(f"r{n}", tuple(body), tuple(head)) for n, (body, head) in enumerate(rules)]
        compare(clauses, known, spreads)
        compared += 1

    agree()
    return compared


def large() -> int:
    """2,000 rules over 120 features in layers, from 28 facts; how many rules fired."""
    import random

    from hobmark.reasoning.chaining import Atom, Clause, Limits

    draw = random.Random(1937)
    layer = [[Atom(f"layer{depth}_{n}", "yes") for n in range(30)] for depth in range(4)]
    clauses = []
    for number in range(2_000):
        depth = draw.randrange(3)
        body = draw.sample(layer[depth], draw.randint(1, 3)) + draw.sample(layer[0], draw.randint(0, 2))
        clauses.append(Clause(f"r{number}", tuple(body), (draw.choice(layer[depth + 1]),)))
    return compare(clauses, draw.sample(layer[0], 28), [Limits(), Limits(uses=40)])


if __name__ == "__main__":
    print({"generated": generated, "large": large}[sys.argv[1]]())
