"""The set-up sheet as plain text, folded to a page: each caution in full once, under a letter, before the first step.

Steps point at cautions by letter and name, and at sources by number. A setting keeps its own mark and its own cautions
on its line. A mark that all of a part or a step share is said once, at its head.
"""

from __future__ import annotations

from hobmark.knowledge.schema.bench import Mark, Work
from hobmark.knowledge.schema.setting_up import Record
from hobmark.reports.page import WIDTH, Line, folded, seconds_words
from hobmark.reports.setup_letters import Pointers, once, pointers_of
from hobmark.reports.setup_shape import (
    CauseShown,
    ChoiceShown,
    FieldShown,
    FoundJetShown,
    GasShown,
    JetShown,
    SectionShown,
    SetupReport,
    StepShown,
    SymptomShown,
)
from hobmark.reports.words import percent

CAUSES = 6
"""Causes of a symptom that are shown."""
WHO = {
    Work.OWNER: "owner may",
    Work.FITTER: "licensed fitter",
    Work.STOP: "not used until a licensed fitter has looked",
}
"""Who may do a piece of work, in words."""
NONE_LEFT = "Nothing known is left that fits. Leave it off; a licensed fitter looks."
"""What is said where every cause was looked at in vain."""
BLANK = "[........|........]"
"""Room to write in: as found, as left."""
TICK = "[ ]|[ ]"
"""Boxes to tick: as found, as left."""
LEGEND = "[as found| as left]"
"""What stands over the room to write in."""


def setup_text(report: SetupReport, width: int = WIDTH) -> str:
    """The whole sheet: symptom first where there is one, then cautions, gas, steps; what each rests on at the end."""
    symptom = report.symptom
    bearing = bearing_on(symptom) if symptom is not None else []
    pointers = pointers_of(report.cautions, bearing)
    if symptom is not None and symptom.stop:
        blocks = [_stop(symptom, pointers), pointers.in_full(bearing), pointers.sources()]
    else:
        others = [each.id for each in report.cautions if each.id not in bearing]
        blocks = [
            [Line(f"Set-up sheet: {report.label}"), Line(report.first)],
            [_box(step) for section in report.sections for step in section.steps if step.box],
            _by_rules(report, pointers),
            _symptom(symptom, pointers) if symptom is not None else [],
            pointers.in_full(bearing),
            _ranges(report),
            [Line("CAUTIONS, pointed at by their letters: ! A"), *pointers.in_full(others)],
            _gas(report.gas, pointers),
            _jets(report, pointers),
            *(_section(section, pointers) for section in report.sections),
            pointers.sources(),
        ]
    blocks.append([Line(report.demonstration)] if report.demonstration else [])
    return "\n\n".join(folded(block, width) for block in blocks if block) + "\n"


def bearing_on(symptom: SymptomShown) -> list[str]:
    """The cautions of a symptom, of its next check, and of its cause where that is found."""
    return once([symptom.cautions, *(each.cautions for each in (symptom.next, symptom.found) if each is not None)])


def _stop(symptom: SymptomShown, pointers: Pointers) -> list[Line]:
    steps = [Line(f"{n}. {do}", "  ", "     ") for n, do in enumerate(symptom.do, 1)]
    pointed = f"{pointers.grounds(symptom.mark, symptom.source)} {pointers.point(symptom.cautions)}"
    return [Line(f"STOP: {symptom.label}."), *steps, Line(pointed, "  ", "  ")]


def _by_rules(report: SetupReport, pointers: Pointers) -> list[Line]:
    return [
        Line(f"!! {each.says} ({each.status}, {pointers.number(each.source)})", "", "   ") for each in report.by_rules
    ]


def _ranges(report: SetupReport) -> list[Line]:
    lines = [Line("The range, by what is known")]
    lines += [Line(f"{percent(each.chance):>4}  {each.label}", "  ", " " * 8) for each in report.ranges]
    if not report.settled:
        lines.append(Line("Not settled: where the sheet differs between these, all of it is given."))
    return lines


def _symptom(symptom: SymptomShown, pointers: Pointers) -> list[Line]:
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


def _gas(gas: GasShown, pointers: Pointers) -> list[Line]:
    lines = [Line(f"GAS: {gas.says} {pointers.point(gas.cautions)}", "", "  ")]
    lines += [Line(f"!! {each}", "  ", "     ") for each in gas.contradictions]
    chances = ", ".join(f"{name.value} {percent(chance)}" for name, chance in gas.chances.items())
    lines.append(Line(f"By the clues (our estimate, no source): {chances}.", "  ", "    "))
    lines += [Line(f"- {each}", "  ", "    ") for each in gas.why if each not in gas.contradictions]
    lines += [Line(f"Not counted: {each}", "  ", "    ") for each in gas.refused]
    if gas.gas is None or gas.named_by == "you":
        lines.append(Line("What would settle it (times are our estimate)", "  ", "  "))
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


def _found_words(jet: JetShown, found: FoundJetShown) -> str:
    """A jet that was gauged beside the one reckoned."""
    passes = f" passes {found.flow.text}," if found.flow is not None else ","
    times = f"{found.of_flow.text} the flow of {jet.drill} and {found.of_heat.text} the heat to be given"
    return f"found: {found.called}, {found.bore.text}{passes} {times}"


def _jets(report: SetupReport, pointers: Pointers) -> list[Line]:
    """The jets; what they were reckoned with (heat, gravity, pressure) stands right below them."""
    jets = report.jets
    if not jets and not report.no_jets:
        return []
    lines = [Line(f"JETS {report.jets_are}", "", "  ")]
    for jet in jets:
        whom = f" ({', '.join(jet.ranges) or 'any range'}, {percent(jet.chance)})"
        beside = " and ".join(each for each in (jet.smaller, jet.larger) if each is not None)
        comparing = "; for comparing only, no jet is chosen by it" if jet.for_comparing else ""
        passes = f"; passes {jet.flow.text}" if jet.flow is not None else ""
        told = (
            f"{jet.burner}{whom}, {jet.gas_label}: {jet.input.text}; {jet.drill}, {jet.bore.text}; beside it {beside}"
        )
        behind = f"[{jet.bore.mark.value}]{comparing} {pointers.point(jet.bore.cautions)}"
        lines.append(Line(f"{told}{passes} {behind}", "  ", "    "))
        for found in jet.found:
            warned = f"!! {found.warning}: " if found.warning else ""
            behind = f"[{found.bore.mark.value}] {pointers.point(found.bore.cautions)}"
            lines.append(Line(f"{warned}{_found_words(jet, found)} {behind}", "    ", "      "))
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


def _box(step: StepShown) -> Line:
    """What is printed large, and of which ranges it holds where that is not settled."""
    only = f" only with {step.only_if} ({percent(step.chance)})" if step.only_if is not None else ""
    return Line(f"*** {step.box} ***{only}", "", "  ")


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
