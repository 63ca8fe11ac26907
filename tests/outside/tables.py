"""Published tables of rows as a knowledge base, through the project's own models: classes become variants, columns
features, and rows documented specimens or statements.

Everything that makes the model more than a table (slips, swaps, floor, unlisted cells) is off unless asked for.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Assembly, Feature, Wording
from hobmark.knowledge.schema.observations import Observation, Specimen
from hobmark.knowledge.schema.works import Trait
from hobmark.knowledge.vocabulary import Access, Certainty, HowOften, Situation, SlipWord, Sure, SwapWord
from hobmark.reasoning.evidence import direct_messages, with_gates
from hobmark.reasoning.model import Model
from hobmark.reasoning.ranking import Ranking, rank

YEAR = "1930"
"""The one year of a table that knows no years."""
BOOK = "book"
"""The source every statement cites."""
ALWAYS_OR_NEVER = {"always": 1.0, "usually": 0.9, "often": 0.6, "sometimes": 0.3, "rarely": 0.1, "never": 0.0}
"""Words that can say 1 and 0, for tables without exceptions."""

Row = Mapping[str, str]
"""Column -> value, as published; a column left out was not recorded."""


def as_id(text: str) -> str:
    """A published name as an id of the base; digits get a letter before them."""
    slug = re.sub(r"[^a-z0-9]+", "_", text.lower()).strip("_") or "blank"
    return slug if slug[0].isalpha() else f"n{slug}"


def wording(
    *,
    often: Mapping[str, float] | None = None,
    slips: Mapping[str, float] | float = 0.0,
    swapped: Mapping[str, float] | float = 0.0,
    cannot_tell: float = 0.0,
    seconds: Mapping[str, float] | float = 1.0,
    **model: float,
) -> Wording:
    """wording.yaml with everything off; a number stands for every word of its table."""

    def each(words: Iterable[str], told: Mapping[str, float] | float) -> dict[str, float]:
        return {str(word): told if isinstance(told, int | float) else told[str(word)] for word in words}

    off = {"used_weight": 0, "floor": 0, "unlisted_variant": 0, "unlisted_maker": 0}
    return Wording.model_validate(
        {
            "often": dict(often or ALWAYS_OR_NEVER),
            "swapped": each(SwapWord, swapped),
            "slips": each(SlipWord, slips),
            "certainty": dict.fromkeys(map(str, Certainty), 1),
            "sure": {str(Sure.CERTAIN): 1, str(Sure.LIKELY): 0.8, str(Sure.GUESS): 0.6},
            "seconds": each(Access, seconds),
            "situations": {str(s): {"label": str(s), "offers": list(map(str, Access))} for s in Situation},
            "cannot_tell": dict.fromkeys(map(str, Access), cannot_tell),
            "model": off | model,
        }
    )


def columns_of(rows: Iterable[Row], leave_out: Sequence[str] = ()) -> dict[str, list[str]]:
    """Column -> its values in order of first appearance, for every column that is not left out."""
    found: dict[str, dict[str, None]] = {}
    for row in rows:
        for column, value in row.items():
            if column not in leave_out:
                found.setdefault(column, {})[value] = None
    return {column: list(values) for column, values in sorted(found.items())}


def features_of(
    columns: Mapping[str, Sequence[str]], *, one_assembly: bool = False, **more: Mapping[str, object]
) -> tuple[dict[str, Assembly], dict[str, Feature]]:
    """Features with their assembly, each its own unless all share one; `more` gives fields by feature id."""
    assemblies, features = {}, {}
    for column, values in columns.items():
        fid = as_id(column)
        assembly = "whole" if one_assembly else f"part_{fid}"
        fields = {"label": column, "assembly": assembly, "ask": column, "look": column, "access": "photo"}
        told = fields | {"values": {as_id(value): {} for value in values}} | dict(more.get(fid, {}))
        features[fid] = Feature.model_validate(told)
        assemblies[str(told["assembly"])] = Assembly.model_validate({"label": "p", "holds": "p", "swapped": "rarely"})
    return assemblies, features


def folder_of(
    maker: str,
    variants: Mapping[str, Mapping[str, object]],
    *,
    life: str = YEAR,
    traits: Sequence[Mapping[str, object]] = (),
    specimens: Sequence[Specimen] = (),
) -> MakerFolder:
    """One maker with one family; `variants` gives `units` and `made` by variant id, `traits` lack what all share."""
    shared = {"made": [life], "sources": [BOOK]}
    family = {"label": "all", "variants": {v: {"label": v} | shared | dict(told) for v, told in variants.items()}}
    laid_out = [
        Trait.model_validate({"id": f"t{n}", "certainty": "attested", "sources": [BOOK]} | dict(told))
        for n, told in enumerate(traits)
    ]
    return MakerFolder.model_validate(
        {
            "maker": {"id": maker, "label": maker, "invented": True, "life": life},
            "sources": {BOOK: {"kind": "table", "title": "as published"}},
            "families": {f"{maker}_family": family},
            "traits": laid_out,
            "specimens": specimens,
        }
    )


def base_from_specimens(
    rows: Sequence[Row],
    label: str,
    words: Wording,
    *,
    columns: Mapping[str, Sequence[str]] | None = None,
    one_assembly: bool = False,
) -> KnowledgeBase:
    """Rows as specimens with every part original; classes are variants with as many units as they have rows."""
    counted = Counter(row[label] for row in rows)
    columns = columns or columns_of(rows, (label,))
    assemblies, features = features_of(columns, one_assembly=one_assembly)
    specimens = [
        Specimen.model_validate(
            {
                "id": f"s{number}",
                "maker": "table",
                "seen": {"date": YEAR, "by": "the table"},
                "known": {"variant": as_id(row[label]), "made": YEAR, "basis": ["the table"]},
                "observations": [seen.model_copy(update={"original": True}) for seen in observed(row, columns)],
            }
        )
        for number, row in enumerate(rows)
        if any(column in row for column in columns)  # a row that shows nothing counts as a unit only
    ]
    variants = {as_id(name): {"units": count} for name, count in counted.items()}
    maker = folder_of("table", variants, specimens=specimens)
    return KnowledgeBase(wording=words, assemblies=assemblies, features=features, makers={"table": maker})


def base_from_statements(
    rows: Mapping[str, Row],
    words: Wording,
    *,
    units: Mapping[str, float] | None = None,
    one_assembly: bool = False,
    **more: Mapping[str, object],
) -> KnowledgeBase:
    """One row for each class, its values said to hold always; classes are equal unless `units` tells."""
    columns = columns_of(rows.values())
    assemblies, features = features_of(columns, one_assembly=one_assembly, **more)
    variants = {as_id(name): {"units": units[name]} if units else {} for name in rows}
    traits = [
        {"feature": as_id(column), "of": [as_id(name)], "value": as_id(value)}
        for name, row in rows.items()
        for column, value in row.items()
    ]
    maker = folder_of("table", variants, traits=traits)
    return KnowledgeBase(wording=words, assemblies=assemblies, features=features, makers={"table": maker})


def observed(row: Row, columns: Iterable[str]) -> list[Observation]:
    """A row as observations, one for each column it has a value in."""
    return [
        Observation.model_validate({"feature": as_id(column), "is": as_id(row[column])})
        for column in columns
        if column in row
    ]


def ranked(base: KnowledgeBase, model: Model, observations: Sequence[Observation]) -> Ranking:
    """The ranking from plain readings, as an examination without rules makes it."""
    return rank(model, direct_messages(base, model, with_gates(base, observations)))


def probability_of(ranking: Ranking, variant: str) -> float:
    """P(variant | O)."""
    names = [group.variant for group in ranking.model.cells.groups]
    return float(ranking.by_group[names.index(as_id(variant))])


def random_base(seed: int) -> KnowledgeBase:
    """A small base with everything on: two makers, swaps, single parts swapped, slips, floor and unlisted cells."""
    draw = np.random.default_rng(seed)
    words = wording(
        often={"always": 0.99, "usually": 0.85, "often": 0.6, "sometimes": 0.3, "rarely": 0.08, "never": 0.005},
        slips={"hardly": 0.005, "rarely": 0.02, "sometimes": 0.05, "often": 0.1},
        swapped={"hardly": 0.01, "rarely": 0.05, "sometimes": 0.15, "often": 0.3, "mostly": 0.5},
        used_weight=1,
        floor=0.003,
        unlisted_variant=0.02,
        unlisted_maker=0.05,
        donor_within=float(draw.uniform(0.5, 1)),
    )
    assemblies = {
        f"part{a}": Assembly.model_validate(
            {"label": "p", "holds": "p"}
            | ({"is_the_range": True} if a == 0 else {"swapped": str(draw.choice(list(SwapWord)))})
        )
        for a in range(3)
    }
    features = {
        f"look{f}": Feature.model_validate(
            {
                "label": "l",
                "assembly": f"part{f % 3}",
                "ask": "l",
                "look": "l",
                "access": "photo",
                "slips": str(draw.choice(list(SlipWord))),
                "values": {f"v{x}": {} for x in range(draw.integers(2, 4))},
            }
            | ({"swapped_alone": str(draw.choice(list(SwapWord)))} if f in (1, 5) else {})
        )
        for f in range(6)
    }
    makers = {name: _random_maker(draw, name, features) for name in ("one", "two")}
    return KnowledgeBase(wording=words, assemblies=assemblies, features=features, makers=makers)


def _random_maker(draw: np.random.Generator, name: str, features: Mapping[str, Feature]) -> MakerFolder:
    life = str(draw.choice(["1930", "1930/1931", "1931"]))
    variants = {f"{name}{v}": {"units": float(draw.uniform(1, 9))} for v in range(2)}
    traits: list[dict[str, Any]] = []
    for variant in variants:
        for fid, feature in features.items():
            if draw.random() < 0.85:
                word = str(draw.choice([w for w in HowOften if w is not HowOften.NEVER]))
                value = str(draw.choice(feature.value_ids))
                traits.append({"feature": fid, "of": [variant], "value": value, "how": word})
    return folder_of(name, variants, life=life, traits=traits)


def random_observations(base: KnowledgeBase, seed: int, count: int) -> list[Observation]:
    """`count` readings of different features: a value, two values, or not a value, more or less sure."""
    draw = np.random.default_rng([seed, 1])
    seen = []
    for fid in draw.permutation(list(base.features))[:count]:
        values = base.features[str(fid)].value_ids
        kind = str(draw.choice(["is", "is", "is", "is_not"]))
        named = [str(v) for v in draw.permutation(values)[: draw.integers(1, len(values))]]
        sure = str(draw.choice(list(Sure)))
        seen.append(Observation.model_validate({"feature": str(fid), kind: named, "sure": sure}))
    return seen
