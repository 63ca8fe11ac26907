"""Every key of the page it is opened from, read from the page itself."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widgets import Label

from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.pages import Page
from hobmark_tui.views.paragraphs import HEADING, Paragraph
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.prose import Prose

SHOWN_KEYS = {
    "minus": "-",
    "equals_sign": "=",
    "slash": "/",
    "question_mark": "?",
    "pagedown": "page down",
    "pageup": "page up",
    "delete": "Delete",
    "enter": "Enter",
    "escape": "Esc",
    "space": "Space",
}
"""Keys whose name is not what stands on them."""


def help_paragraphs(nodes: list[DOMNode]) -> tuple[Paragraph, ...]:
    """The bindings of these nodes that have an id and a tooltip, each with all of its keys."""
    told: list[Paragraph] = []
    for node, title in zip(nodes, ("On this page", "Everywhere"), strict=False):
        keys: dict[str, list[str]] = {}
        says: dict[str, str] = {}
        for _, binding in node._bindings:
            if binding.id is not None and binding.tooltip:
                keys.setdefault(binding.id, []).append(SHOWN_KEYS.get(binding.key, binding.key))
                says[binding.id] = _tells(binding)
        told.append(Paragraph(title, style=HEADING))
        column = max((len(_listed(each)) for each in keys.values()), default=0)
        told += [
            Paragraph(f"{_listed(keys[name]):>{column}}  {words}", hang=column + 2) for name, words in says.items()
        ]
        told.append(Paragraph(""))
    return tuple(told)


def _tells(binding: Binding) -> str:
    """What a key does, its word said once."""
    said = binding.tooltip.casefold().startswith(binding.description.casefold())
    return binding.tooltip if said else f"{binding.description}: {binding.tooltip}"


def _listed(keys: list[str]) -> str:
    return " or ".join(keys) if len(keys) <= 2 else f"{keys[0]} … {keys[-1]}"


class HelpScreen(Page):
    """The keys of one page and of the program."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("h", "back", "Back", "help.back", "Back to the page.", shown=False),
    ]

    def __init__(self, of: Screen[object]) -> None:
        """Explain a page."""
        super().__init__()
        self.of = of

    def compose(self) -> ComposeResult:
        """One line a key."""
        yield Label("Keys", classes="title")
        with VerticalScroll():
            yield Prose(help_paragraphs([self.of, self.app]))
        yield KeyFooter()
