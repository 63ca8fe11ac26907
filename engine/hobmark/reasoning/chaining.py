"""Forward chaining with durable-rules, and the counting chainer where it cannot be had.

No other file imports durable. It is a quick engine inside a narrow safe path and an unsafe one
outside it, so only this much of it is used: conjunctions of equality tests, explicit fact ids, one
session, no threads, actions that only record. It is loaded when a DurableChainer is made, so
programs that only count never wait for it.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import threading
import weakref
from collections import Counter, deque
from collections.abc import Callable, Iterable
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from typing import Any
from urllib.parse import quote

from hobmark.reasoning.derivation import COUNTING, Atom, Clause, CountingChainer, Derivation, Firing, distinct

__all__ = [
    "LIMITS",
    "Atom",
    "ChainingLimit",
    "Clause",
    "CountingChainer",
    "Derivation",
    "DurableChainer",
    "Firing",
    "Limits",
    "chainer",
    "check_limits",
    "engine_in_use",
]


class ChainingLimit(ValueError):  # what was passed, as a curator would say it
    """A clause the rule engine cannot take safely; the message tells a curator what to change."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What durable-rules 2.0.28 takes without overrunning its own tables, with a margin.

    Past `conditions` and `text` a clause is refused; past the others another ruleset is begun.
    """

    conditions: int = 16
    """Conditions in one clause."""
    text: int = 1_000
    """Characters in the id of a fact: feature and value as the engine gets them, and what parts them."""
    uses: int = 250
    """Uses of one condition in one ruleset."""
    tests: int = 500
    """Features in one ruleset, and values of one feature there."""
    rules: int = 4_000
    """Rules in one ruleset, the boot rule included."""


LIMITS = Limits()
"""The limits in force."""

SESSION = "case"
"""The one session id: sessions are told apart by a 32-bit hash, and the 1,025th alive is a crash."""

BOOT = {"f": "%boot", "s": "%boot"}
"""The condition of the boot rule, met first in every session: deleting a session before any action ran
takes the process down. No atom reads like this: `plain` writes two hex digits after %."""


def plain(text: str) -> str:
    """Text as the engine gets it, one to one, without quotes, backslashes, bars or line ends.

    The engine compares quoted text in its escaped form and hashes bytes as signed. Ids of features
    and values pass through unchanged.
    """
    return text if text.isascii() and text.isidentifier() else quote(text, safe="", errors="surrogatepass")


def condition_of(atom: Atom) -> dict[str, str]:
    """The properties tested: `f` the feature, `s` the value, which is always text."""
    return {"f": plain(atom.feature), "s": plain(atom.value)}


def message_id(condition: dict[str, str]) -> str:
    """The explicit id of a fact, feature|type|value; the engine's own ids would forget the type."""
    return f"{condition['f']}|s|{condition['s']}"


def id_hash(text: str) -> int:
    """The hash by which the engine tells ids apart: 32-bit FNV-1a (Fowler, Noll, Vo) over ASCII."""
    value = 0x811C9DC5
    for byte in text.encode("ascii"):
        value = (value ^ byte) * 0x01000193 & 0xFFFFFFFF
    return value


def check_limits(clauses: Iterable[Clause], limits: Limits = LIMITS) -> None:
    """Refuse at load what durable-rules cannot take, whichever engine runs here: ChainingLimit."""
    seen: set[Atom] = set()
    hashes: dict[int, Atom] = {}
    for clause in clauses:
        if len(clause.body) > limits.conditions:
            raise ChainingLimit(
                f"{clause.id}: {len(clause.body)} conditions, and a rule may have {limits.conditions}. "
                "Let one rule conclude a feature from some of them, and let another rule use that feature."
            )
        for atom in sorted({*clause.body, *clause.head} - seen):
            message = message_id(condition_of(atom))
            if len(message) > limits.text:
                raise ChainingLimit(
                    f"{clause.id}: feature {atom.feature[:40]!r} with value {atom.value[:40]!r} takes "
                    f"{len(message)} characters of {limits.text}. Use a short id; long text goes in a remark."
                )
            if (other := hashes.setdefault(id_hash(message), atom)) != atom:
                raise ChainingLimit(
                    f"{clause.id}: the rule engine cannot tell {atom.feature} {atom.value!r} from "
                    f"{other.feature} {other.value!r}. Give one of the two values another id."
                )
            seen.add(atom)


@dataclass(slots=True)
class _Shard:
    """The clauses of one ruleset, and what decides whether it can take another."""

    clauses: list[Clause] = field(default_factory=list)
    uses: Counter[Atom] = field(default_factory=Counter)
    values: dict[str, set[str]] = field(default_factory=dict)

    def takes(self, clause: Clause, limits: Limits) -> bool:
        """Whether the clause fits. The boot rule counts as one rule and one feature."""
        again = Counter(clause.body)
        if len(self.clauses) + 2 > limits.rules or any(self.uses[a] + again[a] > limits.uses for a in again):
            return False
        fresh = again.keys() - self.uses.keys()
        if len(self.values.keys() | {atom.feature for atom in fresh}) + 1 > limits.tests:
            return False
        added = Counter(atom.feature for atom in fresh)
        return all(len(self.values.get(name, ())) + more <= limits.tests for name, more in added.items())

    def add(self, clause: Clause) -> None:
        self.clauses.append(clause)
        self.uses.update(clause.body)
        for atom in clause.body:
            self.values.setdefault(atom.feature, set()).add(atom.value)


def _shards(clauses: Iterable[Clause], limits: Limits) -> list[_Shard]:
    """The clauses packed by first fit; any single clause fits an empty ruleset."""
    parts: list[_Shard] = []
    for clause in clauses:
        part = next((part for part in parts if part.takes(clause, limits)), None)
        if part is None:
            parts.append(part := _Shard())
        part.add(clause)
    return parts


class _Recorder:
    """What the actions of one chainer saw. It knows nothing of the chainer, so that one can be dropped."""

    def __init__(self, clauses: Iterable[Clause]) -> None:
        self.fired: deque[Clause] = deque()
        self.failure: BaseException | None = None
        self._atoms = {message_id(condition_of(a)): a for a in {a for c in clauses for a in c.body}}

    def action(self, clause: Clause) -> Callable[[Any], None]:
        """What the rule of a clause runs. It has one argument: with two the engine thinks it asynchronous."""

        def record(context: Any) -> None:
            try:
                matched = (context._m[f"c{n}"]["id"] for n in range(len(clause.body)))
                used = tuple(dict.fromkeys(self._atoms[message] for message in matched))
                self.fired.append(replace(clause, body=used))
            except BaseException as failure:  # the engine would swallow it, Ctrl-C too; the driver re-raises
                self.failure = self.failure or failure

        return record


def _rule(conditions: Iterable[dict[str, str]], run: Callable[[Any], None]) -> dict[str, Any]:
    """A conjunction; without dist 0 one fact could not meet two of its conditions."""
    tests = ([{name: value} for name, value in condition.items()] for condition in conditions)
    return {"all": [{f"c{n}": {"$and": test}} for n, test in enumerate(tests)], "dist": 0, "run": run}


def _load() -> tuple[Any, str]:
    """The engine, and its name with version; ImportError where it is not installed."""
    from durable import engine  # type: ignore[import-untyped]  # ships no types

    return engine, f"durable-rules {importlib.metadata.version('durable-rules')}"


class DurableChainer:
    """Chains forward with durable-rules; ImportError without it, ChainingLimit past its limits.

    Compiled once and used for any number of cases, each in a fresh session: the engine cannot take
    a fact back. Its memory goes with the chainer, or at `release`. Calls from several threads wait
    for one another.
    """

    def __init__(self, clauses: Iterable[Clause], limits: Limits = LIMITS) -> None:
        """Compile; clause ids must differ (ValueError)."""
        kept = distinct(clauses)
        check_limits(kept, limits)
        engine, self._engine = _load()
        # A plain Host starts dispatching threads in _run; those fire late and from elsewhere.
        self._host = type("QuietHost", (engine.Host,), {"_run": lambda _: None})()
        self._turn = threading.Lock()
        self._recorder = _Recorder(kept)
        self._listening: dict[Atom, list[str]] = {}
        rulesets = ExitStack()
        self._free = weakref.finalize(self, rulesets.close)
        self._free.atexit = False
        for part in _shards(kept, limits):
            name = f"hobmark-{hashlib.sha256(repr(part.clauses).encode()).hexdigest()[:16]}"
            rules = {"boot": _rule([BOOT], lambda _: None)}
            for clause in part.clauses:
                rules[f"r{len(rules)}"] = _rule(map(condition_of, clause.body), self._recorder.action(clause))
            self._host.set_rulesets({name: rules})
            handle = self._host.get_ruleset(name)._handle
            rulesets.callback(engine.durable_rules_engine.delete_ruleset, handle)  # no public one exists
            for atom in part.uses:
                self._listening.setdefault(atom, []).append(name)

    def derive(self, given: Iterable[Atom]) -> Derivation:
        """The least fixpoint with its trace: what the engine fired, in the order of a Derivation."""
        with self._turn:
            if not self._free.alive:
                raise RuntimeError("this chainer was released")
            start = frozenset(given)
            fired = self._fire(start)
        found = CountingChainer(fired).derive(start)
        if len(found.firings) != len(fired):
            raise RuntimeError("durable-rules fired a rule on facts that do not hold")
        return replace(found, engine=self._engine)

    def release(self) -> None:
        """Give the engine's memory back now; after that, derive refuses. Twice does no harm."""
        with self._turn:
            self._free()

    def _fire(self, start: frozenset[Atom]) -> list[Clause]:
        """Pump facts through the rulesets until nothing new follows; each clause as it was matched.

        The facts are kept here. A fact goes only to the rulesets that test it, since the engine
        answers any other with MessageNotHandledException; raised here, that would be a fault.
        """
        recorder, awake, fired = self._recorder, set[str](), list[Clause]()
        recorder.fired.clear()  # what a case that failed left behind
        recorder.failure = None
        holds, ahead = set(start), deque(sorted(start))
        try:
            while ahead:
                atom = ahead.popleft()
                for name in self._listening.get(atom, ()):
                    if name not in awake:
                        self._assert(name, BOOT)
                        awake.add(name)
                    self._assert(name, condition_of(atom))
                while recorder.fired:
                    clause = recorder.fired.popleft()
                    fired.append(clause)
                    ahead.extend(new for new in dict.fromkeys(clause.head) if new not in holds)
                    holds.update(clause.head)
        finally:
            for name in awake:
                self._host.delete_state(name, SESSION)
        return fired

    def _assert(self, name: str, condition: dict[str, str]) -> None:
        self._host.assert_fact(name, {"id": message_id(condition), "sid": SESSION, **condition})
        if self._recorder.failure:
            raise self._recorder.failure


def chainer(clauses: Iterable[Clause]) -> DurableChainer | CountingChainer:
    """The chainer for a derivation that is shown: durable-rules where it can be imported.

    The limits are checked either way, so a base that loads here loads everywhere.
    """
    kept = distinct(clauses)
    check_limits(kept)
    try:
        return DurableChainer(kept)
    except ImportError:
        return CountingChainer(kept)


def engine_in_use() -> str:
    """Which engine `chainer` gives: "durable-rules" and its version, or "counting chainer"."""
    try:
        return _load()[1]
    except ImportError:
        return COUNTING
