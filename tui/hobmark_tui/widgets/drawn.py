"""A piece of the screen that is drawn as lines of text, as wide as there is room."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Generic, TypeVar

from textual.content import Content
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget

View = TypeVar("View")
"""The frozen value that a widget shows."""


class Drawn(Widget, Generic[View]):
    """Shows one value, or nothing before the first; a subclass draws it."""

    DEFAULT_CSS = """
    Drawn { height: auto; width: 1fr; }
    """

    view: reactive[View | None] = reactive(None, layout=True)

    def __init__(self, view: View | None = None, *, id: str | None = None, classes: str | None = None) -> None:
        """Show a value, which may come later."""
        super().__init__(id=id, classes=classes)
        self._first = view

    def on_mount(self) -> None:
        """Show the first value."""
        if self._first is not None:
            self.view = self._first

    def lines(self, view: View, width: int) -> Sequence[Content]:
        """What is drawn, no line wider than `width`."""
        raise NotImplementedError

    def render(self) -> Content:
        """All lines."""
        if self.view is None or self.content_size.width < 1:
            return Content("")
        return Content("\n").join(self.lines(self.view, self.content_size.width))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many rows as it has lines."""
        del container, viewport
        return len(self.lines(self.view, width)) if self.view is not None and width > 0 else 0

    @property
    def text(self) -> str:
        """What stands there, without colours."""
        return self.render().plain


def folded(text: str, width: int, style: str = "", indent: str = "") -> list[Content]:
    """A paragraph as lines of at most `width`; those after the first begin with `indent`."""
    lines = textwrap.wrap(text, max(1, width), subsequent_indent=indent, break_on_hyphens=False)
    return [Content.styled(line, style) for line in lines]
