"""Pressing keys on the program, and reading what stands on its screen."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import yaml
from hobmark.case import Case
from hobmark_tui.app import HobmarkApp
from hobmark_tui.screens.dialogs import Dialog
from hobmark_tui.screens.examine import ExamineScreen
from hobmark_tui.widgets.bench import Numbered, SheetText
from hobmark_tui.widgets.panels import Banner, Leaders, Parts
from hobmark_tui.widgets.prose import Prose
from hobmark_tui.widgets.told import Told
from textual.pilot import Pilot
from textual.widgets import Input, Label

BEGUN = "hobmark: 1\nlabel: green range\nsituation: sale\nobservations:\n  - {feature: legs, is: recess}\n"
"""A case of the small base with one answer."""
EMPTY = "hobmark: 1\nlabel: green range\nsituation: sale\nobservations: []\n"
"""A case with none."""

SETTLED = BEGUN.replace("is: recess", "is: straight") + "".join(
    f"  - {{feature: {feature}, is: {value}}}\n"
    for feature, value in {
        "door_window": "absent",
        "clock": "wind_up",
        "clock_face": "black",
        "drip_pans": "present",
        "burner_head": "star",
    }.items()
)
"""A Robin through and through."""
ALL = (
    SETTLED.replace("straight", "recess")
    .replace("absent", "large")
    .replace("wind_up", "electric")
    .replace("black", "white")
    .replace("star", "slotted")
    + "  - {feature: drip_pan_depth, measured: 31 mm}\n"
)
"""A Finch, or a Finch Export: only what lies behind a panel tells them apart."""

FARM = (Path(__file__).parents[2] / "examples/house-call/farm-kitchen.yaml").read_text(encoding="utf-8")
"""An invented house call: a range of the demonstration base, sure to be one variant, on the bench."""


@dataclass
class Driven:
    """A running program."""

    app: HobmarkApp
    pilot: Pilot[None]
    path: Path | None

    async def settle(self) -> None:
        """Until nothing is being worked out any more."""
        while True:
            await self.pilot.pause()
            if not any(not worker.is_finished for worker in self.app.workers):
                break
            await self.app.workers.wait_for_complete()
        await self.pilot.pause()

    async def press(self, *keys: str) -> None:
        """One key after another, each with all that it brings about."""
        for key in keys:
            await self.pilot.press(key)
            await self.settle()

    async def type(self, text: str) -> None:
        """Text into the line that has the cursor, then Enter."""
        line = self.app.screen.query_one(Input)
        line.focus()
        line.value = text
        await self.press("enter")

    @property
    def examine(self) -> ExamineScreen:
        """The page that examines a case."""
        assert isinstance(self.app.screen, ExamineScreen)
        return self.app.screen

    @property
    def case(self) -> Case:
        """The case as the page has it."""
        return self.examine.session.case

    def asked(self) -> str:
        """The look on the screen; empty where there is none."""
        look = self.examine.asked
        return look.feature if look is not None else ""

    async def ask(self, feature: str) -> None:
        """Have a look asked, whatever the best one is."""
        self.examine.ask(feature)
        await self.settle()

    def kept(self) -> list[dict[str, object]]:
        """The observations on disk."""
        data = yaml.safe_load(self.examine.session.path.read_text(encoding="utf-8"))
        found: list[dict[str, object]] = data["observations"]
        return found

    def banner(self, name: str) -> str:
        """What a banner of the page says; empty where it is not shown."""
        banner = self.app.screen.query_one(f"#{name}", Banner)
        return "\n".join(line.plain for line in banner.lines(banner.view, 70)) if banner.view else ""

    def leaders(self) -> str:
        """The likeliest variants as drawn."""
        return _drawn(self.app.screen.query_one(Leaders))

    def parts(self) -> str:
        """The assemblies as drawn."""
        return _drawn(self.app.screen.query_one(Parts))

    def label(self, name: str) -> str:
        """The words of a label of the page."""
        return str(self.app.screen.query_one(f"#{name}", Label).content)

    def title(self) -> str:
        """The line that says what the page is about."""
        return str(self.app.screen.query_one(".title", Label).content)

    def text(self) -> str:
        """Sheets and paragraphs of the page, without their folds."""
        parts = [*self.app.screen.query(SheetText), *self.app.screen.query(Prose)]
        lines = [line.plain for part in parts if part.view is not None for line in part.lines(part.view, 90)]  # type: ignore[arg-type]
        return " ".join(" ".join(lines).split())

    def numbered(self) -> list[str]:
        """The words of the numbered lines in sight."""
        lists = [
            each for each in self.app.screen.query(Numbered) if all(node.display for node in each.ancestors_with_self)
        ]
        return [choice.label for each in lists for choice in each.choices]

    async def find(self, words: str) -> None:
        """Words into the line above a list, then the first that has them."""
        await self.press("f")
        await self.type(words)

    async def choose(self, *answers: str) -> None:
        """Answer window after window, each with what it is left with."""
        for answer in answers:
            window = self.app.screen
            assert isinstance(window, Dialog)
            window.dismiss(answer)
            await self.settle()

    def release(self) -> str:
        """What the head of a bench page says of the release, without its folds."""
        return " ".join(self.label("release").split())

    def file(self) -> dict[str, object]:
        """The case on disk."""
        assert self.path is not None
        found: dict[str, object] = yaml.safe_load(self.path.read_text(encoding="utf-8"))
        return found

    def said(self) -> str:
        """What was said in passing, all of it, and what the page's own line for that says."""
        lines = [str(line.content) for line in self.app.screen.query("#told").results(Label)]
        lines += [line.text for line in self.app.screen.query(Told)]
        return "\n".join([*(notice.message for notice in self.app._notifications), *lines])


def _drawn(widget: Leaders | Parts) -> str:
    view = widget.view
    return "\n".join(line.plain for line in widget.lines(view, 60)) if view is not None else ""  # type: ignore[arg-type]
