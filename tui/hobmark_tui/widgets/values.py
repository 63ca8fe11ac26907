"""The values of a look side by side, each with its key and its sketch; as many in a row as there is room for."""

from __future__ import annotations

from dataclasses import dataclass

from textual.app import RenderResult
from textual.containers import ItemGrid
from textual.content import Content
from textual.events import Click
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from hobmark_tui.views.look import ValueView
from hobmark_tui.widgets.drawn import folded

SKETCH = 16
"""Columns of the widest sketch."""


class ValueCard(Widget, can_focus=True):
    """One value. It is taken by its key, by Enter, or by a tap; Space marks it as one of several."""

    DEFAULT_CSS = """
    ValueCard { height: auto; }
    """

    marked: reactive[bool] = reactive(False, layout=True)

    @dataclass
    class Chosen(Message):
        """A value was tapped or entered."""

        number: int

    def __init__(self, number: int, value: ValueView, rows: int) -> None:
        """Show the value that is the look's `number`th; all cards of a row have sketches of `rows` rows."""
        super().__init__()
        self.number = number
        self.value = value
        self.rows = rows

    def watch_marked(self, marked: bool) -> None:
        """A mark is a sign before it is a colour."""
        self.set_class(marked, "-marked")

    def drawn(self, width: int, height: int = 0) -> list[Content]:
        """Key and words, then the sketch, at the foot of `height` rows: so the sketches of a row stand level."""
        sign = "■ " if self.marked else ""
        words = folded(f"{self.value.key}  {sign}{self.value.label}", width, "bold", indent="   ")
        sketch = self.value.sketch.split("\n") if self.value.sketch else []
        sketch = [*[""] * (height - len(words) - self.rows), *sketch, *[""] * (self.rows - len(sketch))]
        return [*words, *(Content.styled(f"   {line}"[:width], "$text-secondary") for line in sketch)]

    def render(self) -> RenderResult:
        """The card."""
        return Content("\n").join(self.drawn(max(1, self.content_size.width), self.content_size.height))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many rows as it has lines."""
        del container, viewport
        return len(self.drawn(max(1, width)))

    def on_click(self, event: Click) -> None:
        """A tap takes it."""
        event.stop()
        self.post_message(self.Chosen(self.number))


class Values(ItemGrid):
    """The cards of one look."""

    DEFAULT_CSS = """
    Values { height: auto; grid-gutter: 0 1; grid-rows: auto; }
    """

    def __init__(self) -> None:
        """Lay values out in as many columns as fit."""
        super().__init__(min_column_width=SKETCH + 6, regular=False)

    async def show(self, values: tuple[ValueView, ...]) -> None:
        """The cards of another look."""
        rows = max((value.sketch.count("\n") + 1 for value in values if value.sketch), default=0)
        cards = list(self.query(ValueCard))
        for card, value in zip(cards, values, strict=False):  # cards that are there already cost no more than a redraw
            card.value, card.rows = value, rows
            card.refresh(layout=True)
        for card in cards[len(values) :]:
            await card.remove()
        more = range(len(cards), len(values))
        await self.mount_all(ValueCard(place + 1, values[place], rows) for place in more)
        if isinstance(self.screen.focused, ValueCard):  # the cursor stood on a value of the look before
            self.screen.set_focus(None)

    def mark(self, marked: tuple[int, ...]) -> None:
        """Show which cards are marked."""
        for card in self.query(ValueCard):
            card.marked = card.number in marked
