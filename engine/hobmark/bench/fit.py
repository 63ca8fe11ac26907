"""Whether a part fits: P(fits | O) = sum_h p(h | O) P(papers or measures say that it fits h), and a verdict.

Two answers: for what left the works, and for what is on the range now. The second takes the cell that the part's seat
came from: p(h | O) (1 - sigma_a) M_a(h) / L_a(h), and beside it P(s_a | O) spread over the donors of that assembly.
What is not known never confirms: a critical or measured part needs its number or all its measures, whatever its range
is, and a critical one also needs known whatever could forbid it. A refusal goes before every proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hobmark.bench.fit_clauses import (
    INSTEAD,
    MADE,
    MAKER,
    MEASURED,
    NUMBER,
    ONE_WAY,
    PAPERS,
    PROOF,
    REFUSED,
    SUPERSEDED,
    TWO_WAY,
    FitClauses,
)
from hobmark.bench.fit_writing import compile_fit
from hobmark.bench.guards import Guard, open_guards
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.fit_rules import FAMILY, VARIANT
from hobmark.knowledge.schema.measures import plain_number
from hobmark.knowledge.schema.parts import Part, PartKind
from hobmark.knowledge.vocabulary import FitsAs, FitVerdict, PartClass
from hobmark.problems import Problem, Refused, one_of, shown
from hobmark.reasoning.cells import Floats, Group
from hobmark.reasoning.derivation import Atom, Derivation
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.ranking import Ranking
from hobmark.reasoning.statements import applies_in

LEAST = 0.01
"""Variants less probable than this, by both answers, are not chained; what they hold speaks for no part."""
QUARTER = 0.25
"""Papers change within years: a cell is parted into quarters."""
HALF = 0.5
"""From this probability on a refusal is the verdict; below it only keeps a part from being confirmed."""

CONFIRMED = (FitVerdict.EXACT, FitVerdict.SUPERSEDED, FitVerdict.INTERCHANGES, FitVerdict.MODIFIED)
"""Verdicts that say that a part fits, best first."""
REFUSALS = (FitVerdict.DOES_NOT_FIT, FitVerdict.PROHIBITED)
"""Verdicts that say that it must not be fitted; `unproven` is neither."""
BEST_FIRST = (*CONFIRMED, FitVerdict.UNPROVEN, *REFUSALS)
_LISTED = (FitsAs.EXACT.value, SUPERSEDED, FitsAs.INTERCHANGES.value, FitsAs.MODIFIED.value)
_VERDICT = dict(zip(_LISTED, CONFIRMED, strict=True))
_PROVEN = ((NUMBER, FitVerdict.EXACT), (SUPERSEDED, FitVerdict.SUPERSEDED), (TWO_WAY, FitVerdict.INTERCHANGES))


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
        return None if self.refusal(part) is not None else next((word for word in _LISTED if word in said), None)

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


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether the part fits one thing: verdict, P(fits), and the chance that a paper lists it."""

    verdict: FitVerdict
    probability: float
    listed: float


@dataclass(frozen=True)
class PartFit:
    """One part held against one range."""

    examination: Examination
    maker: str
    part: Part
    clauses: FitClauses
    places: tuple[Place, ...]

    @property
    def base(self) -> KnowledgeBase:
        """The base."""
        return self.examination.compiled.base

    @property
    def kind(self) -> PartKind:
        """Its kind."""
        return self.base.kinds[self.part.kind]

    @cached_property
    def proof(self) -> frozenset[str]:
        """What proves it, whichever variant the range is: its number, one in its chain, or all its measures."""
        return frozenset().union(*(place.words_on(PROOF, self.part.id) for place in self.places))

    @cached_property
    def guards(self) -> tuple[Guard, ...]:
        """Of a critical part: what could forbid it and has not been ruled out."""
        if self.part.class_ is not PartClass.CRITICAL:
            return ()
        groups = {place.group for place in self.places}
        return open_guards(self.examination, self.maker, self.clauses, self.part, groups)

    @cached_property
    def works(self) -> Answer:
        """For what left the works."""
        return self._answer([place.works for place in self.places], for_now=False)

    @cached_property
    def now(self) -> Answer:
        """For what is on it now."""
        return self._answer([place.now for place in self.places], for_now=True)

    @property
    def verdict(self) -> FitVerdict:
        """The verdict of the answer that a spanner meets: for what is on the range now."""
        return self.now.verdict

    @property
    def confirmed(self) -> bool:
        """Whether it is said to fit."""
        return self.verdict in CONFIRMED

    @cached_property
    def disputed(self) -> bool:
        """Whether something would confirm it and the verdict does not: the case speaks against itself."""
        if self.confirmed:
            return False
        listed = sum(place.now for place in self.places if place.words_on(PAPERS, self.part.id))
        goes_by_papers = self.part.class_ is PartClass.TRIAL and listed >= self.base.wording.stop.settled
        return bool(self.proof) or goes_by_papers

    def _answer(self, weights: Sequence[float], *, for_now: bool) -> Answer:
        name = self.part.id
        mass = dict.fromkeys((*_LISTED, FitVerdict.PROHIBITED, FitVerdict.DOES_NOT_FIT), 0.0)
        for place, weight in zip(self.places, weights, strict=True):
            said = place.refusal(name) or place.listed(name)
            if said is not None:
                mass[said] += weight
        listed = sum(mass[word] for word in _LISTED)
        settled = self.base.wording.stop.settled
        # A number tells what is on the range now; of what left the works it tells only what papers bear out.
        counts = self.proof if for_now or listed >= settled else self.proof & {MEASURED}
        refused = mass[FitVerdict.PROHIBITED] + mass[FitVerdict.DOES_NOT_FIT]
        fits = max(0.0, sum(weights) - refused) if counts else listed
        best = max(_LISTED, key=lambda word: mass[word])
        return Answer(self._verdict(mass, counts, listed >= settled, _VERDICT[best]), float(min(fits, 1.0)), listed)

    def _verdict(
        self, mass: Mapping[str, float], proof: frozenset[str], is_listed: bool, as_listed: FitVerdict
    ) -> FitVerdict:
        prohibited, refused = mass[FitVerdict.PROHIBITED], mass[FitVerdict.DOES_NOT_FIT]
        if prohibited + refused >= HALF:
            return FitVerdict.PROHIBITED if prohibited >= refused else FitVerdict.DOES_NOT_FIT
        if prohibited >= LEAST or self.guards:
            return FitVerdict.UNPROVEN
        for word, verdict in _PROVEN:
            if word in proof:
                return verdict
        if MEASURED in proof:  # what measures as it should needs no modification, whatever papers expect
            return as_listed if is_listed and as_listed is not FitVerdict.MODIFIED else FitVerdict.INTERCHANGES
        return as_listed if is_listed and self.part.class_ is PartClass.TRIAL else FitVerdict.UNPROVEN


def parts_meant(base: KnowledgeBase, name: str) -> list[tuple[str, str]]:
    """The parts that a name speaks of: an id, a number that stands on them, or a kind; each (maker, part).

    Raises Refused, with the closest name, where it is none of them.
    """
    if name in base.part_keys:
        return [base.part_keys[name]]
    every = [(maker, part) for maker, folder in base.makers.items() for part in folder.acting_parts.values()]
    if name in base.kinds:
        return [(maker, part.id) for maker, part in every if part.kind == name]
    plain = plain_number(name)
    numbered = [(maker, p.id) for maker, p in every if plain and plain in map(plain_number, p.numbers)]
    if numbered:
        return numbered
    numbers = [number for _, part in every for number in part.numbers]
    amiss = f"no part has the id or the number '{shown(name)}', and no kind of part is called so."
    raise Refused([Problem("hobmark", 1, 1, amiss, one_of(name, [*base.kinds, *base.part_keys, *numbers]))])


def part_fits(examination: Examination, wanted: Iterable[tuple[str, str]]) -> list[PartFit]:
    """Hold parts against the range, likeliest first; each maker's parts of a kind are chained together."""
    base = examination.compiled.base
    by_kind: dict[tuple[str, str], list[str]] = {}
    for maker, name in dict.fromkeys(wanted):
        by_kind.setdefault((maker, base.makers[maker].acting_parts[name].kind), []).append(name)
    found: list[PartFit] = []
    for (maker, kind), names in by_kind.items():
        folder = base.makers[maker]
        clauses = compile_fit(base, maker, (part.id for part in folder.acting_parts.values() if part.kind == kind))
        chances = placed(examination, maker, clauses, base.kinds[kind].goes_with)
        found += [PartFit(examination, maker, folder.acting_parts[name], clauses, chances) for name in names]
    return sorted(found, key=lambda fit: (BEST_FIRST.index(fit.verdict), -round(fit.now.probability, 9), fit.part.id))


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
