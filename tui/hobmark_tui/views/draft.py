"""An answer in the making: what was marked before it is given."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hobmark.knowledge.vocabulary import Sure

from hobmark_tui.views.look import LookView

_SIGN = {Sure.CERTAIN: "", Sure.LIKELY: "?", Sure.GUESS: "??"}
_NEXT = {Sure.CERTAIN: Sure.LIKELY, Sure.LIKELY: Sure.GUESS, Sure.GUESS: Sure.CERTAIN}
SURE_WORDS = {Sure.CERTAIN: "sure", Sure.LIKELY: "not quite sure", Sure.GUESS: "a guess"}
"""How sure an answer is, in words."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What holds for the next answer: values by their place, counted from 1; whether they are ruled out; how sure."""

    marked: tuple[int, ...] = ()
    several: bool = False
    ruled_out: bool = False
    sure: Sure = Sure.CERTAIN

    def marking(self, number: int) -> Draft:
        """The draft with a value marked, or no longer marked."""
        kept = tuple(place for place in self.marked if place != number)
        return replace(self, marked=kept if number in self.marked else tuple(sorted((*kept, number))), several=True)

    def with_several(self) -> Draft:
        """The draft with `one of several` turned on, or off and its marks forgotten."""
        return replace(self, several=not self.several, marked=() if self.several else self.marked)

    def with_ruled_out(self) -> Draft:
        """The draft with `not this` turned on or off."""
        return replace(self, ruled_out=not self.ruled_out)

    def less_sure(self) -> Draft:
        """One step less sure, and from a guess to sure again."""
        return replace(self, sure=_NEXT[self.sure])

    @property
    def doubt(self) -> str:
        """The sign that a typed answer ends in."""
        return _SIGN[self.sure]

    def typed(self, *numbers: int) -> str:
        """The answer as it would be typed."""
        return f"{'!' if self.ruled_out else ''}{','.join(map(str, numbers))}{self.doubt}"

    def says(self, look: LookView) -> str:
        """What the next key will mean, in words; empty where it means no more than the value."""
        told = []
        if self.several:
            names = " or ".join(look.values[place - 1].label for place in self.marked) or "none yet"
            told.append(f"{'none of these' if self.ruled_out else 'one of these'}: {names}; Enter takes it")
        elif self.ruled_out:
            told.append("the number you press is ruled out")
        if self.sure is not Sure.CERTAIN:
            told.append(SURE_WORDS[self.sure])
        said = "; ".join(told)
        return f"{said[0].upper()}{said[1:]}." if said else ""
