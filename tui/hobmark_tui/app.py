"""The full-screen program. `make_app` is how the command line and the tests get one."""

from __future__ import annotations

import asyncio
import gc
import os
import signal
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from hobmark.problems import Refused
from hobmark.reasoning.examination import Compiled
from rich.console import RenderableType
from textual import constants, work
from textual.app import App
from textual.binding import Binding, BindingType
from textual.driver import Driver
from textual.filter import LineFilter

from hobmark_tui.exits import ExitCode
from hobmark_tui.plain_line import PlainLine
from hobmark_tui.screens.cases import CasesScreen
from hobmark_tui.screens.elsewhere import ElsewhereScreen
from hobmark_tui.screens.examine import ExamineScreen
from hobmark_tui.screens.help import HelpScreen
from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.palette import PageActions, Palette
from hobmark_tui.serving.tab import is_served
from hobmark_tui.sessions.fitness import words
from hobmark_tui.sessions.library import CaseLibrary
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.themes import DARK, LIGHT, first_theme
from hobmark_tui.views.preparing import Prepare

SIGNALS = (signal.SIGTERM, signal.SIGHUP) if os.name == "posix" else ()
"""What asks the program to end: it does so in order, and gives the terminal back."""
PLAIN = PlainLine()
SIGNALLED = 128
"""What shells add to the number of a signal for the code of what it ended."""


class HobmarkApp(App[None]):
    """Your cases, and the one that is examined."""

    TITLE = "hobmark"
    CSS_PATH = "hobmark.tcss"
    COMMANDS = {PageActions}  # noqa: RUF012 - as App has it
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-middle"), (110, "-wide")]  # noqa: RUF012 - as App has it
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-high")]  # noqa: RUF012 - as App has it
    BINDINGS: ClassVar[list[BindingType]] = [
        bound("h,f1,question_mark", "keys", "Keys", "app.keys", "Every key of this page.", as_key="h"),
        bound("ctrl+t", "light", "Light or dark", "app.light", "Light on dark, or dark on light.", shown=False),
        Binding(
            "ctrl+q",
            "quit",
            "Quit",
            show=False,
            id="app.quit",
            tooltip="Leave hobmark at once; what is not on disk is told, and a second time leaves without it.",
            priority=True,
        ),
    ]

    return_on: Sequence[signal.Signals] = ()
    """Signals that end it in order."""

    def __init__(
        self,
        compiled: Compiled,
        library: CaseLibrary,
        roots: Sequence[Path] = (),
        case: Path | None = None,
        prepare: Prepare | None = None,
    ) -> None:
        """Show the library's cases; begin with `case` where one is named."""
        super().__init__()
        self.compiled, self.library, self.roots, self.first_case = compiled, library, tuple(roots), case
        self.prepare = prepare
        self.cases = CasesScreen(library)
        self._asked_to_leave = False
        self._warned = False
        self.unkept: list[str] = []
        """What could not be kept, in words, once the program was left."""

    def get_driver_class(self) -> type[Driver]:
        """On a terminal, and behind a browser, one that stands whatever bytes come; elsewhere the framework's own."""
        if is_served():
            from hobmark_tui.serving.driver import ServedDriver

            return ServedDriver
        if os.name != "posix" or constants.DRIVER is not None:
            return super().get_driver_class()
        from hobmark_tui.driver import Driver as OnTerminal

        return OnTerminal

    def get_line_filters(self) -> Sequence[LineFilter]:
        """What every line that is drawn goes through, whichever page it stands on."""
        return [*super().get_line_filters(), PLAIN]

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Colours of our own that every look has."""
        return dict(DARK.variables)

    def on_mount(self) -> None:
        """The cases, and over them the case that was named."""
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        self.theme = first_theme()
        if self.return_on:
            loop = asyncio.get_running_loop()
            for each in self.return_on:
                loop.add_signal_handler(each, self.exit, None, SIGNALLED + each)
        self.push_screen(self.cases)
        if self.first_case is not None:
            self.open_case(self.first_case)

    def examine(self, session: CaseSession) -> None:
        """Show an open case: over the list, which has it highlighted when it is gone back to; else by itself."""
        self.cases.examined = session
        page = ExamineScreen if self.library.listed_as(session.path) is not None else ElsewhereScreen
        self.push_screen(page(self.compiled, session, self.prepare))

    @work(exclusive=True, group="open", description="open a case")
    async def open_case(self, path: Path) -> None:
        """Examine the case in a file; say why on the list of cases where that is refused."""
        try:
            self.library.reach(path)
            session = await asyncio.to_thread(CaseSession.open, path, self.compiled.base)
        except Refused as refused:
            self.cases.tell_trouble(f"Not opened: {words(refused)}")
        else:
            self.examine(session)

    @work(exclusive=True, group="open", description="begin a case")
    async def begin_case(self, label: str) -> None:
        """Examine a new range."""
        try:
            session = await asyncio.to_thread(self.library.new, label)
        except Refused as refused:
            self.cases.tell_trouble(f"Not begun: {words(refused)}")
        else:
            self.examine(session)

    @property
    def is_leaving(self) -> bool:
        """Whether the pages are being taken down: what is still worked out is no longer shown."""
        return self._asked_to_leave or not self.is_running

    def exit(self, result: None = None, return_code: int = 0, message: RenderableType | None = None) -> None:
        """Leave; what was begun on a case is still ended (by the page that has it)."""
        self._asked_to_leave = True
        self.workers.cancel_all()
        super().exit(result, return_code, message)

    async def action_quit(self) -> None:
        """Leave, unless something is not on disk: that is said first."""
        trouble = [page.session.trouble for page in self.screen_stack if isinstance(page, ExamineScreen)]
        unkept = [each for each in trouble if each is not None]
        if not unkept or self._warned:
            self.exit()
            return
        self._warned = True
        said = f"Not on disk: {unkept[0]} y tries again; ctrl+q once more leaves without it."
        if isinstance(self.screen, ExamineScreen):
            self.screen.tell(said)
        else:
            self.notify(said, severity="error", markup=False)

    def action_command_palette(self) -> None:
        """Every action of the page by its name."""
        if not Palette.is_open(self):  # type: ignore[arg-type]  # it takes an app of any result
            self.push_screen(Palette(id="--command-palette"))

    def _fatal_error(self) -> None:
        """After a fault of the program's own: the screen is put back, and `run` tells it; no traceback, no locals."""
        self.panic()

    def action_keys(self) -> None:
        """The keys of the page."""
        if not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen(self.screen))

    def action_light(self) -> None:
        """From light to dark, or back."""
        self.theme = LIGHT.name if self.theme == DARK.name else DARK.name


def make_app(
    compiled: Compiled,
    folder: Path,
    *,
    roots: Sequence[Path] = (),
    case: Path | None = None,
    prepare: Prepare | None = None,
    for_a_visitor: bool = False,
) -> HobmarkApp:
    """The program on a compiled base and a folder of cases; `roots` are the base's folders, for shipped examples.

    `for_a_visitor`: whoever uses it is no owner of the machine, and reads and writes in the folder only.
    """
    return HobmarkApp(compiled, CaseLibrary(folder, stays_inside=for_a_visitor), roots, case, prepare)


def run(app: HobmarkApp) -> int:
    """Run the program until it is left, by a key or a signal; its exit code.

    What could not be kept stands on standard error. A fault of the program's own is raised.
    What is loaded by now stays to the end, so the collector is told not to go through it again and again: on a base of
    the shipped size that holds the screen up for a tenth of a second, at any key.
    """
    gc.freeze()
    app.return_on = SIGNALS
    app.run()
    if app._exception is not None:
        raise app._exception
    for each in app.unkept:
        sys.stderr.write(f"{each}\n")
    return app.return_code or (ExitCode.REFUSED if app.unkept else ExitCode.DONE)
