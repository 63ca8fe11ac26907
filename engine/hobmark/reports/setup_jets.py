"""What the set-up sheet says of jets: the drill for each heat that is stated, on each gas that may be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from hobmark.bench.account import Account
from hobmark.bench.jets import Jet, jet_for
from hobmark.bench.setup import HEAT_FIELDS, SHOWN, Choice, FieldChoices, StepChoices
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Quantity, Unit
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.setup_settings import shown_setting
from hobmark.reports.setup_shape import JetShown, NoJetShown
from hobmark.reports.words import percent, short_group


def _inputs(steps: Sequence[StepChoices]) -> list[FieldChoices]:
    return [field for step in steps for field in step.fields if field.field.id in HEAT_FIELDS]


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
    base: KnowledgeBase, steps: Sequence[StepChoices], gases: Mapping[Gas, float], account: Account
) -> list[JetShown]:
    """The jets for every heat input that the sheet states, on every gas that may be, as it burns there."""
    stated = [
        (field.field, choice, choice.setting.aim)
        for field in _inputs(steps)
        for choice in field.choices
        if choice.setting is not None and choice.setting.aim is not None
    ]
    shown = []
    for field, choice, heat in stated:
        for gas in (each for each in Gas if gases[each] >= SHOWN):
            try:
                jet = jet_for(base, heat, gas, account.supply(base, gas))
            except ValueError:  # no drill is near: the sheet names no jet
                continue
            shown.append(_jet(base, field.label, choice, jet))
    return shown


def _jet(base: KnowledgeBase, burner: str, choice: Choice, jet: Jet) -> JetShown:
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
        share=shown_setting(jet.share),
        flow=shown_setting(jet.flow) if jet.flow is not None else None,
        altitude=height_words(feet) if jet.feet else None,
        for_comparing=jet.for_comparing,
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
