"""What the pages of the bench share: the case and what was said at the bench, and how a page is laid out and left."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import TYPE_CHECKING, ClassVar

from hobmark.bench.account import Account, account_of
from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Goal
from hobmark.problems import Refused
from hobmark.reasoning.examination import Compiled, Examination
from hobmark.reports.setup import must_have_tables
from textual import on, work
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.binding import BindingType
from textual.containers import ItemGrid
from textual.widgets import Button, Input, Label

from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.once import Once
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.views.bench import Bench
from hobmark_tui.views.bench_head import Head, head_of
from hobmark_tui.views.standing import examined
from hobmark_tui.widgets.key_button import KeyButton
from hobmark_tui.widgets.key_footer import KeyFooter

if TYPE_CHECKING:
    from hobmark_tui.app import HobmarkApp


class Desk:
    """One open case at the bench. It outlives the pages: what was said there is found again when one comes back."""

    def __init__(self, compiled: Compiled, session: CaseSession, hand: Executor) -> None:
        """`hand` is what changes the case, one thing after another."""
        self.compiled, self.session, self.hand = compiled, session, hand
        self.bench = Bench()
        self.changes: list[str] = []
        """Changes of the case made at the bench that can be taken back there, in words."""
        self.told_head: Head | None = None
        """The head that was last shown; None before, and where the base tells nothing of gas."""
        self.known_places: tuple[JetPlace, ...] = ()
        """Where the range has or may have a jet, as it was last worked out."""
        self._examined: Examination | None = None

    @property
    def base(self) -> KnowledgeBase:
        """The base that the case is held against."""
        return self.compiled.base

    @property
    def case(self) -> Case:
        """The case as it is now."""
        return self.session.case

    @property
    def name(self) -> str:
        """The case's file, as reports name it."""
        return str(self.session.path)

    @property
    def places(self) -> tuple[JetPlace, ...]:
        """Where the range has or may have a jet, by what was worked out and by what is recorded."""
        found = {*self.known_places, *(jet.place for jet in self.case.bench.jets)}
        return tuple(place for place in JetPlace if place in found)

    def examination(self) -> Examination:
        """The case examined; called off the screen's own thread."""
        case, known = self.case, self._examined
        if known is None or known.case is not case:
            known = self._examined = examined(self.compiled, case, Goal.VARIANT)
        return known

    def account(self) -> Account | None:
        """The account of the gas; None where the base has no tables for it. Called off the screen's own thread."""
        try:
            must_have_tables(self.base)
        except Refused:
            return None
        return account_of(self.examination())

    def head(self) -> Head | None:
        """What stands at the head of a page, likewise."""
        account = self.account()
        if account is None:
            return None
        self.known_places = tuple(each.place for each in account.places)
        return head_of(self.base, account)


class BenchPage(Once[str | None]):
    """A page of the bench; dismissed with a feature that is to be asked, or with None."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound(
            "escape,q", "back", "Back", "bench.back", "Back to where you came from; what was said is kept.", as_key="q"
        ),
        bound("pagedown", "page(1)", "Page down", "bench.down", "Further down on this page.", shown=False),
        bound("pageup", "page(-1)", "Page up", "bench.up", "Further up on this page.", shown=False),
    ]

    app: HobmarkApp

    def __init__(self, desk: Desk) -> None:
        """A page on a desk."""
        super().__init__()
        self.desk = desk
        self.is_left = False
        self.busy = True
        """While something is worked out, keys do not answer what is about to leave the page."""

    @property
    def is_gone(self) -> bool:
        """Whether the page is being taken down: nothing more is shown on it."""
        return self.is_left or self.app.is_leaving

    def dismiss(self, result: str | None = None) -> AwaitComplete:
        """Leave, unless that was done already."""
        self.is_left = self.is_left or self.is_active
        return super().dismiss(result)

    def head(self, title: str = "") -> ComposeResult:
        """What stands at the top of every page: what it is about, and whether the case is on disk."""
        yield Label(title, classes="title", markup=False)
        yield Label("", id="trouble", markup=False)

    def foot(self, *ways: KeyButton, column: int = 12) -> ComposeResult:
        """What stands at the bottom: what was written, buttons that are no narrower than `column`, and the keys."""
        yield Label("", id="written", markup=False)
        yield ItemGrid(*ways, id="actions", min_column_width=column)
        yield KeyFooter()

    def tell(self, text: str) -> None:
        """Say something in passing."""
        self.notify(text, markup=False, timeout=6)

    def tell_trouble(self) -> None:
        """Say whether the case is on disk."""
        trouble = self.desk.session.trouble
        label = self.query_one("#trouble", Label)
        label.update(f"Not kept on disk: {trouble}" if trouble else "")
        label.display = trouble is not None

    def retitle(self, text: str) -> None:
        """What the page is about."""
        self.query_one(".title", Label).update(text)

    def show(self) -> None:
        """Show the desk as it is, once that is worked out."""
        self.busy = True
        self.shown()

    def shown(self) -> object:
        """Work it out off the screen's thread, and show it."""
        raise NotImplementedError

    def change(self, act: Callable[[], object], words: str | None, then: Callable[[], None] | None = None) -> None:
        """Do something to the case; begun at once, and shown when it is on disk, and then `then` follows.

        `words` are said when it is taken back; without them it is none of the changes that are.
        """
        self.busy = True
        before = self.desk.case
        self._change(self.desk.hand.submit(act), before, words, then)

    @work(group="change", description="change the record")
    async def _change(
        self, done: Future[object], before: Case, words: str | None, then: Callable[[], None] | None
    ) -> None:
        await asyncio.shield(asyncio.wrap_future(done))
        if words is not None and self.desk.case != before:
            self.desk.changes.append(words)
        self._changed(then)

    def _changed(self, then: Callable[[], None] | None) -> None:
        if self.is_gone:
            return
        if self.desk.session.notice:
            self.tell(self.desk.session.notice)
        self.show()
        if then is not None:
            then()

    def take_back(self, then: Callable[[], None] | None = None) -> None:
        """Take back what was last said at the bench, and say what that was."""
        self.busy = True
        self._take_back(self.desk.hand.submit(self.desk.session.undo), self.desk.changes.pop(), then)

    @work(group="change", description="take back")
    async def _take_back(self, done: Future[object], words: str, then: Callable[[], None] | None) -> None:
        await asyncio.shield(asyncio.wrap_future(done))
        if not self.is_gone:
            self.tell(f"Taken back: {words}.")
        self._changed(then)

    def action_back(self) -> None:
        """From the words to the list, else from the page."""
        if isinstance(self.focused, Input):
            self.focused.value = ""
            self.set_focus(None)
        else:
            self.dismiss(None)

    def action_page(self, step: int) -> None:
        """Scroll what is on the page."""
        for pane in self.query("VerticalScroll"):
            (pane.scroll_page_down if step > 0 else pane.scroll_page_up)(animate=False)

    @on(Button.Pressed)
    async def _pressed(self, event: Button.Pressed) -> None:
        """A button does what its key does; its id is the name of the action."""
        event.stop()
        if event.button.id is not None:
            await self.run_action(event.button.id)
