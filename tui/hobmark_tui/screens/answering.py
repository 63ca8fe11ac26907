"""Answering one look: a value, one of several, not this, less sure, not seen, gone, a length, words on a plate."""

from __future__ import annotations

from typing import ClassVar

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from textual import on
from textual.binding import BindingType
from textual.widgets import Button, Label

from hobmark_tui.commands.answers import NotAnAnswer, read_answer
from hobmark_tui.screens.dialogs import LineDialog
from hobmark_tui.screens.keys import bound, numbered
from hobmark_tui.screens.once import Once
from hobmark_tui.screens.words_dialog import WordsDialog
from hobmark_tui.views.draft import Draft
from hobmark_tui.views.look import LookView
from hobmark_tui.widgets.values import ValueCard, Values

ANSWERS = frozenset(
    ("number", "mark", "take", "ruled_out", "less_sure", "cannot_see", "gone", "measure", "words", "skip", "card")
)
"""Actions that answer or pass over the look on the page."""


class Answering(Once[None]):
    """The keys that answer the look on the screen. What is answered goes to `take`."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *numbered("number", "Answer", "answer.value", "The value that the number stands before."),
        bound(
            "space",
            "mark",
            "Several",
            "answer.several",
            "One of several: mark values by number or Space, then Enter takes them all.",
            shown=False,
        ),
        bound("enter", "take", "Take", "answer.take", "Take the marked values.", shown=False),
        bound(
            "n", "ruled_out", "Not this", "answer.not", "Not this: the number you press next is ruled out.", shown=False
        ),
        bound(
            "l",
            "less_sure",
            "Less sure",
            "answer.sure",
            "Not quite sure, then a guess, then sure again: holds for the next answer.",
            shown=False,
        ),
        bound(
            "c",
            "cannot_see",
            "Cannot see",
            "answer.unseen",
            "It cannot be seen from here. That is no answer for or against anything.",
            shown=False,
        ),
        bound(
            "g",
            "gone",
            "Gone",
            "answer.gone",
            "It was there and is now gone: holes, a ghost or an unfaded patch tell.",
            shown=False,
        ),
        bound(
            "m",
            "measure",
            "Measure",
            "answer.length",
            "A length in mm or inches, with fractions: 31 mm, 1 1/4 in.",
            shown=False,
        ),
        bound(
            "p",
            "words",
            "Plate",
            "answer.words",
            "Words or a serial number that stand on a plate or a part.",
            shown=False,
        ),
        bound("right,down", "card(1)", "Next value", "answer.next", "The next value.", shown=False),
        bound("left,up", "card(-1)", "Value before", "answer.before", "The value before.", shown=False),
    ]

    draft: Draft = Draft()
    asked: LookView | None = None
    busy: bool = False
    """While an answer is being kept, keys do not answer the look that is about to leave the screen."""

    @property
    def base(self) -> KnowledgeBase:
        """The base that the case is held against."""
        raise NotImplementedError

    @property
    def look_is_hidden(self) -> bool:
        """Whether the page is turned over to what is known, and shows no look that could be answered."""
        return self.has_class("-side") and not self.has_class("-wide")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A look that does not show is not answered."""
        if action in ANSWERS and self.look_is_hidden:
            return None
        return super().check_action(action, parameters)

    def take(self, seen: Observation) -> None:
        """Keep one observation."""
        raise NotImplementedError

    def tell(self, text: str) -> None:
        """Say something in passing."""
        self.notify(text, markup=False, timeout=6)

    def draft_is(self, draft: Draft) -> None:
        """Show what the next answer will mean."""
        self.draft = draft
        if self.asked is not None:
            said = self.query_one("#draft", Label)
            said.update(draft.says(self.asked))
            said.display = bool(draft.says(self.asked))
            self.query_one(Values).mark(draft.marked)
            for name, on_now in (("several", draft.several), ("not", draft.ruled_out), ("sure", draft.doubt != "")):
                self.query_one(f"#{name}", Button).set_class(on_now, "-on")

    def action_number(self, number: int) -> None:
        """Take a value, or mark it where several are being marked."""
        if self.asked is None or self.busy or number > len(self.asked.values):
            return
        if self.draft.several:
            self.draft_is(self.draft.marking(number))
        else:
            self.answer(self.draft.typed(number))

    def answer(self, typed: str) -> None:
        """Take what stands for an answer, or say why it is none."""
        if self.asked is None or self.busy:
            return
        feature = self.asked.feature
        try:
            seen = read_answer(feature, self.base.features[feature], typed)
        except NotAnAnswer as reason:
            self.tell(str(reason))
            return
        self.take(seen)

    @on(ValueCard.Chosen)
    def _card_chosen(self, event: ValueCard.Chosen) -> None:
        self.action_number(event.number)

    def action_mark(self) -> None:
        """Mark the value that the cursor is on; without a cursor, begin marking by number."""
        card = self.focused
        if isinstance(card, ValueCard):
            self.draft_is(self.draft.marking(card.number))
        elif self.asked is not None:
            self.draft_is(self.draft.with_several())

    def action_take(self) -> None:
        """Take what is marked, else the value that the cursor is on."""
        card = self.focused
        if self.draft.marked:
            self.answer(self.draft.typed(*self.draft.marked))
        elif isinstance(card, ValueCard) and not self.draft.several:
            self.answer(self.draft.typed(card.number))
        elif self.draft.several:
            self.tell("Mark the values it may be by their numbers, then Enter.")

    def action_ruled_out(self) -> None:
        """Rule out, or no longer."""
        self.draft_is(self.draft.with_ruled_out())

    def action_less_sure(self) -> None:
        """One step less sure."""
        self.draft_is(self.draft.less_sure())

    def action_cannot_see(self) -> None:
        """It cannot be seen."""
        self.answer("?")

    def action_gone(self) -> None:
        """It was there and is gone."""
        if self.asked is not None and not self.asked.can_be_gone:
            self.tell("That cannot be gone from a range.")
        else:
            self.answer("x")

    def action_measure(self) -> None:
        """Ask for a length."""
        look = self.asked
        if look is None or self.busy:
            return
        if not look.length:
            self.tell("Nothing is measured at this look. Choose a value.")
            return
        feature, doubt = self.base.features[look.feature], self.draft.doubt

        def refused(typed: str) -> str | None:
            try:
                seen = read_answer(look.feature, feature, f"{typed}{doubt}")
            except NotAnAnswer as reason:
                return str(reason)
            return None if seen.measured is not None else f"Write a length, as {look.length}."

        def kept(typed: str | None) -> None:
            if typed and self.asked == look:
                self.answer(f"{typed}{doubt}")

        hint = f"As {look.length}. mm, cm or in; fractions as 1 1/4 in."
        self.app.push_screen(LineDialog(look.question, hint, check=refused), kept)

    def action_words(self) -> None:
        """Ask for words or a serial on a part."""

        def kept(seen: Observation | None) -> None:
            if seen is not None:
                self.take(seen)

        self.app.push_screen(WordsDialog(self.base), kept)

    def action_card(self, step: int) -> None:
        """Move the cursor from value to value."""
        cards = list(self.query(ValueCard))
        if not cards:
            return
        place = cards.index(self.focused) + step if isinstance(self.focused, ValueCard) else (0 if step > 0 else -1)
        cards[place % len(cards)].focus()

    @on(Button.Pressed, ".answer")
    def _answer_pressed(self, event: Button.Pressed) -> None:
        """The buttons below the values do what their keys do."""
        event.stop()
        actions = {
            "several": self.action_several_button,
            "take": self.action_take,
            "not": self.action_ruled_out,
            "sure": self.action_less_sure,
            "unseen": self.action_cannot_see,
            "gone": self.action_gone,
            "length": self.action_measure,
            "words": self.action_words,
        }
        if event.button.id in actions:
            actions[event.button.id]()

    def action_several_button(self) -> None:
        """Begin marking, or end it."""
        if self.asked is not None:
            self.draft_is(self.draft.with_several())
