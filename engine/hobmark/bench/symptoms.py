"""From a symptom to its cause in few seconds: which check to take next, what each outcome says, when all must stop.

One fault at a time is assumed. A state is what is known: P(cause) over the causes still possible. An act is either a
check, which parts the causes, or the proof of one cause, which ends the search if it is positive. With proofs alone the
cheapest order is by falling P(cause)/cost (Heckerman, Breese and Rommelse 1995, CACM 38(3):49-57), and its expected
cost is ECR. A check k is taken if its cost + sum over its outcomes of P(outcome) ECR(state after) is less than going on
without it, with as many checks after it as may be looked ahead. A cause counts as found when its own proof was seen:
nothing is condemned because nothing else is left. While the gas of the range is not known no act is named that lights
gas or lets it out: such checks are left out, such proofs wait, and the search ends where nothing else may be looked at.
"""

from __future__ import annotations

import math
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.faults import Check, FaultTable, Proof, Symptom
from hobmark.knowledge.vocabulary import HowOften
from hobmark.problems import did_you_mean, one_of, shown

LOOK_AHEAD = 2
"""Checks in a row that are thought of before one is chosen."""
PROVEN, NOT_IT = "seen", "not_seen"
"""Outcomes of a cause's own proof."""

Causes = tuple[float, ...]
"""P(cause), in the order of the problem's causes; sums to 1 over those still possible."""


@dataclass(frozen=True, slots=True)
class Splitting:
    """A check as numbers: its cost, and P(outcome | cause), one row an outcome."""

    id: str
    cost: float
    rows: tuple[Causes, ...]


@dataclass(frozen=True, slots=True)
class FaultProblem:
    """Causes with what their proofs cost, what is likely beforehand, and the checks that part them.

    `held`: places of the causes whose proof may not be taken now.
    """

    causes: tuple[str, ...]
    before: Causes
    costs: tuple[float, ...]
    checks: tuple[Splitting, ...]
    held: frozenset[int] = frozenset()


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


def proof_order(state: Causes, costs: Sequence[float], held: Container[int] = ()) -> list[int]:
    """Causes still possible and not `held` by falling P(cause)/cost, which is the cheapest order of their proofs."""
    possible = [cause for cause, chance in enumerate(state) if chance > 0 and cause not in held]
    return sorted(possible, key=lambda cause: (-state[cause] / costs[cause], cause))


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


def next_act(problem: FaultProblem, state: Causes, used: frozenset[str] = frozenset()) -> Act | None:
    """The most telling act for its effort; None once no cause is left whose proof may be taken."""
    order = proof_order(state, problem.costs, problem.held)
    if not order:
        return None
    checks = tuple(check for check in problem.checks if check.id not in used)
    first = order[0]
    left, rest = without(state, first)
    best = Act(problem.causes[first], True, problem.costs[first] + left * _expected(problem, rest, checks, LOOK_AHEAD))
    for check in checks:
        cost = _with_check(problem, state, check, checks, LOOK_AHEAD)
        if cost < best.expected - 1e-9:
            best = Act(check.id, False, cost)
    return best


def _with_check(
    problem: FaultProblem, state: Causes, check: Splitting, checks: tuple[Splitting, ...], depth: int
) -> float:
    others = tuple(each for each in checks if each.id != check.id)
    outcomes = [after(state, row) for row in check.rows]
    return check.cost + math.fsum(p * _expected(problem, left, others, depth - 1) for p, left in outcomes if p > 0)


def _expected(problem: FaultProblem, state: Causes, checks: tuple[Splitting, ...], depth: int) -> float:
    """Expected cost from a state: proofs in their best order, or a check first where that is cheaper."""
    best = cost_in_order(state, problem.costs, proof_order(state, problem.costs, problem.held))
    if depth <= 0:
        return best
    return min([best, *(_with_check(problem, state, check, checks, depth) for check in checks)])


def problem_of(base: KnowledgeBase, symptom_id: str) -> FaultProblem:
    """A symptom of the fault table as numbers."""
    table, often = base.bench.faults, base.wording.often
    symptom = table.symptoms[symptom_id]
    causes = tuple(symptom.causes)
    words = [often[symptom.causes[cause]] for cause in causes]
    before = tuple(word / math.fsum(words) for word in words)
    checks = tuple(_splitting(name, table.checks[name], causes, often) for name in symptom.checks)
    return FaultProblem(causes, before, tuple(table.causes[cause].proof.seconds for cause in causes), checks)


def without_lighting(base: KnowledgeBase, problem: FaultProblem) -> FaultProblem:
    """The same without what lights gas or lets it out: such checks are left out, such proofs are held."""
    table = base.bench.faults
    held = frozenset(i for i, cause in enumerate(problem.causes) if table.causes[cause].proof.lights)
    checks = tuple(check for check in problem.checks if not table.checks[check.id].lights)
    return replace(problem, checks=checks, held=held)


def _splitting(name: str, check: Check, causes: Sequence[str], often: Mapping[HowOften, float]) -> Splitting:
    rows = []
    spoken = {cause: [often[r.causes[cause]] for r in check.results.values() if cause in r.causes] for cause in causes}
    for result in check.results.values():
        row = []
        for cause in causes:
            if not spoken[cause]:
                row.append(1 / len(check.results))
            else:
                word = often[result.causes[cause]] if cause in result.causes else 0.0
                row.append(word / math.fsum(spoken[cause]))
        rows.append(tuple(row))
    return Splitting(name, check.seconds, tuple(rows))


@dataclass(frozen=True, slots=True)
class CauseChance:
    """A cause and how probable it is by what was found."""

    id: str
    chance: float


@dataclass(frozen=True, slots=True)
class Search:
    """How far the search for a cause is: causes by chance, the next act, the cause that was seen, or that all stops.

    `held`: ids of checks, and of causes for their proofs, that wait until the gas of the range is known.
    """

    symptom: str
    stop: bool
    causes: tuple[CauseChance, ...]
    next: Act | None
    found: str | None
    none_left: bool
    gas_known: bool
    held: tuple[str, ...]


def search(
    base: KnowledgeBase, symptom_id: str, found: Sequence[tuple[str, str]] = (), *, gas_known: bool = False
) -> Search:
    """The search for a symptom's cause after some outcomes: (check, outcome) or (cause, `seen` or `not_seen`).

    Nothing that lights gas is named unless `gas_known`. A symptom that stops everything has no causes and no next act.
    Raises ValueError, saying what to write, for a symptom, a check or an outcome that the table has not.
    """
    symptom = symptom_called(base.bench.faults, symptom_id)
    if symptom.stop:
        return Search(symptom_id, True, (), None, None, False, gas_known, ())
    problem = problem_of(base, symptom_id)
    state, used, seen = problem.before, set[str](), None
    for name, outcome in found:
        if name in problem.causes:
            place = problem.causes.index(name)
            if outcome not in (PROVEN, NOT_IT):
                raise ValueError(f"unknown outcome '{shown(outcome)}' for {name}. {one_of(outcome, (PROVEN, NOT_IT))}")
            seen = name if outcome == PROVEN else seen
            row = tuple(float((i == place) == (outcome == PROVEN)) for i in range(len(state)))
        else:
            row = _row_of(base.bench.faults, problem, name, outcome)
            used.add(name)
        state = after(state, row)[1]
    chances = sorted(zip(problem.causes, state, strict=True), key=lambda pair: -pair[1])
    possible = tuple(CauseChance(cause, chance) for cause, chance in chances if chance > 0)
    may = problem if gas_known else without_lighting(base, problem)
    act = None if seen is not None else next_act(may, state, frozenset(used))
    held = () if seen is not None else _held(problem, may, state, used)
    return Search(symptom_id, False, possible, act, seen if possible else None, not possible, gas_known, held)


def _held(problem: FaultProblem, may: FaultProblem, state: Causes, used: Container[str]) -> tuple[str, ...]:
    """Checks not taken and proofs of causes still possible, that `problem` has and that are not in what one may do."""
    if not any(state):
        return ()
    checks = [check.id for check in problem.checks if check not in may.checks and check.id not in used]
    return (*checks, *(cause for i, cause in enumerate(problem.causes) if i in may.held and state[i] > 0))


def _row_of(table: FaultTable, problem: FaultProblem, name: str, outcome: str) -> Causes:
    told = next((check for check in problem.checks if check.id == name), None)
    if told is None:
        known = [*(check.id for check in problem.checks), *problem.causes]
        raise ValueError(f"'{shown(name)}' is no check of this symptom. {one_of(name, known)}")
    outcomes = list(table.checks[name].results)
    if outcome not in outcomes:
        raise ValueError(f"unknown outcome '{shown(outcome)}' for {name}. {one_of(outcome, outcomes)}")
    return told.rows[outcomes.index(outcome)]


def symptom_called(table: FaultTable, symptom_id: str) -> Symptom:
    """A symptom of the table; ValueError that names all there are."""
    if symptom_id not in table.symptoms:
        near, known = did_you_mean(symptom_id, table.symptoms), ", ".join(table.symptoms)
        raise ValueError(f"unknown symptom '{shown(symptom_id)}'.{near} Those there are: {known}.")
    return table.symptoms[symptom_id]


def deed_of(base: KnowledgeBase, act: Act) -> Check | Proof:
    """What is done for an act, and who may."""
    table = base.bench.faults
    return table.causes[act.id].proof if act.is_proof else table.checks[act.id]
