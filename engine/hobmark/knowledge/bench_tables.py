"""The bench tables of one or several folders put together, and what must go together in them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Annotated, NamedTuple, Protocol, TypeVar

from pydantic import BaseModel, BeforeValidator, RootModel

from hobmark.knowledge.base import EVERY_VARIANT, KnowledgeBase
from hobmark.knowledge.root import DRILLS, FAULTS, FUEL, GASES, HAZARDS, SET_UP
from hobmark.knowledge.schema.bench import Drill, FuelTable, GasRow
from hobmark.knowledge.schema.bench_tables import BenchTables
from hobmark.knowledge.schema.entry import Id
from hobmark.knowledge.schema.faults import SOMETHING_ELSE, FaultTable
from hobmark.knowledge.schema.looks import Caution
from hobmark.knowledge.schema.setting_up import SetupStatement, Step
from hobmark.knowledge.vocabulary import Gas
from hobmark.knowledge.written import Written
from hobmark.problems import Problem, did_you_mean, listed

M = TypeVar("M", bound=BaseModel)
Loc = tuple[str | int, ...]
JET_HOOD = "jet_hood"
"""The feature that tells kinds of jet hood apart."""


def _none_yet(entries: object) -> object:
    return () if entries == {} else entries


class GasFile(RootModel[dict[Gas, GasRow]]):
    """reference/gases.yaml."""


class DrillFile(RootModel[Annotated[tuple[Drill, ...], BeforeValidator(_none_yet)]]):
    """reference/drills.yaml."""


class HazardFile(RootModel[dict[Id, Caution]]):
    """reference/hazards.yaml."""


class StepFile(RootModel[Annotated[tuple[Step, ...], BeforeValidator(_none_yet)]]):
    """reference/set_up.yaml."""


class SetupFile(RootModel[Annotated[tuple[SetupStatement, ...], BeforeValidator(_none_yet)]]):
    """A maker's setup.yaml."""


class Reads(Protocol):
    """Reads the file of a name in reference/, where there is one, as one of these models."""

    def __call__(self, model: type[M], name: str) -> list[Written[M]]:
        """The files read; none where there is none, or where it is refused."""


class BenchFiles(NamedTuple):
    """The bench files read, one list a kind."""

    gases: list[Written[GasFile]]
    drills: list[Written[DrillFile]]
    fuel: list[Written[FuelTable]]
    hazards: list[Written[HazardFile]]
    steps: list[Written[StepFile]]
    faults: list[Written[FaultTable]]

    def read(self, read: Reads) -> None:
        """Add the files of one folder."""
        self.gases.extend(read(GasFile, GASES))
        self.drills.extend(read(DrillFile, DRILLS))
        self.fuel.extend(read(FuelTable, FUEL))
        self.hazards.extend(read(HazardFile, HAZARDS))
        self.steps.extend(read(StepFile, SET_UP))
        self.faults.extend(read(FaultTable, FAULTS))


def bench_of(files: BenchFiles, problems: list[Problem]) -> BenchTables:
    """The tables of all files, a later folder's entry in place of an earlier one's of the same id.

    Problems of what does not go together are added.
    """
    gases = {name: row for written in files.gases for name, row in written.entry.root.items()}
    if gases and len(gases) < len(Gas) and files.gases:
        lacking = ", ".join(gas for gas in Gas if gas not in gases)
        problems.append(files.gases[-1].problem((), f"there is nothing of {lacking}.", "Add it."))
    if files.fuel and not (gases and files.drills):
        remedy = "Add gases.yaml and drills.yaml beside it."
        problems.append(files.fuel[-1].problem((), "clues of gas need gases and drills to reckon with.", remedy))
    for drill_file in files.drills:
        problems += _duplicates(drill_file, drill_file.entry.root)
    for step_file in files.steps:
        problems += _duplicates(step_file, step_file.entry.root)
    drills = {drill.id: drill for written in files.drills for drill in written.entry.root}
    steps = {step.id: step for written in files.steps for step in written.entry.root}
    faults = FaultTable(
        symptoms={name: each for written in files.faults for name, each in written.entry.symptoms.items()},
        something_else=next((w.entry.something_else for w in reversed(files.faults) if w.entry.something_else), None),
        lighting=tuple(dict.fromkeys(name for written in files.faults for name in written.entry.lighting)),
        checks={name: each for written in files.faults for name, each in written.entry.checks.items()},
        causes={name: each for written in files.faults for name, each in written.entry.causes.items()},
    )
    return BenchTables(
        gases=gases,
        drills=tuple(drills.values()),
        fuel=files.fuel[-1].entry if files.fuel else None,
        hazards={name: each for written in files.hazards for name, each in written.entry.root.items()},
        steps=tuple(steps.values()),
        faults=faults,
    )


def check_bench(files: BenchFiles, base: KnowledgeBase) -> Iterator[Problem]:
    """Every caution, cause, feature and kind of jet that the bench files name stands somewhere."""
    for hazards in files.hazards:
        for name in hazards.entry.root:
            if name in base.cautions:
                message = f"'{name}' stands in cautions.yaml already."
                yield hazards.problem((name, "[key]"), message, "Choose another id, or leave it out.")
    for steps in files.steps:
        for place, step in enumerate(steps.entry.root):
            yield from _check_step(steps, place, step, base)
    for faults in files.faults:
        yield from _check_faults(faults, base)


def check_setup(
    setup: Written[SetupFile], named: Collection[str], base: KnowledgeBase, citable: Collection[str]
) -> Iterator[Problem]:
    """A maker's statements speak of variants, steps, fields, sources and cautions that stand."""
    yield from _duplicates(setup, setup.entry.root)
    for place, statement in enumerate(setup.entry.root):
        for position, name in enumerate(statement.of):
            if name not in {EVERY_VARIANT, *named}:
                yield _unknown(setup, (place, "of", position), "variant or family", name, {EVERY_VARIANT, *named})
        for position, source in enumerate(statement.sources):
            if source.partition(":")[0] not in citable:
                yield _unknown(setup, (place, "sources", position), "source", source.partition(":")[0], citable)
        yield from _cautions(setup, (place,), statement.cautions, base)
        step = base.bench.step_of.get(statement.step)
        if step is None:
            yield _unknown(setup, (place, "step"), "step", statement.step, base.bench.step_of)
        elif statement.field is not None:
            yield from _check_field(setup, place, statement, step)


def _check_field(setup: Written[SetupFile], place: int, statement: SetupStatement, step: Step) -> Iterator[Problem]:
    field = next((each for each in step.fields if each.id == statement.field), None)
    if field is None:
        known = [each.id for each in step.fields]
        yield _unknown(setup, (place, "field"), f"field of {step.id}", statement.field or "", known)
        return
    stated = next((each for each in (statement.aim, statement.low, statement.high) if each is not None), None)
    if stated is not None and (field.unit is None or stated.kind is not field.kind):
        message = f"'{field.id}' takes no {stated.kind.value}."
        yield setup.problem((place, "field"), message, "Write a number in a unit that its field has.")


def _check_step(steps: Written[StepFile], place: int, step: Step, base: KnowledgeBase) -> Iterator[Problem]:
    yield from _cautions(steps, (place,), step.cautions, base)
    yield from _features(steps, (place, "when"), step.when, base)
    jets = base.features[JET_HOOD].value_ids if JET_HOOD in base.features else ()
    for position, field in enumerate(step.fields):
        loc: Loc = (place, "fields", position)
        yield from _cautions(steps, loc, field.cautions, base)
        for jet in field.jet:
            if jet not in jets:
                yield _unknown(steps, (*loc, "jet"), "kind of jet hood", jet, jets)


def _features(
    written: Written[object], loc: Loc, when: Mapping[str, Sequence[str]], base: KnowledgeBase
) -> Iterator[Problem]:
    for feature, values in when.items():
        if feature not in base.features:
            yield _unknown(written, (*loc, feature, "[key]"), "feature", feature, base.features)
            continue
        known = base.features[feature].value_ids
        for value in values:
            if value not in known:
                yield _unknown(written, (*loc, feature), f"value of {feature}", value, known)


def _check_faults(faults: Written[FaultTable], base: KnowledgeBase) -> Iterator[Problem]:
    table, causes = faults.entry, base.bench.faults.causes
    if base.bench.faults.something_else is None and any(symptom.causes for symptom in table.symptoms.values()):
        message = "no list of causes is whole, and it is not said how often it is something else."
        yield faults.problem((), message, f"Write '{SOMETHING_ELSE}: sometimes'.")
    for name, symptom in table.symptoms.items():
        yield from _cautions(faults, ("symptoms", name), symptom.cautions, base)
        yield from _features(faults, ("symptoms", name, "not_with"), symptom.not_with, base)
        for cause in symptom.causes:
            if cause not in causes:
                yield _unknown(faults, ("symptoms", name, "causes", cause, "[key]"), "cause", cause, causes)
        for position, wanted in enumerate(symptom.checks):
            if wanted not in base.bench.faults.checks:
                loc: Loc = ("symptoms", name, "checks", position)
                yield _unknown(faults, loc, "check", wanted, base.bench.faults.checks)
    for position, caution in enumerate(table.lighting):
        if caution not in (known := {*base.cautions, *base.bench.hazards}):
            yield _unknown(faults, ("lighting", position), "caution", caution, known)
    for name, check in table.checks.items():
        yield from _features(faults, ("checks", name, "not_with"), check.not_with, base)
        if name in causes:
            yield faults.problem(("checks", name, "[key]"), f"'{name}' is a cause already.", "Choose another id.")
        for outcome, result in check.results.items():
            for cause in result.causes:
                if cause not in causes:
                    loc = ("checks", name, "results", outcome, "causes", cause, "[key]")
                    yield _unknown(faults, loc, "cause", cause, causes)
    behind = {cause for symptom in base.bench.faults.symptoms.values() for cause in symptom.causes}
    for name, cause_entry in table.causes.items():
        yield from _cautions(faults, ("causes", name), cause_entry.cautions, base)
        yield from _features(faults, ("causes", name, "not_with"), cause_entry.not_with, base)
        if name not in behind:
            message = f"no symptom has the cause '{name}'."
            yield faults.problem(("causes", name, "[key]"), message, "Name it under a symptom, or leave it out.")


def _cautions(written: Written[object], loc: Loc, names: Sequence[str], base: KnowledgeBase) -> Iterator[Problem]:
    known = {*base.cautions, *base.bench.hazards}
    for position, name in enumerate(names):
        if name not in known:
            yield _unknown(written, (*loc, "cautions", position), "caution", name, known)


def _duplicates(written: Written[object], entries: Sequence[Drill | Step | SetupStatement]) -> Iterator[Problem]:
    seen: set[str] = set()
    for position, entry in enumerate(entries):
        if entry.id in seen:
            yield written.problem((position, "id"), f"duplicate id '{entry.id}'.", "Choose a new one.")
        seen.add(entry.id)


def _unknown(written: Written[object], loc: Loc, kind: str, name: str, known: Collection[str]) -> Problem:
    remedy = did_you_mean(name, known).strip() or f"Add it, or use one that stands: {listed(sorted(known), 8)}."
    return written.problem(loc, f"unknown {kind} '{name[:60]}'.", remedy)
