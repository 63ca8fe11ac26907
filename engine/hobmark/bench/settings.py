"""A setting: a number to set a range by. None can be made without its unit, its source, its mark and its cautions."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hobmark.knowledge.quantities import Quantity
from hobmark.knowledge.schema.bench import Amount, Mark


@dataclass(frozen=True, slots=True)
class Setting:
    """What is aimed at and what passes, each a number with its unit; on whose word; what to mind.

    `cautions` are ids of the base's cautions. ValueError where any of it is missing.
    """

    aim: Quantity | None
    low: Quantity | None
    high: Quantity | None
    source: str
    mark: Mark
    cautions: tuple[str, ...]

    def __post_init__(self) -> None:
        stated = self.stated
        if not stated:
            raise ValueError("a setting states a number")
        if len({each.kind for each in stated}) > 1:
            raise ValueError("the numbers of a setting are of one kind")
        if not self.source.strip():
            raise ValueError("a setting names its source, or says that it has none")
        if not self.cautions or not all(self.cautions):
            raise ValueError("a setting bears a caution")

    @property
    def stated(self) -> tuple[Quantity, ...]:
        """The numbers given, aim first."""
        return tuple(each for each in (self.aim, self.low, self.high) if each is not None)

    @property
    def text(self) -> str:
        """The setting in words, in its own unit and in the others, no finer than what it rests on."""
        said = _said(self.aim, self.low, self.high)
        spread = [self._elsewhere(each) if each is not None else None for each in (self.aim, self.low, self.high)]
        count = len(self.stated[0].in_other_units())
        others = [_said(*(row[i] if row is not None else None for row in spread)) for i in range(count)]
        return f"{said} ({'; '.join(others)})" if others else said

    def _elsewhere(self, number: Quantity) -> tuple[Quantity, ...]:
        """A number in other units; a habit of the trade is known to no tenth of a millimetre."""
        others = number.in_other_units()
        if self.mark is not Mark.COMMON_PRACTICE:
            return others
        return tuple(replace(each, written=f"{round(each.number)}") if each.number >= 1 else each for each in others)


def setting_of(amount: Amount, source: str, mark: Mark, cautions: tuple[str, ...]) -> Setting | None:
    """The setting that a table states; None where it states no number."""
    if not amount.is_stated:
        return None
    return Setting(amount.aim, amount.low, amount.high, source, mark, cautions)


def _said(aim: Quantity | None, low: Quantity | None, high: Quantity | None) -> str:
    limits = _limits(low, high)
    if aim is None:
        return limits
    return f"{aim.text}, and {limits} passes" if limits else aim.text


def _limits(low: Quantity | None, high: Quantity | None) -> str:
    if low is not None and high is not None:
        first = low.digits if low.unit is high.unit else low.text
        return f"{first} to {high.text}"
    if low is not None:
        return f"{low.text} or more"
    return f"{high.text} or less" if high is not None else ""
