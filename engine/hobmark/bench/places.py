"""Where this range has burners and pilots, and what heat each burner is to give: by the case and the makers' papers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hobmark.bench.gas import AMISS
from hobmark.bench.setup import OVEN_INPUT, TOP_INPUT, FieldChoices, chances_of, heat_fields
from hobmark.knowledge.quantities import Unit, read_quantity
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Sure
from hobmark.reasoning.examination import Examination

MAY_BE = 0.05
"""From this probability on a place may be on the range, and is asked for until it was looked at."""
CORNERS = (JetPlace.FRONT_LEFT, JetPlace.FRONT_RIGHT, JetPlace.REAR_LEFT, JetPlace.REAR_RIGHT)
SIX = (*CORNERS, JetPlace.FRONT_CENTRE, JetPlace.REAR_CENTRE)
RECORDED = "the bench record: plate or paper of this range, as somebody read it"
"""What a heat rests on that was recorded."""
LAYOUT, WITH_WELL = "burner_layout", "four_and_well"
"""The feature that tells how many burners the top has, and its value with a well among them."""
MAY_HAVE: Mapping[JetPlace, tuple[str, tuple[str, ...]]] = {
    JetPlace.CENTRE: ("griddle", ("fixed", "lift_off")),
    JetPlace.WELL: ("deep_well", ("pot_well", "convertible")),
    JetPlace.BROILER: ("broiler_style", ("waist_high",)),
    JetPlace.SECOND_OVEN: ("oven_place", ("double",)),
    JetPlace.TOP_PILOT: ("pilot_count", ("one", "two")),
    JetPlace.SECOND_TOP_PILOT: ("pilot_count", ("two",)),
    JetPlace.OVEN_PILOT: ("oven_lighting", ("pilot", "pilot_safety")),
}
"""Places that a range has only with these values of a feature."""
USUAL_TOP, USUAL_OVEN = (5_000.0, 12_000.0), (12_000.0, 25_000.0)
"""Btu/h of household burners: of the top by retail guides (hunker.com, bestwoodburningstoves.com; single), of an oven
our estimate about their 16,000 to 18,000, no source. Within them no bore is one for natural and for bottled gas."""
BEYOND = 1.6
"""What is above the usual by more than this no household burner gives; our estimate, no source."""


def usual_heat(place: JetPlace) -> tuple[float, float]:
    """Btu/h that a household burner gives there; a broiler with one of its own is an oven's."""
    return USUAL_OVEN if place.is_oven or place is JetPlace.BROILER else USUAL_TOP


@dataclass(frozen=True, slots=True)
class Heat:
    """What a burner is to give at sea level, Btu/h, and on whose word.

    `usual`: a household burner gives that. Beyond it a bore alone tells no gas, since the heat may be a slip. `paper`:
    what the paper of a settled range says where the record says something else, Btu/h.
    """

    btu_h: float
    source: str
    mark: Mark
    usual: bool = True
    paper: float | None = None


def places_of(examination: Examination, record: BenchRecord) -> tuple[JetPlace, ...]:
    """The places that a range has or may have; what the record speaks of is there."""
    six = _may_have(examination, LAYOUT, ("six",))
    found = {*(SIX if six else CORNERS), JetPlace.OVEN, *(jet.place for jet in record.jets)}
    if _may_have(examination, LAYOUT, (WITH_WELL,)):
        found.add(JetPlace.WELL)
    found |= {place for place, (feature, values) in MAY_HAVE.items() if _may_have(examination, feature, values)}
    if {JetPlace.SECOND_OVEN, JetPlace.OVEN_PILOT} <= found:
        found.add(JetPlace.SECOND_OVEN_PILOT)
    return tuple(place for place in JetPlace if place in found)


def _may_have(examination: Examination, feature: str, values: tuple[str, ...]) -> bool:
    """Whether the range may have one of these values: by certain looks that agree, else by what it is likely to be."""
    if feature not in examination.compiled.base.features:
        return False
    looked = _looked_at(examination, feature)
    if len(looked) == 1:
        return not looked.isdisjoint(values)
    chances = chances_of(examination, feature)
    return sum(chances.get(value, 0.0) for value in values) >= MAY_BE


def _looked_at(examination: Examination, feature: str) -> frozenset[str]:
    """The values that certain looks name."""
    looks = (each for each in examination.case.observations if each.feature == feature and each.sure is Sure.CERTAIN)
    return frozenset(value for each in looks for value in each.is_ or ())


def not_looked_at(examination: Examination, places: tuple[JetPlace, ...]) -> tuple[str, ...]:
    """Features by which the range may have more places, and which no certain look has settled: their labels.

    What a variant is likely to have is no look. Looks that differ settle nothing.
    """
    features = examination.compiled.base.features
    asked = {feature: None for feature, _ in MAY_HAVE.values()} | {LAYOUT: None}
    open_ = [name for name in asked if name in features and not _settled_by_looks(examination, name, places)]
    return tuple(features[name].label.casefold() for name in open_)


def _settled_by_looks(examination: Examination, feature: str, places: tuple[JetPlace, ...]) -> bool:
    """Whether certain looks agree on one value, or the place that hangs on it is spoken of already."""
    hanging = [place for place, (name, _) in MAY_HAVE.items() if name == feature]
    if hanging and all(place in places for place in hanging):
        return True
    return len(_looked_at(examination, feature)) == 1


def heats_of(examination: Examination, record: BenchRecord, places: tuple[JetPlace, ...]) -> dict[JetPlace, Heat]:
    """The heat of each burner of which one is stated: in the record, else by the paper of a range that is settled."""
    settled = examination.compiled.base.wording.stop.settled
    stated = {field.field.id: _settled(field, settled) for field in heat_fields(examination)}
    found = {}
    for place in places:
        field = OVEN_INPUT if place is JetPlace.OVEN else TOP_INPUT if place in SIX else None
        of_paper = stated.get(field) if field is not None else None
        told = record.jet_at(place).heat
        if told is not None:
            heat = read_quantity(told).to(Unit.BTU_H)
            least, most = usual_heat(place)
            paper = of_paper.btu_h if of_paper is not None and abs(heat / of_paper.btu_h - 1) > AMISS else None
            found[place] = Heat(heat, RECORDED, Mark.RECORDED, least <= heat <= most, paper)
        elif of_paper is not None:
            found[place] = of_paper
    return found


def _settled(field: FieldChoices, settled: float) -> Heat | None:
    """The heat that holds for the range with the chance that settles a thing; None where none does."""
    best = max(field.choices, key=lambda choice: choice.chance, default=None)
    if best is None or best.chance < settled or best.setting is None or best.setting.aim is None:
        return None
    return Heat(best.setting.aim.to(Unit.BTU_H), best.source, best.mark)
