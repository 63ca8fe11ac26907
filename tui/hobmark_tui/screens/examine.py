"""Examining one range: the look that is asked, and beside it what is known so far."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Future
from typing import TYPE_CHECKING, ClassVar

from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.examination import Compiled, first_goal
from hobmark.reports.findings import findings
from hobmark.reports.identify import Findings
from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, ItemGrid, Vertical, VerticalScroll
from textual.widgets import Button, Label

from hobmark_tui.screens import deeds
from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.turning import Turning
from hobmark_tui.sessions.hand import Hand
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.views.at_once import AtOnce, at_once
from hobmark_tui.views.banner import stop_view, trouble_view
from hobmark_tui.views.draft import Draft
from hobmark_tui.views.open import open_view
from hobmark_tui.views.parts import parts_view
from hobmark_tui.views.preparing import Prepare, Prepared
from hobmark_tui.views.standing import Aim, Standing, stand
from hobmark_tui.views.told import ToldView
from hobmark_tui.widgets.key_button import KeyButton
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.panels import Banner, Leaders, Parts, Years
from hobmark_tui.widgets.prose import Prose
from hobmark_tui.widgets.question import Question, Where
from hobmark_tui.widgets.told import Told
from hobmark_tui.widgets.values import Values

if TYPE_CHECKING:
    from hobmark_tui.app import HobmarkApp

ACTIONS = (
    ("several", "␣ several"),
    ("not", "n not this"),
    ("sure", "l not sure"),
    ("unseen", "c can't see"),
    ("gone", "g gone"),
    ("length", "m measure"),
    ("words", "p plate"),
    ("skip", "s skip"),
)
"""The buttons below the values: id, and key with words."""


class ExamineScreen(Turning):
    """One case. Every answer is on disk before the next question shows."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        bound("s", "skip", "Skip", "look.skip", "Do not offer this look again today; nothing is kept.", shown=False),
        bound(
            "y",
            "keep",
            "Try to keep again",
            "case.keep",
            "After a full disk or a locked folder: write the case again.",
            shown=False,
        ),
    ]

    app: HobmarkApp

    def __init__(self, compiled: Compiled, session: CaseSession, prepare: Prepare | None = None) -> None:
        """Examine the case of an open session; the screen closes it when it is left."""
        super().__init__()
        self.compiled, self.session, self.prepare = compiled, session, prepare
        self.aim = Aim(first_goal(compiled.base, session.case))
        self.skipped: list[tuple[str, object]] = []
        self.one_by_one = asyncio.Lock()
        self.hand = Hand()
        """The one thread that changes the case and writes it."""
        self.prepared: Prepared | None = None
        self.found_of: Standing | None = None
        self.leaving = False
        self.could_redo = False
        self.is_left = False

    @property
    def base(self) -> KnowledgeBase:
        """The base that the case is held against."""
        return self.compiled.base

    def compose(self) -> ComposeResult:
        """The look on the left, what is known on the right; one of them where it is narrow."""
        with Horizontal(id="top"):
            yield Label(self.session.case.label, id="name", markup=False)
            yield KeyButton("", id="goal", classes="selector")
            yield KeyButton("", id="situation", classes="selector")
        yield Banner(id="trouble")
        with Horizontal(id="body"):
            with Vertical(id="look"):
                with VerticalScroll(id="asked", can_focus=False):
                    yield Banner(id="stop")
                    yield Question()
                    yield Where(classes="above")
                    yield Values()
                    yield Where(classes="below")
                yield Label("", id="draft", markup=False)
                with ItemGrid(id="actions", min_column_width=11, regular=True):
                    for name, label in ACTIONS:
                        yield KeyButton(label, id=name, classes="answer")
            with VerticalScroll(id="side", can_focus=False):
                yield Leaders()
                yield Years()
                yield Parts()
                yield Prose(id="open")
        yield Told(id="told")
        yield KeyFooter()

    def on_mount(self) -> None:
        """Ask the first look."""
        self.change(lambda: None)
        self.load_bench()

    def take(self, seen: Observation) -> None:
        """Keep an observation, then ask the next look; one prepared for this answer, if there is one."""
        ready = self.prepared.next_after(seen) if self.prepared is not None and self.asked is not None else None
        self.change(lambda: deeds.add(self.base, self.session, seen), offer=ready)

    def tell(self, text: str) -> None:
        """Say something on the page's own line, where it covers nothing; it stands a while whatever is done next."""
        for line in self.query(Told):  # none yet where a key came before the page was laid out
            line.say(text)

    def change(self, act: Callable[[], object], wanted: str | None = None, offer: str | None = None) -> None:
        """Do something to the case, off the screen's own thread, and show where it stands then and what `act` tells.

        It is begun at once: whoever quits right behind an answer has given it.
        """
        self.busy = True
        self._change(self.hand.submit(act), wanted, offer)

    @work(group="change", description="change the case")
    async def _change(
        self, done: Future[object], wanted: str | None, offer: str | None = None, before: Case | None = None
    ) -> None:
        async with self.one_by_one:
            told = await asyncio.shield(asyncio.wrap_future(done))
            aim, case = self.aim, self.session.case
            gone = before.answered() - case.answered() if before is not None else frozenset[str]()
            wanted = next(iter(gone)) if len(gone) == 1 else wanted
            shown = await asyncio.to_thread(
                lambda: at_once(stand(self.compiled, case, aim, wanted, offer, self.standing))
            )
            await self.show(shown, told if isinstance(told, ToldView) else ToldView())
            self.busy = False
        self.call_after_refresh(self._then_conclude, shown.standing)

    def _then_conclude(self, standing: Standing) -> None:
        """What takes longer begins once the next look is in sight."""
        if not self.is_gone:
            self._conclude(standing)

    async def show(self, shown: AtOnce, told: ToldView) -> None:
        """What was done, the next look, the ranking and the years; what takes longer follows."""
        if self.is_gone:
            return
        look = shown.look
        self.standing, self.asked, self.prepared = shown.standing, look, None
        with self.app.batch_update():
            self.query_one("#trouble", Banner).view = trouble_view(self.session.trouble)
            self.query_one("#name", Label).update(self.session.case.label)
            self.show_selectors()
            self.query_one(Leaders).view = shown.leaders
            self.query_one(Years).view = shown.years
            self.query_one(Question).view = look
            for where in self.query(Where):
                where.view = look
            await self.query_one(Values).show(look.values if look is not None else ())
            self.draft_is(Draft())
            self.query_one("#asked", VerticalScroll).scroll_home(animate=False)
        self.query_one("#actions").display = look is not None
        if self.session.can_redo != self.could_redo:
            self.could_redo = self.session.can_redo
            self.refresh_bindings()
        self.query_one(Told).show(told, self.session.notice or "")

    @work(group="conclude", exclusive=True, description="conclude")
    async def _conclude(self, standing: Standing) -> None:
        """Originality, stop and cautions, then the looks prepared ahead; dropped where the case has moved on."""
        found = await asyncio.to_thread(findings, standing.now, str(self.session.path))
        banner, parts, left = await asyncio.to_thread(
            lambda: (
                stop_view(standing, found),
                parts_view(standing.now, found),
                open_view(self.base, found, standing.look),
            )
        )
        if standing is not self.standing or self.is_gone:
            return
        self.found, self.found_of = found, standing
        with self.app.batch_update():
            self.query_one("#stop", Banner).view = banner
            self.query_one(Parts).view = parts
            self.query_one("#open", Prose).view = left
        if self.prepare is not None and standing.look is not None:
            prepared = await asyncio.to_thread(
                self.prepare, standing, lambda: self.busy or self.is_gone or standing is not self.standing
            )
            if standing is self.standing:
                self.prepared = prepared

    @property
    def is_gone(self) -> bool:
        """Whether the page is being taken down: nothing more is shown on it."""
        return self.is_left or self.app.is_leaving

    async def found_now(self) -> Findings | None:
        """Findings of the case as it is now; None before the first look shows."""
        standing = self.standing
        if standing is not None and (self.found is None or self.found_of is not standing):
            found = await asyncio.to_thread(findings, standing.now, str(self.session.path))
            if standing is self.standing:
                self.found, self.found_of = found, standing
            return found
        return self.found

    def action_leave(self) -> None:
        """Back to the cases, once everything is kept."""
        self._leave()

    @work(group="change")
    async def _leave(self) -> None:
        async with self.one_by_one:
            if self.is_left or not self.is_active:  # the key was pressed twice, or a page was opened right behind it
                return
            trouble = self.session.trouble
            if trouble is not None and not self.leaving:
                self.leaving = True
                self.tell("The last change is not on disk. y tries again; q once more leaves without it.")
                return
            self.is_left = True
        self.go()

    def go(self) -> None:
        """To the page below."""
        self.dismiss(None)

    async def on_unmount(self) -> None:
        """Whatever was begun is ended, and the case let go, before the page is."""
        self.hand.submit(self.session.close)
        await asyncio.to_thread(self.hand.shutdown)
        if self.session.unkept and self.session.trouble is not None:
            self.app.unkept.append(f"not kept: {self.session.trouble}")

    def action_undo(self) -> None:
        """Take back the last change, or the last look that was skipped, and ask that look again."""
        before = self.session.case
        if self.skipped and self.skipped[-1][1] == before:
            feature = self.skipped.pop()[0]
            self.aim = Aim(self.aim.goal, self.aim.passed - {feature})
            self.change(lambda: None, wanted=feature)
        elif not self.session.can_undo:
            self.tell("There is nothing to take back.")
        else:
            undone: Future[object] = self.hand.submit(deeds.undo, self.base, self.session)
            self._change(undone, None, before=before)

    def action_redo(self) -> None:
        """Do again what was taken back."""
        if self.session.can_redo:
            self.change(lambda: deeds.redo(self.base, self.session))
        else:
            self.tell("Nothing was taken back.")

    def action_skip(self) -> None:
        """Do not offer this look again."""
        if self.asked is None or self.busy:
            return
        self.skipped.append((self.asked.feature, self.session.case))
        self.aim = self.aim.without(self.asked.feature)
        self.change(lambda: None)

    @on(Button.Pressed, "#skip")
    def _skip_pressed(self, event: Button.Pressed) -> None:
        event.stop()
        self.action_skip()

    def action_keep(self) -> None:
        """Try again to write the case."""
        self.change(self.session.keep, wanted=self.asked.feature if self.asked is not None else None)
