"""The places a range may be in a base, each chained for parts: what was derived there, and how probable it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hobmark.bench.fit_clauses import (
    INSTEAD,
    MADE,
    MAKER,
    ONE_WAY,
    PAPERS,
    REFUSED,
    SUPERSEDED,
    FitClauses,
)
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.fit_rules import FAMILY, VARIANT
from hobmark.knowledge.vocabulary import FitsAs, FitVerdict
from hobmark.reasoning.cells import Floats, Group
from hobmark.reasoning.derivation import Atom, Derivation
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.ranking import Ranking
from hobmark.reasoning.statements import applies_in

LEAST = 0.01
"""Variants less probable than this, by both answers, are not chained; what they hold speaks for no part."""
QUARTER = 0.25
"""Papers change within years: a cell is parted into quarters."""
LISTED_AS = (FitsAs.EXACT.value, SUPERSEDED, FitsAs.INTERCHANGES.value, FitsAs.MODIFIED.value)
"""What papers may say of a part that they let in, best first."""


@dataclass(frozen=True, slots=True)
class Place:
    """One variant over a stretch of its years in which every paper says the same; `works` and `now` are its chances."""

    group: Group
    first: int
    last: int
    works: float
    now: float
    derivation: Derivation

    def words_on(self, fact: str, part: str) -> frozenset[str]:
        """What was derived of one fact about a part."""
        name = f"{fact} {part}"
        return frozenset(atom.value for atom in self.derivation.facts if atom.feature == name)

    def listed(self, part: str) -> str | None:
        """The best that papers or rules say of a part here, unless something refuses it."""
        said = self.words_on(PAPERS, part)
        return None if self.refusal(part) is not None else next((word for word in LISTED_AS if word in said), None)

    def refusal(self, part: str) -> FitVerdict | None:
        """Whether something refuses the part here.

        That papers list another part here, whose place it does not or must not take, is no matter where they list it
        too, or where the other is refused.
        """
        refused, listed = self.words_on(REFUSED, part), self.words_on(PAPERS, part)
        others = [word.removeprefix(INSTEAD) for word in refused if word.startswith(INSTEAD)]
        stands = any(not self._is_barred(other) for other in others)
        if FitsAs.PROHIBITED.value in refused or (stands and not listed):
            return FitVerdict.PROHIBITED
        if self._is_barred(part) or (ONE_WAY in refused and not listed):
            return FitVerdict.DOES_NOT_FIT
        return None

    def _is_barred(self, part: str) -> bool:
        """Whether a measure, a rule or a paper refuses the part itself, and not in view of another."""
        return any(word != ONE_WAY and not word.startswith(INSTEAD) for word in self.words_on(REFUSED, part))


def cells_now(ranking: Ranking, assembly: int) -> Floats:
    """The chance of every cell that an assembly on the range now came from it, shape (H,)."""
    own = (1 - ranking.model.sigma[assembly]) * ranking.own_together[assembly] / ranking.likelihood[assembly]
    donated = float(ranking.swapped[assembly]) * ranking.donors_of(assembly)
    return np.asarray(ranking.posterior * own + donated, dtype=np.float64)


def placed(examination: Examination, maker: str, clauses: FitClauses, seat: str) -> tuple[Place, ...]:
    """The places a range may be, each chained, for a seat."""
    ranking, cells = examination.ranking, examination.compiled.model.cells
    works = ranking.posterior
    now = cells_now(ranking, ranking.model.assemblies.index(seat))
    known = clauses.given(examination.facts, examination.case.measures, examination.case.numbers)
    found: list[Place] = []
    for number, group in enumerate(cells.groups):
        where = np.flatnonzero(cells.group == number)
        if max(works[where].sum(), now[where].sum()) < LEAST:
            continue
        years = cells.year[where]
        spans = clauses.spans if group.maker == maker and group.variant is not None else ()
        for holds, share in _stretches(examination.compiled.base, group, years, spans):
            inside = share > 0
            identity = _identity(examination.compiled.base, maker, group)
            given = [*known, *identity, *(Atom(MADE, span) for span in holds)]
            chances = float(works[where] @ share), float(now[where] @ share)
            first, last = int(years[inside].min()), int(years[inside].max())
            found.append(Place(group, first, last, *chances, clauses.derive(given)))
    return tuple(found)


def _identity(base: KnowledgeBase, maker: str, group: Group) -> list[Atom]:
    """What a maker's papers may ask of a place: of another maker's range they say nothing."""
    if group.maker != maker:
        return []
    if group.variant is None:
        return [Atom(MAKER, maker)]
    return [Atom(MAKER, maker), Atom(VARIANT, group.variant), Atom(FAMILY, base.makers[maker].family_of[group.variant])]


def _stretches(
    base: KnowledgeBase, group: Group, years: np.ndarray[tuple[int], np.dtype[np.int64]], spans: Sequence[str]
) -> list[tuple[tuple[str, ...], Floats]]:
    """The spans that hold together, and how much of each year they hold in, shape (years,)."""
    if not spans or group.maker is None or group.variant is None:
        return [((), np.ones(len(years)))]
    starts = (years[:, None] + np.arange(0, 1, QUARTER)).ravel()
    made = base.makers[group.maker].variants[group.variant].made_in(starts, QUARTER)
    share = made.reshape(len(years), -1)
    share = share / np.maximum(share.sum(axis=1, keepdims=True), 1e-12)
    holds = np.array([applies_in(span, starts, QUARTER) for span in spans]).reshape(len(spans), -1)
    states, place = np.unique(holds.T, axis=0, return_inverse=True)
    found = []
    for number, state in enumerate(states):
        inside = (share * (place.reshape(len(years), -1) == number)).sum(axis=1)
        if inside.any():
            found.append((tuple(span for span, held in zip(spans, state, strict=True) if held), inside))
    return found
