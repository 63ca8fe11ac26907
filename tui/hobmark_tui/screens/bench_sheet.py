"""The set-up sheet of the range, for a gas that is named or clued, at a height."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from functools import partial
from typing import ClassVar

from hobmark.bench.fuel import Evidence, read_evidence
from hobmark.bench.jets import altitude_of
from hobmark.knowledge.schema.bench import Gas
from hobmark.problems import Refused
from hobmark.reports.setup_shape import SetupReport
from hobmark.reports.setup_text import setup_text
from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Button, Label

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_papers import Papers
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.sessions.fitness import words
from hobmark_tui.views.bench import Bench, Sheet, sheet_of
from hobmark_tui.views.bench_gas import BY_CLUES, clue_choices, gas_choices, gas_says, gas_words, value_choices
from hobmark_tui.views.bench_papers import sheet_at
from hobmark_tui.widgets.bench import SheetText
from hobmark_tui.widgets.key_button import KeyButton


class SheetScreen(Papers):
    """The sheet; gas, height and clues are chosen on it, and it follows at once."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound(
            "g", "gas", "Gas", "sheet.gas", "Name the gas it is to be set for, or leave it to the clues.", shown=False
        ),
        bound(
            "a", "altitude", "Height", "sheet.altitude", "Where it stands: feet or metres above the sea.", shown=False
        ),
        bound(
            "c", "clue", "Clue", "sheet.clue", "A clue to its gas: a jet's bore, the pressure, a stamp.", shown=False
        ),
        bound("u", "undo", "Undo", "sheet.undo", "Take the last clue back."),
    ]
    AUTO_FOCUS = "#one"

    def __init__(self, desk: Desk) -> None:
        """A page on a desk."""
        super().__init__(desk)
        self.report: SetupReport | None = None

    def compose(self) -> ComposeResult:
        """The sheet, and what is chosen on it."""
        yield from self.head("Set-up sheet: being worked out …")
        yield Label("", id="says", markup=False)
        with VerticalScroll(id="one"):
            yield SheetText(id="above")
        yield from self.foot(
            KeyButton("g gas", id="gas", classes="way"),
            KeyButton("a height", id="altitude", classes="way"),
            KeyButton("c clue to the gas", id="clue", classes="way"),
            KeyButton("o on paper", id="paper", classes="way"),
            column=18,
        )

    def on_mount(self) -> None:
        """Work the sheet out."""
        self.show()

    @work(exclusive=True, group="show")
    async def shown(self) -> None:
        """The sheet for what is chosen."""
        bench, report = self.desk.bench, None
        heading, sheet = "", sheet_of([])
        try:
            report = await asyncio.to_thread(self._set_up, bench)
            heading, sheet = "Bench: set-up sheet", Sheet(partial(_folded, report))
        except Refused as refused:
            heading = words(refused)
        if bench is not self.desk.bench or self.is_gone:
            return
        with self.app.batch_update():
            self.report = report
            self.retitle(heading)
            self.query_one("#above", SheetText).view = sheet
            self._show_choices(bench, report)
            self.tell_trouble()
        self.busy = False

    def _set_up(self, bench: Bench) -> SetupReport:
        return sheet_at(self.desk.examination(), bench, self.desk.session.path)

    def _show_choices(self, bench: Bench, report: SetupReport | None) -> None:
        height = bench.altitude.text if bench.altitude is not None else "not given"
        labels = {
            "gas": f"g {gas_words(report)}" if report is not None else "g gas",
            "altitude": f"a height: {height}",
            "clue": f"c clue to the gas{f': {len(bench.clues)}' if bench.clues else ''}",
        }
        says = self.query_one("#says", Label)
        says.update(gas_says(report))
        says.display = bool(gas_says(report))
        for name, label in labels.items():
            self.query_one(f"#{name}", Button).label = label

    def set(self, bench: Bench) -> None:
        """Choose, and see the sheet that follows."""
        self.desk.bench = bench
        self.show()

    def action_gas(self) -> None:
        """Name the gas, or leave it to the clues."""
        if self.report is None:
            return

        def chosen(gas: str | None) -> None:
            if gas is not None:
                self.set(replace(self.desk.bench, gas=None if gas == BY_CLUES else Gas(gas)))

        current = self.desk.bench.gas or BY_CLUES
        choices = gas_choices(self.desk.base, self.report)
        self.app.push_screen(ChoiceDialog("Which gas is it to be set for?", choices, current=current), chosen)

    def action_altitude(self) -> None:
        """Say how high it stands."""
        if self.report is None:
            return

        def kept(typed: str | None) -> None:
            if typed is not None:
                self.set(replace(self.desk.bench, altitude=altitude_of(typed) if typed else None))

        def refused(typed: str) -> str | None:
            try:
                if typed:
                    altitude_of(typed)
            except ValueError as reason:
                return str(reason)
            return None

        height = self.desk.bench.altitude
        hint = "Above the sea, as 5000 ft or 1500 m. An empty line takes it away."
        text = height.text if height is not None else ""
        self.app.push_screen(LineDialog("How high does it stand?", hint, text=text, check=refused, most=40), kept)

    def action_clue(self) -> None:
        """Give a clue to the gas: which, then what it shows."""
        if self.report is None:
            return

        def chosen(name: str | None) -> None:
            if name is not None:
                self._ask_value(name)

        choices = clue_choices(self.desk.base, self.desk.bench)
        self.app.push_screen(ChoiceDialog("Which clue to the gas?", choices), chosen)

    def _ask_value(self, name: str) -> None:
        base = self.desk.base

        def kept(value: str | None) -> None:
            if value:
                self.set(self.desk.bench.with_clue(Evidence(name, value)))

        def refused(typed: str) -> str | None:
            try:
                read_evidence(f"{name}={typed}", base)
            except ValueError as reason:
                return str(reason)
            return None

        title, how, choices = value_choices(base, name)
        if choices:
            self.app.push_screen(ChoiceDialog(title, choices), kept)
        else:
            self.app.push_screen(LineDialog(title, how, check=refused, most=60), kept)

    def action_undo(self) -> None:
        """Without the last clue."""
        if self.desk.bench.clues:
            self.set(replace(self.desk.bench, clues=self.desk.bench.clues[:-1]))
        else:
            self.tell("No clue was given here.")


def _folded(report: SetupReport, width: int) -> list[str]:
    """The sheet line by line; a symptom has a page of its own, unless it stops everything."""
    stops = report.symptom is not None and report.symptom.stop
    shown = report if stops else report.model_copy(update={"symptom": None})
    return setup_text(shown, width).rstrip("\n").split("\n")
