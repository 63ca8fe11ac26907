"""The release as a table for a reader: every combination of the facts that releases, and what each other state does."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from hobmark.bench.release import (
    GasFacts,
    JetsFact,
    LeakFact,
    PressureFact,
    RegulatorFact,
    SetFor,
    SymptomFact,
    release_of,
)
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.page import WIDTH, Line, folded

STATES = {
    "symptom": tuple(SymptomFact),
    "laid_on": (None, *Gas),
    "set_for": tuple(SetFor),
    "regulator": tuple(RegulatorFact),
    "house_regulator": tuple(RegulatorFact),
    "pressure": tuple(PressureFact),
    "jets": tuple(JetsFact),
    "clues_agree": (True, False),
    "leak_check": tuple(LeakFact),
}
"""Every fact with every state it may have."""


def every_combination() -> Iterator[GasFacts]:
    """All combinations of the states of the facts."""
    return (GasFacts(*states) for states in itertools.product(*STATES.values()))


def released() -> list[GasFacts]:
    """The combinations that release, in order."""
    return [facts for facts in every_combination() if release_of(facts).allowed]


def release_table(width: int = WIDTH) -> str:
    """The table in words."""
    rows, count = released(), sum(1 for _ in every_combination())
    head = [
        Line(f"RELEASED to a licensed fitter: {len(rows)} of {count:,} combinations. All others refuse."),
        Line(
            "In each of these no symptom stops or is not gone through, no clue speaks against another, every jet that "
            "is to be lit is set for the gas laid on and gives its heat within a tenth at this height and pressure, "
            "and the leak check holds. The gas that is wanted is no fact of a release.",
            "  ",
            "  ",
        ),
    ]
    lines = []
    for number, row in enumerate(rows, 1):
        gas = row.laid_on.value if row.laid_on is not None else "not known"
        both = f"regulator of the range: {row.regulator.value}; of the house or tank: {row.house_regulator.value}"
        told = f"{number}. {gas} laid on and set for; {both}; pressure: {row.pressure.value}"
        lines.append(Line(told, "  ", "      "))
    refused = [Line("REFUSED by one state alone, whatever else is known:")]
    refused += [Line(f"- {each}", "  ", "    ") for each in _refusing(rows)]
    return "\n\n".join(folded(block, width) for block in (head, lines, refused)) + "\n"


def _refusing(rows: list[GasFacts]) -> list[str]:
    """The states that stand in no released row."""
    told = []
    for name, states in STATES.items():
        seen = {getattr(row, name) for row in rows}
        words = [_word(state) for state in states if state not in seen]
        told += [f"{_LABELS[name]}: {', '.join(words)}"] if words else []
    return told


_LABELS = {
    "symptom": "symptom, fault found or carbon monoxide",
    "laid_on": "laid on",
    "set_for": "set for",
    "regulator": "regulator of the range",
    "house_regulator": "regulator of the house or tank",
    "pressure": "pressure",
    "jets": "heat of the jets",
    "clues_agree": "clues agree",
    "leak_check": "leak check",
}


def _word(state: object) -> str:
    if state is None:
        return "not known"
    return {True: "yes", False: "no"}[state] if isinstance(state, bool) else str(state)
