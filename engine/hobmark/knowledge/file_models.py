"""What each knowledge file holds as a whole: a table or a list of entries."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, RootModel

from hobmark.knowledge.schema.entry import Id
from hobmark.knowledge.schema.fit_rules import FitRule
from hobmark.knowledge.schema.looks import Assembly, Caution, Feature
from hobmark.knowledge.schema.parts import Part, PartKind
from hobmark.knowledge.schema.rules import Rule
from hobmark.knowledge.schema.serials import SerialFormat
from hobmark.knowledge.schema.works import Family, Source, Trait


class AssemblyFile(RootModel[dict[Id, Assembly]]):
    """assemblies.yaml."""


class FeatureFile(RootModel[dict[Id, Feature]]):
    """features.yaml."""


class CautionFile(RootModel[dict[Id, Caution]]):
    """reference/cautions.yaml."""


class PartKindFile(RootModel[dict[Id, PartKind]]):
    """reference/part_kinds.yaml."""


class SourceFile(RootModel[dict[Id, Source]]):
    """sources.yaml."""


class ModelFile(RootModel[dict[Id, Family]]):
    """models.yaml."""


def _none_yet(entries: object) -> object:
    return () if entries == {} else entries


class TraitFile(RootModel[Annotated[tuple[Trait, ...], BeforeValidator(_none_yet)]]):
    """traits.yaml; where nothing is written yet, no statement."""


class RuleFile(RootModel[Annotated[tuple[Rule, ...], BeforeValidator(_none_yet)]]):
    """rules.yaml; where nothing is written yet, no rule."""


class SerialFile(RootModel[Annotated[tuple[SerialFormat, ...], BeforeValidator(_none_yet)]]):
    """serials.yaml; where nothing is written yet, no numbers."""


class PartFile(RootModel[Annotated[tuple[Part, ...], BeforeValidator(_none_yet)]]):
    """parts.yaml; where nothing is written yet, no part."""


class FitRuleFile(RootModel[Annotated[tuple[FitRule, ...], BeforeValidator(_none_yet)]]):
    """fit_rules.yaml; where nothing is written yet, no rule."""
