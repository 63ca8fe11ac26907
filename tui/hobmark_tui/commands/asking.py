"""Question after question in plain lines. The case is on disk after every answer."""

from __future__ import annotations

import shlex
from dataclasses import dataclass, field
from pathlib import Path

from hobmark.case import Case
from hobmark.knowledge.vocabulary import Access, Goal, Situation
from hobmark.problems import Refused
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Compiled, Examination, claim_of
from hobmark.reasoning.stopping import verdict
from hobmark.reports.because import because
from hobmark.reports.words import percent, seen_words

from hobmark_tui.commands.answers import HOW_TO_ANSWER, NotAnAnswer, read_answer, read_words
from hobmark_tui.commands.finding import Finder
from hobmark_tui.commands.going_on import SETTLED, GoingOn, going_on, part_looks
from hobmark_tui.commands.keeping import Keeping
from hobmark_tui.commands.resuming import looks_words
from hobmark_tui.commands.showing import CAUTION, Showing
from hobmark_tui.commands.terminal import Screen
from hobmark_tui.exits import ExitCode

KEYS = (
    "w why this look, r ranking so far, s pass this look over, d draw the answers, f WORD find a look, u take back, "
    "serial TEXT and plate TEXT keep what is written there, h help, q save and stop"
)
"""What a person may type instead of an answer."""
STOPPED = "you stopped"
NAMED = "It has a name. What follows tests whether it is a range I know at all."
"""Said once, when the looks turn from naming to testing the name."""


@dataclass
class Asking:
    """One session of questions on one case file, which is made with the first answer where there is none."""

    compiled: Compiled
    path: Path
    goal: Goal
    situation: Situation | None = None
    also: frozenset[Access] = frozenset()
    next_looks: int = 3
    against: Group | None = None
    screen: Screen = field(default_factory=Screen)
    file: Keeping = field(init=False)
    show: Showing = field(init=False)
    wanted: str | None = None
    """The look to ask next, whatever the best one is."""
    round_since: frozenset[str] | None = None
    """While the parts not seen yet are gone round: what was answered or passed over before; else None."""
    named: bool = False
    """Whether it was said that the looks now test the name."""

    def __post_init__(self) -> None:
        self.file = Keeping(self.path, self.screen)
        self.show = Showing(self.screen, self.next_looks, self.against)

    def run(self) -> int:
        """Ask until it is settled, nothing more can be told, or the person stops; then say which it was."""
        self.file.open(self.compiled.base, self.situation)
        self.screen.tell(f"Keys: {KEYS}.")
        self.screen.tell(CAUTION)
        try:
            why = self.ask_on()
        except KeyboardInterrupt:
            why = "you broke off"
        self.close(why)
        return ExitCode.DONE

    def ask_on(self) -> str:
        """Look after look; returns why it stopped."""
        while True:
            offered = self.examine(self.file.with_passed)
            look, self.wanted = self.wanted or self.round_look(offered), None
            ended = None if look else self.nothing_to_ask(offered)
            if ended is None:
                why = self.ask(look or offered.looks[0].feature, offered)
            else:
                why = self.at_the_end(offered, ended)
            if why is not None:
                return why

    def ask(self, look: str, offered: Examination) -> str | None:
        """One look: None when it is done with, or why the person stops."""
        self.show.leaders(self.now)
        self.show.question(look, self.now)
        return self.turn(offered, look)

    def at_the_end(self, offered: Examination, ended: str) -> str | None:
        """The report and what may be gone on with: None where something is, or why the session stops."""
        if self.show.is_reported(self.now):
            self.show.leaders(self.now)
        else:
            self.show.report(self.now, str(self.file.path))
        further = going_on(offered, self.examine(self.file.with_passed, Goal.YEAR))
        self.screen.write("\n")
        self.screen.tell(f"Nothing more to ask: {ended}. {further.line}")
        why = self.turn(offered, None, further)
        return ended if why == STOPPED else why

    def close(self, why: str) -> None:
        """The report, why it stopped and how to go on; raise Refused where an answer could not be kept."""
        file, screen = self.file, self.screen
        refused: Refused | None = None
        try:  # before the report, which may be stopped half way
            file.close()
        except Refused as still:
            refused = still
        if file.case.observations:
            self.show.last_report(self.now, str(file.path))
        if refused is not None:
            raise refused
        screen.write("\n")
        screen.tell(f"Stopped: {why}.")
        if file.session.is_new:
            screen.tell("Nothing was said, and no file was made.")
        else:
            # Not folded: a command is copied whole.
            kept = f"{looks_words(len(file.case.answered()))} kept in {file.path}."
            screen.write(f"{kept} To go on:\n  hobmark identify --ask {shlex.quote(str(file.path))}\n")

    @property
    def now(self) -> Examination:
        """What has been seen, examined."""
        return self.examine(self.file.case)

    def examine(self, case: Case, goal: Goal | None = None) -> Examination:
        """A case examined for a goal, this session's where none is named, and this session's situation."""
        if self.situation is not None:
            case = case.model_copy(update={"situation": self.situation})
        return Examination(self.compiled, case, goal or self.goal, claim_of(self.compiled.base, case), self.also)

    def round_look(self, offered: Examination) -> str | None:
        """The next look of the round of parts not seen yet; None where there is no round, or it is over."""
        if self.round_since is None:
            return None
        features = self.compiled.base.features
        done = {features[f].assembly for f in self.looked - self.round_since}
        left = part_looks(offered, done)
        if not left:
            self.round_since = None
            return None
        assembly = self.compiled.base.assemblies[features[left[0].feature].assembly]
        self.screen.write("\n")
        self.screen.tell(f"Not seen yet: {assembly.label} ({looks_words(len(left))} to go).")
        return left[0].feature

    @property
    def looked(self) -> frozenset[str]:
        """Looks that were answered or passed over."""
        return self.file.case.answered() | self.file.passed

    def nothing_to_ask(self, offered: Examination) -> str | None:
        """Why no look is worth asking; None where one is."""
        judged = verdict(offered)
        if judged.settled:
            return f"{SETTLED[self.goal]} is settled, at {percent(offered.likeliest)}"
        if not judged.stop:
            if offered.named and not self.named:
                self.screen.write("\n")
                self.screen.tell(NAMED)
            self.named = offered.named
            return None
        left = sorted(self.file.passed - self.file.case.answered())
        if left and not verdict(self.now).stop:
            names = ", ".join(self.compiled.base.features[feature].label.lower() for feature in left)
            return f"the looks that could still tell something are those you passed over ({names})"
        return "no look that can be had here tells more"

    def turn(self, offered: Examination, look: str | None, further: GoingOn | None = None) -> str | None:
        """One look (None: only what may be typed at the end): None when it is done with, or why the person stops."""
        finder, hits = Finder(self.compiled.base, self.screen), list[str]()
        while True:
            if look is not None and not hits and self.screen.scrolled_off:
                self.show.ask_line(look, offered)
            typed = self.screen.ask("which? > " if hits else "> ")
            if typed is None:
                return "the input ended"
            key, _, word = typed.partition(" ")
            if typed.lower() == "q" or (look is None and not hits and not typed):
                return STOPPED
            if key.lower() == "f":
                hits = finder.find(word) or hits
            elif hits and typed:
                narrowed = finder.narrow(hits, typed)
                if not narrowed and not self.kept_words(None, typed):
                    self.screen.tell("None of these goes by that. A number or a word chooses one; Enter goes back.")
                hits = narrowed or hits
            elif hits:
                hits = []
                if look is not None:
                    self.show.question(look, self.now)
            elif self.did(typed, offered, look, further):
                return None
            if len(hits) == 1:
                self.wanted = hits[0]
                return None

    def did(self, typed: str, offered: Examination, look: str | None, further: GoingOn | None) -> bool:
        """Do what was typed; whether another question is due."""
        letter = typed.lower()
        if letter == "u":
            return self.take_back()
        if letter == "r":
            self.show.report(self.now, str(self.file.path))
            if look is not None:
                self.show.leaders(self.now)
                self.show.question(look, self.now)
        elif self.kept_words(look, typed):
            pass
        elif look is not None:
            return self.answered(look, typed, offered)
        elif further is not None:
            return self.went_on(letter, further)
        return False

    def went_on(self, letter: str, further: GoingOn) -> bool:
        """Go on with the year or the parts not seen yet; False, and told what may be typed, where it is neither."""
        if letter == "y" and not further.year_refused:
            self.goal, self.named = Goal.YEAR, False
        elif letter == "m" and further.parts:
            self.round_since = self.looked
        else:
            self.screen.tell(further.refusal(letter) + further.line)
            return False
        return True

    def answered(self, look: str, typed: str, offered: Examination) -> bool:
        """Take what was typed at a question; whether the question is done with."""
        letter = typed.lower()
        if letter == "s":
            self.file.pass_over(look)
            return True
        if letter == "w":
            self.screen.tell(f"It {because(offered, look)}.")
        elif letter == "h":
            self.screen.tell(HOW_TO_ANSWER)
            self.screen.tell(f"Keys: {KEYS}.")
        elif letter == "d":
            self.show.drawn(look, offered)
        else:
            return self.answer(look, typed)
        return False

    def answer(self, look: str, typed: str) -> bool:
        """Take what was typed as an answer and keep it; False, and told why, where it is none."""
        try:
            seen = read_answer(look, self.compiled.base.features[look], typed)
        except NotAnAnswer as reason:
            self.screen.tell(str(reason))
            return False
        if seen.measured is not None:
            self.screen.tell(f"Kept: {seen_words(self.compiled.base, seen)}.")
        self.file.add(seen)
        return True

    def kept_words(self, look: str | None, typed: str) -> bool:
        """Keep `serial TEXT` or `plate TEXT`; False where the line is neither."""
        if look is not None and typed in self.compiled.base.features[look].value_ids:
            return False
        try:
            seen = read_words(self.compiled.base, typed)
        except NotAnAnswer as reason:
            self.screen.tell(str(reason))
            return True
        if seen is None:
            return False
        self.file.add(seen)
        said = f"{seen_words(self.compiled.base, seen)}: {seen.serial or seen.plate_text}"
        self.screen.tell(f"Kept: {said}. u takes it back.")
        return True

    def take_back(self) -> bool:
        """Undo the last answer or pass, and ask that look again; False where there is nothing to undo."""
        gone, base = self.file.take_back(), self.compiled.base
        if gone is None:
            self.screen.tell("There is nothing to take back.")
        elif isinstance(gone, str):
            self.screen.tell(f"Taken up again: {base.features[gone].label}.")
            self.wanted = gone
        else:
            self.screen.tell(f"Taken back: {seen_words(base, gone)}.")
            self.wanted = gone.feature
        return gone is not None
