"""Finding a look by a word, and choosing from a numbered list of those that were found."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from hobmark.knowledge.base import KnowledgeBase

from hobmark_tui.commands.terminal import Screen

BETWEEN = 3
"""Blanks between two columns of a list."""


def looks_named(base: KnowledgeBase, word: str, among: Collection[str] | None = None) -> list[str]:
    """The features that a word names: by id or whole label, else by a piece of label or question."""
    wanted = _plain(word)
    pool = [f for f in base.features if among is None or f in among]
    exact = [f for f in pool if wanted in (_plain(f), _plain(base.features[f].label))]
    return exact or [
        f for f in pool if any(wanted in _plain(text) for text in (base.features[f].label, base.features[f].ask))
    ]


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("_", " ").replace("-", " ").split())


def numbered(labels: Sequence[str], width: int) -> str:
    """Labels by number, in as many columns as fit."""
    digits = len(str(len(labels)))
    entries = [f"{number:>{digits}}  {label}" for number, label in enumerate(labels, start=1)]
    column = max(map(len, entries)) + BETWEEN
    row = max(1, (width - 2 + BETWEEN) // column)
    lines = ["".join(entry.ljust(column) for entry in entries[i : i + row]) for i in range(0, len(entries), row)]
    return "".join(f"  {line.rstrip()}\n" for line in lines)


@dataclass(frozen=True)
class Finder:
    """Looks found by a word, and the list a person chooses from where they are several."""

    base: KnowledgeBase
    screen: Screen

    def find(self, word: str) -> list[str]:
        """The looks that a word names, listed where they are several; none, and told so, where it names none."""
        if not word.split():
            self.screen.tell("Write a word behind f, as: f dial.")
            return []
        hits = looks_named(self.base, word)
        if not hits:
            self.screen.tell("No look goes by that word.")
        self._list(hits)
        return hits

    def narrow(self, hits: list[str], typed: str) -> list[str]:
        """What a number or a word leaves of a list, listed again where it is several; none where it fits nothing."""
        if typed.isdecimal() and len(typed) < 4:
            return hits[int(typed) - 1 : int(typed)] if int(typed) else []
        left = looks_named(self.base, typed, hits) if len(typed) > 1 else []
        self._list(left)
        return left

    def _list(self, hits: Sequence[str]) -> None:
        if len(hits) > 1:
            self.screen.tell("Which of these? A number or a word chooses one; Enter goes back.")
            self.screen.write(numbered([self.base.features[feature].label for feature in hits], self.screen.width))
