"""What only the bench's commands ask for: a maker's parts and settings, and the tables of all makers."""

from __future__ import annotations

from pydantic import Field

from hobmark.knowledge.schema.bench_tables import BenchTables
from hobmark.knowledge.schema.entry import Entry
from hobmark.knowledge.schema.fit_rules import FitRule
from hobmark.knowledge.schema.parts import Part, PartKind
from hobmark.knowledge.schema.setting_up import SetupStatement


class MakerShelf(Entry):
    """parts.yaml, fit_rules.yaml and setup.yaml of one maker."""

    parts: tuple[Part, ...] = ()
    fit_rules: tuple[FitRule, ...] = ()
    setup: tuple[SetupStatement, ...] = ()


class CommonShelf(Entry):
    """The kinds of parts, and the bench's tables."""

    kinds: dict[str, PartKind] = Field(default_factory=dict)
    bench: BenchTables = Field(default_factory=BenchTables)
