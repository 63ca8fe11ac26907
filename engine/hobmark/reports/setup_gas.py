"""What the set-up sheet says of gas and jets, and how any setting on it is shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from hobmark.bench.fuel import FuelVerdict, Settling
from hobmark.bench.jets import AMISS, FoundJet, Gauged, Jet, beside, jet_for, wrong_gases
from hobmark.bench.settings import Setting
from hobmark.bench.setup import SHOWN, Choice, FieldChoices, StepChoices
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Quantity, Unit
from hobmark.knowledge.schema.bench import Gas
from hobmark.reports.setup_shape import (
    ClueShown,
    FoundJetShown,
    GasShown,
    JetShown,
    NoJetShown,
    SettingShown,
    WrongGasShown,
)
from hobmark.reports.words import percent, short_group

TOP_INPUT = "top_burner_input"
"""The field of the sheet that states the heat of a top burner, whose jets are gauged."""
INPUTS = (TOP_INPUT, "oven_burner_input")
"""Fields of the sheet that state the heat of a burner, for which a jet is worked out."""
UNCLEAR = "Nothing is lit until that is cleared up."
"""What follows from clues that disagree."""


def shown_setting(setting: Setting) -> SettingShown:
    """A setting as it is published."""
    unit = setting.stated[0].unit

    def number(each: Quantity | None) -> float | None:
        return each.to(unit) if each is not None else None

    return SettingShown(
        text=setting.text,
        aim=number(setting.aim),
        low=number(setting.low),
        high=number(setting.high),
        unit=unit.value,
        source=setting.source,
        mark=setting.mark,
        cautions=list(setting.cautions),
    )


def gas_shown(base: KnowledgeBase, verdict: FuelVerdict, named: Gas | None, jets: Sequence[JetShown]) -> GasShown:
    """Which gas the range is set for, by the clues or as the user named it; what speaks against it, jets included."""
    gas = named if named is not None else verdict.gas
    contradictions = [*verdict.contradictions, *_against_named(base, verdict, named), *_amiss(jets)]
    return GasShown(
        gas=gas,
        known=gas is not None and not contradictions,
        named_by="you" if named is not None else "clues" if gas is not None else None,
        says=_gas_says(base, verdict, named),
        chances=dict(verdict.chances),
        why=list(verdict.why),
        refused=list(verdict.refused),
        contradictions=contradictions,
        settling=[_clue(each) for each in verdict.settling],
        wrong_gas=_wrong_gases(base, gas),
        cautions=["wrong_gas", "flame_looks"] if "flame_looks" in base.bench.hazards else ["wrong_gas"],
    )


def _against_named(base: KnowledgeBase, verdict: FuelVerdict, named: Gas | None) -> list[str]:
    """Why the gas that the user named may not be the one."""
    if named is None:
        return []
    said = f"you named {base.bench.gases[named].label}"
    against = [each.told for each in verdict.weighed if each.speaks_against(named)]
    told = [f"{said}; what speaks against it: {'; '.join(against)}. {UNCLEAR}"] if against else []
    if verdict.gas is not None and verdict.gas is not named:
        told.insert(0, f"{said}; the clues say {base.bench.gases[verdict.gas].label}. {UNCLEAR}")
    return told


def _amiss(jets: Sequence[JetShown]) -> list[str]:
    """Jets that were gauged and are right for none of the ranges and gases that may be."""
    found = [each for jet in jets for each in jet.found]
    right = {each.called for each in found if not each.amiss}
    wrong = list(dict.fromkeys(each.called for each in found if each.called not in right))
    if not wrong:
        return []
    return [f"the jets found ({', '.join(wrong)}) are right for no top burner that is reckoned under JETS. {UNCLEAR}"]


def _gas_says(base: KnowledgeBase, verdict: FuelVerdict, named: Gas | None) -> str:
    if named is not None:
        return f"Set out for {base.bench.gases[named].label}, as you named it. The sheet has not found that out."
    if verdict.gas is None:
        return "Cannot tell which gas this range is set for. Nothing is lit until a licensed fitter has found out."
    label = base.bench.gases[verdict.gas].label
    return f"Set for {label}, by the clues given. A licensed fitter bears it out before gas is turned on."


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


def _inputs(steps: Sequence[StepChoices]) -> list[FieldChoices]:
    return [field for step in steps for field in step.fields if field.field.id in INPUTS]


def no_jets_shown(steps: Sequence[StepChoices], jets: Sequence[JetShown]) -> list[NoJetShown]:
    """How probable it is, for each burner, that the range is one of which no heat is stated."""
    reckoned = {jet.burner for jet in jets}
    return [
        NoJetShown(
            burner=field.field.label,
            chance=min(1.0, choice.chance),
            says=f"{field.field.label}{', any other range' if field.field.label in reckoned else ''} "
            f"({percent(choice.chance)}): no figure; only its plate or paper tells",
        )
        for field in _inputs(steps)
        for choice in field.choices
        if choice.setting is None and choice.chance > SHOWN
    ]


def jets_shown(
    base: KnowledgeBase,
    steps: Sequence[StepChoices],
    gases: Mapping[Gas, float],
    feet: float,
    gauged: Sequence[Gauged] = (),
) -> list[JetShown]:
    """The jets for every heat input that the sheet states, on every gas that may be, beside those that were gauged."""
    stated = [
        (field.field, choice, choice.setting.aim)
        for field in _inputs(steps)
        for choice in field.choices
        if choice.setting is not None and choice.setting.aim is not None
    ]
    each_once = list(dict.fromkeys(gauged))
    likely = [gas for gas in Gas if gases[gas] >= SHOWN]
    shown = []
    for field, choice, heat in stated:
        for gas in likely:
            try:
                jet = jet_for(base, heat, gas, feet)
            except ValueError:  # no number drill is near: the sheet names no jet
                continue
            found = [beside(base, jet, each) for each in each_once] if field.id == TOP_INPUT else []
            shown.append(_jet(base, field.label, choice, jet, found))
    return shown


def _jet(base: KnowledgeBase, burner: str, choice: Choice, jet: Jet, found: Sequence[FoundJet]) -> JetShown:
    feet = Quantity(Fraction(jet.feet), Unit.FOOT)
    smaller, larger = jet.drill.smaller, jet.drill.larger
    return JetShown(
        burner=burner,
        gas=jet.gas,
        gas_label=base.bench.gases[jet.gas].label,
        ranges=[short_group(base, group) for group in choice.groups],
        chance=min(1.0, choice.chance),
        drill=jet.drill.nearest.called,
        smaller=smaller.called if smaller is not None else None,
        larger=larger.called if larger is not None else None,
        bore=shown_setting(jet.bore),
        input=shown_setting(jet.input),
        flow=shown_setting(jet.flow) if jet.flow is not None else None,
        altitude=height_words(feet) if jet.feet else None,
        for_comparing=jet.for_comparing,
        found=[_found(each) for each in found],
    )


def _found(jet: FoundJet) -> FoundJetShown:
    return FoundJetShown(
        called=jet.called,
        bore=shown_setting(jet.bore),
        flow=shown_setting(jet.flow) if jet.flow is not None else None,
        of_flow=shown_setting(jet.of_flow),
        of_heat=shown_setting(jet.of_heat),
        amiss=jet.amiss,
        warning=f"more than {AMISS:.0%} off (our estimate, no source)" if jet.amiss else None,
    )


def jets_are(altitude: Quantity | None) -> str:
    """For what height the jets are, and what they are for."""
    where = f"at {height_words(altitude)}" if altitude is not None else "at sea level; no height was given"
    return f"{where}; to compare with what is there, never drilled or reamed on a range"


def height_words(altitude: Quantity | None) -> str | None:
    """An altitude in its own unit and the other."""
    if altitude is None:
        return None
    return f"{altitude.text} ({'; '.join(each.text for each in altitude.in_other_units())})"
