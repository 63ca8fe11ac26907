"""Turning from the look to everything else: other looks, what one wants to know, where one is, and the other pages."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, ClassVar

from hobmark.case import Claims
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.examination import Compiled
from hobmark.reports.identify import Findings
from textual import on, work
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Button

from hobmark_tui.screens.answering import Answering
from hobmark_tui.screens.answers import AnswersScreen
from hobmark_tui.screens.claim_dialog import ClaimDialog
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.pages import CautionsScreen, DatesScreen
from hobmark_tui.screens.reasons import ReasonsScreen
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.views.choices import goal_choices, look_choices, situation_choices
from hobmark_tui.views.look import AIMS
from hobmark_tui.views.standing import Aim, Standing

if TYPE_CHECKING:
    from hobmark_tui.screens.bench_desk import Desk


BENCH = "hobmark_tui.screens.bench"
"""The pages of the bench, which are loaded by themselves."""


class Turning(Answering):
    """Keys that choose what is asked and what is looked at."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("v", "flip", "Turn", "page.flip", "Turn over: from the question to what is known so far, and back."),
        bound("u", "undo", "Undo", "case.undo", "Take back the last change of this case, then the one before."),
        bound("r,ctrl+r", "redo", "Redo", "case.redo", "Do again what was taken back.", as_key="r"),
        bound(
            "f,slash", "find", "Find", "look.find", "Any look out of turn: type words of it, Enter asks it.", as_key="f"
        ),
        bound("a", "answers", "Answers", "page.answers", "Every answer given: change it, take it back, add a note."),
        bound("d", "dates", "Dates", "page.dates", "Dates and originality, assembly under assembly."),
        bound("w", "reasons", "Why", "page.reasons", "How it came about, why not another, what would change it."),
        bound(
            "b", "bench", "Bench", "page.bench", "At the bench: what is wrong, does a part fit, set-up sheet, papers."
        ),
        bound("x", "cautions", "Cautions", "page.cautions", "What may hurt, in full, with sources."),
        bound(
            "o", "goal", "What for", "aim.goal", "What you want to know: variant, year, maker, or a claim.", shown=False
        ),
        bound(
            "i",
            "situation",
            "Where",
            "aim.situation",
            "Where you look: from a listing, at a sale, on the bench.",
            shown=False,
        ),
        bound("k", "claim", "Claim", "aim.claim", "What the seller says it is: maker, variant, year.", shown=False),
        bound("t", "note", "Note", "case.note", "A note on this case, in your own words.", shown=False),
        bound("e", "rename", "Rename", "case.rename", "Another name for this case.", shown=False),
        bound("pagedown", "page(1)", "Page down", "page.down", "Further down on this page.", shown=False),
        bound("pageup", "page(-1)", "Page up", "page.up", "Further up on this page.", shown=False),
        bound("q,escape", "leave", "Cases", "case.leave", "Back to your cases; everything is kept.", as_key="q"),
    ]

    session: CaseSession
    aim: Aim
    hand: Executor
    compiled: Compiled
    standing: Standing | None = None
    desk: Desk | None = None
    found: Findings | None = None

    def change(self, act: Callable[[], object], wanted: str | None = None, offer: str | None = None) -> None:
        """Do something to the case and show where it stands."""
        raise NotImplementedError

    async def found_now(self) -> Findings | None:
        """Findings of the case as it is now; None before the first look shows."""
        raise NotImplementedError

    def show_selectors(self) -> None:
        """What one wants to know and where one is, as they stand."""
        base, case = self.base, self.session.case
        goal = self.standing.now.goal if self.standing is not None else self.aim.goal
        words = {"goal": f"o {AIMS[goal]}", "situation": f"i {base.wording.situations[case.situation].label}"}
        for name, label in words.items():
            button = self.query_one(f"#{name}", Button)
            if str(button.label) != label:
                button.label = label
                button.refresh(layout=True)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Turning over is for where one side hides the other; to do again takes something that was taken back."""
        if action == "flip":
            return not self.has_class("-wide")
        if action == "redo":
            return self.session.can_redo
        return super().check_action(action, parameters)

    def action_flip(self) -> None:
        """From the question to what is known, and back."""
        self.toggle_class("-side")

    def action_page(self, step: int) -> None:
        """Scroll what is on the page."""
        pane = self.query_one("#side" if self.has_class("-side") else "#asked", VerticalScroll)
        (pane.scroll_page_down if step > 0 else pane.scroll_page_up)(animate=False)

    @on(Button.Pressed, ".selector")
    def _selector_pressed(self, event: Button.Pressed) -> None:
        event.stop()
        (self.action_goal if event.button.id == "goal" else self.action_situation)()

    def action_find(self) -> None:
        """Choose any look, answered or not."""
        choices = look_choices(self.base, self.session.case)

        def chosen(feature: str | None) -> None:
            if feature is not None:
                self.ask(feature)

        self.app.push_screen(ChoiceDialog("Which look?", choices, narrow=True), chosen)

    def ask(self, feature: str) -> None:
        """Ask this look, whatever the best one is."""
        self.remove_class("-side")
        self.change(_nothing, wanted=feature)

    def action_goal(self) -> None:
        """Choose what one wants to know."""

        def chosen(goal: str | None) -> None:
            if goal == Goal.CLAIM and not self.is_claimed:
                self.action_claim(then_aim=True)
            elif goal is not None:
                self.aim = Aim(Goal(goal), self.aim.passed)
                self.change(_nothing)

        choices = goal_choices(self.session.case)
        self.app.push_screen(ChoiceDialog("What do you want to know?", choices, current=self.aim.goal.value), chosen)

    def action_situation(self) -> None:
        """Choose where one looks; the case keeps it."""

        def chosen(situation: str | None) -> None:
            if situation is not None:
                self.change(lambda: self.session.set_situation(Situation(situation)))

        current = self.session.case.situation.value
        self.app.push_screen(ChoiceDialog("Where do you look?", situation_choices(self.base), current=current), chosen)

    @property
    def is_claimed(self) -> bool:
        """Whether the seller says anything."""
        claims = self.session.case.claims
        return bool(claims.maker or claims.variant or claims.made)

    def action_claim(self, then_aim: bool = False) -> None:
        """Write down what the seller says; `then_aim` makes it what one wants to know."""

        def kept(claims: Claims | None) -> None:
            if claims is None:
                return
            if then_aim and claims != Claims():
                self.aim = Aim(Goal.CLAIM, self.aim.passed)
            elif claims == Claims() and self.aim.goal is Goal.CLAIM:
                self.aim = Aim(Goal.VARIANT, self.aim.passed)
            self.change(lambda: self.session.set_claims(claims), wanted=self.kept_look(then_aim))

        self.app.push_screen(ClaimDialog(self.base, self.session.case.claims), kept)

    def kept_look(self, anew: bool) -> str | None:
        """The look that stays on the screen; None where a new one is chosen."""
        return self.asked.feature if self.asked is not None and not anew and self.aim.goal is not Goal.CLAIM else None

    def action_note(self) -> None:
        """Write a note on the case."""

        def kept(text: str | None) -> None:
            if text is not None:
                self.change(lambda: self.session.set_note(text or None), wanted=self.kept_look(anew=False))

        hint = "In your own words: price, who to ring, what you wondered at. It is kept with the case."
        self.app.push_screen(LineDialog("A note on this case", hint, text=self.session.case.note or ""), kept)

    def action_rename(self) -> None:
        """Give the case another name."""

        def kept(text: str | None) -> None:
            if text:
                self.change(lambda: self.session.retitle(text), wanted=self.kept_look(anew=False))

        self.app.push_screen(
            LineDialog("Name of this case", "As you will look for it.", text=self.session.case.label), kept
        )

    def action_answers(self) -> None:
        """Turn to the answers; what is changed there is shown here."""

        def back(feature: str | None) -> None:
            self.change(_nothing, wanted=feature)

        self.app.push_screen(AnswersScreen(self.base, self.session, self.hand), back)

    def load_bench(self) -> None:
        """Load the bench while the first look is read: it takes longer than a frame."""
        self.run_worker(partial(import_module, BENCH), group="load", thread=True)

    def action_bench(self) -> None:
        """Turn to the bench; what is measured there is shown here, a look that is chosen there is asked."""

        def back(feature: str | None) -> None:
            if feature is not None:
                self.ask(feature)
            else:
                self.change(_nothing, wanted=self.kept_look(anew=False))

        # No waiting between the key and the page: the next key would answer a look.
        from hobmark_tui.screens.bench import BenchScreen
        from hobmark_tui.screens.bench_desk import Desk

        self.desk = self.desk or Desk(self.compiled, self.session, self.hand)
        self.app.push_screen(BenchScreen(self.desk), back)

    def action_dates(self) -> None:
        """Turn to dates and originality."""
        self.turn_to(DatesScreen)

    def action_cautions(self) -> None:
        """Turn to the cautions."""
        self.turn_to(CautionsScreen)

    @work(group="turn", exclusive=True, description="turn the page")
    async def turn_to(self, page: type[DatesScreen] | type[CautionsScreen]) -> None:
        """Show a page of what was found."""
        found = await self.found_now()
        if found is not None:
            self.app.push_screen(page(found))

    def action_reasons(self) -> None:
        """Turn to the reasons."""
        if self.standing is not None:
            self.app.push_screen(ReasonsScreen(self.standing.now, str(self.session.path)))


def _nothing() -> None:
    """The case stays as it is."""
