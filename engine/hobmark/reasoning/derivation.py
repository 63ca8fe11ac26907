"""Facts, clauses and the derivation they give: pure values, and a chainer that counts.

A clause is a conjunction of equality tests and what follows from it. No negation exists, so the
least fixpoint is unique: whichever engine reached it, the derivation of a set of facts is the same
value, and can be compared, stored and replayed.
"""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

COUNTING = "counting chainer"
"""How the counting chainer names itself in a derivation and in the version line."""


class Atom(NamedTuple):
    """One feature at one value; a list of values was expanded into several clauses before."""

    feature: str
    value: str


@dataclass(frozen=True, slots=True)
class Clause:
    """If every atom of the body holds, every atom of the head does.

    An empty head is a conclusion that is no fact: a remark, a bound on the year, a caution.
    """

    id: str
    body: tuple[Atom, ...]
    head: tuple[Atom, ...]

    def __post_init__(self) -> None:
        """Refuse a clause without a body."""
        if not self.body:
            raise ValueError(f"clause {self.id!r} has no condition; a fact without one is given, not derived")


@dataclass(frozen=True, slots=True)
class Firing:
    """A clause that fired, once: on what, for what, and at which stage.

    The stage is one more than the highest stage among the atoms used; an atom's stage is the lowest
    at which it is given (0) or derived. Repeated atoms are named once, in the order of the clause.
    """

    clause: str
    used: tuple[Atom, ...]
    gives: tuple[Atom, ...]
    stage: int


@dataclass(frozen=True, slots=True)
class Derivation:
    """The least fixpoint of some clauses over the given facts, in one fixed order.

    Two derivations are equal whichever engine made them: `engine` is told, not compared.
    """

    given: tuple[Atom, ...]
    """What was asserted, sorted, each once."""
    facts: tuple[Atom, ...]
    """All that holds, the given included, by stage and then by atom."""
    firings: tuple[Firing, ...]
    """Every clause whose body holds, by stage and then by clause id."""
    engine: str = field(compare=False)
    _supports: dict[Atom, Firing] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Index the first support of each atom."""
        supports: dict[Atom, Firing] = {}
        for firing in self.firings:
            for atom in firing.gives:
                supports.setdefault(atom, firing)
        for atom in self.given:
            supports.pop(atom, None)
        object.__setattr__(self, "_supports", supports)

    def support(self, atom: Atom) -> Firing | None:
        """The first firing that gave this atom; None if it was given or does not hold.

        First is by stage and then by clause id. A support uses only atoms of lower stages, so
        following supports downwards never comes back to where it began.
        """
        return self._supports.get(atom)

    def leaves(self, of: Atom | Firing) -> frozenset[Atom]:
        """The given atoms that the first proof of an atom, or of a firing, rests on.

        A given atom rests on itself. An atom that does not hold has no proof: KeyError.
        """
        if isinstance(of, Atom) and of not in self.facts:
            raise KeyError(of)
        ahead = list(of.used) if isinstance(of, Firing) else [of]
        seen: set[Atom] = set()
        found: set[Atom] = set()
        while ahead:
            atom = ahead.pop()
            if atom in seen:
                continue
            seen.add(atom)
            firing = self._supports.get(atom)
            if firing is None:
                found.add(atom)
            else:
                ahead.extend(firing.used)
        return frozenset(found)


class CountingChainer:
    """Chains forward by holding, for each clause, the number of its conditions not yet met.

    Built once over the compiled clauses, then used for hundreds of "what if" in a row; it keeps no
    facts between calls and may be shared by threads. Clause ids must differ: ValueError.
    """

    def __init__(self, clauses: Iterable[Clause]) -> None:
        """Count the conditions of each clause and list who waits for which atom."""
        self._ids: list[str] = []
        self._used: list[tuple[Atom, ...]] = []
        self._gives: list[tuple[Atom, ...]] = []
        self._unmet: list[int] = []
        self._waiting: dict[Atom, list[int]] = {}
        for number, clause in enumerate(distinct(clauses)):
            used = tuple(dict.fromkeys(clause.body))
            self._ids.append(clause.id)
            self._used.append(used)
            self._gives.append(tuple(dict.fromkeys(clause.head)))
            self._unmet.append(len(used))
            for atom in used:
                self._waiting.setdefault(atom, []).append(number)

    def close(self, given: Iterable[Atom], blocked: Container[Atom] = ()) -> frozenset[str]:
        """The ids of all clauses that fire; the fast path, without trace or order. What is `blocked` is not derived."""
        unmet = self._unmet.copy()
        holds = set(given)
        ahead = list(holds)
        fired: list[str] = []
        while ahead:
            for number in self._waiting.get(ahead.pop(), ()):
                unmet[number] -= 1
                if not unmet[number]:
                    fired.append(self._ids[number])
                    for atom in self._gives[number]:
                        if atom not in holds and atom not in blocked:
                            holds.add(atom)
                            ahead.append(atom)
        return frozenset(fired)

    def derive(self, given: Iterable[Atom]) -> Derivation:
        """The least fixpoint with its trace, reached stage by stage."""
        unmet = self._unmet.copy()
        start = tuple(sorted(set(given)))
        facts = list(start)
        holds = set(start)
        firings: list[Firing] = []
        fresh: list[Atom] = facts.copy()
        stage = 0
        while fresh:
            stage += 1
            now: list[Firing] = []
            for atom in fresh:
                for number in self._waiting.get(atom, ()):
                    unmet[number] -= 1
                    if not unmet[number]:
                        now.append(Firing(self._ids[number], self._used[number], self._gives[number], stage))
            now.sort(key=lambda firing: firing.clause)
            firings += now
            fresh = sorted({atom for firing in now for atom in firing.gives} - holds)
            holds.update(fresh)
            facts += fresh
        return Derivation(start, tuple(facts), tuple(firings), COUNTING)


def distinct(clauses: Iterable[Clause]) -> tuple[Clause, ...]:
    """The clauses as they came; ValueError where two carry the same id."""
    kept: dict[str, Clause] = {}
    for clause in clauses:
        if clause.id in kept:
            raise ValueError(f"two clauses are called {clause.id!r}; every id is used once")
        kept[clause.id] = clause
    return tuple(kept.values())
