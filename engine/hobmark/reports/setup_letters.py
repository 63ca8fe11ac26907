"""What a set-up sheet says once and points at: cautions in full under letters, sources under numbers."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from string import ascii_uppercase

from hobmark.knowledge.schema.bench import Mark
from hobmark.reports.page import Line
from hobmark.reports.setup_shape import CautionShown
from hobmark.reports.text import STATUS


@dataclass(frozen=True, slots=True)
class Pointers:
    """The cautions of one sheet by id, with their letters; and its sources, numbered as they are first spoken of."""

    cautions: Mapping[str, CautionShown]
    letters: Mapping[str, str]
    numbers: dict[str, int] = field(default_factory=dict)

    def point(self, names: Sequence[str], named: Container[str] = ()) -> str:
        """`! A no flame near gas, C`: the cautions of what stands before it; of those in `named` the letters alone."""
        told = [self.letters[name] + ("" if name in named else f" {self.cautions[name].name}") for name in names]
        return f"! {', '.join(told)}"

    def grounds(self, mark: Mark, source: str) -> str:
        """`[verified, S3]`: how well it is known and the number of its source; a mark without a source stands alone."""
        return f"[{mark.value}]" if source == mark.value else f"[{mark.value}, {self.number(source)}]"

    def number(self, source: str) -> str:
        """The number of a source, the next one at its first mention."""
        return f"S{self.numbers.setdefault(source, len(self.numbers) + 1)}"

    def in_full(self, names: Iterable[str]) -> list[Line]:
        """These cautions as they are told in full, with letter, name and source."""
        return [self._whole(self.cautions[name]) for name in self.letters if name in set(names)]

    def _whole(self, caution: CautionShown) -> Line:
        named = "" if caution.says.casefold().startswith(caution.name) else f"{caution.name}: "
        return Line(f"{self.letters[caution.id]} {named}{caution.says} {self._status(caution)}", "", "  ")

    def in_short(self, names: Iterable[str]) -> list[Line]:
        """The same in a few words, each with its source."""
        told = [self.cautions[name] for name in self.letters if name in set(names)]
        return [
            Line(f"{self.letters[each.id]} {each.name}: {each.short} {self._status(each)}", "", "  ") for each in told
        ]

    def _status(self, caution: CautionShown) -> str:
        return f"[{STATUS.get(caution.status, caution.status)}, {self.number(caution.source)}]"

    def sources(self) -> list[Line]:
        """Every source that was pointed at, by number, one after another."""
        return [Line("SOURCES"), Line(". ".join(f"S{n} {source}" for source, n in self.numbers.items()) + ".")]


def pointers_of(cautions: Iterable[CautionShown], first: Sequence[str] = ()) -> Pointers:
    """Letters A to Z, then AA to ZZ: the cautions named in `first` before the others, else in the order given."""
    ordered = sorted(cautions, key=lambda each: each.id not in first)
    count = len(ascii_uppercase)
    letters = {each.id: ascii_uppercase[n % count] * (n // count + 1) for n, each in enumerate(ordered)}
    return Pointers({each.id: each for each in ordered}, letters)


def once(listed: Iterable[Sequence[str]]) -> list[str]:
    """Each id once, in the order of first mention."""
    return list(dict.fromkeys(name for names in listed for name in names))
