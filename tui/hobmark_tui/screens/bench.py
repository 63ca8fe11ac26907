"""The bench: what is wrong, what is done at once, and the next check; from here to parts, set-up sheet and papers."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import ClassVar

from hobmark.bench.account import account_of
from hobmark.bench.symptom_evidence import evidence_of
from hobmark.bench.symptoms import NOTHING_SAID
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import SymptomRecord
from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_parts import PartsScreen
from hobmark_tui.screens.bench_sheet import SheetScreen
from hobmark_tui.screens.bench_telling import Telling
from hobmark_tui.screens.keys import bound, numbered
from hobmark_tui.views import bench_record as put
from hobmark_tui.views.bench import Bench
from hobmark_tui.views.bench_head import Head
from hobmark_tui.views.bench_symptoms import (
    SymptomView,
    checked_words,
    is_told,
    outcomes_of,
    symptom_choices,
    symptom_view,
)
from hobmark_tui.views.choices import Choice
from hobmark_tui.widgets.bench import Numbered, PickList
from hobmark_tui.widgets.key_button import KeyButton
from hobmark_tui.widgets.prose import Prose

WAYS = ("parts", "sheet", "paper")
"""Where one may turn to: actions, and the buttons that do the same."""
FIRST_ONLY = 0
"""Room for reasons in the head: the page is for the symptom, the set-up card has them all."""


class BenchScreen(Telling):
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
        bound(
            "t",
            "sheet",
            "Set-up",
            "bench.sheet",
            "The card for setting this range up: gas, jets, release.",
            shown=False,
        ),
        bound("u", "undo", "Undo", "bench.undo", "Take back what was last said, or the last check of this symptom."),
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
            KeyButton("x put right", id="cleared", classes="way"),
            KeyButton("u take back", id="undo", classes="way"),
            KeyButton("o on paper", id="paper", classes="way"),
        )

    def on_mount(self) -> None:
        """The list, or the symptom that was at hand. What was measured before is taken back on the page of looks."""
        self.desk.changes.clear()
        self.show()

    @work(exclusive=True, group="show")
    async def shown(self) -> None:
        """The list of symptoms, or the one at hand."""
        bench, case = self._at_hand(), self.desk.case
        view, choices, head = await asyncio.to_thread(self._worked_out, bench, case.bench)
        if bench is not self.desk.bench or case is not self.desk.case or self.is_gone:
            return
        with self.app.batch_update():
            self.view = view
            self.show_head(head, _head_words(head, view))
            self._lay_out(view, choices)
        self.busy = False
        self.refresh_bindings()

    def _at_hand(self) -> Bench:
        """The desk, without a symptom that was put right since; one that could not be recorded stays."""
        bench, record = self.desk.bench, self.desk.case.bench
        was_told = any(each.symptom == bench.symptom for each in record.symptoms)
        if bench.symptom is not None and was_told and not is_told(record, bench.symptom):
            self.desk.bench = replace(bench, symptom=None)
        return self.desk.bench

    def _worked_out(self, bench: Bench, record: BenchRecord) -> tuple[SymptomView | None, list[Choice], Head | None]:
        base, head = self.desk.base, self.desk.head()
        if bench.symptom is None:
            return None, symptom_choices(base, record), head
        case, may_light = NOTHING_SAID, head is not None and head.allowed
        if head is not None:
            examination = self.desk.examination()
            account = account_of(examination, record)
            case = evidence_of(examination, record, account.places, bench.symptom)
        return symptom_view(base, record, bench.symptom, may_light=may_light, case=case), [], head

    def _lay_out(self, view: SymptomView | None, choices: list[Choice]) -> None:
        at_list = view is None
        listed, one = self.query_one("#list", PickList), self.query_one("#one")
        listed.display, one.display = at_list, not at_list
        self.query_one("#symptoms").display = not at_list
        self.query_one("#cleared").display = self.desk.told_head is not None and self.desk.told_head.stands
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
        """A symptom is told: it is in the case before its page shows."""
        if self.busy:
            return
        symptom = event.choice.id
        self.desk.bench = replace(self.desk.bench, symptom=symptom)
        if is_told(self.desk.case.bench, symptom):
            self.show()
        else:
            label = self.desk.base.bench.faults.symptoms[symptom].label
            self.record(lambda record: record.with_symptom(SymptomRecord(symptom=symptom)), label)

    @on(OptionList.OptionSelected, "#outcomes")
    def _outcome_selected(self, event: OptionList.OptionSelected) -> None:
        if not self.busy:
            self._checked(self.query_one("#outcomes", Numbered).picked(event))

    def _checked(self, outcome: Choice) -> None:
        symptom = self.desk.bench.symptom
        if symptom is None:
            return
        check, _, result = outcome.id.partition("=")
        told = SymptomRecord(symptom=symptom, check=check, outcome=result)
        self.record(lambda record: record.with_symptom(told), checked_words(self.desk.base, told))

    def action_undo(self) -> None:
        """Without what was last said, or without the last check of this symptom that was recorded before."""
        if self.busy:
            return
        symptom, record = self.desk.bench.symptom, self.desk.case.bench
        checked = outcomes_of(record, symptom) if symptom is not None else ()
        if self.desk.changes:
            self.take_back(self._to_list)
        elif checked:
            last = checked[-1]
            self.record(lambda record: put.without(record, "symptoms", record.symptoms.index(last)), None)
        else:
            nothing = "Nothing was checked for this symptom." if symptom is not None else "Nothing was said just now."
            self.tell(nothing)

    def _to_list(self) -> None:
        """Where the symptom at hand was taken back, the list is shown."""
        symptom = self.desk.bench.symptom
        if symptom is not None and not is_told(self.desk.case.bench, symptom):
            self.action_symptoms()

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


def _head_words(head: Head | None, view: SymptomView | None) -> str:
    """The release and its first reason; where all stops what is done at once is not pushed down by reasons."""
    if head is None:
        return ""
    return head.says if view is not None and view.stop else head.told(FIRST_ONLY)
