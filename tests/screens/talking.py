"""Answering the windows in which facts are told at the bench, without a screen."""

from __future__ import annotations

from dataclasses import dataclass, field

from hobmark.knowledge.schema.record import BenchRecord
from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_telling import Flow, Told
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog


@dataclass
class Talk:
    """A desk, and every window that was opened on it."""

    desk: Desk
    windows: list[ChoiceDialog | LineDialog] = field(default_factory=list)

    def tell(self, flow: Flow, *answers: str | None) -> BenchRecord:
        """Answer window after window and leave the next one; the record as it is then."""
        left, said = list(answers), None
        while True:
            try:
                asked = flow.send(said)
            except StopIteration:
                return self.record
            if isinstance(asked, Told):
                self.desk.session.record(asked.make(self.record))
                assert self.desk.session.notice is None
                said = None
                continue
            assert isinstance(asked, ChoiceDialog | LineDialog)
            self.windows.append(asked)
            said = left.pop(0) if left else None
            if isinstance(asked, ChoiceDialog) and said is not None:
                assert said in [choice.id for choice in asked.choices]

    def refused(self, typed: str) -> str:
        """Why the last window will not take a line; empty where it will."""
        window = self.windows[-1]
        assert isinstance(window, LineDialog)
        assert window.check is not None
        return window.check(typed) or ""

    @property
    def record(self) -> BenchRecord:
        return self.desk.case.bench
