"""The keys of a page, along its foot."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Footer

ACROSS = 5
"""Keys in a row where the page is narrow and the style sheet lays them out as a grid."""


class KeyFooter(Footer):
    """Every key that the page shows; none is pushed off a narrow page."""

    def __init__(self) -> None:
        """The command palette has a key of its own that needs no telling."""
        super().__init__(show_command_palette=False)

    def compose(self) -> ComposeResult:
        """The keys, in the order of the page's bindings."""
        yield from super().compose()
        self.styles.grid_size_columns = ACROSS
