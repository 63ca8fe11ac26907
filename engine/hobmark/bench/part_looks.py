"""What to measure, read or look at next, to settle whether a part fits: expected bits over seconds.

F: the part fits what is on the range now. For a measure with an answer inside or outside, P(inside | F) = SOUND and
P(inside | not F) = q: how far the part's need overlaps that of the part which papers list for the places where it does
not fit, else HALF. P(F) = (1 - ALTERED) P(listed) + ALTERED / 2: a place may have been altered where nothing shows.
Bits are the mutual information of answer and F. A look at the range gives its bits about the goal "a cell that papers
list the part for" (questions.py). The numbers here are our choice, no source.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hobmark.bench.fit import PartFit
from hobmark.bench.fit_gas import bore_taken
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.measures import hundredths
from hobmark.knowledge.schema.parts import Need, PartKind
from hobmark.knowledge.vocabulary import Access, MeasuredOn, Situation
from hobmark.reasoning.cells import Ints
from hobmark.reasoning.questions import expectations, ranked_looks

SOUND = 0.95
"""Chance that a part that fits measures as it should."""
ALTERED = 0.1
"""Chance that the place on the range is not as papers have it, and nothing shows it."""
HALF = 0.5
"""Chance of a pass where nothing is known of the other part's measure."""
LEGIBLE = 0.6
"""Chance that a number can be read on an old part."""
TELLING = 0.9
"""Chance that the number on a place where the part belongs is its own."""
MOST_LOOKS = 3
"""Looks at the range that are named beside the measures."""
JET_BITS = 0.0
"""Of the bore of a jet nothing is expected: it is asked because nothing is confirmed without it."""

Errand = Literal["measure", "number", "look"]


@dataclass(frozen=True, slots=True)
class PartLook:
    """One thing to find out about a part: bits about whether it fits, and seconds. `here`: it can be had where one is.

    `id` is a measure, the kind whose number is read, or a feature; `number` the place of the need among the part's.
    """

    errand: Errand
    id: str
    bits: float
    seconds: float
    here: bool
    number: int | None = None
    needed: bool = False

    @property
    def index(self) -> float:
        """Bits for each second."""
        return self.bits / self.seconds


def entropy(chance: float) -> float:
    """Bits of a yes or no."""
    return -sum(p * math.log2(p) for p in (chance, 1 - chance) if p > 0)


def bits_of(prior: float, passes: Sequence[tuple[float, float]]) -> float:
    """I(F; answers) in bits for answers that hang together by F alone; each is P(pass | F), P(pass | not F)."""
    told = 0.0
    for answers in itertools.product((True, False), repeat=len(passes)):
        if_fits = math.prod(fits if yes else 1 - fits for yes, (fits, _) in zip(answers, passes, strict=True))
        if_not = math.prod(other if yes else 1 - other for yes, (_, other) in zip(answers, passes, strict=True))
        chance = prior * if_fits + (1 - prior) * if_not
        if chance > 0:
            told += chance * entropy(prior * if_fits / chance)
    return max(0.0, entropy(prior) - told)


def prior_of(fit: PartFit) -> float:
    """P(F) before anything is measured."""
    return (1 - ALTERED) * fit.now.listed + ALTERED * HALF


def unmeasured(fit: PartFit) -> list[int]:
    """The needs of a part that the case does not measure, by their places; of what is left alone only those by eye."""
    facts = {atom.feature for place in fit.places[:1] for atom in place.derivation.facts}
    open_ = [n for n in range(len(fit.part.needs)) if f"check {fit.part.id} {n}" not in facts]
    return [n for n in open_ if is_asked(fit.kind, fit.part.needs[n].measure)]


def is_asked(kind: PartKind, measure: str) -> bool:
    """Whether a measure is asked of anybody: of what is left alone, only what is had without a hand on it."""
    return kind.left_alone is None or kind.dimensions[measure].by_eye


def measure_looks(fit: PartFit) -> list[PartLook]:
    """The measures still to be taken, best first; each of them is needed before a part is confirmed by measuring."""
    looks = []
    for number in unmeasured(fit):
        need = fit.part.needs[number]
        access = fit.kind.dimensions[need.measure].access
        seconds = fit.base.wording.seconds[access]
        here = access in fit.base.wording.situations[fit.examination.situation].offers
        bits = bits_of(prior_of(fit), [(SOUND, _passes_elsewhere(fit, need))])
        looks.append(PartLook("measure", need.measure, bits, seconds, here, number, needed=True))
    looks += _jet_look(fit)
    return sorted(looks, key=lambda look: (-round(look.index, 12), look.number or 0))


def _jet_look(fit: PartFit) -> list[PartLook]:
    """The bore of the jet in hand, where papers do not have it among what the part needs."""
    jet = fit.kind.jet
    needed = any((need.measure, need.on) == (jet, MeasuredOn.PART) for need in fit.part.needs)
    if jet is None or needed or bore_taken(fit.part, jet, fit.examination.case.measures) is not None:
        return []
    access = fit.kind.dimensions[jet].access
    here = access in fit.base.wording.situations[fit.examination.situation].offers
    return [PartLook("measure", jet, JET_BITS, fit.base.wording.seconds[access], here, needed=True)]


def settling_pair(fit: PartFit) -> tuple[PartLook, ...]:
    """The two measures that would settle most for their seconds together; one where only one is left."""
    looks = [look for look in measure_looks(fit) if look.number is not None]
    if len(looks) < 2:
        return tuple(looks)

    def worth(pair: tuple[PartLook, PartLook]) -> float:
        needs = [fit.part.needs[look.number] for look in pair if look.number is not None]
        told = bits_of(prior_of(fit), [(SOUND, _passes_elsewhere(fit, need)) for need in needs])
        return round(told / sum(look.seconds for look in pair), 12)

    return max(itertools.combinations(looks, 2), key=worth)


def number_look(fit: PartFit) -> PartLook | None:
    """Reading the number on the part that is on the range; None where there is none to read, or one is read.

    On what is left alone none is read.
    """
    if fit.kind.left_alone is not None:
        return None
    read = {number.kind for number in fit.examination.case.numbers}
    if not fit.part.numbers or fit.part.kind in read:
        return None
    bits = LEGIBLE * bits_of(prior_of(fit), [(TELLING, 1 - TELLING)])
    here = fit.examination.situation is not Situation.LISTING
    return PartLook("number", fit.part.kind, bits, fit.base.wording.seconds[Access.TOOL], here)


def range_looks(fit: PartFit) -> list[PartLook]:
    """Looks at the range that part the variants and years with the part from those without, best first."""
    examination = fit.examination
    base, worth = examination.compiled.base, examination.compiled.base.wording.stop.worth_a_look
    barred = barred_looks(base)
    asked = {name: None for guard in fit.guards for name in guard.features if name in base.features}
    forced = [
        PartLook("look", name, 0.0, base.wording.seconds[base.features[name].access], _offered(fit, name), needed=True)
        for name in asked
    ]
    parts = listed_cells(fit)
    if not 0 < parts.sum() < len(parts):
        return forced
    found = expectations(examination.compiled.looks, examination.ranking, parts, examination.open_features)
    ranked = ranked_looks(base, found, examination.situation, also=examination.also)
    looks = [PartLook("look", look.feature, look.bits, look.seconds, here=True) for look in ranked]
    telling = [look for look in looks if look.bits >= worth and look.id not in asked and look.id not in barred]
    return [*forced, *sorted(telling, key=lambda look: (-round(look.index, 12), look.id))[:MOST_LOOKS]]


def barred_looks(base: KnowledgeBase) -> frozenset[str]:
    """Looks that nobody is sent to for a part's sake: a panel would come off something that is left alone."""
    left_alone = {feature for kind in base.kinds.values() if kind.left_alone is not None for feature in kind.looks}
    return frozenset(name for name in left_alone if base.features[name].access is Access.PANEL_OFF)


def listed_cells(fit: PartFit) -> Ints:
    """Which cells papers list the part for, at least for half of the year: 1 or 0, shape (H,)."""
    cells = fit.examination.compiled.model.cells
    weight, listed = np.zeros(len(cells)), np.zeros(len(cells))
    for place in fit.places:
        inside = (cells.group == cells.groups.index(place.group)) & (cells.year >= place.first)
        inside &= cells.year <= place.last
        weight[inside] += 1
        listed[inside] += place.listed(fit.part.id) is not None
    return np.asarray((weight > 0) & (listed * 2 > weight), dtype=np.int64)


def _offered(fit: PartFit, feature: str) -> bool:
    offers = fit.base.wording.situations[fit.examination.situation].offers
    return fit.base.features[feature].access in offers


def _passes_elsewhere(fit: PartFit, need: Need) -> float:
    """q: how probably a place that another part is listed for passes the need all the same."""
    if need.on is MeasuredOn.PART:
        return HALF
    total = passing = 0.0
    for place in fit.places:
        if place.listed(fit.part.id) is not None:
            continue
        others = [part for part in fit.clauses.parts.values() if part.kind == fit.part.kind and place.listed(part.id)]
        same = [
            other for part in others for other in part.needs if (other.measure, other.on) == (need.measure, need.on)
        ]
        total += place.now
        passing += place.now * (sum(_overlap(need, other) for other in same) / len(same) if same else HALF)
    return min(SOUND, max(1 - SOUND, passing / total)) if total > 0 else HALF


def _overlap(need: Need, other: Need) -> float:
    """The share of what another part needs that this need lets pass."""
    if need.between is None or other.between is None:
        words = set(other.is_ or ())
        return len(words & set(need.is_ or ())) / len(words) if words else HALF
    low, high = (hundredths(edge) for edge in need.between)
    least, most = (hundredths(edge) for edge in other.between)
    return max(0.0, min(high, most) - max(low, least)) / (most - least)
