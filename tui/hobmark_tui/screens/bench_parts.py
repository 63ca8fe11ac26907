"""Does a part fit: search for it, see the verdict, take the measures that would settle it."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import ClassVar

from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead
from hobmark.problems import Refused
from hobmark.reports.fit_findings import fit_report
from textual import on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Label, OptionList

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_papers import Papers
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.screens.keys import bound, numbered
from hobmark_tui.sessions.fitness import words
from hobmark_tui.views.bench_parts import PartView, ToFind, part_choices, part_view
from hobmark_tui.views.choices import Choice
from hobmark_tui.widgets.bench import Numbered, PickList, SheetText
from hobmark_tui.widgets.key_button import KeyButton


class PartsScreen(Papers):
    """The list of parts, or what was found of the one asked for."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        *numbered("pick", "Pick", "bench.pick", "The part, or what is to be found out, that the number stands before."),
        bound("f,slash", "find", "Find", "parts.find", "A part by words of it, by number or by kind.", as_key="f"),
        bound("s", "parts", "Other part", "parts.other", "Back to the list of parts.", shown=False),
        bound("u", "undo", "Undo", "parts.undo", "Take back the last measure or number that was taken at the bench."),
    ]

    def __init__(self, desk: Desk) -> None:
        """A page on a desk."""
        super().__init__(desk)
        self.view: PartView | None = None
        """What was found; None where the page is the list."""

    def compose(self) -> ComposeResult:
        """The list or the verdict, and the ways on."""
        yield from self.head()
        yield PickList("f: type words, a number or a kind of part", id="list")
        with VerticalScroll(id="one"):
            yield SheetText(id="above")
            yield Label("", id="settle", markup=False)
            yield Numbered(id="choices")
            yield SheetText(id="below")
        yield from self.foot(
            KeyButton("s other part", id="parts", classes="way"),
            KeyButton("u take back", id="undo", classes="way"),
            KeyButton("o on paper", id="paper", classes="way"),
        )

    def on_mount(self) -> None:
        """The list, or the part that was asked for."""
        self.retitle("Parts: being worked out …")
        self.show()

    @work(exclusive=True, group="show")
    async def shown(self) -> None:
        """The list of parts, or what is found of the one asked for."""
        bench, case = self.desk.bench, self.desk.case
        refused = ""
        view: PartView | None = None
        choices: list[Choice] = []
        try:
            if bench.part is not None:
                view = await asyncio.to_thread(self._found, bench.part)
            else:
                choices = await asyncio.to_thread(part_choices, self.desk.base)
        except Refused as reason:
            refused = words(reason)
        if bench is not self.desk.bench or case is not self.desk.case or self.is_gone:
            return
        with self.app.batch_update():
            self.view = view
            self._lay_out(view, choices, refused)
        self.busy = False
        self.refresh_bindings()

    def _found(self, part: str) -> PartView:
        report = fit_report(self.desk.examination(), self.desk.name, [part])
        return part_view(self.desk.base, self.desk.case, report)

    def _lay_out(self, view: PartView | None, choices: list[Choice], refused: str) -> None:
        at_list = view is None
        listed, one = self.query_one("#list", PickList), self.query_one("#one")
        listed.display, one.display = at_list, not at_list
        for name in ("#parts", "#undo"):
            self.query_one(name).display = not at_list
        self.tell_trouble()
        if view is None:
            none = "" if choices else f" {refused or 'This base tells of no parts.'}"
            self.retitle(f"Parts: which one?{none}")
            listed.offer(choices)
            listed.query_one(Numbered).focus()
            return
        self.retitle(f"Part: {view.heading}")
        self.query_one("#above", SheetText).view = view.above
        offered = view.several or tuple(each.choice for each in view.to_find)
        settle = self.query_one("#settle", Label)
        settle.update(view.offer)
        settle.display = bool(view.offer)
        listed_here = self.query_one("#choices", Numbered)
        listed_here.display = bool(offered)
        listed_here.offer(offered)
        self.query_one("#below", SheetText).view = view.below
        one.scroll_home(animate=False)
        one.focus()

    def action_pick(self, number: int) -> None:
        """Take a part of the list, or find out what the number stands before."""
        if self.busy:
            return
        if self.view is None:
            self.query_one("#list", PickList).pick(number)
        else:
            self._pick(number - 1)

    @on(PickList.Picked)
    def _part_picked(self, event: PickList.Picked) -> None:
        if not self.busy:
            self.ask(event.choice.id)

    @on(OptionList.OptionSelected, "#choices")
    def _selected(self, event: OptionList.OptionSelected) -> None:
        if not self.busy:
            self._pick(event.option_index)

    def ask(self, part: str | None) -> None:
        """Hold a part, or all of a kind, against the range; None goes back to the list."""
        self.desk.bench = replace(self.desk.bench, part=part)
        self.show()

    def _pick(self, place: int) -> None:
        view = self.view
        if view is None:
            return
        if place < len(view.several):
            self.ask(view.several[place].id)
        elif place < len(view.to_find):
            self._find_out(view.to_find[place])

    def _find_out(self, wanted: ToFind) -> None:
        """Take a measure or a number into the case; a look at the range has a page of its own."""
        if wanted.feature is not None:
            self.dismiss(wanted.feature)
            return

        def kept(typed: str | None) -> None:
            if typed:
                self._keep(wanted.taken(typed))

        title = wanted.choice.label
        if wanted.words:
            self.app.push_screen(ChoiceDialog(title, [Choice(word, word) for word in wanted.words]), kept)
            return
        unit = " With its unit: 31 mm, 1 1/4 in." if wanted.measure is not None else ""
        self.app.push_screen(LineDialog(title, f"{wanted.how}{unit}", check=wanted.refuses, most=60), kept)

    def _keep(self, taken: MeasureTaken | NumberRead) -> None:
        session, view = self.desk.session, self.view
        if view is not None:  # others of its kind may come to matter; what was asked for stays on the page
            self.desk.bench = replace(self.desk.bench, part=view.name)
        if isinstance(taken, MeasureTaken):
            self.change(lambda: session.measure(taken), f"measured: {taken.value}")
        else:
            self.change(lambda: session.read_number(taken), f"number: {taken.number}")

    def action_undo(self) -> None:
        """Take back what was last taken at the bench; answers are taken back on their own page."""
        if self.busy:
            return
        if self.desk.changes:
            self.take_back()
        else:
            self.tell("Nothing was measured at the bench just now. Answers are taken back on the page of looks.")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Words narrow the list; the rest belongs to a part."""
        if action == "find":
            return self.view is None
        if action in ("undo", "parts"):
            return self.view is not None
        return super().check_action(action, parameters)

    def action_find(self) -> None:
        """Type words."""
        self.query_one("#list", PickList).find()

    def action_parts(self) -> None:
        """Back to the list."""
        self.ask(None)
