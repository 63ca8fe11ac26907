"""The arithmetic of a search for one fault: what is known, what each act costs, and which act comes next.

A state is P(cause) over the causes still possible. An act is either a check, which parts the causes, or the proof of
one cause, which ends the search if it is positive. With proofs alone the cheapest order is by falling P(cause)/cost
(Heckerman, Breese and Rommelse 1995, CACM 38(3):49-57). Acts have stages of cure, and one of a later stage waits while
a cause of an earlier stage is possible; then the cheapest order takes whole beginnings of that chain by the same share
(Sidney 1975, Operations Research 23(2):283-298). A check is taken if its cost + sum over its outcomes of P(outcome)
cost after it is less than going on without it, with as many checks after it as may be looked ahead.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

LOOK_AHEAD = 2
"""Checks in a row that are thought of before one is chosen."""
ANY_TIME = 0
"""The stage of an act that waits for none."""

Causes = tuple[float, ...]
"""P(cause), in the order of the problem's causes; sums to 1 over those still possible."""


@dataclass(frozen=True, slots=True)
class Splitting:
    """A check as numbers: its cost, P(outcome | cause), one row an outcome, and its stage."""

    id: str
    cost: float
    rows: tuple[Causes, ...]
    stage: int = ANY_TIME


@dataclass(frozen=True, slots=True)
class FaultProblem:
    """Causes with what their proofs cost, what is likely beforehand, and the checks that part them.

    A cause that nothing can prove costs infinity. `held`: places of the causes whose proof may not be taken now.
    `stages`: of each cause, from 1 up, or ANY_TIME; empty where none has one.
    """

    causes: tuple[str, ...]
    before: Causes
    costs: tuple[float, ...]
    checks: tuple[Splitting, ...]
    held: frozenset[int] = frozenset()
    stages: tuple[int, ...] = ()

    def provable(self, cause: int) -> bool:
        """Whether the proof of a cause may ever be taken, as things are."""
        return cause not in self.held and math.isfinite(self.costs[cause])

    def standing(self, state: Causes) -> float:
        """The earliest stage that has a cause still possible, which no later act may overtake; infinity if none has."""
        stages = (stage for stage, chance in zip(self.stages, state, strict=False) if stage and chance > 0)
        return min(stages, default=math.inf)


@dataclass(frozen=True, slots=True)
class Act:
    """What to do next: a check, or the proof of a cause; `expected` seconds from here until the cause was seen."""

    id: str
    is_proof: bool
    expected: float


def cost_in_order(state: Causes, costs: Sequence[float], order: Sequence[int]) -> float:
    """Expected cost of taking proofs in an order until one is positive; `state` sums to 1."""
    left, total = math.fsum(state), 0.0
    for cause in order:
        total += left * costs[cause]
        left -= state[cause]
    return total


def proof_order(problem: FaultProblem, state: Causes) -> list[int]:
    """Causes whose proofs may be taken one after another, in the cheapest order that keeps the stages.

    What comes after a stage with a cause that cannot be proved now is left out.
    """
    costs = problem.costs
    possible = [cause for cause, chance in enumerate(state) if chance > 0]
    by_share = sorted(filter(problem.provable, possible), key=lambda cause: (-state[cause] / costs[cause], cause))
    if math.isinf(problem.standing(state)):
        return by_share
    free = [cause for cause in by_share if problem.stages[cause] == ANY_TIME]
    chain: list[int] = []
    for stage in sorted({problem.stages[cause] for cause in possible} - {ANY_TIME}):
        chain += [cause for cause in by_share if problem.stages[cause] == stage]
        if any(problem.stages[cause] == stage and not problem.provable(cause) for cause in possible):
            break
    return list(_merged(state, costs, free, chain))


def _merged(state: Causes, costs: Sequence[float], free: list[int], chain: list[int]) -> Iterator[int]:
    """Both in one order: of the first that is free and the best beginning of the chain, what has the greater share."""
    while free or chain:
        best, upto = -1.0, 0
        gained = spent = 0.0
        for place, cause in enumerate(chain, start=1):
            gained, spent = gained + state[cause], spent + costs[cause]
            if gained / spent > best:
                best, upto = gained / spent, place
        if free and state[free[0]] / costs[free[0]] >= best:
            yield free.pop(0)
        else:
            yield from chain[:upto]
            del chain[:upto]


def after(state: Causes, row: Causes) -> tuple[float, Causes]:
    """P(outcome), and what is known once it was seen; all zero where it cannot be."""
    joint = tuple(chance * likely for chance, likely in zip(state, row, strict=True))
    total = math.fsum(joint)
    return total, tuple(each / total for each in joint) if total > 0 else joint


def without(state: Causes, cause: int) -> tuple[float, Causes]:
    """P(a proof is negative), and what is known once it was."""
    left = math.fsum(state) - state[cause]
    if left <= 1e-12:
        return 0.0, tuple(0.0 for _ in state)
    return left, tuple(0.0 if i == cause else chance / left for i, chance in enumerate(state))


def next_act(problem: FaultProblem, state: Causes, used: Container[str] = ()) -> Act | None:
    """The most telling act for its effort; None once no proof may be taken and no check left opens the way to one."""
    checks = tuple(check for check in problem.checks if check.id not in used)
    if not proof_order(problem, state) and not _opens(problem, state, checks):
        return None
    acts = [Act(problem.causes[i], True, _with_proof(problem, state, i, checks)) for i in _first_proofs(problem, state)]
    for check in _allowed(problem, state, checks):
        acts.append(Act(check.id, False, _with_check(problem, state, check, checks, LOOK_AHEAD)))
    return min(acts, key=lambda act: (round(act.expected, 9), not act.is_proof))


def _first_proofs(problem: FaultProblem, state: Causes) -> list[int]:
    """Of the proofs that may be taken now, the best of the stage that stands and the best of those of any time."""
    first: dict[float, int] = {}
    for cause in proof_order(problem, state):
        first.setdefault(problem.stages[cause] if problem.stages else ANY_TIME, cause)
    standing = problem.standing(state)
    return [cause for stage, cause in first.items() if stage in (ANY_TIME, standing)]


def _with_proof(problem: FaultProblem, state: Causes, cause: int, checks: tuple[Splitting, ...]) -> float:
    left, rest = without(state, cause)
    return problem.costs[cause] + left * _expected(problem, rest, checks, LOOK_AHEAD)


def _allowed(problem: FaultProblem, state: Causes, checks: Sequence[Splitting]) -> list[Splitting]:
    standing = problem.standing(state)
    return [check for check in checks if check.stage <= standing]


def _opens(problem: FaultProblem, state: Causes, checks: tuple[Splitting, ...]) -> bool:
    """Whether some outcome of some of the checks would let a proof be taken where none may be now."""
    if not any(chance > 0 and problem.provable(cause) for cause, chance in enumerate(state)):
        return False
    for check in _allowed(problem, state, checks):
        others = tuple(each for each in checks if each is not check)
        for chance, known in (after(state, row) for row in check.rows):
            if chance > 0 and (proof_order(problem, known) or _opens(problem, known, others)):
                return True
    return False


def _with_check(
    problem: FaultProblem, state: Causes, check: Splitting, checks: tuple[Splitting, ...], depth: int
) -> float:
    others = tuple(each for each in checks if each.id != check.id)
    outcomes = [after(state, row) for row in check.rows]
    return check.cost + math.fsum(p * _expected(problem, left, others, depth - 1) for p, left in outcomes if p > 0)


def _expected(problem: FaultProblem, state: Causes, checks: tuple[Splitting, ...], depth: int) -> float:
    """Expected cost from a state: proofs in their best order, and a check before them, between them, or after them."""
    order = proof_order(problem, state)
    plain = cost_in_order(state, problem.costs, order)
    if depth <= 0 or not checks:
        return plain
    ways = [plain]
    spent, left, known = 0.0, math.fsum(state), state
    for cause in order:
        ways.append(spent + left * _cheapest_check(problem, known, checks, depth))
        spent += left * problem.costs[cause]
        share, known = without(known, cause)
        left *= share
    if left > 0 and _opens(problem, known, checks):
        ways[0] += left * _cheapest_check(problem, known, checks, depth)
    return min(ways)


def _cheapest_check(problem: FaultProblem, state: Causes, checks: tuple[Splitting, ...], depth: int) -> float:
    allowed = _allowed(problem, state, checks)
    return min((_with_check(problem, state, check, checks, depth) for check in allowed), default=math.inf)
