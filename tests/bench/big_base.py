"""A made-up base of any size on the shipped features: for timing only; nothing in it is said of any range."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.rules import BoundConclusion

MAKERS, FIRST, LAST = 4, 1921, 1960
IN_FAMILY, OWN_STATEMENTS = 5, 4
LONGEST_MADE = 15


def big_base(variants: int = 300, *, all_years: bool = False, seed: int = 1) -> KnowledgeBase:
    """Four makers of 40 years with so many variants, made 1 to 15 years each, or all years.

    A family is said to have one value of every stated feature, each variant some of its own; rules are the shipped
    ones but for those that name variants.
    """
    draw = np.random.default_rng(seed)
    shipped = read_base([knowledge_root()])
    stated = sorted({feature for folder in shipped.makers.values() for feature in folder.stated_features})
    rules = [rule for folder in shipped.makers.values() for rule in folder.acting_rules if not _names_variants(rule)]
    makers = {}
    for k in range(MAKERS):
        families: dict[str, Any] = {}
        traits: list[dict[str, Any]] = []
        for number in range(variants // MAKERS // IN_FAMILY):
            family = f"family_{k}_{number}"
            names = [f"variant_{k}_{number}_{v}" for v in range(IN_FAMILY)]
            made = [f"{FIRST}/{LAST}" if all_years else _made(draw) for _ in names]
            members = {n: {"label": n, "made": [m], "sources": ["book"]} for n, m in zip(names, made, strict=True)}
            families[family] = {"label": family, "variants": members}
            traits += list(_statements(draw, shipped, stated, family, names))
        told = {
            "maker": {"id": f"maker_{k}", "label": f"Maker {k}", "invented": True, "life": f"{FIRST}/{LAST}"},
            "sources": {"book": {"kind": "catalogue", "title": "none"}},
            "families": families,
            "traits": [{"id": f"t{n}", **trait} for n, trait in enumerate(traits)],
        }
        makers[f"maker_{k}"] = MakerFolder.model_validate(told).model_copy(update={"rules": tuple(rules)})
    return shipped.model_copy(update={"makers": makers})


def _names_variants(rule: Any) -> bool:
    return any(isinstance(conclusion, BoundConclusion) and conclusion.rules_out for conclusion in rule.then)


def _made(draw: np.random.Generator) -> str:
    first = int(draw.integers(FIRST, LAST - LONGEST_MADE))
    return f"{first}/{first + int(draw.integers(LONGEST_MADE))}"


def _statements(
    draw: np.random.Generator, base: KnowledgeBase, stated: list[str], family: str, names: list[str]
) -> Iterator[dict[str, Any]]:
    shared = {"certainty": "attested", "sources": ["book"]}
    words = ["always", "usually", "often"]
    for feature in stated:
        value = str(draw.choice(base.features[feature].value_ids))
        yield {"feature": feature, "of": [family], "value": value, "how": str(draw.choice(words)), **shared}
    for name in names:
        for feature in draw.choice(stated, OWN_STATEMENTS, replace=False):
            value = str(draw.choice(base.features[str(feature)].value_ids))
            yield {"feature": str(feature), "of": [name], "value": value, "how": "usually", **shared}
