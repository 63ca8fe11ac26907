"""A symptom of the set-up card as plain text: what is done at once, what may be behind it, what to check next."""

from __future__ import annotations

from hobmark.reports.page import Line, seconds_words
from hobmark.reports.setup_letters import Pointers, once
from hobmark.reports.setup_shape import CauseShown, SymptomShown
from hobmark.reports.setup_steps_text import WHO
from hobmark.reports.words import percent

CAUSES = 6
"""Causes of a symptom that are shown."""
NONE_LEFT = "Nothing known is left that fits. Leave it off; a licensed fitter looks."
"""What is said where every cause was looked at in vain."""


def bearing_on(symptom: SymptomShown) -> list[str]:
    """The cautions of a symptom, of its next check, and of its cause where that is found."""
    return once([symptom.cautions, *(each.cautions for each in (symptom.next, symptom.found) if each is not None)])


def stop_lines(symptom: SymptomShown, pointers: Pointers) -> list[Line]:
    """A symptom that stops everything: what is done, in its order."""
    steps = [Line(f"{n}. {do}", "  ", "     ") for n, do in enumerate(symptom.do, 1)]
    pointed = f"{pointers.grounds(symptom.mark, symptom.source)} {pointers.point(symptom.cautions)}"
    return [Line(f"STOP: {symptom.label}."), *steps, Line(pointed, "  ", "  ")]


def symptom_lines(symptom: SymptomShown, pointers: Pointers) -> list[Line]:
    """Any other: first acts, causes by their chances, the next check with its outcomes."""
    grounds = pointers.grounds(symptom.mark, symptom.source)
    lines = [Line(f"SYMPTOM: {symptom.label} {grounds} {pointers.point(symptom.cautions)}", "", "  ")]
    lines += [Line(f"First: {do}", "  ", "    ") for do in symptom.do]
    if symptom.found is not None:
        lines += [Line(f"Found: {symptom.found.label}.", "  ", "    "), _remedy(symptom.found, pointers)]
    elif symptom.none_left:
        lines.append(Line(NONE_LEFT, "  ", "    "))
    else:
        lines.append(
            Line("What may be behind it, and who may see to it (chances are our estimate, no source)", "  ", "    ")
        )
        for cause in symptom.causes[:CAUSES]:
            on = f" {pointers.grounds(cause.mark, cause.source)}"
            told = f"{percent(cause.chance):>4}  {cause.label} ({WHO[cause.who]}){on if on != f' {grounds}' else ''}"
            lines.append(Line(told, "    ", " " * 10))
    if symptom.next is not None:
        act = symptom.next
        effort = f"about {seconds_words(act.seconds)}, our estimate; {WHO[act.who]}"
        behind = f" {pointers.point(act.cautions)}" if act.lights else ""
        lines += [Line(f"Check next: {act.label} ({effort})", "  ", "    "), Line(f"{act.do}{behind}", "    ", "    ")]
        for outcome in act.outcomes:
            told = f"{outcome.label}: {'; '.join(outcome.speaks_for) or 'none of these'}"
            lines.append(Line(f"{told} (--found {outcome.give})", "      ", " " * 8))
    if symptom.held:
        lines.append(Line(f"Held back: {'; '.join(symptom.held)} {symptom.held_says}", "  ", "    "))
    return lines


def _remedy(cause: CauseShown, pointers: Pointers) -> Line:
    grounds = f"{pointers.grounds(cause.mark, cause.source)} {pointers.point(cause.cautions)}"
    return Line(f"{cause.remedy} ({WHO[cause.who]}) {grounds}", "    ", "    ")
