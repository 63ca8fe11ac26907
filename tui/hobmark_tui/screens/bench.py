"""The bench: what is wrong, what is done at once, and the next check; from here to parts, set-up sheet and papers."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_papers import Papers
from hobmark_tui.screens.bench_parts import PartsScreen
from hobmark_tui.screens.bench_sheet import SheetScreen
from hobmark_tui.screens.keys import bound, numbered
from hobmark_tui.views.bench import Bench, Checked
from hobmark_tui.views.bench_papers import gas_is_known
from hobmark_tui.views.bench_symptoms import SymptomView, symptom_choices, symptom_view
from hobmark_tui.views.choices import Choice
from hobmark_tui.widgets.bench import Numbered, PickList
from hobmark_tui.widgets.key_button import KeyButton
from hobmark_tui.widgets.prose import Prose

WAYS = ("parts", "sheet", "paper")
"""Where one may turn to: actions, and the buttons that do the same."""


class BenchScreen(Papers):
    """Symptoms first: the list of them, or one with what was found so far."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        *numbered("pick", "Pick", "bench.pick", "The symptom or the outcome that the number stands before."),
        bound(
            "f,slash", "find", "Find", "bench.find", "Type words of what is wrong; Enter takes the first.", as_key="f"
        ),
        bound("s", "symptoms", "Symptoms", "bench.symptoms", "Another symptom; what was checked is kept.", shown=False),
        bound(
            "p", "parts", "Parts", "bench.parts", "Does a part fit this range, and what would settle it?", shown=False
        ),
        bound("t", "sheet", "Set-up", "bench.sheet", "The sheet for setting this range up.", shown=False),
        bound("u", "undo", "Undo", "bench.undo", "Take the last check of this symptom back."),
    ]

    def __init__(self, desk: Desk) -> None:
        """A page on a desk."""
        super().__init__(desk)
        self.view: SymptomView | None = None
        """The symptom on the page; None where it is the list."""

    def compose(self) -> ComposeResult:
        """The list or the symptom, and the ways on."""
        yield from self.head()
        yield PickList("f: type words of what is wrong", id="list")
        with VerticalScroll(id="one"):
            yield Prose(id="above")
            yield Numbered(id="outcomes")
            yield Prose(id="below")
        yield from self.foot(
            KeyButton("s symptoms", id="symptoms", classes="way"),
            KeyButton("p parts", id="parts", classes="way"),
            KeyButton("t set-up", id="sheet", classes="way"),
            KeyButton("o on paper", id="paper", classes="way"),
        )

    def on_mount(self) -> None:
        """The list, or the symptom that was at hand. What was measured before is taken back on the page of looks."""
        self.desk.changes = 0
        self.show()

    @work(exclusive=True, group="show")
    async def shown(self) -> None:
        """The list of symptoms, or the one at hand."""
        bench, base = self.desk.bench, self.desk.base
        view, choices = await asyncio.to_thread(lambda: (self._searched(bench), symptom_choices(base)))
        if bench is not self.desk.bench or self.is_gone:
            return
        with self.app.batch_update():
            self.view = view
            self._lay_out(view, choices)
        self.busy = False
        self.refresh_bindings()

    def _searched(self, bench: Bench) -> SymptomView | None:
        known = gas_is_known(self.desk.examination(), bench, self.desk.session.path)
        return symptom_view(self.desk.base, bench, gas_known=known)

    def _lay_out(self, view: SymptomView | None, choices: list[Choice]) -> None:
        at_list = view is None
        listed, one = self.query_one("#list", PickList), self.query_one("#one")
        listed.display, one.display = at_list, not at_list
        self.query_one("#symptoms").display = not at_list
        for way in WAYS:
            self.query_one(f"#{way}").display = view is None or not view.stop
        self.tell_trouble()
        if view is None:
            none = "" if choices else ". This base tells of no faults."
            self.retitle(f"Bench: what is wrong?{none}")
            listed.offer(choices)
            listed.query_one(Numbered).focus()
            return
        self.retitle(f"Bench: {self.desk.case.label}")
        self.query_one("#above", Prose).view = view.above
        outcomes = self.query_one("#outcomes", Numbered)
        outcomes.display = bool(view.outcomes)
        outcomes.offer(view.outcomes)
        self.query_one("#below", Prose).view = view.below
        one.scroll_home(animate=False)
        one.focus()

    def action_pick(self, number: int) -> None:
        """Take a symptom of the list, or an outcome of the check."""
        if self.busy:
            return
        if self.view is None:
            self.query_one("#list", PickList).pick(number)
        elif (outcome := self.query_one("#outcomes", Numbered).at(number)) is not None:
            self._checked(outcome)

    @on(PickList.Picked)
    def _symptom_picked(self, event: PickList.Picked) -> None:
        if not self.busy:
            self.desk.bench = replace(self.desk.bench, symptom=event.choice.id)
            self.show()

    @on(OptionList.OptionSelected, "#outcomes")
    def _outcome_selected(self, event: OptionList.OptionSelected) -> None:
        if not self.busy:
            self._checked(self.query_one("#outcomes", Numbered).picked(event))

    def _checked(self, outcome: Choice) -> None:
        bench, view = self.desk.bench, self.view
        if bench.symptom is None or view is None:
            return
        check, _, result = outcome.id.partition("=")
        said = f"{view.act.rstrip('?')}: {outcome.label}"
        self.desk.bench = bench.with_checked(Checked(bench.symptom, check, result, said))
        self.show()

    def action_undo(self) -> None:
        """Without the last check."""
        if self.busy:
            return
        if self.desk.bench.checked_here:
            self.desk.bench = self.desk.bench.without_last_check()
            self.show()
        else:
            self.tell("Nothing was checked for this symptom.")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Words narrow the list; checks and the way to the list belong to a symptom.

        Nothing is turned to while a symptom is being looked up: it may be one that stops everything.
        """
        if self.busy and action in ("symptoms", *WAYS):
            return None
        if action == "find":
            return self.view is None
        if action == "symptoms":
            return self.view is not None
        if action == "undo":
            return self.view is not None and not self.view.stop
        if action in WAYS:  # where all stops there is nothing to turn to
            return self.view is None or not self.view.stop
        return super().check_action(action, parameters)

    def action_find(self) -> None:
        """Type words."""
        self.query_one("#list", PickList).find()

    def action_symptoms(self) -> None:
        """Back to the list."""
        self.desk.bench = replace(self.desk.bench, symptom=None)
        self.show()

    def action_parts(self) -> None:
        """Turn to parts; a look that is chosen there is asked on the page of looks."""

        def back(feature: str | None) -> None:
            if feature is not None:
                self.dismiss(feature)

        self.app.push_screen(PartsScreen(self.desk), back)

    def action_sheet(self) -> None:
        """Turn to the set-up sheet; on the way back the gas may be another, and with it what may be lit."""

        def back(_: object) -> None:
            self.show()

        self.app.push_screen(SheetScreen(self.desk), back)
