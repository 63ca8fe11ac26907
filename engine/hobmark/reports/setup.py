"""The set-up sheet of a case, gathered once: ranges, symptom, gas, jets, steps with their settings, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hobmark.bench.account import Account, account_of
from hobmark.bench.setup import HEAT_FIELDS, SHOWN, Choice, FieldChoices, StepChoices, gases_of, steps_of
from hobmark.bench.symptom_evidence import evidence_of
from hobmark.bench.symptom_words import symptom_id_of
from hobmark.bench.symptoms import search
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import SHOWN as SHOWN_UNITS
from hobmark.knowledge.quantities import read_quantity
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.setting_up import PART_LABELS, Part
from hobmark.knowledge.vocabulary import Gas
from hobmark.problems import Problem, Refused
from hobmark.reasoning.examination import Examination
from hobmark.reports.cautions import rule_cautions
from hobmark.reports.setup_gas import gas_shown
from hobmark.reports.setup_gas_shape import GasShown, RecordShown
from hobmark.reports.setup_jets import height_words, jets_are, jets_shown, no_jets_shown
from hobmark.reports.setup_record import co_limits, record_shown
from hobmark.reports.setup_release import release_shown
from hobmark.reports.setup_settings import shown_setting
from hobmark.reports.setup_shape import (
    CautionShown,
    ChoiceShown,
    FieldShown,
    JetShown,
    RangeShown,
    SectionShown,
    SetupReport,
    StepShown,
    SymptomShown,
)
from hobmark.reports.setup_symptom import symptom_shown
from hobmark.reports.words import demonstration, group_words, short_group

SURE = 0.98
"""From this probability on a step or a field is taken to be of use without saying "only if"."""
ALWAYS = ("gas_leak", "wrong_gas", "carbon_monoxide")
"""Cautions that stand on every sheet, used or not."""


def set_up(
    examination: Examination,
    name: str,
    *,
    record: BenchRecord | None = None,
    symptom: str | None = None,
    found: Sequence[tuple[str, str]] = (),
) -> SetupReport:
    """The sheet of a case called `name` (its file), or of the case with another bench record.

    Raises Refused for a base without bench tables, ValueError for a symptom or an outcome that the base has not.
    """
    base = examination.compiled.base
    must_have_tables(base)
    symptom = symptom_id_of(base.bench.faults, symptom) if symptom is not None else None
    account = account_of(examination, record, symptom=symptom, found=found)
    reckoned = _reckoned(account)
    gases = gases_of(reckoned, account.verdict.chances)
    stops = symptom is not None and base.bench.faults.symptoms[symptom].stop
    steps = () if stops else steps_of(examination, gases)  # where all stops nobody goes on to set a range up
    sections = _sections(examination, steps, account.feet)
    jets = jets_shown(base, steps, gases, account)
    told_of_gas = gas_shown(base, account, reckoned)
    sought = None
    if symptom is not None:
        case = evidence_of(examination, account.record, account.places, symptom)
        sought = symptom_shown(base, search(base, symptom, found, may_light=account.release.allowed, case=case))
    ranges = _ranges(examination)
    height = read_quantity(account.record.altitude) if account.record.altitude is not None else None
    kept = record_shown(base, account)
    return SetupReport(
        case=name,
        label=examination.case.label,
        release=release_shown(base, account),
        settled=bool(ranges) and ranges[0].variant is not None and examination.named,
        ranges=ranges,
        by_rules=rule_cautions(examination),
        symptom=sought,
        symptoms={each: entry.label for each, entry in base.bench.faults.symptoms.items()},
        stop_list=[entry.label for entry in base.bench.faults.symptoms.values() if entry.stop],
        gas=told_of_gas,
        record=kept,
        co_limits=co_limits(base),
        altitude=height_words(height),
        demonstration=demonstration(base),
        jets_are=jets_are(height),
        jets=jets,
        no_jets=no_jets_shown(steps, jets),
        boxes=list(dict.fromkeys(step.box for part in sections for step in part.steps if step.box)),
        sections=sections,
        cautions=_cautions(base, [sought, told_of_gas, kept, *jets, *sections]),
    )


def _reckoned(account: Account) -> Gas | None:
    """The gas that steps and jets are told for: the one laid on, else the one wanted, else whatever may be."""
    return account.laid_on if account.laid_on is not None else account.record.wanted


def must_have_tables(base: KnowledgeBase) -> None:
    """Raise Refused for a base that has not the tables a sheet is made of."""
    bench = base.bench
    cautioned = set(ALWAYS) <= {*base.cautions, *bench.hazards}
    if not (cautioned and bench.steps and bench.fuel and bench.gases and bench.drills):
        message = (
            f"a set-up sheet needs set_up.yaml, fuel.yaml, gases.yaml and drills.yaml in reference/, and the cautions "
            f"{', '.join(ALWAYS)}; this base has not all of them."
        )
        raise Refused([Problem("hobmark", 1, 1, message, "Name the base that comes with hobmark first.")])


def _ranges(examination: Examination) -> list[RangeShown]:
    base, cells = examination.compiled.base, examination.compiled.model.cells
    chances = examination.ranking.by_group
    order = sorted(range(len(chances)), key=lambda g: (-chances[g], g))
    return [
        RangeShown(
            maker=cells.groups[g].maker,
            variant=cells.groups[g].variant,
            label=group_words(base, cells.groups[g]),
            chance=float(chances[g]),
        )
        for g in order
        if chances[g] >= SHOWN
    ]


def _sections(examination: Examination, steps: Sequence[StepChoices], feet: float) -> list[SectionShown]:
    sections = []
    numbers = {each.step.id: number for number, each in enumerate(steps, start=1)}
    for part in Part:
        here = [_step(examination, each, numbers[each.step.id], feet) for each in steps if each.step.part is part]
        if here:
            sections.append(SectionShown(id=part, label=PART_LABELS[part], steps=here))
    return sections


def _step(examination: Examination, each: StepChoices, number: int, feet: float) -> StepShown:
    base, step = examination.compiled.base, each.step
    if_has = [_has(base, feature, values) for feature, values in step.when.items()]
    if_gas = [_gas_words(base, step.gas)] if step.gas else []
    return StepShown(
        id=step.id,
        number=number,
        title=step.title,
        do=step.do,
        who=step.who,
        only_if="; ".join([*if_has, *if_gas]) if each.chance < SURE and (if_has or if_gas) else None,
        chance=min(1.0, each.chance),
        box=step.box,
        source=step.said_source,
        mark=step.mark,
        cautions=list(step.cautions),
        fields=[_field(examination, field, feet) for field in each.fields],
        notes=[_choice(base, note) for note in each.notes],
    )


def _has(base: KnowledgeBase, feature: str, values: Sequence[str]) -> str:
    entry = base.features[feature]
    label = entry.label[0].lower() + entry.label[1:]
    return f"{label}: {' or '.join(entry.value_label(value) for value in values)}"


def _gas_words(base: KnowledgeBase, gases: Sequence[Gas]) -> str:
    return " or ".join(base.bench.gases[gas].label for gas in gases)


def _field(examination: Examination, each: FieldChoices, feet: float) -> FieldShown:
    """A line to fill in; up high the heat of a burner says that it is a figure for sea level."""
    base, field = examination.compiled.base, each.field
    only_if = [_gas_words(base, field.gas)] if field.gas else []
    only_if += [_has(base, "jet_hood", field.jet)] if field.jet else []
    return FieldShown(
        id=field.id,
        label=f"{field.label}, at sea level" if feet and field.id in HEAT_FIELDS else field.label,
        record=field.record,
        unit=field.unit.value if field.unit is not None else None,
        unit_text=SHOWN_UNITS.get(field.unit, field.unit.value) if field.unit is not None else None,
        only_if="; ".join(only_if) if each.chance < SURE and only_if else None,
        chance=min(1.0, each.chance),
        settled=len(each.choices) == 1 or each.choices[0].chance >= base.wording.stop.settled,
        choices=[_choice(base, choice) for choice in each.choices],
    )


def _choice(base: KnowledgeBase, each: Choice) -> ChoiceShown:
    return ChoiceShown(
        setting=shown_setting(each.setting) if each.setting is not None else None,
        says=each.says,
        source=each.source,
        mark=each.mark,
        cautions=list(each.cautions),
        chance=min(1.0, each.chance),
        ranges=[short_group(base, group) for group in each.groups],
        statement=each.statement,
    )


def _cautions(
    base: KnowledgeBase, shown: Iterable[SymptomShown | GasShown | RecordShown | JetShown | SectionShown | None]
) -> list[CautionShown]:
    """Every caution that is named on the sheet, and those that stand on every sheet, as the base has them in order."""
    known = base.cautions | base.bench.hazards
    named = {*ALWAYS, *_named([each.model_dump() for each in shown if each is not None])}
    return [
        CautionShown(
            id=name,
            name=entry.name or entry.short,
            says=entry.says,
            short=entry.short,
            source=entry.source,
            status=entry.status,
        )
        for name, entry in known.items()
        if name in named
    ]


def _named(value: object) -> Iterable[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            if name == "cautions" and isinstance(inner, list):
                yield from map(str, inner)
            else:
                yield from _named(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _named(inner)
