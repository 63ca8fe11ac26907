"""What the set-up sheet says of gas and jets, and how any setting on it is shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from hobmark.bench.fuel import FuelVerdict, Settling
from hobmark.bench.jets import Jet, jet_for, wrong_gases
from hobmark.bench.settings import Setting
from hobmark.bench.setup import SHOWN, Choice, StepChoices
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Quantity, Unit
from hobmark.knowledge.schema.bench import Gas
from hobmark.reports.setup_shape import ClueShown, GasShown, JetShown, SettingShown, WrongGasShown
from hobmark.reports.words import short_group

INPUTS = ("top_burner_input", "oven_burner_input")
"""Fields of the sheet that state the heat of a burner, for which a jet is worked out."""


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


def gas_shown(base: KnowledgeBase, verdict: FuelVerdict, named: Gas | None) -> GasShown:
    """Which gas the range is set for, by the clues or as the user named it."""
    gas = named if named is not None else verdict.gas
    clash = named is not None and verdict.gas is not None and verdict.gas is not named
    contradictions = list(verdict.contradictions)
    if clash and named is not None and verdict.gas is not None:
        said, told = base.bench.gases[named].label, base.bench.gases[verdict.gas].label
        contradictions.append(f"you named {said}; the clues say {told}. Nothing is lit until that is cleared up.")
    return GasShown(
        gas=gas,
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


def jets_shown(
    base: KnowledgeBase, steps: Sequence[StepChoices], gases: Mapping[Gas, float], feet: float
) -> list[JetShown]:
    """The jets for every heat input that the sheet states, on every gas that may be."""
    fields = [field for step in steps for field in step.fields if field.field.id in INPUTS]
    stated = [
        (field.field.label, choice, choice.setting.aim)
        for field in fields
        for choice in field.choices
        if choice.setting is not None and choice.setting.aim is not None
    ]
    likely = [gas for gas in Gas if gases[gas] >= SHOWN]
    shown = []
    for label, choice, heat in stated:
        for gas in likely:
            try:
                shown.append(_jet(base, label, choice, jet_for(base, heat, gas, feet)))
            except ValueError:  # no number drill is near: the sheet names no jet
                continue
    return shown


def _jet(base: KnowledgeBase, burner: str, choice: Choice, jet: Jet) -> JetShown:
    feet = Quantity(Fraction(jet.feet), Unit.FOOT)
    smaller, larger = jet.drill.smaller, jet.drill.larger
    return JetShown(
        burner=burner,
        gas=jet.gas,
        gas_label=base.bench.gases[jet.gas].label,
        ranges=[short_group(base, group) for group in choice.groups],
        drill=jet.drill.nearest.called,
        smaller=smaller.called if smaller is not None else None,
        larger=larger.called if larger is not None else None,
        bore=shown_setting(jet.bore),
        input=shown_setting(jet.input),
        flow=shown_setting(jet.flow) if jet.flow is not None else None,
        altitude=height_words(feet) if jet.feet else None,
        for_comparing=jet.for_comparing,
    )


def height_words(altitude: Quantity | None) -> str | None:
    """An altitude in its own unit and the other."""
    if altitude is None:
        return None
    return f"{altitude.text} ({'; '.join(each.text for each in altitude.in_other_units())})"
