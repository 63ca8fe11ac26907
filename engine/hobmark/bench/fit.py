"""Whether a part fits: P(fits | O) = sum_h p(h | O) P(papers or measures say that it fits h), and a verdict.

Two answers: for what left the works, and for what is on the range now. The second takes the cell that the part's seat
came from: p(h | O) (1 - sigma_a) M_a(h) / L_a(h), and beside it P(s_a | O) spread over the donors of that assembly.
What is not known never confirms: a critical or measured part needs its number or all its measures, whatever its range
is, and a critical one also needs known whatever could forbid it. A refusal goes before every proof, and so does the
heat of a jet on the gas at hand (fit_gas.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from hobmark.bench.account import Account, account_of
from hobmark.bench.fit_clauses import MEASURED, NUMBER, PAPERS, PROOF, SUPERSEDED, TWO_WAY, FitClauses
from hobmark.bench.fit_gas import NO_GAS, GasCheck, gas_check, goes_by_gas
from hobmark.bench.fit_places import LEAST, LISTED_AS, Place, placed
from hobmark.bench.fit_writing import compile_fit
from hobmark.bench.guards import Guard, open_guards
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.measures import plain_number
from hobmark.knowledge.schema.parts import Part, PartKind
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import FitVerdict, Gas, PartClass
from hobmark.problems import Problem, Refused, one_of, shown
from hobmark.reasoning.examination import Examination

HALF = 0.5
"""From this probability on a refusal is the verdict; below it only keeps a part from being confirmed."""

CONFIRMED = (FitVerdict.EXACT, FitVerdict.SUPERSEDED, FitVerdict.INTERCHANGES, FitVerdict.MODIFIED)
"""Verdicts that say that a part fits, best first."""
REFUSALS = (FitVerdict.DOES_NOT_FIT, FitVerdict.PROHIBITED)
"""Verdicts that say that it must not be fitted; `unproven` is neither."""
BEST_FIRST = (*CONFIRMED, FitVerdict.UNPROVEN, *REFUSALS)
_VERDICT = dict(zip(LISTED_AS, CONFIRMED, strict=True))
_PROVEN = ((NUMBER, FitVerdict.EXACT), (SUPERSEDED, FitVerdict.SUPERSEDED), (TWO_WAY, FitVerdict.INTERCHANGES))


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether the part fits one thing: verdict, P(fits), and the chance that a paper lists it."""

    verdict: FitVerdict
    probability: float
    listed: float


@dataclass(frozen=True)
class PartFit:
    """One part held against one range; `gas` is how it stands with the gas that is to burn at it.

    `account`: what the bench record makes of the gas, None in a base without tables of gas.
    """

    examination: Examination
    maker: str
    part: Part
    clauses: FitClauses
    places: tuple[Place, ...]
    gas: GasCheck = NO_GAS
    account: Account | None = None

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
        """What is not known of its gas; of a critical part also what could forbid it and has not been ruled out."""
        if self.part.class_ is not PartClass.CRITICAL:
            return self.gas.guards
        groups = {place.group for place in self.places}
        return (*open_guards(self.examination, self.maker, self.clauses, self.part, groups), *self.gas.guards)

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
        mass = dict.fromkeys((*LISTED_AS, FitVerdict.PROHIBITED, FitVerdict.DOES_NOT_FIT), 0.0)
        for place, weight in zip(self.places, weights, strict=True):
            said = place.refusal(name) or place.listed(name)
            if said is not None:
                mass[said] += weight
        listed = sum(mass[word] for word in LISTED_AS)
        settled = self.base.wording.stop.settled
        # A number tells what is on the range now; of what left the works it tells only what papers bear out.
        counts = self.proof if for_now or listed >= settled else self.proof & {MEASURED}
        refused = mass[FitVerdict.PROHIBITED] + mass[FitVerdict.DOES_NOT_FIT]
        fits = max(0.0, sum(weights) - refused) if counts else listed
        best = max(LISTED_AS, key=lambda word: mass[word])
        verdict = self._verdict(mass, counts, listed >= settled, _VERDICT[best])
        if for_now and self.gas.refusals:
            barred = verdict if verdict in REFUSALS else FitVerdict.DOES_NOT_FIT
            return Answer(barred, 0.0, listed)
        return Answer(verdict, float(min(fits, 1.0)), listed)

    def _verdict(
        self, mass: Mapping[str, float], proof: frozenset[str], is_listed: bool, as_listed: FitVerdict
    ) -> FitVerdict:
        prohibited, refused = mass[FitVerdict.PROHIBITED], mass[FitVerdict.DOES_NOT_FIT]
        if prohibited + refused >= HALF:
            return FitVerdict.PROHIBITED if prohibited >= refused else FitVerdict.DOES_NOT_FIT
        if prohibited >= LEAST or self.guards or self.gas.refusals:
            return FitVerdict.UNPROVEN
        for word, verdict in _PROVEN:
            if word in proof:
                return verdict
        if MEASURED in proof:  # what measures as it should needs no modification, whatever papers expect
            return as_listed if is_listed and as_listed is not FitVerdict.MODIFIED else FitVerdict.INTERCHANGES
        return as_listed if is_listed and self.part.class_ is PartClass.TRIAL else FitVerdict.UNPROVEN


def account_for(examination: Examination) -> Account | None:
    """The account of the gas of a case; None in a base without tables of gas."""
    bench = examination.compiled.base.bench
    return account_of(examination) if bench.gases and bench.fuel is not None else None


def parts_meant(base: KnowledgeBase, name: str) -> list[tuple[str, str]]:
    """The parts that a name speaks of: an id, a number that stands on them, or a kind; each (maker, part).

    Raises Refused, with the closest name, where it is none of them, and for a kind of which no part is known.
    """
    if name in base.part_keys:
        return [base.part_keys[name]]
    every = [(maker, part) for maker, folder in base.makers.items() for part in folder.acting_parts.values()]
    if name in base.kinds:
        of_kind = [(maker, part.id) for maker, part in every if part.kind == name]
        if not of_kind:
            amiss = f"no such part is known: the makers of this base have no {base.kinds[name].label} in parts.yaml."
            raise Refused([Problem("hobmark", 1, 1, amiss, "Add one there, or name a base that tells of parts.")])
        return of_kind
    plain = plain_number(name)
    numbered = [(maker, p.id) for maker, p in every if plain and plain in map(plain_number, p.numbers)]
    if numbered:
        return numbered
    numbers = [number for _, part in every for number in part.numbers]
    amiss = f"no part has the id or the number '{shown(name)}', and no kind of part is called so."
    raise Refused([Problem("hobmark", 1, 1, amiss, one_of(name, [*base.kinds, *base.part_keys, *numbers]))])


def part_fits(
    examination: Examination,
    wanted: Iterable[tuple[str, str]],
    *,
    place: JetPlace | None = None,
    gas: Gas | None = None,
) -> list[PartFit]:
    """Hold parts against the range, likeliest first; each maker's parts of a kind are chained together.

    `place`: where it is to stand, else all that it may. `gas`: one that is wanted, in place of the one laid on.
    """
    base = examination.compiled.base
    by_kind: dict[tuple[str, str], list[str]] = {}
    for maker, name in dict.fromkeys(wanted):
        by_kind.setdefault((maker, base.makers[maker].acting_parts[name].kind), []).append(name)
    found: list[PartFit] = []
    account = account_for(examination)
    for (maker, kind), names in by_kind.items():
        folder = base.makers[maker]
        clauses = compile_fit(base, maker, (part.id for part in folder.acting_parts.values() if part.kind == kind))
        chances = placed(examination, maker, clauses, base.kinds[kind].goes_with)
        for name in names:
            part = folder.acting_parts[name]
            check = NO_GAS
            if account is not None and goes_by_gas(base, part):
                check = gas_check(examination, account, part, place=place, wanted=gas)
            found.append(PartFit(examination, maker, part, clauses, chances, check, account))
    return sorted(found, key=lambda fit: (BEST_FIRST.index(fit.verdict), -round(fit.now.probability, 9), fit.part.id))
