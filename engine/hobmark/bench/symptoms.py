"""From a symptom to its cause in few seconds: which check to take next, what each outcome says, when all must stop.

One fault at a time is assumed, and that it may be something that no list has: `something_else` stands among the causes
of every symptom, checks say nothing of it, and nothing proves it. A cause counts as found when its own proof was seen:
nothing is condemned because nothing else is left. What the case says already is evidence, and comes in as plain data
(`CaseEvidence`). An act of cure waits for those of an earlier stage: the jet, then the pressure, then cleaning, and air
last. Where nothing may be lit no act is named that lights gas or lets it out: such checks are left out, such proofs
wait, and the search ends where nothing else may be looked at.
"""

from __future__ import annotations

import math
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace

from hobmark.bench.fault_costs import ANY_TIME, Act, Causes, FaultProblem, Splitting, after, next_act
from hobmark.bench.symptom_words import symptom_id_of
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.faults import SOMETHING_ELSE, Check, FaultTable, Proof, Stage, Symptom
from hobmark.knowledge.vocabulary import HowOften
from hobmark.problems import one_of, shown

PROVEN, NOT_IT = "seen", "not_seen"
"""Outcomes of a cause's own proof."""
Outcome = tuple[str, str]
"""A check and what it has shown, or a cause and `seen` or `not_seen`."""


@dataclass(frozen=True, slots=True)
class CaseEvidence:
    """What a case says of a symptom already.

    `cannot`: ids of causes and checks that this range cannot have. `found`: outcomes that are recorded or were gauged.
    """

    cannot: frozenset[str] = frozenset()
    found: tuple[Outcome, ...] = ()


NOTHING_SAID = CaseEvidence()


def problem_of(base: KnowledgeBase, symptom_id: str) -> FaultProblem:
    """A symptom of the fault table as numbers; the last cause is something else."""
    table, often = base.bench.faults, base.wording.often
    symptom = table.symptoms[symptom_id]
    listed = tuple(symptom.causes)
    words = [*symptom.causes.values(), table.something_else or HowOften.SOMETIMES]
    whole = math.fsum(often[word] for word in words)
    return FaultProblem(
        causes=(*listed, SOMETHING_ELSE),
        before=tuple(often[word] / whole for word in words),
        costs=(*(table.causes[cause].proof.seconds for cause in listed), math.inf),
        checks=tuple(_splitting(name, table.checks[name], (*listed, SOMETHING_ELSE), often) for name in symptom.checks),
        stages=(*(_place(table.causes[cause].stage) for cause in listed), ANY_TIME),
    )


def _place(stage: Stage | None) -> int:
    return list(Stage).index(stage) + 1 if stage is not None else ANY_TIME


def without_lighting(base: KnowledgeBase, problem: FaultProblem) -> FaultProblem:
    """The same without what lights gas or lets it out: such checks are left out, such proofs are held."""
    table = base.bench.faults
    lit = (cause in table.causes and table.causes[cause].proof.lights for cause in problem.causes)
    checks = tuple(check for check in problem.checks if not table.checks[check.id].lights)
    return replace(problem, checks=checks, held=frozenset(i for i, lights in enumerate(lit) if lights))


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
    return Splitting(name, check.seconds, tuple(rows), _place(check.stage))


@dataclass(frozen=True, slots=True)
class CauseChance:
    """A cause and how probable it is by what was found."""

    id: str
    chance: float


@dataclass(frozen=True, slots=True)
class Search:
    """How far the search for a cause is: causes by chance, the next act, the cause that was seen, or that all stops.

    `none_left`: nothing known is left that fits, only something else. `held`: ids of checks, and of causes for their
    proofs, that wait because nothing may be lit, or for one that does.
    """

    symptom: str
    stop: bool
    causes: tuple[CauseChance, ...]
    next: Act | None
    found: str | None
    none_left: bool
    may_light: bool
    held: tuple[str, ...]


def search(
    base: KnowledgeBase,
    symptom: str,
    found: Sequence[Outcome] = (),
    *,
    may_light: bool = False,
    case: CaseEvidence = NOTHING_SAID,
) -> Search:
    """The search for the cause of a symptom, by id or everyday words, after some outcomes.

    `found` comes on top of what the case has; of one check the last outcome counts. Nothing that lights gas is named
    unless `may_light`. A symptom that stops everything has no causes and no next act. Raises ValueError, saying what to
    write, for a symptom, a check or an outcome that the table has not.
    """
    table = base.bench.faults
    name = symptom_id_of(table, symptom)
    if table.symptoms[name].stop:
        return Search(name, True, (), None, None, False, may_light, ())
    problem, told = problem_of(base, name), dict((*case.found, *found))
    state = _narrowed(problem.before, [cause not in case.cannot for cause in problem.causes])
    for each, outcome in told.items():
        state = _narrowed(state, _row_of(table, problem, each, outcome))
    seen = next((cause for cause, outcome in reversed(told.items()) if outcome == PROVEN), None)
    if seen is not None:
        only = (CauseChance(seen, 1.0),)
        return Search(name, False, only, None, seen, False, may_light, ())
    used = {*told, *case.cannot}
    may = problem if may_light else without_lighting(base, problem)
    chances = sorted(zip(problem.causes, state, strict=True), key=lambda pair: -pair[1])
    possible = tuple(CauseChance(cause, chance) for cause, chance in chances if chance > 0)
    none_left = [each.id for each in possible] == [SOMETHING_ELSE]
    act = None if none_left else next_act(may, state, used)
    held = () if none_left else _held(problem, may, state, used)
    return Search(name, False, possible, act, None, none_left, may_light, held)


def _narrowed(state: Causes, row: Sequence[float]) -> Causes:
    """What is known after one more outcome. Where outcomes contradict each other only something else is left."""
    total, left = after(state, tuple(row))
    return left if total > 0 else (*(0.0 for _ in state[1:]), 1.0)


def _held(problem: FaultProblem, may: FaultProblem, state: Causes, used: Container[str]) -> tuple[str, ...]:
    """What is of use and may not be done as things are: what lights, and what comes after such a cause.

    Checks not taken and proofs of causes still possible, that `problem` has and that are not in what one may do.
    """
    first = min((may.stages[i] for i in may.held if state[i] > 0 and may.stages[i] != ANY_TIME), default=math.inf)
    checks = [
        check.id
        for check in problem.checks
        if check.id not in used and (check not in may.checks or check.stage > first)
    ]
    waiting = (i for i, chance in enumerate(state) if chance > 0 and (i in may.held or may.stages[i] > first))
    return (*checks, *(problem.causes[i] for i in waiting))


def _row_of(table: FaultTable, problem: FaultProblem, name: str, outcome: str) -> Causes:
    """P(outcome | cause) of a check, or of the proof of a cause."""
    if name in problem.causes and name != SOMETHING_ELSE:
        if outcome not in (PROVEN, NOT_IT):
            raise ValueError(f"unknown outcome '{shown(outcome)}' for {name}. {one_of(outcome, (PROVEN, NOT_IT))}")
        return tuple(float((cause == name) == (outcome == PROVEN)) for cause in problem.causes)
    told = next((check for check in problem.checks if check.id == name), None)
    if told is None:
        known = [*(check.id for check in problem.checks), *problem.causes[:-1]]
        raise ValueError(f"'{shown(name)}' is no check of this symptom. {one_of(name, known)}")
    outcomes = list(table.checks[name].results)
    if outcome not in outcomes:
        raise ValueError(f"unknown outcome '{shown(outcome)}' for {name}. {one_of(outcome, outcomes)}")
    return told.rows[outcomes.index(outcome)]


def symptom_called(table: FaultTable, words: str) -> Symptom:
    """The symptom that somebody's words tell of; ValueError as `symptom_id_of`."""
    return table.symptoms[symptom_id_of(table, words)]


def deed_of(base: KnowledgeBase, act: Act) -> Check | Proof:
    """What is done for an act, and who may."""
    table = base.bench.faults
    return table.causes[act.id].proof if act.is_proof else table.checks[act.id]
