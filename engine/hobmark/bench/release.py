"""Whether anything may be lit: one pure function of what is known of the gas, and what each lack of it means.

A licensed fitter is released to light, nobody else, and only when nothing is missing and nothing stops it. Every look
that is named to fill a gap is had without a flame. The gas that is wanted is no fact here: a plan releases nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from hobmark.knowledge.vocabulary import Gas


class SymptomFact(StrEnum):
    """What is wrong with the range, by what was told and not put right since."""

    NONE = "none stands"
    OPEN = "one is not gone through"
    STOPS = "one stops everything"


class SetFor(StrEnum):
    """For which gas all places that are to be lit are set."""

    NOT_KNOWN = "not known at every place"
    NATURAL = "natural"
    BOTTLED = "bottled"
    MANUFACTURED = "manufactured"
    SEVERAL = "different gases"


class RegulatorFact(StrEnum):
    """What a regulator is; `unmarked` is one that is there and does not say for which gas it is."""

    NOT_SEEN = "not seen"
    NONE = "none"
    GONE = "gone"
    UNMARKED = "fitted, gas not read"
    NATURAL = "for natural"
    BOTTLED = "for bottled"
    MANUFACTURED = "for manufactured"
    OUTLET_OFF = "for another pressure"


class PressureFact(StrEnum):
    """The pressure behind the range's regulator, against the band of the gas laid on."""

    NOT_MEASURED = "not measured"
    IN_BAND = "in its band"
    OUTSIDE = "outside its band"


class JetsFact(StrEnum):
    """The heat of every jet on the gas laid on, at this height and pressure, against what it is to give."""

    NOT_KNOWN = "not known"
    RIGHT = "within a tenth"
    AMISS = "amiss"


class LeakFact(StrEnum):
    """The leak check."""

    NOT_DONE = "not recorded"
    HOLDS = "holds"
    DUE_AGAIN = "due again"
    LEAKS = "leaks"


@dataclass(frozen=True, slots=True)
class GasFacts:
    """All that release rests on. `laid_on` is None until it is known by the supplier, a bill, meter, tank or regulator.

    `symptom`: one that stops everything, as a fault found or carbon monoxide may; or one whose looks without a flame
    are not all taken, or whose cause was found and not put right. `clues_agree`: no clue speaks against another.
    """

    symptom: SymptomFact = SymptomFact.NONE
    laid_on: Gas | None = None
    set_for: SetFor = SetFor.NOT_KNOWN
    regulator: RegulatorFact = RegulatorFact.NOT_SEEN
    house_regulator: RegulatorFact = RegulatorFact.NOT_SEEN
    pressure: PressureFact = PressureFact.NOT_MEASURED
    jets: JetsFact = JetsFact.NOT_KNOWN
    clues_agree: bool = True
    leak_check: LeakFact = LeakFact.NOT_DONE


class Stop(StrEnum):
    """What stops: nothing else that is found out makes up for it."""

    SYMPTOM = "symptom"
    NOT_GONE_THROUGH = "symptom_not_gone_through"
    NO_REGULATOR = "no_regulator"
    REGULATOR_GONE = "regulator_gone"
    WRONG_REGULATOR = "wrong_regulator"
    WRONG_GAS = "wrong_gas"
    SEVERAL_GASES = "several_gases"
    JETS_AMISS = "jets_amiss"
    PRESSURE = "pressure_outside"
    CLUES = "clues_disagree"
    LEAKS = "leaks"


class Missing(StrEnum):
    """What is still to be found out, in the order it is had."""

    LAID_ON = "laid_on"
    FIGURES = "figures_of_the_gas"
    SET_FOR = "set_for"
    REGULATOR = "regulator"
    REGULATOR_GAS = "regulator_gas"
    HOUSE_REGULATOR = "house_regulator"
    HEAT = "heat_to_be_given"
    PRESSURE = "pressure"
    LEAK_CHECK = "leak_check"


@dataclass(frozen=True, slots=True)
class Release:
    """Whether a licensed fitter may light, what is missing, and what stops it."""

    missing: tuple[Missing, ...]
    stopped_by: tuple[Stop, ...]

    @property
    def allowed(self) -> bool:
        """Whether a licensed fitter may light the range; the owner never."""
        return not self.missing and not self.stopped_by


_SET = {Gas.NATURAL: SetFor.NATURAL, Gas.BOTTLED: SetFor.BOTTLED, Gas.MANUFACTURED: SetFor.MANUFACTURED}
_FOR = {
    Gas.NATURAL: RegulatorFact.NATURAL,
    Gas.BOTTLED: RegulatorFact.BOTTLED,
    Gas.MANUFACTURED: RegulatorFact.MANUFACTURED,
}
_MARKED = (*_FOR.values(), RegulatorFact.OUTLET_OFF)


def release_of(facts: GasFacts) -> Release:
    """What the facts allow; a fact that is not known never does."""
    return Release(tuple(_missing(facts)), tuple(_stops(facts)))


def _stops(facts: GasFacts) -> list[Stop]:
    both, gas = (facts.regulator, facts.house_regulator), facts.laid_on
    known = facts.set_for not in (SetFor.NOT_KNOWN, SetFor.SEVERAL)
    holds = {
        Stop.SYMPTOM: facts.symptom is SymptomFact.STOPS,
        Stop.NOT_GONE_THROUGH: facts.symptom is SymptomFact.OPEN,
        Stop.NO_REGULATOR: gas is Gas.BOTTLED and RegulatorFact.NONE in both,
        Stop.REGULATOR_GONE: RegulatorFact.GONE in both,
        Stop.WRONG_REGULATOR: gas is not None and any(each in _MARKED and each is not _FOR[gas] for each in both),
        Stop.WRONG_GAS: gas is not None and known and facts.set_for is not _SET[gas],
        Stop.SEVERAL_GASES: facts.set_for is SetFor.SEVERAL,
        Stop.JETS_AMISS: facts.jets is JetsFact.AMISS,
        Stop.PRESSURE: facts.pressure is PressureFact.OUTSIDE,
        Stop.CLUES: not facts.clues_agree,
        Stop.LEAKS: facts.leak_check is LeakFact.LEAKS,
    }
    return [stop for stop, stands in holds.items() if stands]


def _missing(facts: GasFacts) -> list[Missing]:
    own, house, gas = facts.regulator, facts.house_regulator, facts.laid_on
    bottled = gas is Gas.BOTTLED
    lacks = {
        Missing.LAID_ON: gas is None,
        # no source gives the figures of manufactured gas, so that no jet can be judged by them
        Missing.FIGURES: gas is Gas.MANUFACTURED,
        Missing.SET_FOR: facts.set_for is SetFor.NOT_KNOWN,
        Missing.REGULATOR: own is RegulatorFact.NOT_SEEN,
        Missing.REGULATOR_GAS: own is RegulatorFact.UNMARKED or (bottled and house is RegulatorFact.UNMARKED),
        # the tank's own pressure is many times what any range takes: its regulator is seen, whatever the range has
        Missing.HOUSE_REGULATOR: bottled and house is RegulatorFact.NOT_SEEN,
        Missing.HEAT: facts.jets is JetsFact.NOT_KNOWN,
        # without a regulator of its own a range has what the house gives, and no table tells that
        Missing.PRESSURE: own is RegulatorFact.NONE and facts.pressure is PressureFact.NOT_MEASURED,
        Missing.LEAK_CHECK: facts.leak_check in (LeakFact.NOT_DONE, LeakFact.DUE_AGAIN),
    }
    return [each for each, stands in lacks.items() if stands]
