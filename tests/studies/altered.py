"""Bases that differ from the one that judges: what if its numbers are wrong?"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Wording
from hobmark.knowledge.schema.works import Variant
from hobmark.knowledge.vocabulary import HowOften, SwapWord


def with_swaps(base: KnowledgeBase, factor: float) -> KnowledgeBase:
    """Every swap rate, of assemblies and of single parts, times `factor`."""
    rates = {word: min(1.0, rate * factor) for word, rate in base.wording.swapped.items()}
    return _worded(base, swapped=rates)


def with_doubts(base: KnowledgeBase, factor: float) -> KnowledgeBase:
    """Every statement's doubt times `factor`: 1 - word for a word of 0.5 or more, the word itself for a smaller one.

    A doubt stops at 0.5: past it `often` would say less than `sometimes`, and the words would swap their meanings.
    """
    said = {}
    for word, chance in base.wording.often.items():
        doubt = min(0.5, factor * min(chance, 1 - chance))
        said[word] = 1 - doubt if chance >= 0.5 else doubt
    return _worded(base, often=said)


def with_units(base: KnowledgeBase, factor: float, seed: int) -> KnowledgeBase:
    """Each variant's units times `factor` or divided by it, by the toss of a coin; the maker's mean where unknown."""
    coins = np.random.default_rng([seed, 2])
    return base.with_makers({maker: _rescaled(folder, factor, coins) for maker, folder in base.makers.items()})


def _rescaled(folder: MakerFolder, factor: float, coins: np.random.Generator) -> MakerFolder:
    known = [variant.units for variant in folder.variants.values() if variant.units is not None]
    mean = float(np.mean(known)) if known else 1.0

    def tossed(variant: Variant) -> Variant:
        scale = factor if coins.random() < 0.5 else 1 / factor
        return variant.model_copy(update={"units": (mean if variant.units is None else variant.units) * scale})

    families = {
        name: family.model_copy(update={"variants": {vid: tossed(told) for vid, told in family.variants.items()}})
        for name, family in folder.families.items()
    }
    fields = {name: getattr(folder, name) for name in MakerFolder.model_fields}
    return MakerFolder(**(fields | {"families": families}))


def _worded(base: KnowledgeBase, **tables: Mapping[SwapWord, float] | Mapping[HowOften, float]) -> KnowledgeBase:
    words = {name: getattr(base.wording, name) for name in Wording.model_fields} | tables
    fields = {name: getattr(base, name) for name in KnowledgeBase.model_fields}
    return KnowledgeBase(**(fields | {"wording": Wording(**words)}))
