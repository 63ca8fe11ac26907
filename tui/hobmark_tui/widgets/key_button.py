"""A button that does what a key does."""

from __future__ import annotations

from textual.widgets import Button


class KeyButton(Button, can_focus=False):
    """For the finger and the mouse. It never takes the cursor, so that Enter never presses it unawares."""

    def __init__(self, label: str, *, id: str, classes: str) -> None:
        """The label begins with the key."""
        super().__init__(label, id=id, classes=classes, compact=True)
