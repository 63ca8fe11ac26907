"""A case: one range under examination, as a person writes it down. Read, checked against a base, and written safely."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal, Self

import yaml
from pydantic import Field, PrivateAttr, model_validator

from hobmark.case_names import aside_words, is_strange, name_faults, strange_names
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
from hobmark.problems import Problem, Refused, shown

VariantName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_\-]*(/[a-z][a-z0-9_\-]*)?$")]
"""A variant, as `maker/variant`, or `variant` alone where only one maker uses the name."""
PartName = VariantName
"""A part, as `maker/part`, or `part` alone where only one maker uses the id."""
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


@dataclass(frozen=True, slots=True)
class Aside:
    """What a case says in words that a base does not have: of another base, or of an older state of this one."""

    observations: tuple[Observation, ...] = ()
    not_: tuple[str, ...] = ()
    maker: str | None = None
    variant: str | None = None

    def names(self) -> Iterator[str]:
        """Each of them in words."""
        yield from (f"feature {shown(seen.feature or '')}" for seen in self.observations)
        yield from (f"variant {shown(name)}" for name in (*self.not_, *filter(None, [self.variant])))
        yield from (f"maker {shown(name)}" for name in filter(None, [self.maker]))


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

    _aside: Aside = PrivateAttr(default_factory=lambda: Aside())

    @property
    def aside(self) -> Aside:
        """What stands in the file and means nothing to the base that the case was held against."""
        return self._aside

    def known_to(self, base: KnowledgeBase) -> Case:
        """The case without the features, variants and maker that a base does not know; those are put `aside`."""
        claims = self.claims
        maker = claims.maker if claims.maker not in base.makers else None
        variant = claims.variant if claims.variant not in base.variant_keys else None
        strange = tuple(seen for seen in self.observations if is_strange(seen, base))
        not_ = tuple(name for name in self.not_ if name not in base.variant_keys)
        if not (strange or not_ or maker or variant):
            return self
        kept = {"maker": None if maker else claims.maker, "variant": None if variant else claims.variant}
        known = self.model_copy(
            update={
                "observations": tuple(seen for seen in self.observations if not is_strange(seen, base)),
                "not_": tuple(name for name in self.not_ if name not in not_),
                "claims": claims.model_copy(update=kept),
            }
        )
        known._aside = Aside(strange, not_, maker, variant)
        return known

    def whole(self) -> Case:
        """The case as it stands in the file, with what was put aside."""
        aside, claims = self._aside, self.claims
        if aside == Aside():
            return self
        back = {"maker": claims.maker or aside.maker, "variant": claims.variant or aside.variant}
        whole = self.model_copy(
            update={
                "observations": (*self.observations, *aside.observations),
                "not_": (*self.not_, *aside.not_),
                "claims": claims.model_copy(update=back),
            }
        )
        whole._aside = Aside()
        return whole

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
    """A case and where it was read from; `set_aside` tells what of it this base does not know."""

    path: Path
    case: Case
    set_aside: tuple[Problem, ...] = ()


def read_case(path: Path, base: KnowledgeBase, *, strict: bool = False, pipes: bool = False) -> CaseFile:
    """Read one case and hold it against the base; raise Refused with every problem found.

    Features, variants and makers that the base does not know are set aside and told; with `strict` they are problems.
    With `pipes` what is no ordinary file is read too, as `read_text` says.
    """
    node = read_marked(path, pipes=pipes)
    case = validated(Case, node, str(path))
    written = Written(str(path), node, case)
    known = case if strict else case.known_to(base)
    strange = set() if strict else {place for place, seen in enumerate(case.observations) if is_strange(seen, base)}
    names = (written.problem(*fault) for fault in name_faults(known, base))
    problems = [*check_observations(written, case.observations, base, apart=strange), *names]
    if problems:
        raise Refused(sorted(problems))
    told = [] if strict else [written.problem(each.loc, *aside_words(each)) for each in strange_names(case, base)]
    return CaseFile(path, known, tuple(sorted(told)))


def case_text(case: Case) -> str:
    """The case as YAML a person would write: only what was said, one observation a line."""
    case = case.whole()
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
