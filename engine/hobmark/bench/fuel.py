"""Which gas a range is set for, from clues: natural, bottled, manufactured, or "cannot tell".

P(gas | clues) is in proportion to P(gas) times the words of every clue as numbers, with clues taken as independent
given the gas. A jet's bore d is weighed by ln(input(d, gas) / burner_input), normal with standard deviation
ln(burner_spread). Several jets count once, by their median, since one hand drilled them. Nothing is named while fewer
than two jets were gauged (one may have been changed, and a pressure is that of the gas laid on), against what the bores
alone or any clue leans to, from one clue alone, below `enough`, or while two clues contradict each other.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median_low

from hobmark.bench.gas import jet_input
from hobmark.bench.jets import Gauged, read_gauged
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Kind, Unit, read_quantity
from hobmark.knowledge.schema.bench import JET_SIZE, PRESSURE, PRESSURE_BANDS, FuelTable, GasRow
from hobmark.knowledge.vocabulary import Gas, HowOften
from hobmark.problems import one_of, shown

LEAST_SHARE = 0.02
"""Least density of a bore beside that at the middle: an odd burner never rules a gas out."""
LEANING = 1.25
"""Factor on the odds from which the bores alone lean to another gas; then none is named, whatever else is said."""
AGAINST = 1.5
"""The same of any other clue: it speaks against a gas that it makes so many times less likely than the best."""
LEADS = 0.5
"""Above this probability a gas is the one that the clues point to."""
JETS_ENOUGH = 2
"""Jets to gauge before a gas may be named: one alone may have been changed."""
ONLY_AGAINST = (PRESSURE, "owner")
"""Clues that tell what is laid on, or was once: they can speak against a gas, never for the one that jets are for."""
MOST_PRESSURE = 28.0
"""in. w.c. (about 1 psi); what is read above it is a slip, or an emergency."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """One clue as given; `value` is one of the clue's values, a pressure, or sizes of drills."""

    clue: str
    value: str


@dataclass(frozen=True, slots=True)
class Weighed:
    """One clue and what it says: the chance of it on a range set for each gas, up to a factor."""

    clue: str
    label: str
    said: str
    measured: bool
    chances: Mapping[Gas, float]

    def speaks_for(self, strong: float) -> frozenset[Gas]:
        """The gases that it leaves standing: none of them is `strong` times less likely than the best."""
        best = max(self.chances.values())
        return frozenset(gas for gas, chance in self.chances.items() if chance * strong > best)

    def speaks_against(self, gas: Gas) -> bool:
        """Whether it leans to another gas."""
        return gas not in self.speaks_for(LEANING if self.clue == JET_SIZE else AGAINST)

    @property
    def told(self) -> str:
        """The clue with what it is."""
        return f"{self.label} ({self.said})"


@dataclass(frozen=True, slots=True)
class Settling:
    """A clue not yet given that would tell more."""

    clue: str
    label: str
    do: str
    seconds: float
    measured: bool


@dataclass(frozen=True, slots=True)
class FuelVerdict:
    """The gas named, or None for "cannot tell"; `why` says what the verdict rests on or what is lacking."""

    gas: Gas | None
    chances: Mapping[Gas, float]
    weighed: tuple[Weighed, ...]
    refused: tuple[str, ...]
    contradictions: tuple[str, ...]
    why: tuple[str, ...]
    settling: tuple[Settling, ...]


def read_evidence(text: str, base: KnowledgeBase) -> Evidence:
    """A clue from `jet_size=54,55`, `pressure=4 in wc`, `owner=natural`; ValueError says what to write."""
    clues = fuel_table(base).clues
    name, equals, value = (part.strip() for part in text.partition("="))
    if name not in clues:
        raise ValueError(f"unknown clue '{shown(name)}'. {one_of(name, clues)}")
    clue = clues[name]
    if clue.refused is None and not (equals and value):
        raise ValueError(f"'{name}' has no value. Write it as {name}={_example(name, base)}.")
    evidence = Evidence(name, value)
    if clue.refused is None:
        _weigh(evidence, base)
    return evidence


def _example(name: str, base: KnowledgeBase) -> str:
    if name == JET_SIZE:
        return "54,55"
    return '"4 in wc"' if name == PRESSURE else next(iter(fuel_table(base).clues[name].values))


def fuel_table(base: KnowledgeBase) -> FuelTable:
    """The base's own table of clues; ValueError where it has none."""
    if base.bench.fuel is None:
        raise ValueError("this base has no reference/fuel.yaml. Name the base that comes with hobmark first.")
    return base.bench.fuel


def judge(given: Sequence[Evidence], base: KnowledgeBase) -> FuelVerdict:
    """What the clues say of the gas. Raises ValueError for a clue that `read_evidence` would refuse."""
    table = fuel_table(base)
    once = _jets_together(given)
    refused = tuple(
        f"{clue.label}: {clue.refused}" for each in once if (clue := table.clues[each.clue]).refused is not None
    )
    weighed = tuple(_weigh(each, base) for each in once if table.clues[each.clue].refused is None)
    counting = [each for each in weighed if each.clue not in ONLY_AGAINST]
    chances = _posterior(table.before, counting, base.wording.often)
    contradictions = (*_contradictions(weighed, table.strong), *_jets_apart(once, base))
    best = max(chances, key=lambda gas: (chances[gas], gas.value))
    gauged = gauged_in(once, base)
    lacking = (*contradictions, *_lacking(weighed, len(gauged), best, chances[best], base))
    because = lacking or tuple(f"{each.label}: {each.said}" for each in weighed)
    given_once = {each.clue for each in once}
    return FuelVerdict(
        gas=None if lacking else best,
        chances=chances,
        weighed=weighed,
        refused=refused,
        contradictions=contradictions,
        why=because,
        settling=_settling([name for name in table.clues if name not in given_once], len(gauged), table),
    )


def gauged_in(given: Sequence[Evidence], base: KnowledgeBase) -> list[Gauged]:
    """Every jet that was gauged."""
    return [jet for each in given if each.clue == JET_SIZE for jet in read_gauged(each.value, base)]


def _jets_together(given: Sequence[Evidence]) -> tuple[Evidence, ...]:
    """Every clue once, and all sizes of jets as one clue.

    The same size given twice is one jet: two that are alike are written in one clue, as 54,54.
    """
    sizes = ",".join(dict.fromkeys(each.value for each in given if each.clue == JET_SIZE))
    rest = tuple(dict.fromkeys(each for each in given if each.clue != JET_SIZE))
    return (*rest, Evidence(JET_SIZE, sizes)) if sizes else rest


def _posterior(
    before: Mapping[Gas, HowOften], weighed: Sequence[Weighed], often: Mapping[HowOften, float]
) -> dict[Gas, float]:
    mass = {gas: often[word] * math.prod(each.chances[gas] for each in weighed) for gas, word in before.items()}
    total = sum(mass.values())
    return {gas: mass[gas] / total for gas in Gas}


def _lacking(weighed: Sequence[Weighed], gauged: int, best: Gas, chance: float, base: KnowledgeBase) -> list[str]:
    """Why no gas may be named, `best` with its chance included; empty where that one may but for contradictions."""
    lacking = []
    jets = next((each for each in weighed if each.clue == JET_SIZE), None)
    if not any(each.measured for each in weighed):
        lacking.append("nothing was measured: neither the bore of a jet nor the pressure.")
    elif jets is None:
        lacking.append("no jet was gauged: a pressure tells which gas is laid on, not for which the jets were drilled.")
    elif jets.speaks_against(best):
        lacking.append("the bores of the jets alone fit another gas better than the one the other clues speak for.")
    if 0 < gauged < JETS_ENOUGH:
        lacking.append("one jet was gauged, and that one may have been changed; a second must bear it out.")
    lacking += [
        f"{each.told} speaks against {base.bench.gases[best].label}, to which the rest points."
        for each in weighed
        if chance > LEADS and each is not jets and each.speaks_against(best)
    ]
    clues = {each.clue for each in weighed}
    if len(clues) < 2:
        lacking.append("one clue alone names no gas; a second one must bear it out.")
    elif jets is not None and clues == {JET_SIZE, PRESSURE} and jets.speaks_for(fuel_table(base).strong) != {best}:
        lacking.append("the bores leave it open, and a pressure tells only which gas is laid on.")
    if chance < fuel_table(base).enough:
        lacking.append("what is known leaves more than one gas possible.")
    return lacking


def _contradictions(weighed: Sequence[Weighed], strong: float) -> list[str]:
    return [
        f"{first.told} and {second.told} contradict each other."
        for first, second in itertools.combinations(weighed, 2)
        if not first.speaks_for(strong) & second.speaks_for(strong)
    ]


def _jets_apart(given: Sequence[Evidence], base: KnowledgeBase) -> list[str]:
    """Jets of one range that are for different gases: it was converted by halves."""
    strong = fuel_table(base).strong
    jets = sorted({jet.inches for jet in gauged_in(given, base)})
    if len(jets) < 2:
        return []
    first, last = (_speaking(jet, base, strong) for jet in (jets[0], jets[-1]))
    if first & last:
        return []
    return ["the jets are bored for different gases, as if the range had been converted by halves."]


def _speaking(bore: float, base: KnowledgeBase, strong: float) -> frozenset[Gas]:
    return Weighed(JET_SIZE, "", "", True, _bore_chances(bore, base)).speaks_for(strong)


def _weigh(evidence: Evidence, base: KnowledgeBase) -> Weighed:
    """One clue against the table; ValueError for a value it does not take."""
    clue = fuel_table(base).clues[evidence.clue]
    if evidence.clue == JET_SIZE:
        chances = _bore_chances(median_low(jet.inches for jet in read_gauged(evidence.value, base)), base)
        return Weighed(evidence.clue, clue.label, f"drill {evidence.value}", clue.measured, chances)
    value, said = evidence.value, evidence.value.replace("_", " ")
    if evidence.clue == PRESSURE:
        value, said = _band(evidence.value, fuel_table(base)), evidence.value
    if value not in clue.values:
        raise ValueError(f"unknown value '{shown(value)}' for {evidence.clue}. {one_of(value, clue.values)}")
    often = base.wording.often
    chances = {gas: often[word] for gas, word in clue.values[value].items()}
    return Weighed(evidence.clue, clue.label, said, clue.measured, chances)


def _band(text: str, table: FuelTable) -> str:
    pressure = read_quantity(text, Kind.PRESSURE).to(Unit.INCH_WC)
    if pressure > MOST_PRESSURE:
        raise ValueError(
            f"'{shown(text)}' is more than any gas has inside a house. Shut the gas off, and have a fitter look."
        )
    edges = [read_quantity(edge).to(Unit.INCH_WC) for edge in table.pressure_edges]
    return PRESSURE_BANDS[sum(pressure > edge for edge in edges)]


def _bore_chances(bore: float, base: KnowledgeBase) -> dict[Gas, float]:
    table = fuel_table(base)
    usual = read_quantity(table.burner_input).to(Unit.BTU_H)
    spread = math.log(table.burner_spread)
    return {gas: max(LEAST_SHARE, _density(bore, base.bench.gases[gas], usual, spread)) for gas in Gas}


def _density(bore: float, gas: GasRow, usual: float, spread: float) -> float:
    away = math.log(jet_input(bore, gas) / usual) / spread
    return math.exp(-away * away / 2)


def _settling(left: Sequence[str], gauged: int, table: FuelTable) -> tuple[Settling, ...]:
    """What would tell more, measurements first, then the quickest; all of it with the gas off."""
    more = (JET_SIZE,) if 0 < gauged < JETS_ENOUGH else ()
    found = [
        Settling(name, clue.label, clue.do, clue.seconds, clue.measured)
        for name in (*more, *left)
        if (clue := table.clues[name]).refused is None and name not in ONLY_AGAINST
    ]
    return tuple(sorted(found, key=lambda each: (not each.measured, each.seconds, each.clue)))
