"""The set-up card of the range: release above, a line for each fact of the gas that a key or a tap tells, the card."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import ClassVar

from hobmark.problems import Refused
from hobmark.reports.setup_shape import SetupReport
from hobmark.reports.setup_text import setup_text
from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import OptionList

from hobmark_tui.screens import bench_facts
from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_jets import jets
from hobmark_tui.screens.bench_more import more
from hobmark_tui.screens.bench_telling import Flow, Telling
from hobmark_tui.screens.keys import bound
from hobmark_tui.sessions.fitness import words
from hobmark_tui.views.bench import Sheet, sheet_of
from hobmark_tui.views.bench_gas import FACTS, fact_choices
from hobmark_tui.views.bench_head import Head
from hobmark_tui.views.bench_papers import sheet_at
from hobmark_tui.widgets.bench import Lettered, SheetText
from hobmark_tui.widgets.key_button import KeyButton


class SheetScreen(Telling):
    """The card; facts are told on it, and it follows at once."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("l", "laid_on", "Laid on", "sheet.laid_on", "Which gas is laid on, and how that is known.", shown=False),
        bound("j", "jets", "Jets", "sheet.jets", "The jets, place by place: sizes, hoods, marks, heat.", shown=False),
        bound(
            "r", "regulators", "Regulator", "sheet.regulators", "The regulators of range, house or tank.", shown=False
        ),
        bound("m", "pressure", "Pressure", "sheet.pressure", "A pressure as a gauge showed it.", shown=False),
        bound("g", "wanted", "Wanted", "sheet.wanted", "Which gas is wanted: a plan, no evidence.", shown=False),
        bound(
            "a", "altitude", "Height", "sheet.altitude", "Where it stands: feet or metres above the sea.", shown=False
        ),
        bound(
            "k", "leak_check", "Leak check", "sheet.leak", "The leak check: readings, minutes, by whom.", shown=False
        ),
        bound("c", "clue", "Clue", "sheet.clue", "A clue to the gas of its jets: a stamp, a tag, a seat.", shown=False),
        bound("n", "more", "More", "sheet.more", "CO samples, dial marks, what was not done, the tag.", shown=False),
        bound("w", "whole", "Steps", "sheet.whole", "Behind the card every step in full, and away again.", shown=False),
        bound("u", "undo", "Undo", "sheet.undo", "Take back what was last said at the bench."),
    ]
    AUTO_FOCUS = "#one"

    def __init__(self, desk: Desk) -> None:
        """A page on a desk."""
        super().__init__(desk)
        self.report: SetupReport | None = None
        self.whole = False
        """Whether every step stands behind the card."""

    def compose(self) -> ComposeResult:
        """The facts, the card, and the ways on."""
        yield from self.head("Set-up card: being worked out …")
        with VerticalScroll(id="one"):
            yield Lettered(FACTS, id="facts")
            yield SheetText(id="above")
        yield from self.foot(
            KeyButton("w every step", id="whole", classes="way"),
            KeyButton("u take back", id="undo", classes="way"),
            KeyButton("o on paper", id="paper", classes="way"),
        )

    def on_mount(self) -> None:
        """Work the card out."""
        self.show()

    @work(exclusive=True, group="show")
    async def shown(self) -> None:
        """The card for what is recorded."""
        bench, case, report = self.desk.bench, self.desk.case, None
        heading, sheet, head = "", sheet_of([]), None
        try:
            report, head = await asyncio.to_thread(self._worked_out)
            heading, sheet = "Bench: set-up card", Sheet(partial(_folded, report, self.whole))
        except Refused as refused:
            heading = words(refused)
        if bench is not self.desk.bench or case is not self.desk.case or self.is_gone:
            return
        with self.app.batch_update():
            self._lay_out(report, head)
            self.retitle(heading)
            self.query_one("#above", SheetText).view = sheet
            self.tell_trouble()
        self.busy = False
        self.refresh_bindings()

    def _worked_out(self) -> tuple[SetupReport, Head | None]:
        return sheet_at(self.desk.examination(), self.desk.bench, self.desk.session.path), self.desk.head()

    def _lay_out(self, report: SetupReport | None, head: Head | None) -> None:
        self.report = report
        self.show_head(head, head.told_whole() if head is not None else "")
        facts = self.query_one("#facts", Lettered)
        facts.display = report is not None
        if report is not None:
            at = facts.highlighted
            facts.offer(fact_choices(report, self.desk.case.bench, head is not None and head.stands))
            facts.highlighted = at if at is not None and at < len(facts.choices) else None

    @on(OptionList.OptionSelected, "#facts")
    async def _fact_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        await self.run_action(self.query_one("#facts", Lettered).picked(event).id)

    def tell_fact(self, flow: Flow) -> None:
        """Ask for a fact, where the base has tables to hold it against."""
        if self.report is not None:
            self.follow(flow)

    def action_laid_on(self) -> None:
        """Which gas is laid on."""
        self.tell_fact(bench_facts.laid_on(self.desk))

    def action_jets(self) -> None:
        """The jets, place by place."""
        self.tell_fact(jets(self.desk))

    def action_regulators(self) -> None:
        """The regulators."""
        self.tell_fact(bench_facts.regulators(self.desk))

    def action_pressure(self) -> None:
        """A pressure."""
        self.tell_fact(bench_facts.pressure(self.desk))

    def action_wanted(self) -> None:
        """Which gas is wanted."""
        self.tell_fact(bench_facts.wanted(self.desk))

    def action_altitude(self) -> None:
        """How high it stands."""
        self.tell_fact(bench_facts.height(self.desk))

    def action_leak_check(self) -> None:
        """The leak check."""
        self.tell_fact(bench_facts.leak_check(self.desk))

    def action_clue(self) -> None:
        """A clue to the gas."""
        self.tell_fact(bench_facts.clue(self.desk))

    def action_more(self) -> None:
        """The rest of the record."""
        self.tell_fact(more(self.desk))

    def action_whole(self) -> None:
        """Every step behind the card, or the card alone."""
        self.whole = not self.whole
        self.query_one("#whole", KeyButton).label = "w card alone" if self.whole else "w every step"
        self.show()

    def action_undo(self) -> None:
        """Without what was last said."""
        if self.busy:
            return
        if self.desk.changes:
            self.take_back()
        else:
            self.tell("Nothing was said at the bench just now. An empty line takes a fact out.")


def _folded(report: SetupReport, whole: bool, width: int) -> list[str]:
    """The card line by line; a symptom has a page of its own, unless it stops everything."""
    stops = report.symptom is not None and report.symptom.stop
    shown = report if stops else report.model_copy(update={"symptom": None})
    return setup_text(shown, width, whole=whole).rstrip("\n").split("\n")
