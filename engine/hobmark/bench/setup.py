"""The set-up sheet of a case: steps in order, and for each field what is right for the variants it may be.

What a maker's paper says of a field goes before what holds of any range; of the maker's statements the one about the
variant goes before the family's, and that before the maker's. Each choice bears the probability of its ranges.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hobmark.bench.fuel import Evidence
from hobmark.bench.settings import Setting, setting_of
from hobmark.knowledge.base import EVERY_VARIANT, KnowledgeBase, MakerFolder
from hobmark.knowledge.bench_tables import JET_HOOD
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.setting_up import Blank, Part, SetupStatement, Step
from hobmark.knowledge.vocabulary import Gas, Status, Sure
from hobmark.reasoning.cells import Floats, Group
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.reading import likelihood
from hobmark.reasoning.statements import applies_in

SHOWN = 0.01
"""Variants and values less probable than this are not told apart on the sheet."""
LEFT_OUT = 0.02
"""A step for what the range has with no more than this probability is left out, unless it warns."""
TOP_INPUT, OVEN_INPUT = HEAT_FIELDS = ("top_burner_input", "oven_burner_input")
"""Fields of set_up.yaml that state the heat of a top burner and of the oven's."""
GAS_WORDS = {
    Gas.NATURAL: r"nat(?:ural)? gas|natural(?= (?:or|and|manufactured)\b)",
    Gas.BOTTLED: r"l ?p ?g(?:as)?|bottled gas|propane|butane|liquefied petroleum|tank gas",
    Gas.MANUFACTURED: r"(?:manufactured|mfd|town|city|coal) gas|manufactured(?= or\b)",
}
"""Words on a plate that name a gas, with every sign but letters and figures taken for a blank."""
DENIED = r"\b(?:not|never|except|unless|no)\b(?: \w+){0,4} "
"""What turns the name of a gas behind it round: such a plate is read by a person."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that may be right for a field or step, how probable it is, and of which ranges it is said.

    `groups` is empty where it holds of any range. `statement` is the maker's, None where the general table speaks.
    """

    setting: Setting | None
    says: str | None
    source: str
    mark: Mark
    cautions: tuple[str, ...]
    chance: float
    groups: tuple[Group, ...]
    statement: str | None


@dataclass(frozen=True, slots=True)
class FieldChoices:
    """A field of the sheet with what may be right for it; `chance` that the field is of use (kind of jet, gas)."""

    field: Blank
    chance: float
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class StepChoices:
    """A step of the sheet: how probable it is that the range has what it speaks of, its fields, the maker's words."""

    step: Step
    chance: float
    fields: tuple[FieldChoices, ...]
    notes: tuple[Choice, ...]


def chances_of(examination: Examination, feature: str) -> dict[str, float]:
    """P(value | all that is known) of a feature; where it was looked at, by that look as well.

    A look of another range's part, or at a feature the base has not, tells nothing.
    """
    base, model = examination.compiled.base, examination.compiled.model
    table = model.features[feature]
    chances = table.phi @ examination.ranking.posterior
    for seen in examination.observations:
        if seen.feature == feature and seen.removed:
            chances = np.array([float(value == "absent") for value in table.values])
        elif seen.feature == feature and seen.is_reading:
            chances = chances * likelihood(base, feature, seen)
    total = chances.sum()
    even = np.full(len(table.values), 1 / len(table.values))
    return dict(zip(table.values, (chances / total if total > 0 else even).tolist(), strict=True))


def evidence_in(examination: Examination) -> tuple[Evidence, ...]:
    """Clues to the gas that the case holds: kind of jet hood, regulator, and a gas named on a plate."""
    found = [
        Evidence(seen.feature, seen.is_[0])
        for seen in examination.case.observations
        if seen.feature in (JET_HOOD, "regulator") and seen.sure is Sure.CERTAIN
        if seen.is_ is not None and len(seen.is_) == 1
    ]
    for seen in examination.case.observations:
        words = " ".join(re.sub(r"\W+", " ", (seen.plate_text or "").casefold()).split())
        named = [gas for gas, spelled in GAS_WORDS.items() if re.search(rf"\b(?:{spelled})\b", words)]
        if len(named) == 1 and not re.search(DENIED + rf"(?:{GAS_WORDS[named[0]]})\b", words):
            found.append(Evidence("plate_words", named[0].value))
    fuel = examination.compiled.base.bench.fuel
    known = fuel.clues if fuel is not None else {}
    return tuple(each for each in dict.fromkeys(found) if each.clue in known and each.value in known[each.clue].values)


def heat_fields(examination: Examination) -> tuple[FieldChoices, ...]:
    """The fields that state what a burner is to give, each with what may be right for the range."""
    steps = examination.compiled.base.bench.steps
    stated = [(step, field) for step in steps for field in step.fields if field.id in HEAT_FIELDS]
    return tuple(FieldChoices(field, 1.0, tuple(_choices(examination, step, field))) for step, field in stated)


def steps_of(examination: Examination, gases: Mapping[Gas, float]) -> tuple[StepChoices, ...]:
    """The steps of the sheet, in order, given how probable each gas is."""
    steps = examination.compiled.base.bench.steps
    order = sorted(steps, key=lambda step: list(Part).index(step.part))
    made = (_step(examination, step, gases) for step in order)
    return tuple(each for each in made if each.chance > LEFT_OUT or (each.step.box and each.chance >= SHOWN))


def _step(examination: Examination, step: Step, gases: Mapping[Gas, float]) -> StepChoices:
    chance = _gas_chance(step.gas, gases)
    for feature, values in step.when.items():
        known = chances_of(examination, feature)
        chance *= sum(known[value] for value in values)
    fields = [_field(examination, step, field, gases) for field in step.fields]
    used = tuple(each for each in fields if each.chance > LEFT_OUT)
    notes = [each for each in _choices(examination, step, None) if each.statement is not None]
    return StepChoices(step, chance, used, tuple(notes))


def _gas_chance(named: Sequence[Gas], gases: Mapping[Gas, float]) -> float:
    return sum(gases.get(gas, 0.0) for gas in named) if named else 1.0


def _field(examination: Examination, step: Step, field: Blank, gases: Mapping[Gas, float]) -> FieldChoices:
    chance = _gas_chance(field.gas, gases)
    if field.jet:
        known = chances_of(examination, JET_HOOD)
        chance *= sum(known[jet] for jet in field.jet)
    return FieldChoices(field, chance, tuple(_choices(examination, step, field)))


def _choices(examination: Examination, step: Step, field: Blank | None) -> list[Choice]:
    """What may be right for a field, or with no field the maker's words about a step, the most probable first."""
    base, posterior = examination.compiled.base, examination.ranking.posterior
    mass: dict[tuple[str, str] | None, float] = {}
    groups: dict[tuple[str, str] | None, dict[Group, float]] = {}
    cells = examination.compiled.model.cells
    for at, group in enumerate(cells.groups):
        where = np.flatnonzero(cells.group == at)
        for key, share in _spoken(base, group, step, field, cells.year[where], posterior[where]):
            mass[key] = mass.get(key, 0.0) + share
            members = groups.setdefault(key, {})
            members[group] = members.get(group, 0.0) + share
    said = [
        _choice(base, field, key, chance, _members(groups[key]))
        for key, chance in mass.items()
        if chance >= SHOWN and (field is not None or key is not None)
    ]
    return sorted(_joined(said), key=lambda each: -each.chance)


def _members(groups: Mapping[Group, float]) -> tuple[Group, ...]:
    return tuple(group for group, share in sorted(groups.items(), key=lambda pair: -pair[1]) if share >= SHOWN)


def _spoken(
    base: KnowledgeBase, group: Group, step: Step, field: Blank | None, years: np.ndarray, mass: Floats
) -> Iterable[tuple[tuple[str, str] | None, float]]:
    """Which statement (maker, id) speaks for how much of a group's mass; None where no statement does."""
    left = np.asarray(mass, dtype=np.float64)
    if group.maker is not None and group.variant is not None:
        folder = base.makers[group.maker]
        for statement in _most_specific_first(folder, group.variant, step, field):
            holds = applies_in(statement.made, years)
            taken = float(left[holds].sum())
            if taken > 0:
                yield (group.maker, statement.id), taken
            if field is not None:  # a step may have several words said of it; a field has one setting
                left = np.where(holds, 0.0, left)
    if left.sum() > 0:
        yield None, float(left.sum())


def _most_specific_first(folder: MakerFolder, variant: str, step: Step, field: Blank | None) -> list[SetupStatement]:
    family = folder.family_of[variant]
    wanted = field.id if field is not None else None
    about = [s for s in folder.setup if s.step == step.id and s.field == wanted and s.status is not Status.RETIRED]
    ranked = [(_level(statement, variant, family), statement) for statement in about]
    return [statement for level, statement in sorted(ranked, key=lambda pair: -pair[0]) if level >= 0]


def _level(statement: SetupStatement, variant: str, family: str) -> int:
    return next((n for n, name in ((2, variant), (1, family), (0, EVERY_VARIANT)) if name in statement.of), -1)


def _choice(
    base: KnowledgeBase, field: Blank | None, key: tuple[str, str] | None, chance: float, groups: tuple[Group, ...]
) -> Choice:
    if key is None:
        if field is None:
            raise ValueError("a step without a statement has no choice")
        setting = setting_of(field, field.said_source, field.mark, field.cautions)
        return Choice(setting, field.says, field.said_source, field.mark, field.cautions, chance, (), None)
    maker, statement_id = key
    folder = base.makers[maker]
    statement = next(each for each in folder.setup if each.id == statement_id)
    source, mark = _grounds(folder, statement)
    setting = setting_of(statement, source, mark, statement.cautions)
    name = f"{maker}/{statement_id}"
    return Choice(setting, statement.says, source, mark, statement.cautions, chance, groups, name)


def _grounds(folder: MakerFolder, statement: SetupStatement) -> tuple[str, Mark]:
    if statement.common_practice:
        return Mark.COMMON_PRACTICE.value, Mark.COMMON_PRACTICE
    named = []
    for cited in statement.sources:
        source_id, _, page = cited.partition(":")
        source = folder.sources.get(source_id)
        title = source.title if source is not None else source_id
        invented = ", invented" if source is not None and source.invented else ""
        named.append(f"{folder.name}: {title}{f', page {page}' if page else ''}{invented}")
    return "; ".join(named), Mark.MAKERS_PAPER


def _joined(choices: Sequence[Choice]) -> list[Choice]:
    """Choices that say the same are one."""
    joined: dict[tuple[str | None, str | None, str], Choice] = {}
    for each in choices:
        key = (each.setting.text if each.setting is not None else None, each.says, each.source)
        first = joined.get(key)
        if first is None:
            joined[key] = each
        else:
            chance, groups = first.chance + each.chance, first.groups + each.groups
            joined[key] = Choice(
                first.setting, first.says, first.source, first.mark, first.cautions, chance, groups, first.statement
            )
    return list(joined.values())


def gases_of(named: Gas | None, chances: Mapping[Gas, float]) -> dict[Gas, float]:
    """How probable each gas is for the sheet: the one named alone, else all that may be."""
    if named is not None:
        return {gas: float(gas is named) for gas in Gas}
    return dict(chances)
