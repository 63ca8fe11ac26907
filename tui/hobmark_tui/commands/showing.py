"""How a question, the likeliest lines and the cautions look on the screen."""

from __future__ import annotations

from dataclasses import dataclass

from hobmark.case import Case
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.questions import cost_of, seconds_of
from hobmark.reports.findings import findings
from hobmark.reports.identify import Findings
from hobmark.reports.page import Line, folded, seconds_words, wrapped
from hobmark.reports.text import STATUS, findings_text
from hobmark.reports.words import group_words, percent, seen_words

from hobmark_tui.commands.answers import length_example
from hobmark_tui.commands.terminal import Screen

CAUTION = "Gas can kill: local codes and a licensed fitter come first; all cautions with the report."
"""What stands for the cautions while questions are asked."""
ABOVE_AND_BELOW = 4
"""Rows kept free of a question with sketches: the likeliest lines above it, and the prompt below."""
BETWEEN = 3
"""Blanks between two sketches."""


def seconds_spent(examination: Examination) -> float:
    """What the looks taken cost where the range is looked at; one that is not offered there, what it costs anywhere."""
    base = examination.compiled.base
    costs = {feature: cost_of(base, feature, examination.situation) for feature in examination.case.answered()}
    return sum(seconds_of(base, feature) if cost is None else cost for feature, cost in costs.items())


def leaders_text(examination: Examination, width: int) -> str:
    """The three likeliest lines and the seconds of looks so far, in one line."""
    ranking, base = examination.ranking, examination.compiled.base
    groups = examination.compiled.model.cells.groups
    order = sorted(range(len(groups)), key=lambda g: (-ranking.by_group[g], g))[:3]
    said = [f"{percent(float(ranking.by_group[g]))} {group_words(base, groups[g])}" for g in order]
    spent = seconds_spent(examination)
    looks = [f"{seconds_words(spent)} of looks"] if spent else []
    return wrapped("; ".join([*said, *looks]), "   ", "   ", width) + "\n"


def answers_text(feature: Feature, width: int) -> str:
    """A look's values by number, and a length as an example where one is measured."""
    lines = [
        Line(f"{number}  {feature.value_label(value)}", "  ", "     ")
        for number, value in enumerate(feature.value_ids, start=1)
    ]
    if feature.measure is not None:
        lines.append(Line(f"A length will do as well: {length_example(feature)}."))
    return folded(lines, width) + "\n"


def sketches_text(feature: Feature, width: int) -> str:
    """The sketches of a look's values, each under its number, in as many a row as fit; empty where one has none."""
    sketches = [feature.values[v].sketch if v in feature.values else None for v in feature.value_ids]
    drawn = [sketch.rstrip("\n").split("\n") for sketch in sketches if sketch]
    if len(drawn) < len(sketches):
        return ""
    column = max(len(line) for sketch in drawn for line in sketch) + BETWEEN
    row = max(1, (width - 2 + BETWEEN) // column)
    lines: list[str] = []
    for start in range(0, len(drawn), row):
        part = drawn[start : start + row]
        lines.append("".join(f"{start + i + 1}".ljust(column) for i in range(len(part))))
        for height in range(max(len(sketch) for sketch in part)):
            lines.append("".join((sketch[height] if height < len(sketch) else "").ljust(column) for sketch in part))
    return "".join(f"  {line.rstrip()}"[:width] + "\n" for line in lines)


def cautions_text(found: Findings, width: int) -> str:
    """All cautions, as they stand in a report; empty where there are none."""
    if not found.cautions:
        return ""
    lines = [Line(f"{each.short} ({STATUS.get(each.status, each.status)})", "  - ", "    ") for each in found.cautions]
    return folded([Line("Caution. Local codes and a licensed fitter come first."), *lines], width) + "\n"


def seconds_words_of(examination: Examination, look: str) -> str:
    """What a look costs here, in brackets; empty where it is not offered."""
    base = examination.compiled.base
    seconds = cost_of(base, look, examination.situation)
    if seconds is None and base.features[look].access in examination.also:
        seconds = seconds_of(base, look)
    return "" if seconds is None else f" ({seconds_words(seconds)})"


@dataclass
class Showing:
    """Everything a session shows but for single remarks."""

    screen: Screen
    next_looks: int
    against: Group | None
    reported: tuple[Case, Goal] | None = None
    """Of what the report was shown last."""

    def is_reported(self, examination: Examination) -> bool:
        """Whether the report shown last was of this."""
        return self.reported == (examination.case, examination.goal)

    def report(self, examination: Examination, name: str) -> None:
        """Everything found so far, the cautions in one line."""
        found = self._found(examination, name)
        self.screen.write("\n" + findings_text(found.model_copy(update={"cautions": []}), self.screen.width) + "\n")
        if found.cautions:
            self.screen.tell(CAUTION)
        self.reported = (examination.case, examination.goal)

    def last_report(self, examination: Examination, name: str) -> None:
        """What a session ends with: the report with all cautions, of which what was just shown is not said again."""
        found, width = self._found(examination, name), self.screen.width
        shown = self.is_reported(examination)
        self.screen.write("\n" + (cautions_text(found, width) if shown else findings_text(found, width)))

    def _found(self, examination: Examination, name: str) -> Findings:
        return findings(examination, name, looks=self.next_looks, against=self.against)

    def leaders(self, examination: Examination) -> None:
        """The three likeliest lines, in one, and the seconds so far."""
        self.screen.write("\n" + leaders_text(examination, self.screen.width))

    def ask_line(self, look: str, examination: Examination) -> None:
        """The question alone, as the line that stays in sight."""
        self.screen.mark()
        self.screen.tell(examination.compiled.base.features[look].ask + seconds_words_of(examination, look))

    def question(self, look: str, examination: Examination) -> None:
        """The question, where to look, and the values by number, with their sketches where the screen holds them."""
        screen, base = self.screen, examination.compiled.base
        feature = base.features[look]
        self.ask_line(look, examination)
        screen.tell(feature.look, "  ", "  ")
        for seen in examination.case.observations:
            if seen.feature == look:
                screen.tell(f"So far: {seen_words(base, seen)}. An answer takes its place.")
        answers, sketches = answers_text(feature, screen.width), sketches_text(feature, screen.width)
        if screen.below + (sketches + answers).count("\n") <= screen.rows - ABOVE_AND_BELOW:
            screen.write(sketches + answers)
        else:
            screen.write(answers + ("d draws them.\n" if sketches else ""))

    def drawn(self, look: str, examination: Examination) -> None:
        """The sketches of a look's values above their words, however tall."""
        feature, width = examination.compiled.base.features[look], self.screen.width
        drawn = sketches_text(feature, width)
        self.screen.write(drawn + answers_text(feature, width) if drawn else "There are no drawings of these.\n")
