"""The set-up sheet as plain text, folded to a page; each setting with its mark, and its cautions right below."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from hobmark.knowledge.schema.bench import Mark, Work
from hobmark.knowledge.schema.setting_up import Record
from hobmark.reports.page import WIDTH, Line, folded, seconds_words
from hobmark.reports.setup_shape import (
    CauseShown,
    CautionShown,
    ChoiceShown,
    FieldShown,
    GasShown,
    JetShown,
    SetupReport,
    StepShown,
    SymptomShown,
)
from hobmark.reports.text import STATUS
from hobmark.reports.words import percent

CAUSES = 6
"""Causes of a symptom that are shown."""
WHO = {
    Work.OWNER: "owner may",
    Work.FITTER: "licensed fitter",
    Work.STOP: "not used until a licensed fitter has looked",
}
"""Who may do a piece of work, in words."""
BLANK = "." * 14
"""Room to write in."""


def setup_text(report: SetupReport, width: int = WIDTH) -> str:
    """The whole sheet: cautions first, then symptom, gas and steps, each with what it rests on."""
    cautions = {each.id: each for each in report.cautions}
    if report.symptom is not None and report.symptom.stop:
        return folded([*_stop(report.symptom), *_cautions(report.symptom.cautions, cautions, "")], width) + "\n"
    blocks = [
        [Line(f"Set-up sheet: {report.label}"), Line(report.first)],
        [Line(f"*** {box} ***") for box in report.boxes],
        _ranges(report),
        _symptom(report.symptom, cautions) if report.symptom is not None else [],
        _gas(report.gas, cautions),
        _jets(report.jets, cautions, report.altitude),
    ]
    for section in report.sections:
        blocks.append([Line(section.label.upper())])
        blocks += [_step(step, cautions) for step in section.steps]
    blocks.append(_all_cautions(report.cautions))
    return "\n\n".join(folded(block, width) for block in blocks if block) + "\n"


def _stop(symptom: SymptomShown) -> list[Line]:
    return [Line(f"STOP: {symptom.label}."), *(Line(f"{n}. {do}", "  ", "     ") for n, do in enumerate(symptom.do, 1))]


def _ranges(report: SetupReport) -> list[Line]:
    lines = [Line("The range, by what is known")]
    lines += [Line(f"{percent(each.chance):>4}  {each.label}", "  ", " " * 8) for each in report.ranges]
    if not report.settled:
        lines.append(Line("Not settled: where the sheet differs between these, all of it is given."))
    return lines


def _symptom(symptom: SymptomShown, cautions: Mapping[str, CautionShown]) -> list[Line]:
    lines = [Line(f"SYMPTOM: {symptom.label}"), *(Line(f"First: {do}", "  ", "    ") for do in symptom.do)]
    if symptom.found is not None:
        lines += [Line(f"Found: {symptom.found.label}.", "  ", "    "), *_remedy(symptom.found, cautions)]
    elif symptom.none_left:
        lines.append(Line("Nothing known is left that fits. Leave it off; a licensed fitter looks.", "  ", "    "))
    else:
        lines.append(Line("What may be behind it (our estimate, no source)", "  ", "  "))
        for cause in symptom.causes[:CAUSES]:
            told = f"{percent(cause.chance):>4}  {cause.label} ({WHO[cause.who]}) [{cause.mark.value}]"
            lines.append(Line(told, "    ", " " * 10))
    if symptom.next is not None:
        act = symptom.next
        effort = f"about {seconds_words(act.seconds)}, our estimate; {WHO[act.who]}"
        lines += [Line(f"Check next: {act.label} ({effort})", "  ", "    "), Line(act.do, "    ", "    ")]
        for outcome in act.outcomes:
            told = f"{outcome.label}: {'; '.join(outcome.speaks_for) or 'none of these'}"
            lines.append(Line(f"{told} (--found {outcome.give})", "      ", " " * 8))
    return [
        *lines,
        Line(_grounds(symptom.mark, symptom.source), "  ", "   "),
        *_cautions(symptom.cautions, cautions),
    ]


def _remedy(cause: CauseShown, cautions: Mapping[str, CautionShown]) -> list[Line]:
    return [
        Line(f"{cause.remedy} ({WHO[cause.who]})", "    ", "    "),
        Line(_grounds(cause.mark, cause.source), "    ", "     "),
        *_cautions(cause.cautions, cautions, "    "),
    ]


def _gas(gas: GasShown, cautions: Mapping[str, CautionShown]) -> list[Line]:
    lines = [Line(f"GAS: {gas.says}")]
    lines += [Line(f"!! {each}", "  ", "     ") for each in gas.contradictions]
    chances = ", ".join(f"{name.value} {percent(chance)}" for name, chance in gas.chances.items())
    lines.append(Line(f"By the clues (our estimate, no source): {chances}.", "  ", "    "))
    lines += [Line(f"- {each}", "  ", "    ") for each in gas.why if each not in gas.contradictions]
    lines += [Line(f"Not counted: {each}", "  ", "    ") for each in gas.refused]
    if gas.gas is None or gas.named_by == "you":
        lines.append(Line("What would settle it", "  ", "  "))
        for clue in gas.settling[:3]:
            lines.append(Line(f"{clue.label} (about {seconds_words(clue.seconds)}, our estimate)", "    ", "      "))
            lines.append(Line(clue.do, "      ", "      "))
    lines.append(Line("What a wrong gas does", "  ", "  "))
    for wrong in gas.wrong_gas:
        said = f"{wrong.says}: {wrong.setting.text} its heat [{wrong.setting.mark.value}]"
        lines.append(Line(said, "    ", "      "))
    lines += [Line(f"[{source}]", "  ", "   ") for source in dict.fromkeys(w.setting.source for w in gas.wrong_gas)]
    return [*lines, *_cautions(gas.cautions, cautions)]


def _jets(jets: Sequence[JetShown], cautions: Mapping[str, CautionShown], altitude: str | None) -> list[Line]:
    if not jets:
        return []
    where = f" at {altitude}" if altitude else ""
    lines = [Line(f"JETS{where}, to compare with what is there; never drilled or reamed on a range")]
    for jet in jets:
        whom = f" ({', '.join(jet.ranges)})" if jet.ranges else ""
        lines.append(Line(f"{jet.burner}{whom}, {jet.gas_label}: {jet.input.text}", "  ", "    "))
        beside = " and ".join(each for each in (jet.smaller, jet.larger) if each is not None)
        comparing = "; for comparing only, no jet is chosen by it" if jet.for_comparing else ""
        passes = f"; passes {jet.flow.text}" if jet.flow is not None else ""
        told = f"{jet.drill}, {jet.bore.text}; beside it {beside}{passes} [{jet.bore.mark.value}]{comparing}"
        lines.append(Line(told, "    ", "      "))
    lines += [Line(f"[{source}]", "  ", "   ") for source in dict.fromkeys(jet.bore.source for jet in jets)]
    return [*lines, *_cautions(_once(jet.bore.cautions for jet in jets), cautions)]


def _step(step: StepShown, cautions: Mapping[str, CautionShown]) -> list[Line]:
    lines = [Line(f"*** {step.box} ***", "   ", "   ")] if step.box else []
    lines.append(Line(f"{step.number}. {step.title} ({WHO[step.who]})", "", "   "))
    if step.only_if is not None:
        lines.append(Line(f"Only with {step.only_if} ({percent(step.chance)})", "   ", "     "))
    lines.append(Line(step.do, "   ", "   "))
    lines.append(Line(_grounds(step.mark, step.source), "   ", "    "))
    for note in step.notes:
        lines.append(Line(_said(note, named=True), "   ", "     "))
    for field in step.fields:
        lines += _field(field)
    within = (choice.cautions for field in step.fields for choice in field.choices)
    notes = (note.cautions for note in step.notes)
    return [*lines, *_cautions(_once([step.cautions, *within, *notes]), cautions, "   ")]


def _field(field: FieldShown) -> list[Line]:
    only = f" (only with {field.only_if}, {percent(field.chance)})" if field.only_if else ""
    tick = "[ ] " if field.record is Record.TICK else ""
    named = len(field.choices) > 1 or any(choice.ranges for choice in field.choices)
    said = [_said(choice, named=named) for choice in field.choices if choice.setting is not None or choice.says]
    head = f"{tick}{field.label}{only}" + (f": {said[0]}" if len(said) == 1 else "")
    lines = [Line(head, "   - ", "       ")]
    if len(said) > 1:
        lines.append(Line("not settled; what it is depends on the range:", "       ", "       "))
        lines += [Line(each, "       * ", "         ") for each in said]
    unit = f" {field.unit_text}" if field.unit_text else ""
    lines.append(Line(f"as found {BLANK}{unit}   as left {BLANK}{unit}", "       ", "       "))
    return lines


def _said(choice: ChoiceShown, *, named: bool) -> str:
    words = [choice.setting.text] if choice.setting is not None else []
    words += [choice.says] if choice.says else []
    whom = f"{', '.join(choice.ranges) or 'any other range'} ({percent(choice.chance)}): " if named else ""
    return f"{whom}{'; '.join(words)} {_grounds(choice.mark, choice.source)}"


def _grounds(mark: Mark, source: str) -> str:
    return f"[{mark.value}]" if source == mark.value else f"[{mark.value}: {source}]"


def _once(listed: Iterable[Sequence[str]]) -> list[str]:
    return list(dict.fromkeys(name for names in listed for name in names))


def _cautions(names: Sequence[str], cautions: Mapping[str, CautionShown], indent: str = "  ") -> list[Line]:
    return [Line(f"! {cautions[name].short}", indent, indent + "  ") for name in names if name in cautions]


def _all_cautions(cautions: Sequence[CautionShown]) -> list[Line]:
    lines = [Line("CAUTIONS. Local codes and a licensed fitter come first.")]
    for each in cautions:
        lines.append(Line(each.says, "  - ", "    "))
        lines.append(Line(f"[{STATUS.get(each.status, each.status)}: {each.source}]", "    ", "     "))
    return lines
