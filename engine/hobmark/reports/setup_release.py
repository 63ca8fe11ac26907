"""What is said of a release: what is missing, what stops it, and how each is put right without a flame."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from hobmark.bench.account import Account
from hobmark.bench.account_facts import is_inside, leak_lacks
from hobmark.bench.release import Missing, RegulatorFact, Stop
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Gas
from hobmark.problems import shown
from hobmark.reports.setup_gas_shape import LackShown, ReleaseShown

RELEASED = (
    "RELEASED to a licensed fitter, by the local code: nothing that was found out speaks against lighting it. Never to "
    "the owner, and not after the gas was interrupted or a joint opened again."
)
NOT_RELEASED = "NOT RELEASED: nothing is lit."
"""What stands at the head of the sheet."""
TAG_RELEASED = "RELEASED to a licensed fitter alone; nobody else lights it"
TAG_NOT_RELEASED = "NOT RELEASED: shut off, nothing is lit"
"""What stands on the tag, which stays with the range."""
MOST_TEXTS = 12
"""Texts of a record that are repeated beside a release; the others stand where they were written."""

_Says = Callable[[KnowledgeBase, Account], str]


def release_shown(base: KnowledgeBase, account: Account) -> ReleaseShown:
    """A release in words; the looks that would settle something come before the leak check."""
    release = account.release
    return ReleaseShown(
        allowed=release.allowed,
        says=f"{RELEASED}{_in_words(base, account)}" if release.allowed else NOT_RELEASED,
        tag=TAG_RELEASED if release.allowed else TAG_NOT_RELEASED,
        missing=[
            LackShown(id=each.value, says=_MISSING[each][0](base, account), how=_MISSING[each][1])
            for each in release.missing
        ],
        stopped_by=[
            LackShown(id=each.value, says=_STOPS[each][0](base, account), how=_STOPS[each][1])
            for each in release.stopped_by
        ],
    )


def _in_words(base: KnowledgeBase, account: Account) -> str:
    """What was told and is told as put right, and what the record has in words: no program reads all of that."""
    record, table = account.record, base.bench.faults.symptoms
    entries = dict.fromkeys((each.symptom, each.cleared) for each in record.symptoms)
    told = [
        f"{table[name].label} ({f'put right: {shown(cleared)}' if cleared is not None else 'not put right'})"
        for name, cleared in entries
    ]
    texts = [*record.free_texts(), *(each.cleared for each in record.combustion if each.cleared is not None)]
    told += [f"'{shown(text)}'" for text in dict.fromkeys(texts[:MOST_TEXTS])]
    told += [f"and {len(texts) - MOST_TEXTS} more"] if len(texts) > MOST_TEXTS else []
    return f" The fitter reads first what else is recorded: {', '.join(told)}." if told else ""


def places_words(places: list[JetPlace]) -> str:
    """Places one after another."""
    return ", ".join(place.words for place in places)


def gauged_words(account: Account) -> str:
    """How many places were gauged, and which were not."""
    lit, open_ = account.to_light, [each.place for each in account.not_gauged]
    if not lit:
        return "every place is out of use"
    told = f"{len(lit) - len(open_)} of {len(lit)} places gauged"
    return f"{told}; not gauged: {places_words(open_)}" if open_ else f"{told}, pilots included"


def _open(base: KnowledgeBase, account: Account) -> str:
    """The symptoms that stand and what is next of each."""
    table, told = base.bench.faults, [f"left undone at the gas: {shown(each)}" for each in account.undone]
    for each in account.standing:
        label = table.symptoms[each.symptom].label
        if each.found is not None:
            told.append(f"{label}: {table.causes[each.found].label}, found and not put right")
        elif each.next is not None:
            act = table.causes[each.next.id] if each.next.is_proof else table.checks[each.next.id]
            told.append(f"{label} is not gone through: look next, without a flame, at this: {act.label}")
    return f"{'; '.join(told)}."


def _not_set(_: KnowledgeBase, account: Account) -> str:
    seats = [each.place for each in account.to_light if each.seat_is_open or each.hood_is_open]
    odd = [each.place for each in account.to_light if each.heat is not None and not each.heat.usual]
    places = [each.place for each in account.to_light if each.set_for is None]
    words = (
        [f"not known at {places_words(places)} for which gas they are set ({gauged_words(account)})"] if places else []
    )
    words += [f"which hood it is, and on which of two seats, is not told at {places_words(seats)}"] if seats else []
    words += (
        [f"no household burner gives the heat told at {places_words(odd)}: only a mark tells its gas"] if odd else []
    )
    return f"{'; '.join(words) or gauged_words(account)}."


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
    pilots = [each.place for each in account.to_light if each.place.is_pilot and each.amiss]
    bottled = account.laid_on is Gas.BOTTLED
    hoods = [each.place for each in account.to_light if bottled and each.holds_no_bottled_gas]
    words = [f"heat of what is to be given: {', '.join(told)}"] if told else []
    words += [f"a jet wider than any pilot's: {places_words(pilots)}"] if pilots else []
    words += [f"a hood that holds no bottled gas: {places_words(hoods)}"] if hoods else []
    return f"{'; '.join(words)}."


def _no_heat(_: KnowledgeBase, account: Account) -> str:
    places = [each.place for each in account.to_light if not each.place.is_pilot and each.heat is None]
    words = [f"what the burners are to give is not known at {places_words(places)}"] if places else []
    words += ["how high the house stands is not told"] if account.record.altitude is None else []
    ungauged = [each.place for each in account.not_gauged if not each.place.is_pilot]
    words += [f"what the jets give is not known at {places_words(ungauged)}"] if ungauged else []
    return f"{'; '.join(words) or 'what the jets give is not known'}."


def _regulators(base: KnowledgeBase, account: Account) -> str:
    gas = account.laid_on
    said = {"the range's": account.facts.regulator, "the house's": account.facts.house_regulator}
    wrong = {
        whose: fact for whose, fact in said.items() if fact in _SPEAKING and (gas is None or fact.value != _OF[gas])
    }
    told = [f"{whose} regulator is {fact.value}" for whose, fact in wrong.items()]
    label = base.bench.gases[gas].label if gas is not None else "another gas"
    return f"{', '.join(told)}; {label} is laid on."


_OF = {gas: f"for {gas.value}" for gas in Gas}
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
    if gas is None:
        return "the pressure is not one of this gas."
    low, high = base.bench.gases[gas].pressure_band
    ahead = base.bench.gases[gas].supply_band
    outside = [
        f"{read.reads} at the {read.at.value}"
        for read in account.record.pressures
        if is_inside(base, account.record, account.regulator, read) is False
    ]
    supply = f", and {ahead[0]:g} to {ahead[1]:g} ahead of a regulator" if ahead is not None else ""
    return (
        f"measured {', '.join(outside)}; {base.bench.gases[gas].label} has {low:g} to {high:g} in. w.c. at the "
        f"manifold{supply} by the published figures."
    )


def _leak(base: KnowledgeBase, account: Account) -> str:
    check = account.record.leak_check
    if check is None:
        return "no leak check is recorded."
    lacks = leak_lacks(base, account.record)
    if lacks is not None:
        return f"the leak check does not count: {lacks}."
    return "the gas was interrupted or a joint opened after the leak check: it is due again."


def _just(text: str) -> _Says:
    return lambda _base, _account: text


def _one_after_another(sentences: Sequence[str]) -> str:
    """Sentences behind a colon: each but the first begins with a capital."""
    first, *others = sentences
    return " ".join([first, *(f"{each[:1].upper()}{each[1:]}" for each in others)])


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
    Stop.NOT_GONE_THROUGH: (
        _open,
        "The looks come first that need no flame; a cause that is found is put right and recorded as cleared.",
    ),
    Stop.NO_REGULATOR: (_no_regulator, _FITTER),
    Stop.REGULATOR_GONE: (_gone, _FITTER),
    Stop.WRONG_REGULATOR: (_regulators, _FITTER),
    Stop.WRONG_GAS: (_wrong, _FITTER),
    Stop.SEVERAL_GASES: (_several, _FITTER),
    Stop.JETS_AMISS: (_amiss, _FITTER),
    Stop.PRESSURE: (_pressure, _FITTER),
    Stop.CLUES: (
        lambda _base, account: f"what was found contradicts itself: {_one_after_another(account.against)}",
        "Gas off. Jets, stamps and tags clear it up; what is true, as an old plate, is told with its reason.",
    ),
    Stop.LEAKS: (
        _just("the leak check found that the piping does not hold."),
        "Gas off at the shut-off, air, nothing lit. A licensed fitter finds and mends it, and the check is made again.",
    ),
}
"""What stops in words, and what is done."""
