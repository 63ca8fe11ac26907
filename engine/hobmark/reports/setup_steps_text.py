"""The appendix of a set-up sheet as plain text: gas and jets reckoned out, every step with its fields, sources.

Steps point at cautions by letter and name, and at sources by number. A setting keeps its own mark and its own cautions
on its line. A mark that all of a part or a step share is said once, at its head.
"""

from __future__ import annotations

from hobmark.knowledge.schema.bench import Mark, Work
from hobmark.knowledge.schema.setting_up import Record
from hobmark.reports.page import Line, seconds_words
from hobmark.reports.setup_gas_shape import GasShown
from hobmark.reports.setup_letters import Pointers, once
from hobmark.reports.setup_shape import ChoiceShown, FieldShown, SectionShown, SetupReport, StepShown
from hobmark.reports.words import percent

WHO = {
    Work.OWNER: "owner may",
    Work.FITTER: "licensed fitter",
    Work.TRAINED: "left alone; only someone trained for it, neither owner nor gas fitter",
    Work.STOP: "not used until a licensed fitter has looked",
}
"""Who may do a piece of work, in words."""
BLANK = "[........|........]"
"""Room to write in: as found, as left."""
TICK = "[ ]|[ ]"
"""Boxes to tick: as found, as left."""
LEGEND = "[as found| as left]"
"""What stands over the room to write in."""


def appendix(report: SetupReport, pointers: Pointers) -> list[list[Line]]:
    """Steps in full and what they rest on."""
    return [
        clues_lines(report.gas, pointers),
        jets_lines(report, pointers),
        *(_section(section, pointers) for section in report.sections),
    ]


def clues_lines(gas: GasShown, pointers: Pointers) -> list[Line]:
    """What the clues lean to, which releases nothing; what would settle it; what a wrong gas does."""
    chances = ", ".join(f"{name.value} {percent(chance)}" for name, chance in gas.chances.items())
    lines = [Line(f"WHICH GAS THE JETS MAY BE FOR, by the clues alone (our estimate, no source): {chances}.", "", "  ")]
    lines += [Line(f"- {each}", "  ", "    ") for each in gas.why if each not in gas.contradictions]
    lines += [Line(f"Not counted: {each}", "  ", "    ") for each in gas.refused]
    if gas.settling:
        lines.append(Line("What would tell more, without a flame (times are our estimate)", "  ", "  "))
        for clue in gas.settling[:3]:
            told = f"{clue.label}, about {seconds_words(clue.seconds)}. {clue.do}"
            lines.append(Line(told, "    ", "      "))
    settings = [wrong.setting for wrong in gas.wrong_gas]
    sources = ", ".join(dict.fromkeys(pointers.number(each.source) for each in settings))
    pointed = pointers.point(once(each.cautions for each in settings))
    lines.append(Line(f"What a wrong gas does to the heat [{sources}] {pointed}", "  ", "    "))
    for wrong in gas.wrong_gas:
        lines.append(Line(f"{wrong.says}: {wrong.setting.text} [{wrong.setting.mark.value}]", "    ", "      "))
    return lines


def jets_lines(report: SetupReport, pointers: Pointers) -> list[Line]:
    """The jets; what they were reckoned with (heat, gravity, pressure) stands right below them."""
    jets = report.jets
    if not jets and not report.no_jets:
        return []
    lines = [Line(f"JETS RECKONED {report.jets_are}", "", "  ")]
    for jet in jets:
        whom = f" ({', '.join(jet.ranges) or 'any range'}, {percent(jet.chance)})"
        beside = " and ".join(each for each in (jet.smaller, jet.larger) if each is not None)
        comparing = "; for comparing only, no jet is chosen by it" if jet.for_comparing else ""
        passes = f"; {jet.share.text} the heat to be given"
        passes += f"; passes {jet.flow.text}" if jet.flow is not None else ""
        told = (
            f"{jet.burner}{whom}, {jet.gas_label}: {jet.input.text}; {jet.drill}, {jet.bore.text}; beside it {beside}"
        )
        behind = f"[{jet.bore.mark.value}]{comparing} {pointers.point(jet.bore.cautions)}"
        lines.append(Line(f"{told}{passes} {behind}", "  ", "    "))
    lines += [Line(each.says, "  ", "    ") for each in report.no_jets]
    return [*lines, *(Line(f"[{each}]", "  ", "   ") for each in dict.fromkeys(jet.bore.source for jet in jets))]


def _section(section: SectionShown, pointers: Pointers) -> list[Line]:
    """A part of the sheet: who may do it, and on what grounds, at its head where all its steps say the same."""
    who, grounds = (
        {WHO[step.who] for step in section.steps},
        {_step_grounds(step, pointers) for step in section.steps},
    )
    shared = [f" ({next(iter(who))})"] if len(who) == 1 else []
    shared += [f" {next(iter(grounds))}"] if len(grounds) == 1 else []
    legend = LEGEND if any(step.fields for step in section.steps) else ""
    lines = [Line(f"{section.label.upper()}{''.join(shared)}", tail=legend)]
    named: set[str] = set()
    for step in section.steps:
        by = f" ({WHO[step.who]})" if len(who) > 1 else ""
        on = f" {_step_grounds(step, pointers)}" if len(grounds) > 1 else ""
        lines += _step(step, pointers, f"{by} {pointers.point(_cautions(step), named)}", on)
        named |= set(_cautions(step))
    return lines


def _step_grounds(step: StepShown, pointers: Pointers) -> str:
    return pointers.grounds(step.mark, step.source)


def _cautions(step: StepShown) -> list[str]:
    """The cautions of a step's deed and words; a setting has its own beside it."""
    words = [
        each for each in (*(c for field in step.fields for c in field.choices), *step.notes) if each.setting is None
    ]
    return once([step.cautions, *(each.cautions for each in words)])


def _step(step: StepShown, pointers: Pointers, behind_title: str, behind_deed: str) -> list[Line]:
    only = f"Only with {step.only_if} ({percent(step.chance)}). " if step.only_if is not None else ""
    return [
        *([Line(f"*** {step.box} ***", "   ", "   ")] if step.box else []),
        Line(f"{step.number}. {step.title}{behind_title}", "", "   "),
        Line(f"{only}{step.do}{behind_deed}", "   ", "   "),
        *(Line(_said(note, step, pointers, named=True), "   ", "     ") for note in step.notes),
        *(line for field in step.fields for line in _field(field, step, pointers)),
    ]


def _field(field: FieldShown, step: StepShown, pointers: Pointers) -> list[Line]:
    only = f" (only with {field.only_if}, {percent(field.chance)})" if field.only_if else ""
    told = [each for each in field.choices if each.setting is not None or each.says]
    named = len(field.choices) > 1 or any(choice.ranges for choice in field.choices)
    said = [_said(each, step, pointers, named=named) for each in told]
    room = TICK if field.record is Record.TICK else BLANK
    tail = f"{field.unit_text} {room}" if field.unit_text else room
    if not told:  # nothing is claimed, so that only a source is worth a word
        sourced = [each for each in field.choices if each.mark is not Mark.COMMON_PRACTICE]
        on = "".join(_own_grounds(each, step, pointers) for each in sourced)
        return [Line(f"{field.label}{only}{on}", "   - ", "     ", tail)]
    if len(told) == 1:
        return [Line(f"{field.label}{only}: {said[0]}", "   - ", "     ", tail)]
    head = Line(f"{field.label}{only}: not settled; what it is depends on the range:", "   - ", "     ", tail)
    return [head, *(Line(each, "     * ", "       ") for each in said)]


def _said(choice: ChoiceShown, step: StepShown, pointers: Pointers, *, named: bool) -> str:
    """A setting with its mark and cautions, or words with their mark where it is not that of the step."""
    words = [choice.setting.text] if choice.setting is not None else []
    words += [choice.says] if choice.says else []
    whom = f"{', '.join(choice.ranges) or 'any other range'} ({percent(choice.chance)}): " if named else ""
    said = f"{whom}{'; '.join(words)}"
    if choice.setting is not None:
        return f"{said} {pointers.grounds(choice.mark, choice.source)} {pointers.point(choice.setting.cautions)}"
    return said + _own_grounds(choice, step, pointers)


def _own_grounds(choice: ChoiceShown, step: StepShown, pointers: Pointers) -> str:
    """The grounds of a choice where they are not those of its step."""
    shared = (choice.mark, choice.source) == (step.mark, step.source)
    return "" if shared else f" {pointers.grounds(choice.mark, choice.source)}"
