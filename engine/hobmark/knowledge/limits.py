"""Checks of what a maker's statements and rules may say beside each other, once every name in them is known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from pydantic import RootModel

from hobmark.dates import Span, read_span
from hobmark.knowledge.base import EVERY_VARIANT, MakerFolder
from hobmark.knowledge.schema.rules import BoundConclusion, Rule
from hobmark.knowledge.schema.works import Change, Trait, Variant
from hobmark.knowledge.vocabulary import Status
from hobmark.knowledge.written import Written
from hobmark.problems import Problem

MOST_RIVALS = 10
"""Statements about one feature of one variant that may be in dispute: n of them can be sided with in 2^n ways."""
MONTHS = 12
"""Stretches of a year in which a statement may hold and a variant be made."""
SLACK = 1e-6
"""Share of a month by which two dates may touch and have nothing in common: years are kept as decimals."""
NEAR_LIFE = 10
"""Years by which a running change may lie outside the life of the works: old stock, and dates not yet settled."""


def check_changes(traits: Written[RootModel[tuple[Trait, ...]]], folder: MakerFolder) -> Iterator[Problem]:
    """No running change lies far outside the life of the works."""
    life = read_span(folder.maker.life)
    for position, trait in enumerate(traits.entry.root):
        for place, step in enumerate(trait.run):
            if isinstance(step, Change) and _far_from(read_span(step.from_), life):
                message = f"'{step.from_}' lies more than {NEAR_LIFE} years outside {life.text}, the life of the works."
                remedy = "Mend this date, or 'life' in maker.yaml."
                yield traits.problem((position, "run", place, "from"), message, remedy)


def _far_from(change: Span, life: Span) -> bool:
    return change.latest <= life.earliest - NEAR_LIFE or change.earliest >= life.latest + NEAR_LIFE


def check_years(traits: Written[RootModel[tuple[Trait, ...]]], folder: MakerFolder) -> Iterator[Problem]:
    """No statement is limited to years in which nothing that it speaks of was made: it could never act."""
    for position, trait in enumerate(traits.entry.root):
        meant = [folder.variants[name] for name in folder.variants_meant(trait.of) if name in folder.variants]
        if trait.made is not None and meant and not _made_in(trait.made, meant, read_span(folder.maker.life)):
            message = f"'{trait.made}' has no month in which {_speaks_of(trait.of)} was made: '{trait.id}' never acts."
            yield traits.problem((position, "made"), message, "Mend these dates, or 'made' in models.yaml.")


def _made_in(made: str, variants: Sequence[Variant], life: Span) -> bool:
    """Whether one of the variants was made in some month of the life that an EDTF text touches."""
    span = read_span(made)
    begin = np.arange(MONTHS * (life.first_year or 0), MONTHS * ((life.last_year or 0) + 1)) / MONTHS
    touched = (begin + (1 - SLACK) / MONTHS > span.earliest) & (begin + SLACK / MONTHS < span.latest)
    return any(bool(variant.made_in(begin[touched], 1 / MONTHS).any()) for variant in variants)


def _speaks_of(of: Sequence[str]) -> str:
    return "any variant" if EVERY_VARIANT in of else " or ".join(of)


def check_same_feature(traits: Written[RootModel[tuple[Trait, ...]]]) -> Iterator[Problem]:
    """A statement's rivals speak of its own feature: against one about another it could never act."""
    feature = {trait.id: trait.feature for trait in traits.entry.root}
    for position, trait in enumerate(traits.entry.root):
        for place, rival in enumerate(trait.against):
            if (other := feature.get(rival, trait.feature)) != trait.feature:
                message = f"'{rival}' is about {other}, and '{trait.id}' about {trait.feature}: they are no rivals."
                same = [name for name, about in feature.items() if about == trait.feature and name != trait.id]
                remedy = f"Name a statement about {trait.feature}, as {same[0]}." if same else "Take 'against' out."
                yield traits.problem((position, "against", place), message, remedy)


def check_rivals(traits: Written[RootModel[tuple[Trait, ...]]], folder: MakerFolder) -> Iterator[Problem]:
    """No variant has more statements in dispute about one feature than can be weighed."""
    told: set[int] = set()
    by_feature: dict[str, list[int]] = {}
    for position, trait in enumerate(traits.entry.root):
        if trait.status is not Status.RETIRED:
            by_feature.setdefault(trait.feature, []).append(position)
    for feature, positions in by_feature.items():
        for variant in folder.variants:
            here = [at for at in positions if variant in folder.variants_meant(traits.entry.root[at].of)]
            disputed = _disputed(traits.entry.root, here)
            if len(disputed) > MOST_RIVALS and (last := disputed[MOST_RIVALS]) not in told:
                told.add(last)
                message = f"{len(disputed)} statements about {feature} of {variant} are in dispute, more than "
                remedy = "Retire those that are settled, or part them by 'of'."
                yield traits.problem((last, "against"), f"{message}{MOST_RIVALS}.", remedy)


def _disputed(traits: Sequence[Trait], here: Sequence[int]) -> list[int]:
    """Which of the statements `here` are against another of them, or have one against them."""
    place = {traits[at].id: at for at in here}
    pairs = [(at, place[rival]) for at in here for rival in traits[at].against if rival in place]
    return sorted({at for pair in pairs for at in pair})


def check_ruled_out(rules: Written[RootModel[tuple[Rule, ...]]]) -> Iterator[Problem]:
    """No rule rules out everything its maker made."""
    for position, rule in enumerate(rules.entry.root):
        for place, conclusion in enumerate(rule.then):
            if isinstance(conclusion, BoundConclusion) and EVERY_VARIANT in conclusion.rules_out:
                loc = (position, "then", place, "rules_out", conclusion.rules_out.index(EVERY_VARIANT))
                message = f"'{EVERY_VARIANT}' would rule out everything the works made."
                yield rules.problem(loc, message, "Name the variants or families that it cannot be.")
