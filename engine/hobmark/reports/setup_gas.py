"""What the set-up sheet says of the five facts of the gas: laid on, set for, regulators, pressures, wanted."""

from __future__ import annotations

from fractions import Fraction

from hobmark.bench.account import Account
from hobmark.bench.account_facts import is_inside
from hobmark.bench.account_places import PlaceAccount
from hobmark.bench.fuel import Settling
from hobmark.bench.gas import AMISS
from hobmark.bench.jets import CAUTIONS, grounds_of, jet_for, jet_setting, wrong_gases
from hobmark.bench.release import SetFor
from hobmark.bench.settings import Setting
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Quantity, Unit, quantity, read_quantity
from hobmark.knowledge.schema.record_entries import JetRecord, PressureRead, RegulatorSeen
from hobmark.knowledge.schema.record_terms import LaidOnBy, RegulatorState
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.setup_gas_shape import (
    ClueShown,
    GasShown,
    LaidOnShown,
    PlaceShown,
    PressureShown,
    RegulatorShown,
    SettingShown,
    WrongGasShown,
)
from hobmark.reports.setup_release import gauged_words
from hobmark.reports.setup_settings import recorded, shown_setting

BY = {
    LaidOnBy.SUPPLIER: "by the supplier's word",
    LaidOnBy.BILL: "by the supplier's bill",
    LaidOnBy.METER: "by the meter",
    LaidOnBy.TANK: "by the tank",
    LaidOnBy.TANK_REGULATOR: "by the tank's regulator",
}
"""How it is known which gas is laid on, in words."""
AMISS_SAYS = f"more than {AMISS:.0%} off (our estimate, no source)"
"""What is said of a jet that gives too much or too little."""


def gas_shown(base: KnowledgeBase, account: Account, reckoned: Gas | None) -> GasShown:
    """The five facts of an account; `reckoned` is the gas that steps and jets are told for."""
    verdict, record = account.verdict, account.record
    return GasShown(
        laid_on=_laid_on(base, account),
        set_for=_set_for(base, account),
        gauged=gauged_words(account),
        places=[_place(base, account, each, reckoned) for each in account.places],
        regulator=_regulator(base, account.regulator, "range"),
        house_regulator=_regulator(base, record.house_regulator, "house or tank"),
        pressures=[_pressure(base, account, each) for each in record.pressures],
        pressure_says=_pressure_says(account),
        wanted=record.wanted,
        wanted_says=_wanted(base, account),
        reckoned=reckoned,
        reckoned_label=base.bench.gases[reckoned].label if reckoned is not None else None,
        chances=dict(verdict.chances),
        why=list(verdict.why),
        refused=list(verdict.refused),
        contradictions=list(account.against),
        settling=[_clue(each) for each in verdict.settling],
        wrong_gas=_wrong_gases(base, account.laid_on if account.laid_on is not None else record.wanted),
        cautions=["wrong_gas", "flame_looks"] if "flame_looks" in base.bench.hazards else ["wrong_gas"],
    )


def _laid_on(base: KnowledgeBase, account: Account) -> LaidOnShown:
    told = account.record.laid_on
    if told is None:
        return LaidOnShown(gas=None, label=None, by=None, counts=False, heating_value=None, says="not known")
    label = base.bench.gases[told.gas].label
    value = read_quantity(told.heating_value) if told.heating_value is not None else None
    by = BY[told.by] if told.by is not None else "told, but not how it is known: that releases nothing"
    return LaidOnShown(
        gas=told.gas,
        label=label,
        by=told.by,
        counts=told.by is not None,
        heating_value=recorded(value, CAUTIONS) if value is not None else None,
        says=f"{label}, {by}",
    )


def _set_for(base: KnowledgeBase, account: Account) -> str:
    fact = account.facts.set_for
    if fact is SetFor.SEVERAL:
        return "different gases at different places"
    if fact is SetFor.NOT_KNOWN:
        return "not known at every place"
    return f"{base.bench.gases[Gas(fact.value)].label}, by every jet that is to be lit"


def _place(base: KnowledgeBase, account: Account, each: PlaceAccount, reckoned: Gas | None) -> PlaceShown:
    jet, heat = each.record, each.heat
    drill, drill_bore = _drill(base, account, each, reckoned)
    return PlaceShown(
        place=each.place,
        label=each.place.words,
        found=jet.found,
        left=jet.left,
        hood=jet.hood,
        seat=jet.seat,
        set_for=each.set_for,
        set_for_label=base.bench.gases[each.set_for].label if each.set_for is not None else None,
        bores=[recorded(Quantity(Fraction(g.inches), Unit.INCH, f"{g.inches:.4f}"), CAUTIONS) for g in each.jets],
        heat=shown_setting(Setting(quantity(heat.btu_h, Unit.BTU_H), None, None, heat.source, heat.mark, CAUTIONS))
        if heat is not None
        else None,
        share=_share(base, account, each.share) if each.share is not None else None,
        amiss=each.amiss,
        warning=AMISS_SAYS if each.amiss else None,
        drill=drill,
        drill_bore=drill_bore,
        flame=jet.flame,
        shutter=jet.shutter,
        out_of_use=jet.out_of_use,
        note=_noted(jet),
    )


def _noted(jet: JetRecord) -> str | None:
    """What is noted of a jet, by whom it was capped included."""
    told = [f"capped by {jet.out_of_use}" if jet.out_of_use is not None else "", jet.note or ""]
    return "; ".join(each for each in told if each) or None


def _share(base: KnowledgeBase, account: Account, share: float) -> SettingShown:
    """A heat as a multiple of what is to be given, on the gas laid on."""
    gas = account.laid_on
    if gas is None:
        raise ValueError("without a gas laid on nothing is reckoned")
    source, mark = grounds_of(base.bench.gases[gas], account.supply(base, gas))
    return shown_setting(jet_setting(share, Unit.TIMES, f"{share:.2f}", source, mark))


def _drill(
    base: KnowledgeBase, account: Account, each: PlaceAccount, reckoned: Gas | None
) -> tuple[str | None, SettingShown | None]:
    """The jet for a place on the gas that is reckoned with; none where its figures are assumed."""
    if each.heat is None or reckoned is None:
        return None, None
    try:
        heat = quantity(each.heat.btu_h, Unit.BTU_H)
        jet = jet_for(base, heat, reckoned, account.supply(base, reckoned))
    except ValueError:  # no drill is near
        return None, None
    return (None, None) if jet.for_comparing else (jet.drill.nearest.called, shown_setting(jet.bore))


def _regulator(base: KnowledgeBase, seen: RegulatorSeen, whose: str) -> RegulatorShown:
    outlet = recorded(read_quantity(seen.outlet), CAUTIONS) if seen.outlet is not None else None
    gas = f" for {base.bench.gases[seen.gas].label}" if seen.gas is not None else ""
    words = {
        RegulatorState.FITTED: f"on the {whose}{gas or ', for which gas was not read'}",
        RegulatorState.NONE: f"none on the {whose}",
        RegulatorState.GONE: f"gone from the {whose}: there was one",
        RegulatorState.NOT_SEEN: f"of the {whose}: not looked at",
    }
    return RegulatorShown(state=seen.state, gas=seen.gas, outlet=outlet, says=words[seen.state])


def _pressure(base: KnowledgeBase, account: Account, read: PressureRead) -> PressureShown:
    inside = is_inside(base, account.record, account.regulator, read)
    lit = list(read.lit) if read.lit is not None else None
    return PressureShown(at=read.at, reads=recorded(read_quantity(read.reads), CAUTIONS), lit=lit, inside=inside)


def _pressure_says(account: Account) -> str:
    if account.pressure is not None:
        return "as measured; every jet is reckoned with it"
    if account.laid_on is None:
        return "not measured"
    return "not measured; jets are reckoned with what is usual for the gas laid on until it is"


def _wanted(base: KnowledgeBase, account: Account) -> str:
    wanted = account.record.wanted
    if wanted is None:
        return "not told; a plan would release nothing"
    label = base.bench.gases[wanted].label
    if account.laid_on is not None and account.laid_on is not wanted:
        return f"{label}: another gas than is laid on; a plan is no evidence and releases nothing"
    return f"{label}; a plan is no evidence and releases nothing"


def _clue(each: Settling) -> ClueShown:
    return ClueShown(id=each.clue, label=each.label, do=each.do, seconds=each.seconds, measured=each.measured)


def _wrong_gases(base: KnowledgeBase, gas: Gas | None) -> list[WrongGasShown]:
    pairs = [each for each in wrong_gases(base) if gas is None or each.meant is gas]
    return [
        WrongGasShown(
            says=f"a jet for {base.bench.gases[each.meant].label} on {base.bench.gases[each.burned].label}",
            setting=shown_setting(each.times),
        )
        for each in pairs
    ]
