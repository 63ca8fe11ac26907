"""What is said of a release: what is missing, what stops it, and how each is put right without a flame."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from hobmark.bench.account import Account
from hobmark.bench.release import Missing, RegulatorFact, Stop
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.record import JetPlace
from hobmark.reports.setup_gas_shape import LackShown, ReleaseShown

RELEASED = (
    "RELEASED to a licensed fitter, by the local code: nothing that was found out speaks against lighting it. Never to "
    "the owner, and not after the gas was interrupted or a joint opened again."
)
NOT_RELEASED = "NOT RELEASED: nothing is lit."
"""What stands at the head of the sheet."""

_Says = Callable[[KnowledgeBase, Account], str]


def release_shown(base: KnowledgeBase, account: Account) -> ReleaseShown:
    """A release in words; the looks that would settle something come before the leak check."""
    release = account.release
    return ReleaseShown(
        allowed=release.allowed,
        says=RELEASED if release.allowed else NOT_RELEASED,
        missing=[
            LackShown(id=each.value, says=_MISSING[each][0](base, account), how=_MISSING[each][1])
            for each in release.missing
        ],
        stopped_by=[
            LackShown(id=each.value, says=_STOPS[each][0](base, account), how=_STOPS[each][1])
            for each in release.stopped_by
        ],
    )


def places_words(places: list[JetPlace]) -> str:
    """Places one after another."""
    return ", ".join(place.words for place in places)


def gauged_words(account: Account) -> str:
    """How many places were gauged, and which were not."""
    lit, open_ = account.to_light, [each.place for each in account.not_gauged]
    told = f"{len(lit) - len(open_)} of {len(lit)} places gauged"
    return f"{told}; not gauged: {places_words(open_)}" if open_ else f"{told}, pilots included"


def _not_set(_: KnowledgeBase, account: Account) -> str:
    places = [each.place for each in account.to_light if each.set_for is None]
    return f"not known at {places_words(places)} for which gas they are set ({gauged_words(account)})."


def _several(base: KnowledgeBase, account: Account) -> str:
    told = [
        f"{each.place.words} for {base.bench.gases[each.set_for].label}"
        for each in account.to_light
        if each.set_for is not None
    ]
    return f"places are set for different gases: {', '.join(told)}."


def _wrong(base: KnowledgeBase, account: Account) -> str:
    gas = next((each.set_for for each in account.to_light if each.set_for is not None), None)
    labels = [base.bench.gases[each].label for each in (gas, account.laid_on) if each is not None]
    return f"the range is set for {labels[0]}, and {labels[-1]} is laid on."


def _amiss(_: KnowledgeBase, account: Account) -> str:
    told = [
        f"{each.place.words} {each.share:.2f} times"
        for each in account.to_light
        if each.amiss and each.share is not None
    ]
    needles = [each.place for each in account.to_light if each.record.hood == "adjustable" and not each.amiss]
    words = [f"heat of what is to be given: {', '.join(told)}"] if told else []
    words += [f"a hood on a needle holds no bottled gas: {places_words(needles)}"] if needles and not told else []
    return f"{'; '.join(words)}."


def _no_heat(_: KnowledgeBase, account: Account) -> str:
    places = [each.place for each in account.to_light if not each.place.is_pilot and each.heat is None]
    words = [f"what the burners are to give is not known at {places_words(places)}"] if places else []
    words += ["how high the house stands is not told"] if account.record.altitude is None else []
    ungauged = [each.place for each in account.not_gauged if not each.place.is_pilot]
    words += [f"what the jets give is not known at {places_words(ungauged)}"] if ungauged else []
    return f"{'; '.join(words) or 'what the jets give is not known'}."


def _regulators(base: KnowledgeBase, account: Account) -> str:
    said = {"the range's": account.facts.regulator, "the house's": account.facts.house_regulator}
    gas = base.bench.gases[account.laid_on].label if account.laid_on is not None else "the gas laid on"
    told = [f"{whose} regulator is {fact.value}" for whose, fact in said.items() if fact in _SPEAKING]
    return f"{', '.join(told)}; {gas} is laid on."


_SPEAKING = (
    RegulatorFact.NATURAL,
    RegulatorFact.BOTTLED,
    RegulatorFact.MANUFACTURED,
    RegulatorFact.OUTLET_OFF,
)


def _no_regulator(_: KnowledgeBase, account: Account) -> str:
    both = {"on the range": account.facts.regulator, "on the house or tank": account.facts.house_regulator}
    none = [where for where, fact in both.items() if fact is RegulatorFact.NONE]
    return f"bottled gas, and no regulator {' and none '.join(none)}."


def _gone(_: KnowledgeBase, account: Account) -> str:
    own = account.facts.regulator is RegulatorFact.GONE
    return f"{'the range' if own else 'the house or tank'} had a regulator, and it has gone."


def _unread(_: KnowledgeBase, account: Account) -> str:
    own = account.facts.regulator is RegulatorFact.UNMARKED
    return f"for which gas the regulator {'of the range' if own else 'of the house or tank'} is was not read."


def _pressure(base: KnowledgeBase, account: Account) -> str:
    gas = account.laid_on
    if gas is None or account.pressure is None:
        return "the pressure is not one of this gas."
    low, high = base.bench.gases[gas].pressure_band
    return (
        f"measured {account.pressure:.3g} in. w.c.; {base.bench.gases[gas].label} has {low:g} to {high:g} at the "
        "manifold by the published figures."
    )


def _leak(_: KnowledgeBase, account: Account) -> str:
    check = account.record.leak_check
    if check is None:
        return "no leak check is recorded."
    if check.opened_since:
        return "a joint was opened after the leak check: it is due again."
    return "the leak check does not count yet: gauge or test hand at start and end, its minutes, by whom and when."


def _just(text: str) -> _Says:
    return lambda _base, _account: text


_GAUGE = "Shut-off closed: a licensed fitter gauges the jet at each place, pilots too, and reads stamps and tags."
_FITTER = "The range stays off. A licensed fitter puts it right, by the local code, and what changed is recorded."
_MISSING: Mapping[Missing, tuple[_Says, str]] = {
    Missing.LAID_ON: (
        _just("which gas is laid on is not known by supplier, bill, meter, tank or the tank's regulator."),
        "Ask for the supplier's bill, look at the meter, the tank and what stands on its regulator. Nothing is opened.",
    ),
    Missing.FIGURES: (
        _just("no published figures of manufactured gas are at hand, so that no jet can be judged by this program."),
        "A licensed fitter goes by the supplier's own figures; this sheet releases nothing on it.",
    ),
    Missing.SET_FOR: (_not_set, _GAUGE),
    Missing.REGULATOR: (
        _just("whether the range has a regulator was not looked at."),
        "Look along the rail and down behind with a lamp; the range is not moved. Holes or a pale patch: it has gone.",
    ),
    Missing.REGULATOR_GAS: (_unread, "Read its plate with a lamp; the cap stays on."),
    Missing.HOUSE_REGULATOR: (
        _just("the regulator of the tank or house was not looked at."),
        "Look at the tank and where the pipe comes in, and read for which gas and pressure it is.",
    ),
    Missing.HEAT: (
        _no_heat,
        "Read plate or paper for what each burner is to give, gauge its jet with the shut-off closed, tell the height.",
    ),
    Missing.PRESSURE: (
        _just("without a regulator of its own the range has the pressure of the house, and that was not measured."),
        "A licensed fitter reads it with a gauge and nothing lit, as a part of the leak check.",
    ),
    Missing.LEAK_CHECK: (
        _leak,
        "A fitter makes it last, by the local code and without a flame, and records readings, minutes, name, date.",
    ),
}
"""What is missing in words, and how it is had without a flame."""
_STOPS: Mapping[Stop, tuple[_Says, str]] = {
    Stop.SYMPTOM: (
        lambda _base, account: f"{'; '.join(account.stopped_by)}.",
        "What stops everything stands until a licensed fitter has put it right and that is recorded as cleared.",
    ),
    Stop.NO_REGULATOR: (_no_regulator, _FITTER),
    Stop.REGULATOR_GONE: (_gone, _FITTER),
    Stop.WRONG_REGULATOR: (_regulators, _FITTER),
    Stop.WRONG_GAS: (_wrong, _FITTER),
    Stop.SEVERAL_GASES: (_several, _FITTER),
    Stop.JETS_AMISS: (_amiss, _FITTER),
    Stop.PRESSURE: (_pressure, _FITTER),
    Stop.CLUES: (
        lambda _base, account: f"what was found contradicts itself: {' '.join(account.against)}",
        "Gas off. It is cleared up by jets, stamps, tags and plates; whatever proves wrong is taken out of the record.",
    ),
    Stop.LEAKS: (
        _just("the leak check found that the piping does not hold."),
        "Gas off at the shut-off, air, nothing lit. A licensed fitter finds and mends it, and the check is made again.",
    ),
}
"""What stops in words, and what is done."""
