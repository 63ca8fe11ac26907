"""Choosing the gas of a set-up sheet: named, or found by clues."""

from __future__ import annotations

from collections.abc import Sequence

from hobmark.bench.fuel import fuel_table
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.bench import JET_SIZE, PRESSURE
from hobmark.reports.page import seconds_words
from hobmark.reports.setup_shape import SetupReport
from hobmark.reports.words import percent

from hobmark_tui.views.bench import Bench
from hobmark_tui.views.choices import Choice

BY_CLUES = "by_clues"
"""The choice that names no gas."""
EXAMPLES = {
    JET_SIZE: "Write the drills with commas between, as 54, 55, or bores with their unit, as 1.4 mm.",
    PRESSURE: "Write it with its unit, as 4 in wc or 10 mbar.",
}
"""How clues are written that are no choice of words."""


def gas_words(report: SetupReport) -> str:
    """The gas of a sheet in a few words, and how it is known."""
    if report.gas.gas is None:
        return "gas: cannot tell"
    return f"{report.gas.gas.value} ({'named' if report.gas.named_by == 'you' else 'by clues'})"


def gas_says(report: SetupReport | None) -> str:
    """What the sheet says of the gas, contradictions first; nothing where all stops."""
    if report is None or (report.symptom is not None and report.symptom.stop):
        return ""
    return " ".join([*(f"!! {each}" for each in report.gas.contradictions), report.gas.says])


def gas_choices(base: KnowledgeBase, report: SetupReport) -> list[Choice]:
    """The gases, each with its chance by the clues, and the choice to name none."""
    by_clues = Choice(BY_CLUES, "by the clues", "named by nobody: the sheet says what the clues say")
    return [
        by_clues,
        *(
            Choice(gas.value, base.bench.gases[gas].label, f"{percent(chance)} by the clues (our estimate, no source)")
            for gas, chance in report.gas.chances.items()
        ),
    ]


def clue_choices(base: KnowledgeBase, bench: Bench) -> list[Choice]:
    """The clues there are, measured ones first, with what was given of each."""
    given = {each.clue: each.value.replace("_", " ") for each in bench.clues}
    clues = sorted(fuel_table(base).clues.items(), key=lambda pair: not pair[1].measured)
    return [
        Choice(
            name,
            clue.label,
            f"given: {given[name]}"
            if name in given
            else f"About {seconds_words(clue.seconds)}, our estimate. {clue.do}",
        )
        for name, clue in clues
        if clue.refused is None
    ]


def value_choices(base: KnowledgeBase, name: str) -> tuple[str, str, Sequence[Choice]]:
    """A clue's words, how it is found, and the values it may have; no values where it is written."""
    clue = fuel_table(base).clues[name]
    how = f"{clue.do} {EXAMPLES.get(name, '')}".strip()
    if name in EXAMPLES:
        return clue.label, how, ()
    return clue.label, how, [Choice(value, value.replace("_", " ")) for value in clue.values]
