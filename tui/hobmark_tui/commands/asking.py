"""Question after question in plain lines. The case is on disk after every answer."""

from __future__ import annotations

import shlex
from dataclasses import dataclass, field
from pathlib import Path

from hobmark.case import Case, read_case, write_case
from hobmark.files import read_text
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Access, Goal, Situation
from hobmark.problems import Refused
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Compiled, Examination, claim_of
from hobmark.reasoning.stopping import verdict
from hobmark.reports.because import because
from hobmark.reports.findings import findings
from hobmark.reports.text import WIDTH, findings_text, seconds_words, wrapped
from hobmark.reports.words import group_words, percent, seen_words

from hobmark_tui.commands.answers import HOW_TO_ANSWER, NotAnAnswer, read_answer
from hobmark_tui.commands.resuming import looks_words
from hobmark_tui.commands.terminal import ask, tell, write
from hobmark_tui.exits import ExitCode

COMMANDS = (
    "w why this look, r ranking so far, s pass this look over, f WORD find a look, u take back, h help, q save and stop"
)
"""The letters a person may type instead of an answer."""
AT_THE_END = "u takes back the last answer or pass, f WORD takes another look, r shows the ranking, Enter ends."
"""What may still be typed when there is nothing left to ask."""


@dataclass
class Asking:
    """One session of questions on one case file, which is made where there is none."""

    compiled: Compiled
    path: Path
    goal: Goal
    situation: Situation | None = None
    also: frozenset[Access] = frozenset()
    next_looks: int = 3
    against: Group | None = None
    case: Case = field(init=False)
    passed: set[str] = field(default_factory=set)
    acts: list[Case | str] = field(default_factory=list)
    """What `u` takes back, last first: the case before an answer, or a look that was passed over."""
    wanted: str | None = None
    """The look to ask next, whatever the best one is."""
    unkept: bool = False
    """Whether something was said that is not on disk."""

    def run(self) -> int:
        """Ask until it is settled, nothing more can be told, or the person stops; then say which it was."""
        self.open()
        tell(COMMANDS[0].upper() + COMMANDS[1:] + ".")
        try:
            why = self.ask_on()
        except KeyboardInterrupt:
            why = "you broke off"
        self.close(why)
        return ExitCode.DONE

    def open(self) -> None:
        """Read the case, or begin one; raise Refused where it cannot be read or written."""
        if self.path.exists():
            self.case = read_case(self.path, self.compiled.base).case
            tell(f"Going on with {self.path} ({looks_words(len(self.case.answered()))}).")
            if any(line.lstrip().startswith("#") for line in read_text(self.path).splitlines()):
                tell("The first answer writes the file anew: its comments will not be kept.")
        else:
            self.case = Case(hobmark="1", label="a range", situation=self.situation or Situation.SALE)
            write_case(self.path, self.case)
        tell(f"Each answer is kept in {self.path}; stop when you like, and go on with it later.")

    def ask_on(self) -> str:
        """Look after look; returns why it stopped."""
        while True:
            offered = self.examine(self.with_passed())
            ended = self.nothing_to_ask(offered) if self.wanted is None else None
            look = None if ended else self.wanted or offered.looks[0].feature
            self.wanted = None
            self.show_leaders(offered)
            if look is None:
                tell(f"Nothing more to ask: {ended}. {AT_THE_END}")
            else:
                self.show_question(look, offered)
            why = self.turn(offered, look)
            if why is not None:
                return ended or why

    def close(self, why: str) -> None:
        """The report, why it stopped and how to go on; raise Refused where an answer could not be kept."""
        write("\n" + self.report())
        if self.unkept:
            write_case(self.path, self.case)
        tell(f"\nStopped: {why}.")
        kept = f"{looks_words(len(self.case.answered()))} kept in {self.path}."
        write(f"{kept} To go on: hobmark identify --ask {shlex.quote(str(self.path))}\n")

    def examine(self, case: Case) -> Examination:
        """A case examined for this session's goal and situation."""
        if self.situation is not None:
            case = case.model_copy(update={"situation": self.situation})
        return Examination(self.compiled, case, self.goal, claim_of(self.compiled.base, case), self.also)

    def report(self) -> str:
        """Everything found so far."""
        found = findings(self.examine(self.case), str(self.path), looks=self.next_looks, against=self.against)
        return findings_text(found)

    def with_passed(self) -> Case:
        """The case as if the looks passed over could not be had."""
        unseen = [
            Observation.model_validate({"feature": feature, "unseen": True})
            for feature in sorted(self.passed - self.case.answered())
        ]
        return self.case.model_copy(update={"observations": (*self.case.observations, *unseen)})

    def nothing_to_ask(self, offered: Examination) -> str | None:
        """Why no look is worth asking; None where one is."""
        judged = verdict(offered)
        if judged.settled:
            return f"it is settled, at {percent(offered.likeliest)}"
        if not judged.stop:
            return None
        left = sorted(self.passed - self.case.answered())
        if left and not verdict(self.examine(self.case)).stop:
            names = ", ".join(self.compiled.base.features[feature].label.lower() for feature in left)
            return f"the looks that could still tell something are those you passed over ({names})"
        return "no look that can be had here tells more"

    def turn(self, offered: Examination, look: str | None) -> str | None:
        """One look (None: only what may be typed at the end): None when it is done with, or why the person stops."""
        while True:
            typed = ask("> ")
            if typed is None:
                return "the input ended"
            letter = typed.lower()
            if letter == "q" or (look is None and not typed):
                return "you stopped"
            if letter in ("w", "r", "h"):
                self.explain(letter, offered, look)
            elif letter == "u":
                if self.take_back():
                    return None
            elif letter.partition(" ")[0] == "f":
                self.wanted = self.find(typed[1:])
                if self.wanted is not None:
                    return None
            elif look is None:
                tell(AT_THE_END)
            elif letter == "s":
                self.passed.add(look)
                self.acts.append(look)
                return None
            elif self.answer(look, typed):
                return None

    def explain(self, letter: str, offered: Examination, look: str | None) -> None:
        """Why this look, the ranking so far, or help."""
        if letter == "r":
            write(self.report())
        elif letter == "w":
            tell(f"It {because(offered, look)}." if look is not None else AT_THE_END)
        elif look is None:
            tell(AT_THE_END)
        else:
            tell(HOW_TO_ANSWER)
            tell(COMMANDS + ".")

    def answer(self, look: str, typed: str) -> bool:
        """Take what was typed as an answer and keep it; False, and told why, where it is none."""
        try:
            seen = read_answer(look, self.compiled.base.features[look], typed)
        except NotAnAnswer as reason:
            tell(str(reason))
            return False
        self.acts.append(self.case)
        self.keep(self.case.with_observation(seen))
        return True

    def keep(self, case: Case) -> None:
        """Make this the case, on disk too; where the disk refuses, say so and try again with the next answer."""
        self.case, self.unkept = case, True
        try:
            write_case(self.path, case)
            self.unkept = False
        except Refused as refused:
            tell(f"{refused} It is not kept yet; the next answer tries again.")

    def take_back(self) -> bool:
        """Undo the last answer or pass, and ask that look again; False where there is nothing to undo."""
        if not self.acts and not self.case.observations:
            tell("There is nothing to take back.")
            return False
        last = self.acts.pop() if self.acts else None
        if isinstance(last, str):
            self.passed.discard(last)
            self.wanted = last
            tell(f"Taken up again: {self.compiled.base.features[last].label}.")
            return True
        gone = self.case.observations[-1]
        tell(f"Taken back: {seen_words(self.compiled.base, gone)}.")
        self.keep(last or self.case.model_copy(update={"observations": self.case.observations[:-1]}))
        self.wanted = gone.feature
        return True

    def find(self, word: str) -> str | None:
        """A feature by its name, its label or a word of its label or question; lists them where several fit."""
        low = " ".join(word.lower().split())
        if not low:
            tell("Write a word behind f, as: f dial.")
            return None
        features = self.compiled.base.features
        exact = [f for f, entry in features.items() if low in (f, entry.label.lower())]
        found = exact or [f for f, entry in features.items() if low in entry.label.lower() or low in entry.ask.lower()]
        if len(found) == 1:
            return found[0]
        names = ", ".join(features[f].label for f in found[:12]) + (", …" if len(found) > 12 else "")
        tell(f"Which of: {names}?" if found else "No look goes by that word.")
        return None

    def show_leaders(self, examination: Examination) -> None:
        """The three likeliest lines, in one."""
        ranking, cells = examination.ranking, self.compiled.model.cells
        order = sorted(range(len(cells.groups)), key=lambda g: (-ranking.by_group[g], g))[:3]
        names = [
            f"{percent(float(ranking.by_group[g]))} {group_words(self.compiled.base, cells.groups[g])}" for g in order
        ]
        write("\n" + wrapped("; ".join(names), "   ", "   ") + "\n")

    def show_question(self, look: str, offered: Examination) -> None:
        """The question, where to look, and the values by number, with their sketches side by side."""
        feature = self.compiled.base.features[look]
        seconds = [f" ({seconds_words(each.seconds)})" for each in offered.looks if each.feature == look]
        tell(feature.ask + "".join(seconds))
        write(wrapped(feature.look, "  ", "  ") + "\n")
        for seen in self.case.observations:
            if seen.feature == look:
                tell(f"So far: {seen_words(self.compiled.base, seen)}. An answer takes its place.")
        write(answers_shown(feature))
        if feature.measure is not None:
            tell("A length will do as well: 31 mm, 1 1/4 in.")


def answers_shown(feature: Feature) -> str:
    """A look's values by number, below their sketches where each has one."""
    sketches = [feature.values[v].sketch if v in feature.values else None for v in feature.value_ids]
    drawn = side_by_side([str(sketch) for sketch in sketches]) if all(sketches) else ""
    return drawn + "".join(
        wrapped(f"{number}  {feature.value_label(value)}", "  ", "     ") + "\n"
        for number, value in enumerate(feature.value_ids, start=1)
    )


def side_by_side(sketches: list[str]) -> str:
    """Line sketches in a row, each under its number, folded where the row is full."""
    drawn = [sketch.rstrip("\n").split("\n") for sketch in sketches]
    lines: list[str] = []
    column = 18
    row = max(1, (WIDTH - 2) // column)
    for start in range(0, len(drawn), row):
        part = drawn[start : start + row]
        lines.append("  " + "".join(f"{start + i + 1}".ljust(column) for i in range(len(part))).rstrip())
        for height in range(max(len(sketch) for sketch in part)):
            cells = [(sketch[height] if height < len(sketch) else "")[: column - 1].ljust(column) for sketch in part]
            lines.append("  " + "".join(cells).rstrip())
    return "\n".join(lines) + "\n"
