"""One account of the gas of a range: the five facts as the case and its record have them, each by what counts for it.

Laid on: by supplier, bill, meter, tank or its regulator. Set for: by the jets at their places, stamps and tags, never
by a pressure, an owner's word or one jet for all. Whatever else is told can only speak against. A place is set for a
gas where its bore gives, on that gas at its usual pressure, what its burner is to give within AMISS; a mark must agree.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from hobmark.bench.account_facts import (
    REGULATOR,
    leak_fact,
    pressure_at_jets,
    pressure_fact,
    regulator_fact,
    regulator_seen,
    stopped_by,
)
from hobmark.bench.account_places import (
    PlaceAccount,
    hood_against,
    hood_seen,
    place_account,
    supply_here,
    to_light,
    with_hood,
)
from hobmark.bench.fuel import MOST_PRESSURE, Evidence, FuelVerdict, judge
from hobmark.bench.gas import ALTITUDE_FROM_FT, AMISS, Supply, air_pressure
from hobmark.bench.places import heats_of, not_looked_at, places_of
from hobmark.bench.release import GasFacts, JetsFact, Release, SetFor, SymptomFact, release_of
from hobmark.bench.setup import evidence_in
from hobmark.bench.standing import Standing, standing_symptoms
from hobmark.bench.symptoms import Outcome
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Unit, read_quantity
from hobmark.knowledge.schema.bench import JET_SIZE, PRESSURE
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import RegulatorSeen
from hobmark.knowledge.schema.record_terms import JetPlace, PressureAt, RegulatorState
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.examination import Examination

_OF_THE_GAS = re.compile(r"\b(?:jets?|regulators?|safety|thermocouple|connector|union|joint|manifold)\b")
"""What belongs to the gas, and is not left undone on a range that is lit."""
PILOT_OF = {JetPlace.OVEN: JetPlace.OVEN_PILOT, JetPlace.SECOND_OVEN: JetPlace.SECOND_OVEN_PILOT}
"""Ovens and what lights them where a pilot does."""


@dataclass(frozen=True, slots=True)
class Account:
    """The five facts of one range and what follows from them."""

    record: BenchRecord
    regulator: RegulatorSeen
    places: tuple[PlaceAccount, ...]
    verdict: FuelVerdict
    against: tuple[str, ...]
    stopped_by: tuple[str, ...]
    standing: tuple[Standing, ...]
    undone: tuple[str, ...]
    not_looked_at: tuple[str, ...]
    feet: float
    pressure: float | None
    facts: GasFacts

    @property
    def laid_on(self) -> Gas | None:
        """The gas that is said to come out of the pipe, however it is known."""
        return self.record.laid_on.gas if self.record.laid_on is not None else None

    @property
    def release(self) -> Release:
        """Whether anything may be lit."""
        return release_of(self.facts)

    @property
    def to_light(self) -> tuple[PlaceAccount, ...]:
        """The places that are to be lit."""
        return to_light(self.places)

    @property
    def not_gauged(self) -> tuple[PlaceAccount, ...]:
        """Of these the places where nobody gauged the jet."""
        return tuple(each for each in self.to_light if not each.jets)

    def supply(self, base: KnowledgeBase, gas: Gas) -> Supply:
        """A gas as it burns here: what was measured and told counts for the gas laid on alone."""
        return supply_here(base, self.record, self.pressure, self.feet, gas)


def account_of(
    examination: Examination,
    record: BenchRecord | None = None,
    *,
    symptom: str | None = None,
    found: Sequence[Outcome] = (),
) -> Account:
    """The account of a case, or of a case with another record.

    `symptom` is one that is told beside the record, `found` what its checks have shown beside those in the record.

    Raises ValueError for a base without tables of gas.
    """
    base, kept = examination.compiled.base, record if record is not None else examination.case.bench
    feet = read_quantity(kept.altitude).to(Unit.FOOT) if kept.altitude is not None else 0.0
    regulator, disagree = regulator_seen(examination, kept)
    pressure = pressure_at_jets(kept, regulator)
    heats = heats_of(examination, kept, places := places_of(examination, kept))
    hood = hood_seen(examination)
    accounts = tuple(
        place_account(base, kept, with_hood(kept.jet_at(place), hood), heats.get(place), pressure, feet)
        for place in places
    )
    verdict = judge(_clues(examination, kept, accounts, pressure), base)
    against = (
        *disagree,
        *verdict.contradictions,
        *hood_against(hood, kept.jets),
        *_against(base, kept, accounts, verdict),
    )
    stops = stopped_by(base, kept, symptom, examination.case.free_texts())
    standing = standing_symptoms(examination, kept, accounts, symptom, found)
    undone = tuple(each for each in kept.not_done if _OF_THE_GAS.search(each.casefold()))
    unseen = not_looked_at(examination, places)
    laid_on = kept.laid_on.gas if kept.laid_on is not None else None
    facts = GasFacts(
        symptom=_symptom_fact(stops, standing, undone),
        laid_on=kept.laid_on.gas if kept.laid_on is not None and kept.laid_on.by is not None else None,
        set_for=_set_for(accounts) if not unseen else _at_best_not_known(_set_for(accounts)),
        regulator=regulator_fact(base, regulator, laid_on=laid_on),
        house_regulator=regulator_fact(base, kept.house_regulator, PressureAt.HOUSE, laid_on),
        pressure=pressure_fact(base, kept, regulator),
        jets=_jets_fact(kept, accounts),
        clues_agree=not against,
        leak_check=leak_fact(base, kept, symptom),
    )
    told = tuple(dict.fromkeys(against))
    return Account(kept, regulator, accounts, verdict, told, stops, standing, undone, unseen, feet, pressure, facts)


def _symptom_fact(stops: tuple[str, ...], standing: tuple[Standing, ...], undone: tuple[str, ...]) -> SymptomFact:
    if stops:
        return SymptomFact.STOPS
    return SymptomFact.OPEN if undone or any(each.is_open for each in standing) else SymptomFact.NONE


def _set_for(places: tuple[PlaceAccount, ...]) -> SetFor:
    lit = to_light(places)
    gases = {each.set_for for each in lit if each.set_for is not None}
    if len(gases) > 1:
        return SetFor.SEVERAL
    if not lit or not gases or any(each.set_for is None for each in lit):
        return SetFor.NOT_KNOWN
    return SetFor(gases.pop().value)


def _at_best_not_known(set_for: SetFor) -> SetFor:
    """The same while there may be more places than were told of: what is amiss stays so."""
    return set_for if set_for is SetFor.SEVERAL else SetFor.NOT_KNOWN


def _jets_fact(record: BenchRecord, places: tuple[PlaceAccount, ...]) -> JetsFact:
    """Pilots are small and have no published figure: their mark counts, not their heat."""
    lit = to_light(places)
    bottled = record.laid_on is not None and record.laid_on.gas is Gas.BOTTLED
    if any(each.amiss or (bottled and each.holds_no_bottled_gas) for each in lit):
        return JetsFact.AMISS
    burners = [each for each in lit if not each.place.is_pilot]
    known = record.altitude is not None and all(each.share is not None and not each.seat_is_open for each in burners)
    return JetsFact.RIGHT if known and burners else JetsFact.NOT_KNOWN


def _clues(
    examination: Examination, record: BenchRecord, places: tuple[PlaceAccount, ...], pressure: float | None
) -> list[Evidence]:
    """Everything told of the gas that jets are for, but what was explained and a regulator that was read."""
    seen = [*evidence_in(examination), *(Evidence(each.clue, each.value) for each in record.clues)]
    left_out = {each.clue for each in record.clues if each.explained is not None}
    if record.regulator.state is not RegulatorState.NOT_SEEN:
        left_out.add(REGULATOR)
    seen = [each for each in seen if each.clue not in left_out]
    if pressure is not None and pressure <= MOST_PRESSURE:
        seen.append(Evidence(PRESSURE, f"{pressure:g} in wc"))
    top = [each for each in places if not each.place.is_pilot and not each.place.is_oven]
    sizes = [each.record.size for each in top if each.record.size is not None]
    return [*seen, *([Evidence(JET_SIZE, ",".join(sizes))] if sizes else [])]


def _odd_gas(base: KnowledgeBase, record: BenchRecord) -> list[str]:
    """A heating value that the gas laid on has nowhere, brought to standard conditions where it was metered up high."""
    told = record.laid_on
    if told is None or told.heating_value is None:
        return []
    feet = read_quantity(record.altitude).to(Unit.FOOT) if record.altitude is not None else 0.0
    value = read_quantity(told.heating_value).to(Unit.BTU_CUBIC_FOOT)
    thin = air_pressure(feet) if told.basis == "metered" and feet >= ALTITUDE_FROM_FT else 1.0
    figure = base.bench.gases[told.gas].heating_value
    usual = base.bench.gases[told.gas].btu_per_cubic_foot
    low, high = (
        tuple(read_quantity(edge).to(Unit.BTU_CUBIC_FOOT) for edge in figure.between)
        if figure.between is not None
        else (usual * (1 - AMISS), usual * (1 + AMISS))
    )
    if low <= value <= high or low <= value / thin <= high:
        return []
    return [f"no {base.bench.gases[told.gas].label} has {value:,.0f} Btu/ft3 ({low:,.0f} to {high:,.0f})."]


def _against(
    base: KnowledgeBase, record: BenchRecord, places: tuple[PlaceAccount, ...], verdict: FuelVerdict
) -> list[str]:
    """What speaks against the gas laid on, or against the one that a place is set for."""
    told = [*_odd_gas(base, record), *(said for each in places for said in each.against)]
    capped = {each.place: each.record.out_of_use is not None for each in places}
    for oven, pilot in PILOT_OF.items():
        if capped.get(pilot) and not capped.get(oven, True):
            told.append(
                f"the {pilot.words} is out of use and the {oven.words} is not: nothing would light or guard it."
            )
    lit = record.pressures[-1].lit if record.pressures else None
    told += [
        f"{each.words} is out of use, and was lit when a pressure was read." for each in lit or () if capped.get(each)
    ]
    gases = {each.set_for for each in places if each.set_for is not None}
    gases |= {record.laid_on.gas} if record.laid_on is not None else set()
    for clue in verdict.weighed:
        if clue.clue in (JET_SIZE, PRESSURE):
            continue
        told += [
            f"{clue.told} speaks against {base.bench.gases[gas].label}."
            for gas in Gas
            if gas in gases and clue.speaks_against(gas)
        ]
    return told
