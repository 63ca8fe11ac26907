"""What each entry moves: every statement, rule and specimen taken away in its turn, on cases and simulated ranges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hobmark.case import Case
from hobmark.curating.cases import specimen_case
from hobmark.curating.simulating import SimulatedRange, draw_ranges
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.cells import Floats
from hobmark.reasoning.evidence import all_messages, known_facts, with_gates
from hobmark.reasoning.examination import Compiled
from hobmark.reasoning.model import Model, retabled
from hobmark.reasoning.ranking import rank
from hobmark.reasoning.rules import MakerRules, compile_rules

HELD = 1e-3
"""Only lines of the ranking with at least this probability, before or after, count as moved."""


@dataclass(frozen=True, slots=True)
class Removal:
    """The most that taking one entry away moved the odds of any cell's variant or year, in decibans."""

    kind: Literal["trait", "rule", "specimen"]
    id: str
    decibans: float


def removals(compiled: Compiled, cases: Sequence[Case], *, ranges: int, seed: int, enough: float) -> list[Removal]:
    """Take every entry of the base away in its turn; the cases, the specimens and `ranges` simulated ones are tried.

    A range is only ranked anew where it shows a feature that the entry speaks of, and no further one is tried once an
    entry has moved something by `enough` decibans.
    """
    base = compiled.base
    tried = [*cases, *(specimen_case(m, s) for m, folder in base.makers.items() for s in folder.specimens)]
    tried += [simulated_case(drawn) for drawn in draw_ranges(compiled, ranges, seed)]
    before = [_outcome(base, compiled.model, compiled.rules, case) for case in tried]
    shows = [frozenset(o.feature for o in with_gates(base, case.observations) if o.feature) for case in tried]
    found = []
    for kind, name, features, after in _reduced(compiled):
        moved = 0.0
        for case, seen, old in zip(tried, shows, before, strict=True):
            if seen & features:
                new = _outcome(after.base, after.model, after.rules, case)
                moved = max(moved, _moved(old, new))
                if moved >= enough:
                    break
        found.append(Removal(kind, name, moved))
    return found


def simulated_case(drawn: SimulatedRange) -> Case:
    """A simulated range as a case in which every look was taken."""
    seen = [Observation.model_validate({"feature": f, "is": v}) for f, v in drawn.readings.items() if v is not None]
    return Case(hobmark="1", label=f"simulated {drawn.number}", observations=tuple(seen))


def _reduced(
    compiled: Compiled,
) -> Iterator[tuple[Literal["trait", "rule", "specimen"], str, frozenset[str], Compiled]]:
    base = compiled.base
    for maker, folder in base.makers.items():
        for trait in folder.acting_traits:
            without = base.without(trait=f"{maker}/{trait.id}")
            rules = {**compiled.rules, maker: compile_rules(without.makers[maker])}
            model = retabled(without, compiled.model, [trait.feature])
            yield "trait", f"{maker}/{trait.id}", frozenset({trait.feature}), Compiled(without, model, rules)
        for rule in folder.acting_rules:
            without = base.without(rule=f"{maker}/{rule.id}")
            rules = {**compiled.rules, maker: compile_rules(without.makers[maker])}
            tested = frozenset(compiled.rules[maker].sets)
            yield "rule", f"{maker}/{rule.id}", tested, Compiled(without, compiled.model, rules)
        for specimen in folder.specimens:
            without = base.without(specimen=f"{maker}/{specimen.id}")
            shown = frozenset(o.feature for o in specimen.observations if o.feature is not None and o.is_reading)
            model = retabled(without, compiled.model, shown)
            yield "specimen", f"{maker}/{specimen.id}", shown, Compiled(without, model, compiled.rules)


def _outcome(base: KnowledgeBase, model: Model, rules: Mapping[str, MakerRules], case: Case) -> tuple[Floats, Floats]:
    """P(group | O) and P(year | O)."""
    facts = known_facts(base, with_gates(base, case.observations))
    ranking = rank(model, all_messages(base, model, rules.values(), case.observations, facts))
    return ranking.by_group, np.array(list(ranking.by_year.values()))


def _moved(old: tuple[Floats, Floats], new: tuple[Floats, Floats]) -> float:
    return max(_largest(a, b) for a, b in zip(old, new, strict=True))


def _largest(a: Floats, b: Floats) -> float:
    held = (a >= HELD) | (b >= HELD)
    odds = [np.maximum(p[held], 1e-12) / np.maximum(1 - p[held], 1e-12) for p in (a, b)]
    return float(np.abs(10 * np.log10(odds[0] / odds[1])).max()) if held.any() else 0.0
