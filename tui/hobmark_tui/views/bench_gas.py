"""The facts of the gas as lines to take and lists to choose from: what is recorded, and what may be said of it."""

from __future__ import annotations

from hobmark.bench.fuel import fuel_table
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.record_names import INSTEAD
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import RegulatorSeen
from hobmark.knowledge.schema.record_terms import LaidOnBy, LeakMethod, PressureAt, RegulatorState, SampledAt
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.page import seconds_words
from hobmark.reports.setup_gas import BY
from hobmark.reports.setup_shape import SetupReport

from hobmark_tui.views.choices import Choice

OUT = "out"
"""The choice that takes a fact out of the record."""
NOT_TOLD = "not_told"
"""The choice that leaves a part of a fact open."""
FACTS = {
    "laid_on": "l",
    "jets": "j",
    "regulators": "r",
    "pressure": "m",
    "wanted": "g",
    "altitude": "a",
    "leak_check": "k",
    "clue": "c",
    "more": "n",
    "cleared": "x",
}
"""What can be told on the set-up page, and the key for it."""
METHODS = {
    LeakMethod.GAUGE: ("gauge", "a gauge on the closed piping, at the start and at the end"),
    LeakMethod.METER: ("meter", "the meter's test hand, everything shut"),
    LeakMethod.FLUID: ("leak fluid", "finds the place of a leak; it shows no piping to hold"),
}
AT = {
    PressureAt.MANIFOLD: ("manifold", "behind the range's regulator"),
    PressureAt.INLET: ("inlet", "ahead of the range's regulator"),
    PressureAt.HOUSE: ("house", "at the meter or tank"),
}
STATES = {
    RegulatorState.FITTED: "fitted: it is there",
    RegulatorState.NONE: "none: the place was looked at, and never had one",
    RegulatorState.GONE: "gone: holes or a pale patch, there was one",
    RegulatorState.NOT_SEEN: "not looked at",
}


def fact_choices(report: SetupReport, record: BenchRecord, stands: bool) -> list[Choice]:
    """A line for each fact, with what is recorded of it; what can be put right only where something stands."""
    gas, leak = report.gas, report.record.leak_check
    value = f"; {gas.laid_on.heating_value.text}" if gas.laid_on.heating_value is not None else ""
    read = [f"{each.at.value} {each.reads.text}" for each in gas.pressures]
    clues = [f"{each.clue.replace('_', ' ')}: {each.value.replace('_', ' ')}" for each in record.clues]
    told = {
        "laid_on": f"laid on: {gas.laid_on.says}{value}",
        "jets": f"jets, set for: {gas.set_for}; {gas.gauged.partition(';')[0]}",
        "regulators": f"regulators: {gas.regulator.says}; {gas.house_regulator.says}",
        "pressure": f"pressure: {'; '.join(read) or gas.pressure_says}",
        "wanted": f"wanted: {gas.wanted_says}",
        "altitude": f"height: {report.altitude or 'not told; reckoned at sea level'}",
        "leak_check": f"leak check: {leak.says if leak is not None else 'not recorded'}",
        "clue": f"clues: {'; '.join(clues) or 'none given'}",
        "more": f"more: {more_words(record)}",
    }
    told |= {"cleared": "put right: what was told, by whom and when"} if stands else {}
    return [Choice(name, label) for name, label in told.items()]


def more_words(record: BenchRecord) -> str:
    """What else is recorded, counted."""
    counted = {"CO samples": record.combustion, "dial marks": record.dial, "not done": record.not_done}
    words = [f"{what} {len(each)}" for what, each in counted.items()]
    return ", ".join([*words, "a tag" if record.tag is not None else "no tag"])


def gas_choices(base: KnowledgeBase, none: Choice) -> list[Choice]:
    """The gases, and the choice that names none."""
    return [*(Choice(gas.value, base.bench.gases[gas].label) for gas in Gas), none]


def by_choices() -> list[Choice]:
    """How it may be known which gas is laid on; told without it, it releases nothing."""
    known = [Choice(each.value, words) for each, words in BY.items()]
    return [*known, Choice(NOT_TOLD, "only told", "it is kept, and releases nothing")]


def by_of(answer: str) -> LaidOnBy | None:
    """What such a choice says."""
    return LaidOnBy(answer) if answer != NOT_TOLD else None


def state_choices() -> list[Choice]:
    """What may be seen of a regulator."""
    return [Choice(state.value, words) for state, words in STATES.items()]


def regulator_words(base: KnowledgeBase, seen: RegulatorSeen) -> str:
    """A regulator as it is recorded."""
    gas = f", for {base.bench.gases[seen.gas].label}" if seen.gas is not None else ""
    outlet = f", {seen.outlet}" if seen.outlet is not None else ""
    return f"{seen.state.value.replace('_', ' ')}{gas}{outlet}"


def at_choices(record: BenchRecord) -> list[Choice]:
    """Where a pressure may be read, with the last that was."""
    last = {each.at: each.reads for each in record.pressures}
    return [
        Choice(at.value, word, f"{where}; last {last[at]}" if at in last else where) for at, (word, where) in AT.items()
    ]


def method_choices() -> list[Choice]:
    """How a leak check may have been made."""
    return [Choice(method.value, word, detail) for method, (word, detail) in METHODS.items()]


def sampled_choices() -> list[Choice]:
    """Where carbon monoxide may be sampled."""
    return [Choice(each.value, each.value.replace("_", " ")) for each in SampledAt]


def clue_choices(base: KnowledgeBase, record: BenchRecord) -> list[Choice]:
    """The clues there are, with what was given of each; what the record has a place of its own for is none."""
    given = {each.clue: each.value.replace("_", " ") for each in record.clues}
    return [
        Choice(
            name,
            clue.label,
            f"given: {given[name]}"
            if name in given
            else f"About {seconds_words(clue.seconds)}, our estimate. {clue.do}",
        )
        for name, clue in fuel_table(base).clues.items()
        if clue.refused is None and name not in INSTEAD
    ]


def value_choices(base: KnowledgeBase, record: BenchRecord, name: str) -> list[Choice]:
    """The values a clue may have, and to take it out where it was given."""
    values = [Choice(value, value.replace("_", " ")) for value in fuel_table(base).clues[name].values]
    given = any(each.clue == name for each in record.clues)
    return [*values, *([Choice(OUT, "take it out of the record")] if given else [])]
