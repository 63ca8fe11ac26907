"""The window that takes what a seller says: maker, variant, year."""

from __future__ import annotations

from typing import ClassVar

from hobmark.case import Claims
from hobmark.knowledge.base import KnowledgeBase
from pydantic import ValidationError
from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Button, Input, Label, Select

from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.once import Window

NOTHING = ""
"""The choice that says nothing."""


class ClaimDialog(Window[Claims | None]):
    """Asks what the range is said to be; dismissed with the claims, which may be empty, or with None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("escape", "back", "Back", "claim.back", "Close this window; the claim stays as it was."),
    ]

    def __init__(self, base: KnowledgeBase, claims: Claims) -> None:
        """Begin with what is claimed already."""
        super().__init__()
        self.base, self.claims = base, claims

    def compose(self) -> ComposeResult:
        """One list for maker or variant, one line for the year."""
        names = [("nothing", NOTHING)]
        for maker, folder in self.base.makers.items():
            names.append((f"{folder.name}, no variant said", maker))
            names += [(f"{folder.name} {entry.label}", f"{maker}/{name}") for name, entry in folder.variants.items()]
        with VerticalScroll(classes="window", can_focus=False):
            yield Label("What does the seller say it is?", classes="title")
            yield Label("Maker or variant", classes="hint")
            yield Select(names, value=self._said(), allow_blank=False)
            yield Label("Year: 1938, 1936/1941, about 1938 as 1938~", classes="hint")
            yield Input(self.claims.made or "", max_length=40)
            yield Label("", id="refused", markup=False)
            with Horizontal(classes="buttons"):
                yield Button("Keep", id="keep", variant="primary")
                yield Button("Back", id="back")

    def _said(self) -> str:
        if self.claims.variant is not None:
            return "/".join(self.base.variant_keys[self.claims.variant])
        return self.claims.maker or NOTHING

    @on(Input.Submitted)
    @on(Button.Pressed, "#keep")
    def _keep(self) -> None:
        said = str(self.query_one(Select).value)
        fields = {"variant" if "/" in said else "maker": said} if said else {}
        made = self.query_one(Input).value.strip()
        try:
            self.dismiss(Claims.model_validate(fields | ({"made": made} if made else {})))
        except ValidationError:
            self.query_one("#refused", Label).update(f"'{made}' is not a year. Write it as 1938, or as 1936/1941.")

    def action_back(self) -> None:
        """Close; the claim stays."""
        self.dismiss(None)

    @on(Button.Pressed, "#back")
    def _back_pressed(self) -> None:
        self.action_back()
