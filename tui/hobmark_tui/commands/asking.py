"""Question after question in plain lines. The case is on disk after every answer."""

from __future__ import annotations

import datetime
import sys
from dataclasses import dataclass, field
from pathlib import Path

from hobmark.case import Case, read_case, write_case
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.examination import Compiled, Examination, claim_of
from hobmark.reasoning.questions import Look
from hobmark.reasoning.stopping import verdict
from hobmark.reports.findings import findings, next_look
from hobmark.reports.text import WIDTH, findings_text, seconds_words, wrapped
from hobmark.reports.words import group_words, percent

from hobmark_tui.commands.answers import HOW_TO_ANSWER, NotAnAnswer, read_answer
from hobmark_tui.exits import ExitCode

COMMANDS = "w why this look, r ranking so far, s another look, f WORD find a look, u take back, h help, q save and stop"
"""The letters a person may type instead of an answer."""


def new_case_path(folder: Path) -> Path:
    """`case-DATE.yaml`, numbered where that name is taken."""
    today = datetime.date.today().isoformat()
    path = folder / f"case-{today}.yaml"
    number = 2
    while path.exists():
        path = folder / f"case-{today}-{number}.yaml"
        number += 1
    return path


def unfinished(folder: Path, today: datetime.date) -> Path | None:
    """The newest case of today in a folder, to go on with."""
    found = [p for p in folder.glob(f"case-{today.isoformat()}*.yaml") if p.is_file()]
    return max(found, key=lambda path: path.stat().st_mtime, default=None)


@dataclass
class Asking:
    """One session of questions on one case file."""

    compiled: Compiled
    path: Path
    goal: Goal
    situation: Situation
    passed: set[str] = field(default_factory=set)

    def run(self) -> int:
        """Ask until it is settled, nothing more can be told, or the person stops."""
        case = read_case(self.path, self.compiled.base).case if self.path.exists() else None
        if case is None:
            case = Case(hobmark="1", label="a range", situation=self.situation)
            write_case(self.path, case)
        self.tell(f"Each answer is kept in {self.path.name}; stop when you like, and go on with it later.")
        self.tell(COMMANDS[0].upper() + COMMANDS[1:] + ".")
        while True:
            examination = self.examine(case)
            judged = verdict(examination)
            looks = [look for look in examination.looks if look.feature not in self.passed]
            if judged.stop or not looks:
                self.write(findings_text(findings(examination, case.label)))
                return ExitCode.DONE
            after = self.turn(examination, looks[0])
            if after is None:
                self.write("\n" + findings_text(findings(examination, case.label)))
                return ExitCode.DONE
            if after is not case:
                write_case(self.path, after)
                case = after

    def examine(self, case: Case) -> Examination:
        """The case examined for this session's goal."""
        return Examination(self.compiled, case, self.goal, claim_of(self.compiled.base, case))

    def turn(self, examination: Examination, look: Look) -> Case | None:
        """One question: the case after the answer, the same case, or None to stop."""
        feature = self.compiled.base.features[look.feature]
        self.show_leaders(examination)
        self.show_question(feature, seconds_words(look.seconds))
        while True:
            typed = self.ask("> ")
            if typed is None or typed in ("q", "Q"):
                return None
            command, _, rest = typed.partition(" ")
            if typed == "w":
                self.tell(next_look(examination, look).because + ".")
            elif typed == "r":
                self.write(findings_text(findings(examination, examination.case.label)))
            elif typed == "h":
                self.tell(HOW_TO_ANSWER)
                self.tell(COMMANDS + ".")
            elif typed == "s":
                self.passed.add(look.feature)
                return examination.case
            elif typed == "u":
                return self.taken_back(examination.case)
            elif command == "f" and rest:
                found = self.find(rest)
                if found is not None:
                    self.passed.discard(found)
                    return self.answered(examination.case, found)
            else:
                try:
                    return examination.case.with_observation(read_answer(look.feature, feature, typed))
                except NotAnAnswer as reason:
                    self.tell(str(reason))

    def answered(self, case: Case, feature_id: str) -> Case:
        """Ask one look out of turn."""
        feature = self.compiled.base.features[feature_id]
        self.show_question(feature, "")
        while True:
            typed = self.ask("> ")
            if typed is None or typed in ("q", ""):
                return case
            try:
                return case.with_observation(read_answer(feature_id, feature, typed))
            except NotAnAnswer as reason:
                self.tell(str(reason))

    def taken_back(self, case: Case) -> Case:
        """The case without its last observation."""
        if not case.observations:
            self.tell("There is nothing to take back.")
            return case
        return case.model_copy(update={"observations": case.observations[:-1]})

    def find(self, word: str) -> str | None:
        """A feature by a word of its label or question; lists them where several fit."""
        low = word.lower().strip()
        features = self.compiled.base.features
        found = [
            f for f, entry in features.items() if low == f or low in entry.label.lower() or low in entry.ask.lower()
        ]
        if len(found) == 1 or low in found:
            return low if low in found else found[0]
        names = ", ".join(features[f].label for f in found[:12])
        self.tell(f"Which of: {names}?" if found else "No look goes by that word.")
        return None

    def show_leaders(self, examination: Examination) -> None:
        """The three likeliest lines, in one."""
        ranking, cells = examination.ranking, self.compiled.model.cells
        order = sorted(range(len(cells.groups)), key=lambda g: (-ranking.by_group[g], g))[:3]
        names = [
            f"{percent(float(ranking.by_group[g]))} {group_words(self.compiled.base, cells.groups[g])}" for g in order
        ]
        self.write("\n" + wrapped("; ".join(names), "   ", "   ") + "\n")

    def show_question(self, feature: Feature, seconds: str) -> None:
        """The question, where to look, and the values by number, with their sketches side by side."""
        self.tell(f"{feature.ask}{f' ({seconds})' if seconds else ''}")
        self.write(wrapped(feature.look, "  ", "  ") + "\n")
        sketches = [feature.values[v].sketch if v in feature.values else None for v in feature.value_ids]
        if all(sketches):
            self.write(side_by_side([str(sketch) for sketch in sketches]))
        for number, value in enumerate(feature.value_ids, start=1):
            self.write(wrapped(f"{number}  {feature.value_label(value)}", "  ", "     ") + "\n")
        if feature.measure is not None:
            self.tell("A length will do as well: 31 mm, 1 1/4 in.")

    def ask(self, prompt: str) -> str | None:
        """One line from the person; None at the end of input."""
        self.write(prompt)
        line = sys.stdin.readline()
        return line.strip() if line else None

    def tell(self, text: str) -> None:
        """One folded paragraph."""
        self.write(wrapped(text) + "\n")

    def write(self, text: str) -> None:
        """Text as it stands, shown at once."""
        sys.stdout.write(text)
        sys.stdout.flush()


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
