"""What each entry moves: every statement, rule and specimen taken away in its turn, on cases and simulated ranges."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hobmark.case import Case
from hobmark.curating.cases import specimen_case
from hobmark.curating.simulating import SimulatedRange, draw_ranges
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.rules import Rule
from hobmark.reasoning.cells import Floats
from hobmark.reasoning.dated import dated, dated_messages
from hobmark.reasoning.evidence import all_messages, known_facts, with_gates
from hobmark.reasoning.examination import Compiled
from hobmark.reasoning.model import Model, retabled
from hobmark.reasoning.ranking import rank
from hobmark.reasoning.rules import MakerRules, compile_rules

Kind = Literal["trait", "rule", "specimen"]
Progress = Callable[[int, int], None]
"""Called with how many entries are done, and how many there are."""
HELD = 1e-3
"""Only lines of the ranking with at least this probability, before or after, count as moved."""


@dataclass(frozen=True, slots=True)
class Removal:
    """The most that taking one entry away moved the odds of any cell's variant or year, in decibans.

    `tried` is False where no range showed a feature that the entry speaks of: then nothing is known of it.
    """

    kind: Kind
    id: str
    decibans: float
    tried: bool


@dataclass(frozen=True, slots=True)
class _Reduced:
    """A base without one entry: the features it may move, and those of which a range must show one to try it."""

    kind: Kind
    id: str
    moves: frozenset[str]
    tried_by: frozenset[str]
    after: Compiled


def removals(
    compiled: Compiled,
    cases: Sequence[Case],
    *,
    ranges: int,
    seed: int,
    enough: float,
    maker: str | None = None,
    progress: Progress | None = None,
) -> list[Removal]:
    """Take every entry (of one maker) away in its turn; the cases, the specimens and `ranges` simulated ones are tried.

    A range is only ranked anew where it shows a feature that the entry speaks of, and no further one is tried once an
    entry has moved something by `enough` decibans.
    """
    base = compiled.base
    makers = list(base.makers) if maker is None else [maker]
    folders = [base.makers[name] for name in makers]
    entries = sum(len(each) for f in folders for each in (f.acting_traits, f.acting_rules, f.specimens))
    tried = [*cases, *(specimen_case(m, s) for m, folder in base.makers.items() for s in folder.specimens)]
    tried += [simulated_case(drawn) for drawn in draw_ranges(compiled, ranges, seed)]
    before = [_outcome(base, compiled.model, compiled.rules, case) for case in tried]
    shows = [frozenset(o.feature for o in with_gates(base, case.observations) if o.feature) for case in tried]
    found = []
    for number, reduced in enumerate(_reduced(compiled, makers)):
        if progress is not None:
            progress(number, entries)
        moved = 0.0
        for case, seen, old in zip(tried, shows, before, strict=True):
            if seen & reduced.moves:
                after = reduced.after
                moved = max(moved, _moved(old, _outcome(after.base, after.model, after.rules, case)))
                if moved >= enough:
                    break
        was_tried = moved > 0 or any(seen & reduced.tried_by for seen in shows)
        found.append(Removal(reduced.kind, reduced.id, moved, was_tried))
    if progress is not None:
        progress(entries, entries)
    return found


def simulated_case(drawn: SimulatedRange) -> Case:
    """A simulated range as a case in which every look was taken."""
    seen = [Observation.model_validate({"feature": f, "is": v}) for f, v in drawn.readings.items() if v is not None]
    return Case(hobmark="1", label=f"simulated {drawn.number}", observations=tuple(seen))


def _leading_to(folder: MakerFolder, rule: Rule) -> frozenset[str]:
    """The features a rule tests, and those that lead to one of them through other rules."""
    leading = rule.tested
    while more := frozenset(f for r in folder.acting_rules if r.concluded & leading for f in r.tested) - leading:
        leading |= more
    return leading


def _reduced(compiled: Compiled, makers: Sequence[str]) -> Iterator[_Reduced]:
    base = compiled.base
    for maker in makers:
        folder = base.makers[maker]
        for trait in folder.acting_traits:
            without = base.without(trait=f"{maker}/{trait.id}")
            rules = {**compiled.rules, maker: compile_rules(without.makers[maker])}
            model = retabled(without, compiled.model, [trait.feature])
            about = frozenset({trait.feature})
            yield _Reduced("trait", f"{maker}/{trait.id}", about, about, Compiled(without, model, rules))
        for rule in folder.acting_rules:
            without = base.without(rule=f"{maker}/{rule.id}")
            rules = {**compiled.rules, maker: compile_rules(without.makers[maker])}
            tested, after = frozenset(compiled.rules[maker].sets), Compiled(without, compiled.model, rules)
            yield _Reduced("rule", f"{maker}/{rule.id}", tested, _leading_to(folder, rule), after)
        for specimen in folder.specimens:
            without = base.without(specimen=f"{maker}/{specimen.id}")
            shown = frozenset(o.feature for o in specimen.observations if o.feature is not None and o.is_reading)
            model = retabled(without, compiled.model, shown)
            after = Compiled(without, model, compiled.rules)
            yield _Reduced("specimen", f"{maker}/{specimen.id}", shown, shown, after)


def _outcome(base: KnowledgeBase, model: Model, rules: Mapping[str, MakerRules], case: Case) -> tuple[Floats, Floats]:
    """P(group | O) and P(year | O)."""
    facts = known_facts(base, with_gates(base, case.observations))
    found = all_messages(base, model, rules.values(), case.observations, facts)
    ranking = rank(model, [*found, *dated_messages(base, model, dated(base, case.observations))])
    return ranking.by_group, np.array(list(ranking.by_year.values()))


def _moved(old: tuple[Floats, Floats], new: tuple[Floats, Floats]) -> float:
    return max(_largest(a, b) for a, b in zip(old, new, strict=True))


def _largest(a: Floats, b: Floats) -> float:
    held = (a >= HELD) | (b >= HELD)
    odds = [np.maximum(p[held], 1e-12) / np.maximum(1 - p[held], 1e-12) for p in (a, b)]
    return float(np.abs(10 * np.log10(odds[0] / odds[1])).max()) if held.any() else 0.0
