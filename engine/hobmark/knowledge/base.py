"""KnowledgeBase: everything curators wrote, typed, with look-ups. Frozen, and the same whether read or restored."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from pydantic import Field

from hobmark.knowledge.schema.dating import DatingTables
from hobmark.knowledge.schema.entry import Entry
from hobmark.knowledge.schema.looks import Assembly, Caution, Feature, Wording
from hobmark.knowledge.schema.observations import Specimen
from hobmark.knowledge.schema.rules import Rule
from hobmark.knowledge.schema.serials import SerialFormat
from hobmark.knowledge.schema.stored import Stored
from hobmark.knowledge.schema.works import Family, Maker, Source, Trait, Variant
from hobmark.knowledge.vocabulary import Status

if TYPE_CHECKING:
    from hobmark.knowledge.schema.bench_tables import BenchTables
    from hobmark.knowledge.schema.fit_rules import FitRule
    from hobmark.knowledge.schema.parts import Part, PartKind
    from hobmark.knowledge.schema.setting_up import SetupStatement
    from hobmark.knowledge.schema.shelf import CommonShelf, MakerShelf

EVERY_VARIANT = "all"
"""In a statement's `of`: every variant of the maker."""
RATING_PLATE, PLATES = "rating_plate", "plates"
"""The place that every case may name, and the assembly it belongs to."""


class StoredMakerShelf(Stored["MakerShelf"]):
    """A maker's parts and settings, typed when they are asked for."""

    @classmethod
    def model(cls) -> type[MakerShelf]:
        """MakerShelf."""
        from hobmark.knowledge.schema.shelf import MakerShelf

        return MakerShelf


class StoredCommonShelf(Stored["CommonShelf"]):
    """Kinds of parts and the bench's tables, typed when they are asked for."""

    @classmethod
    def model(cls) -> type[CommonShelf]:
        """CommonShelf."""
        from hobmark.knowledge.schema.shelf import CommonShelf

        return CommonShelf


def _no_parts() -> StoredMakerShelf:
    return StoredMakerShelf({})


def _no_tables() -> StoredCommonShelf:
    return StoredCommonShelf({})


class MakerFolder(Entry):
    """One maker's folder, read."""

    maker: Maker
    sources: dict[str, Source] = Field(default_factory=dict)
    families: dict[str, Family] = Field(default_factory=dict)
    traits: tuple[Trait, ...] = ()
    rules: tuple[Rule, ...] = ()
    serials: tuple[SerialFormat, ...] = ()
    specimens: tuple[Specimen, ...] = ()
    shelf: StoredMakerShelf = Field(default_factory=_no_parts)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Parts, in file order."""
        return self.shelf.entry.parts

    @property
    def fit_rules(self) -> tuple[FitRule, ...]:
        """Rules of which part fits what."""
        return self.shelf.entry.fit_rules

    @property
    def setup(self) -> tuple[SetupStatement, ...]:
        """Statements about setting its ranges up."""
        return self.shelf.entry.setup

    @property
    def name(self) -> str:
        """What the maker is called in a sentence."""
        return self.maker.short or self.maker.label

    @cached_property
    def variants(self) -> dict[str, Variant]:
        """Variant id -> variant, in file order."""
        return {vid: variant for family in self.families.values() for vid, variant in family.variants.items()}

    @cached_property
    def family_of(self) -> dict[str, str]:
        """Variant id -> family id."""
        return {vid: fid for fid, family in self.families.items() for vid in family.variants}

    @cached_property
    def acting_traits(self) -> tuple[Trait, ...]:
        """Statements that are not retired."""
        return tuple(trait for trait in self.traits if trait.status is not Status.RETIRED)

    @cached_property
    def acting_rules(self) -> tuple[Rule, ...]:
        """Rules that are not retired."""
        return tuple(rule for rule in self.rules if rule.status is not Status.RETIRED)

    @cached_property
    def acting_parts(self) -> dict[str, Part]:
        """Part id -> part, in file order, without those that are retired."""
        return {part.id: part for part in self.parts if part.status is not Status.RETIRED}

    @cached_property
    def acting_fit_rules(self) -> tuple[FitRule, ...]:
        """Fit rules that are not retired."""
        return tuple(rule for rule in self.fit_rules if rule.status is not Status.RETIRED)

    @cached_property
    def stated_features(self) -> frozenset[str]:
        """Features about which this maker's acting statements say something."""
        return frozenset(trait.feature for trait in self.acting_traits)

    @cached_property
    def tested_features(self) -> frozenset[str]:
        """Features that some acting rule tests."""
        return frozenset(feature for rule in self.acting_rules for feature in rule.tested)

    @cached_property
    def concluded_features(self) -> frozenset[str]:
        """Features about which some acting rule concludes something."""
        return frozenset(feature for rule in self.acting_rules for feature in rule.concluded)

    def variants_meant(self, of: tuple[str, ...]) -> frozenset[str]:
        """The variants that a list of variant ids, family ids or `all` speaks of."""
        meant: set[str] = set()
        for name in of:
            if name == EVERY_VARIANT:
                meant.update(self.variants)
            elif name in self.families:
                meant.update(self.families[name].variants)
            else:
                meant.add(name)
        return frozenset(meant)


class KnowledgeBase(Entry):
    """The whole base."""

    wording: Wording
    assemblies: dict[str, Assembly]
    features: dict[str, Feature]
    makers: dict[str, MakerFolder]
    cautions: dict[str, Caution] = Field(default_factory=dict)
    dating: DatingTables = Field(default_factory=DatingTables)
    shelf: StoredCommonShelf = Field(default_factory=_no_tables)

    @property
    def kinds(self) -> dict[str, PartKind]:
        """Kinds of parts."""
        return self.shelf.entry.kinds

    @property
    def bench(self) -> BenchTables:
        """Gases, jets, hazards, steps and faults."""
        return self.shelf.entry.bench

    def variant(self, maker: str, variant: str) -> Variant:
        """Look a variant up; KeyError if there is none."""
        return self.makers[maker].variants[variant]

    def variant_label(self, maker: str, variant: str) -> str:
        """The words for a variant."""
        return self.variant(maker, variant).label

    def assembly_of(self, place: str) -> str | None:
        """The assembly that a place where words or a number were found belongs to; None where the base has none."""
        if place in self.assemblies:
            return place
        return PLATES if place == RATING_PLATE and PLATES in self.assemblies else None

    @cached_property
    def variant_keys(self) -> dict[str, tuple[str, str]]:
        """Every name a variant answers to (`maker/variant`, and `variant` where only one maker uses it)."""
        keys: dict[str, tuple[str, str]] = {}
        seen: dict[str, int] = {}
        for maker, folder in self.makers.items():
            for variant in folder.variants:
                keys[f"{maker}/{variant}"] = (maker, variant)
                seen[variant] = seen.get(variant, 0) + 1
                keys[variant] = (maker, variant)
        return {name: key for name, key in keys.items() if "/" in name or seen[name] == 1}

    @cached_property
    def part_keys(self) -> dict[str, tuple[str, str]]:
        """Every name a part answers to (`maker/part`, and `part` where only one maker uses it) -> (maker, part)."""
        found = [(maker, part) for maker, folder in self.makers.items() for part in folder.acting_parts]
        alone = Counter(part for _, part in found)
        whole = {f"{maker}/{part}": (maker, part) for maker, part in found}
        return whole | {part: (maker, part) for maker, part in found if alone[part] == 1}

    def without(
        self, *, trait: str | None = None, rule: str | None = None, specimen: str | None = None
    ) -> KnowledgeBase:
        """The base with one statement, rule or specimen (given as `maker/id`) taken away."""
        makers = dict(self.makers)
        for name, field in ((trait, "traits"), (rule, "rules"), (specimen, "specimens")):
            if name is None:
                continue
            maker, _, entry_id = name.partition("/")
            folder = makers[maker]
            kept = tuple(entry for entry in getattr(folder, field) if entry.id != entry_id)
            makers[maker] = _remade(folder, {field: kept})
        return self.with_makers(makers)

    def without_variants(self, maker: str, variants: frozenset[str]) -> KnowledgeBase:
        """The base with some variants of a maker unknown to it, and the whole maker where none is left."""
        folder = self.makers[maker]
        makers = dict(self.makers)
        if variants >= set(folder.variants):
            del makers[maker]
            return self.with_makers(makers)
        families = {
            fid: family.model_copy(update={"variants": {v: x for v, x in family.variants.items() if v not in variants}})
            for fid, family in folder.families.items()
        }
        families = {fid: family for fid, family in families.items() if family.variants}
        gone = variants | (set(folder.families) - set(families))
        traits = tuple(
            trait.model_copy(update={"of": tuple(name for name in trait.of if name not in gone)})
            for trait in folder.traits
            if any(name not in gone for name in trait.of)
        )
        serials = tuple(
            block.model_copy(update={"of": tuple(name for name in block.of if name not in gone)})
            for block in folder.serials
            if not block.of or any(name not in gone for name in block.of)
        )
        specimens = tuple(specimen for specimen in folder.specimens if specimen.known.variant not in variants)
        kept = {"families": families, "traits": traits, "serials": serials, "specimens": specimens}
        makers[maker] = _remade(folder, kept)
        return self.with_makers(makers)

    def with_makers(self, makers: dict[str, MakerFolder]) -> KnowledgeBase:
        """The same base with other makers."""
        fields = {name: getattr(self, name) for name in KnowledgeBase.model_fields}
        return KnowledgeBase(**(fields | {"makers": makers}))


def _remade(folder: MakerFolder, update: Mapping[str, object]) -> MakerFolder:
    # A plain model_copy would carry the cached look-ups of the folder it was made from.
    fields = {name: getattr(folder, name) for name in MakerFolder.model_fields}
    return MakerFolder(**(fields | dict(update)))
