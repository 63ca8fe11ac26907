"""Old stock and carried-over parts: what is older in kind than its range and yet right for it, so that nobody calls it
replaced.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hobmark.dates import changed_by, read_span, within_old_stock
from hobmark.knowledge.schema.works import Change, Trait
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.factory import statements_about
from hobmark.reasoning.originality import DOUBTFUL, NOT_ITS_OWN, Whole, held_years

MONTHS = 12
MOSTLY = 0.8
"""Share of its years before the range from which a part counts as older in kind."""
PROBABLY = 0.7
"""How probable it must be that the range was made after a change for the change to count."""
SURELY = 0.9
"""How probable it must be, if the range was made after the change, that old stock was left for it to be told so."""


@dataclass(frozen=True, slots=True)
class OldStock:
    """A value that was given up before the range was probably made, and was still being used up then."""

    feature: str
    value: str
    change: Change
    trait: Trait


def old_stock(examination: Examination, whole: Whole) -> Iterable[OldStock]:
    """Values seen that the leading variant had given up, on assemblies that seem its own."""
    compiled, ranking = examination.compiled, examination.ranking
    group = compiled.model.cells.groups[ranking.leader]
    if group.maker is None or group.variant is None:
        return
    chances = ranking.years_of(group)
    own = {part.assembly for part in whole.parts if part.swapped < NOT_ITS_OWN}
    for feature, values in examination.facts.items():
        if len(values) != 1 or compiled.model.features[feature].assembly not in own:
            continue
        (value,) = values
        for trait in statements_about(compiled.base.makers[group.maker], group.variant, feature)[:1]:
            change = _given_up(trait, value, chances)
            if change is not None:
                yield OldStock(feature, value, change, trait)


def _given_up(trait: Trait, value: str, chances: dict[int, float]) -> Change | None:
    """The last change of a run away from `value` whose old stock was surely being used up when the range was made."""
    years = np.array(list(chances), dtype=np.float64)
    mass = np.array(list(chances.values()))
    before: str | None = None
    found = None
    for step in trait.run:
        if isinstance(step, str):
            before = step
            continue
        after = float(mass @ changed_by(read_span(step.from_), 0, years))
        if after < PROBABLY:
            break
        within = within_old_stock(read_span(step.from_), step.run_out / MONTHS, years)
        found = step if before == value and float(mass @ within) >= SURELY * after else None
        before = step.value
    return found


def carried_over(examination: Examination, whole: Whole) -> Iterable[int]:
    """Assemblies older in kind than the range by most of their years, and yet hardly to be doubted."""
    first, _ = held_years(examination.ranking.by_year)
    sigma = examination.compiled.model.sigma
    for part in whole.parts:
        older = sum(p for year, p in part.strip.items() if year < first)
        if part.dates and sigma[part.assembly] > 0 and part.swapped < DOUBTFUL and older >= MOSTLY:
            yield part.assembly
