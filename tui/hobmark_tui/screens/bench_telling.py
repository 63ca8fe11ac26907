"""Telling facts at the bench: windows one after another, and what was said is on disk before the next thing shows."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from hobmark.bench.record_words import with_cleared
from hobmark.knowledge.schema.record import BenchRecord
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Label

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_papers import Papers
from hobmark_tui.screens.dialogs import ChoiceDialog, Dialog, LineDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.views.bench_head import Head, news
from hobmark_tui.views.bench_record import Put, refusal
from hobmark_tui.views.bench_symptoms import to_clear


@dataclass(frozen=True, slots=True)
class Told:
    """What is said: how it changes the record, and what it is in words for whoever takes it back."""

    make: Callable[[BenchRecord], BenchRecord]
    words: str


Flow = Generator[Dialog | Told, str | None, None]
"""Windows to be asked, each answered with what it was left with, and what is told; told is answered with None."""


def asked_line(desk: Desk, title: str, hint: str, put: Put, *, text: str = "", most: int = 60) -> LineDialog:
    """A window for one line that goes into the record; what the record cannot take keeps it open, with the reason."""
    check = partial(refusal, desk.base, desk.case.bench, put)
    return LineDialog(title, hint, text=text, check=check, most=most)


def cleared(desk: Desk) -> Flow:
    """Something was put right: which, by whom and when."""
    standing = to_clear(desk.base, desk.case.bench)
    name = standing[0].id if len(standing) == 1 else (yield ChoiceDialog("What was put right?", standing))
    if name is None:
        return
    label = next(each.label for each in standing if each.id == name)
    hint = "Name, licence and date of the fitter who put it right, as B. Reed, fitter, 2026-12-01."
    who = yield asked_line(
        desk,
        f"Put right: {label}. By whom and when?",
        hint,
        lambda record, typed: with_cleared(record, f"{name}={typed}"),
        most=200,
    )
    if who:
        yield Told(lambda record: with_cleared(record, f"{name}={who}"), f"put right: {label}")


class Telling(Papers):
    """A page that facts are told on: its head, its record, and taking back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bound("x", "cleared", "Put right", "bench.cleared", "What was told was put right: by whom and when."),
    ]

    def head(self, title: str = "") -> ComposeResult:
        """Above all what stops everything, then whether the range is released."""
        yield from super().head(title)
        yield Label("", id="stops", markup=False)
        yield Label("", id="release", markup=False)

    def show_head(self, head: Head | None, words: str) -> None:
        """Show what stops and the release, and say at once what has become worse."""
        before, self.desk.told_head = self.desk.told_head, head
        worse = news(before, head) if before is not None and head is not None else ""
        stops, release = self.query_one("#stops", Label), self.query_one("#release", Label)
        stops.update(head.banner if head is not None else "")
        stops.display = head is not None and bool(head.stops)
        release.update(words)
        release.display = bool(words)
        release.set_class(head is not None and head.allowed, "-allowed")
        if worse:
            self.tell(worse)

    def follow(self, flow: Flow) -> None:
        """Ask window after window; nothing is begun while the page is being worked out."""
        if not self.busy:
            self._step(flow, None)

    def _step(self, flow: Flow, answer: str | None) -> None:
        try:
            asked = flow.send(answer)
        except StopIteration:
            return
        if isinstance(asked, Told):
            self.record(asked.make, asked.words, then=lambda: self._step(flow, None))
        else:
            self.app.push_screen(asked, lambda said: self._step(flow, said))

    def record(
        self, make: Callable[[BenchRecord], BenchRecord], words: str | None, then: Callable[[], None] | None = None
    ) -> None:
        """Change the record of the case; `then` follows once that is on disk. Without words `u` does not count it."""
        session = self.desk.session
        self.change(lambda: session.record(make(session.case.bench)), words, then)

    def action_cleared(self) -> None:
        """Say what was put right."""
        if to_clear(self.desk.base, self.desk.case.bench):
            self.follow(cleared(self.desk))
        else:
            self.tell("What stops was written in words: mend those words, on the set-up page or in the file.")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is something to put right only where something stands."""
        if action == "cleared":
            return self.desk.told_head is not None and self.desk.told_head.stands
        return super().check_action(action, parameters)
