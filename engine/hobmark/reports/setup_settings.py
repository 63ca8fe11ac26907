"""How a setting is shown, on whatever sheet it stands."""

from __future__ import annotations

from hobmark.bench.settings import Setting
from hobmark.knowledge.quantities import Quantity
from hobmark.knowledge.schema.bench import Mark
from hobmark.reports.setup_gas_shape import SettingShown


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


def recorded(number: Quantity, cautions: tuple[str, ...]) -> SettingShown:
    """A number that somebody measured or was told, as it stands in the bench record."""
    return shown_setting(Setting(number, None, None, RECORDED, Mark.RECORDED, cautions))


RECORDED = "the bench record of this case"
"""What a number rests on that was measured or told at the range."""
