"""A case: one range under examination, as a person writes it down. Read, checked against a base, and written safely."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal, Self

import yaml
from pydantic import Field, model_validator

from hobmark.comments import with_comments
from hobmark.files import UNWANTED, read_text, refusal, write_atomically
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.references import check_observations
from hobmark.knowledge.schema.entry import EdtfText, Entry, Id, Text
from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.photos import MOST_PHOTOS, Photo
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.vocabulary import FitVerdict, Originality, Situation
from hobmark.knowledge.written import Written
from hobmark.marked_yaml import read_marked, validated
from hobmark.problems import Refused, did_you_mean, shown

VariantName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_\-]*(/[a-z][a-z0-9_\-]*)?$")]
"""A variant, as `maker/variant`, or `variant` alone where only one maker uses the name."""
PartName = VariantName
"""A part, as `maker/part`, or `part` alone where only one maker uses the id."""
Loc = tuple[str | int, ...]
"""The way to a place in a case: field names and places in lists."""


MOST_LOOKS = 400
"""Observations of one case, and likewise measures and numbers; a range has some 80 features."""
MOST_PLATES = 40
"""Texts and serials found on the parts of one range."""


class Claims(Entry):
    """What somebody says the range is."""

    maker: Id | None = None
    variant: VariantName | None = None
    made: EdtfText | None = None


class Expected(Entry):
    """What a kept case must come to: this variant first, made then, these assemblies not its own.

    `unlisted: true` stands for "not one I know"; `originality` names what single assemblies are; `verdict` the range.
    `fit` names parts and whether each fits.
    """

    maker: Id | None = None
    variant: VariantName | None = None
    made: EdtfText | None = None
    not_its_own: tuple[Id, ...] = ()
    originality: dict[Id, Originality] = Field(default_factory=dict)
    verdict: Originality | None = None
    fit: dict[PartName, FitVerdict] = Field(default_factory=dict)
    unlisted: bool = False


class Case(Entry):
    """case.yaml: the opening word `hobmark: 1` names the format and its version."""

    hobmark: Literal["1"]
    label: Text = "a range"
    situation: Situation = Situation.SALE
    claims: Claims = Field(default_factory=Claims)
    observations: Annotated[tuple[Observation, ...], Field(max_length=MOST_LOOKS)] = ()
    measures: Annotated[tuple[MeasureTaken, ...], Field(max_length=MOST_LOOKS)] = ()
    numbers: Annotated[tuple[NumberRead, ...], Field(max_length=MOST_LOOKS)] = ()
    photos: Annotated[tuple[Photo, ...], Field(max_length=MOST_PHOTOS)] = ()
    bench: BenchRecord = Field(default_factory=BenchRecord)
    expect: Expected | None = None
    not_: tuple[VariantName, ...] = Field(default=(), alias="not")
    todo: Text | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _has_the_plates_of_one_range(self) -> Self:
        plates = sum(each.feature is None for each in self.observations)
        if plates > MOST_PLATES:
            raise ValueError(f"no range has {plates} plates. Write down {MOST_PLATES} at most.")
        return self

    def free_texts(self) -> list[str]:
        """What stands in the case in somebody's own words, its bench record aside."""
        told = (self.label, self.note, self.todo, *(each.note for each in self.observations))
        told = (*told, *(each.shows for each in self.photos))
        return [text for text in told if text is not None]

    def answered(self) -> frozenset[str]:
        """Features that were looked at, seen or not."""
        return frozenset(seen.feature for seen in self.observations if seen.feature is not None)

    def with_observation(self, seen: Observation) -> Case:
        """The case with one more observation; an earlier one of the same feature gives way."""
        kept = [old for old in self.observations if old.feature is None or old.feature != seen.feature]
        return self.model_copy(update={"observations": (*kept, seen)})

    def with_measure(self, taken: MeasureTaken) -> Case:
        """The case with one more measure; an earlier one of the same thing at the same place gives way."""

        def of(entry: MeasureTaken) -> tuple[object, ...]:
            return entry.part, entry.kind, entry.measure, entry.on

        kept = [old for old in self.measures if of(old) != of(taken)]
        return self.model_copy(update={"measures": (*kept, taken)})

    def with_number(self, read: NumberRead) -> Case:
        """The case with one more number read; an earlier one of the same kind gives way."""
        kept = [old for old in self.numbers if old.kind != read.kind]
        return self.model_copy(update={"numbers": (*kept, read)})

    def without_feature(self, feature: str) -> Case:
        """The case as if a feature had not been looked at."""
        return self.model_copy(update={"observations": tuple(o for o in self.observations if o.feature != feature)})


@dataclass(frozen=True, slots=True)
class CaseFile:
    """A case and where it was read from."""

    path: Path
    case: Case


def read_case(path: Path, base: KnowledgeBase) -> CaseFile:
    """Read one case and hold it against the base; raise Refused with every problem found."""
    node = read_marked(path)
    case = validated(Case, node, str(path))
    written = Written(str(path), node, case)
    names = (written.problem(*fault) for fault in name_faults(case, base))
    problems = [*check_observations(written, case.observations, base), *names]
    if problems:
        raise Refused(sorted(problems))
    return CaseFile(path, case)


def name_faults(case: Case, base: KnowledgeBase) -> Iterator[tuple[Loc, str, str]]:
    """Names in a case that the base has not, or that contradict each other: (place, what is wrong, what to do)."""
    named: list[tuple[Loc, str | None]] = [(("not", place), name) for place, name in enumerate(case.not_)]
    makers: list[tuple[Loc, str | None]] = []
    for part, said in (("claims", case.claims), ("expect", case.expect)):
        if said is not None:
            named.append(((part, "variant"), said.variant))
            makers.append(((part, "maker"), said.maker))
            yield from _contradiction(part, said, base)
    if case.expect is not None:
        assemblies: list[tuple[Loc, str]] = [
            *((("not_its_own", place), assembly) for place, assembly in enumerate(case.expect.not_its_own)),
            *((("originality", assembly, "[key]"), assembly) for assembly in case.expect.originality),
        ]
        for loc, assembly in assemblies:
            if assembly not in base.assemblies:
                remedy = did_you_mean(assembly, base.assemblies).strip() or f"Use one of {', '.join(base.assemblies)}."
                yield ("expect", *loc), f"unknown assembly '{assembly}'.", remedy
        for part_name in case.expect.fit:
            if part_name not in base.part_keys:
                remedy = did_you_mean(part_name, base.part_keys).strip() or "Write the id of a part, as in parts.yaml."
                yield ("expect", "fit", part_name, "[key]"), f"unknown part '{shown(part_name)}'.", remedy
    for loc, name in named:
        if name is not None and name not in base.variant_keys:
            remedy = did_you_mean(name, base.variant_keys).strip() or "Write it as maker/variant."
            yield loc, f"unknown variant '{shown(name)}'.", remedy
    for loc, name in makers:
        if name is not None and name not in base.makers:
            remedy = did_you_mean(name, base.makers).strip() or f"Use one of {', '.join(base.makers)}."
            yield loc, f"unknown maker '{name}'.", remedy
    if case.bench != BenchRecord():
        from hobmark.knowledge.record_names import record_faults  # drills and symptoms, for those who have a record

        yield from record_faults(case.bench, base)
    if case.measures or case.numbers:
        from hobmark.knowledge.stores import bench_faults  # parts are typed for those who ask for them

        yield from bench_faults(case.measures, case.numbers, base)


def _contradiction(part: str, said: Claims | Expected, base: KnowledgeBase) -> Iterator[tuple[Loc, str, str]]:
    """A maker beside a variant that another maker made; each known, as an unknown one is told by itself."""
    if said.maker in base.makers and said.variant in base.variant_keys:
        maker, _ = base.variant_keys[said.variant]
        if said.maker != maker:
            amiss = f"'{said.maker}' did not make the variant '{said.variant}'; '{maker}' did."
            yield (part, "maker"), amiss, "Delete the maker, or name a variant of its own."


def case_text(case: Case) -> str:
    """The case as YAML a person would write: only what was said, one observation a line."""
    head: dict[str, object] = {"hobmark": 1, "label": case.label, "situation": case.situation.value}
    whole = case.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    for name in ("claims", "expect", "not", "todo", "note"):
        if whole.get(name):
            head[name] = whole[name]
    text = yaml.safe_dump(head, sort_keys=False, allow_unicode=True, width=110)
    for name, entries in (("photos", case.photos), ("measures", case.measures), ("numbers", case.numbers)):
        if entries:
            text += f"{name}:\n" + "".join(map(_entry_line, entries))
    text += _bench_text(case.bench)
    if not case.observations:
        return text + "observations: []\n"
    return text + "observations:\n" + "".join(map(_entry_line, case.observations))


def _bench_text(bench: BenchRecord) -> str:
    """The bench record, one jet, reading or outcome a line; nothing where nothing was recorded."""
    fields = bench.model_dump(mode="json", exclude_defaults=True)
    if not fields:
        return ""
    text = yaml.safe_dump(fields, sort_keys=False, allow_unicode=True, default_flow_style=None, width=1_000_000)
    return "bench:\n" + "".join(f"  {line}\n" for line in text.splitlines())


def _entry_line(entry: Entry) -> str:
    fields = entry.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    if isinstance(fields.get("is"), list) and len(fields["is"]) == 1:
        fields["is"] = fields["is"][0]
    line = yaml.safe_dump(fields, sort_keys=False, allow_unicode=True, default_flow_style=True, width=1_000_000)
    return f"  - {line.strip()}\n"


def must_read_back(path: Path, case: Case) -> None:
    """Raise Refused where a text of the case holds what no file may."""
    for text in _texts(case.model_dump(mode="json", exclude_defaults=True)):
        if bad := UNWANTED.search(text):
            amiss = f"the character {shown(bad[0])} in '{shown(text)}' cannot stand in a text."
            raise refusal(path, amiss, "Delete it, then save again.")


def write_case(path: Path, case: Case) -> None:
    """Write the case whole or not at all, with the comments that stand in the file.

    Raises Refused where it cannot be written, or not be read again.
    """
    must_read_back(path, case)
    old = read_text(path) if path.exists() else ""
    write_atomically(path, with_comments(old, case_text(case)))


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for entry in value.values() if isinstance(value, dict) else value:
            yield from _texts(entry)
