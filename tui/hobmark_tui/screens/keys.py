"""Keys: one way to say what a key does. The footer, the help page and the command palette all read it from there."""

from __future__ import annotations

from textual.binding import Binding

from hobmark_tui.views.look import KEYS

_NAMES = {"-": "minus", "=": "equals_sign"}


def bound(
    keys: str, action: str, words: str, name: str, tells: str, *, shown: bool = True, as_key: str | None = None
) -> Binding:
    """Keys and what they do: in a word or two, under a permanent name, and in a sentence for the help.

    What is not `shown` is not in the footer; `as_key` is what the footer calls the key.
    """
    return Binding(keys, action, words, show=shown, key_display=as_key, tooltip=tells, id=name)


def numbered(action: str, words: str, name: str, tells: str) -> list[Binding]:
    """The number keys, first to twelfth; each calls `action` with its place, from 1."""
    return [
        bound(_NAMES.get(key, key), f"{action}({number})", words, name, tells, shown=False)
        for number, key in enumerate(KEYS, start=1)
    ]
