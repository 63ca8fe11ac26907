"""Small bases, built through the project's own models, whose numbers can be worked out by hand.

The makers and all said of them are invented, as everywhere in this project.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Wording
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Access, Goal
from hobmark.reasoning.cells import Cells, Group, build_cells
from hobmark.reasoning.examination import Compiled, Examination, compile_base
from hobmark.reasoning.factory import factory_parts, factory_table
from hobmark.reasoning.goals import Claim
from hobmark.reasoning.ranking import Ranking

Fields = Mapping[str, Any]

WORDING: dict[str, Any] = {
    "often": {"always": 0.99, "usually": 0.85, "often": 0.6, "sometimes": 0.3, "rarely": 0.08, "never": 0.005},
    "swapped": {"hardly": 0.005, "rarely": 0.02, "sometimes": 0.06, "often": 0.15, "mostly": 0.3},
    "slips": {"hardly": 0.005, "rarely": 0.02, "sometimes": 0.05, "often": 0.1},
    "certainty": {"attested": 20, "inferred": 10, "recollected": 5, "disputed": 2},
    "sure": {"certain": 1, "likely": 0.8, "guess": 0.6},
    "seconds": {"photo": 5, "glance": 5, "hand": 20, "tool": 90, "panel_off": 900},
    "situations": {
        "listing": {"label": "a listing", "offers": ["photo"], "seconds_each": 60},
        "sale": {"label": "a sale", "offers": ["photo", "glance", "hand", "tool"]},
        "bench": {"label": "the bench", "offers": ["photo", "glance", "hand", "tool", "panel_off"]},
    },
    "cannot_tell": {"photo": 0.08, "glance": 0.05, "hand": 0.08, "tool": 0.1, "panel_off": 0.02},
    "certainty_words": [
        {"at_least": 0.95, "say": "settled"},
        {"at_least": 0.5, "say": "likelier than not"},
        {"at_least": 0, "say": "unlikely"},
    ],
}
"""The words of the shipped base, held here so that a curator's change there fails no test."""

ASSEMBLIES = {
    "body": {"label": "body", "holds": "sides", "is_the_range": True},
    "control": {"label": "oven control", "holds": "dial", "swapped": "often"},
    "iron": {"label": "loose iron", "holds": "grates", "swapped": "mostly"},
}

PLAIN = {"unlisted_variant": 0, "unlisted_maker": 0, "floor": 0}
"""Model numbers for sums by hand: listed cells only, and no floor."""


def wording(model: Fields | None = None, stop: Fields | None = None, **tables: Fields) -> Wording:
    told = {name: {**entry, **tables.get(name, {})} for name, entry in WORDING.items() if isinstance(entry, dict)}
    return Wording.model_validate({**WORDING, **told, "model": model or {}, "stop": stop or {}})


def feature(assembly: str, *values: str, **more: Any) -> dict[str, Any]:
    shared = {"label": assembly, "ask": "Which?", "look": "There.", "access": "photo", "slips": "rarely"}
    return {**shared, "assembly": assembly, "values": {value: {} for value in values}, **more}


def said(feature: str, of: str | Sequence[str], value: str | None = None, **more: Any) -> dict[str, Any]:
    """A statement; attested unless told otherwise."""
    whom = [of] if isinstance(of, str) else list(of)
    fields = {"feature": feature, "of": whom, "certainty": "attested", "sources": ["book"], **more}
    return fields if value is None else {**fields, "value": value}


def rule(name: str, when: Sequence[Fields], *then: Fields, **more: Any) -> dict[str, Any]:
    fields = {"id": name, "when": {"all": list(when)}, "then": list(then), "because": "so.", "sources": ["book"]}
    return {**fields, **more}


def specimen(name: str, variant: str, made: str, *seen: Fields, maker: str = "brindlemere") -> dict[str, Any]:
    known = {"variant": variant, "made": made, "basis": ["a dated receipt"]}
    fields = {"id": name, "maker": maker, "seen": {"date": "2019", "by": "a collector"}, "known": known}
    return {**fields, "observations": list(seen)}


def works(
    families: Mapping[str, Mapping[str, Fields]],
    *,
    maker: str = "brindlemere",
    life: str = "1937/1938",
    traits: Sequence[Fields] = (),
    rules: Sequence[Fields] = (),
    specimens: Sequence[Fields] = (),
) -> MakerFolder:
    """One maker; a variant is made all its maker's life unless told, and statement ids are t0, t1, ... unless told."""
    shared = {"made": [life], "sources": ["book"]}
    return MakerFolder.model_validate(
        {
            "maker": {"id": maker, "label": maker.title(), "invented": True, "life": life},
            "sources": {"book": {"kind": "catalogue", "title": "a catalogue"}},
            "families": {
                f: {"label": f.title(), "variants": {v: {"label": v, **shared, **told} for v, told in variants.items()}}
                for f, variants in families.items()
            },
            "traits": [{"id": f"t{n}", **trait} for n, trait in enumerate(traits)],
            "rules": rules,
            "specimens": specimens,
        }
    )


def base_of(
    features: Mapping[str, Fields],
    *makers: MakerFolder,
    words: Wording | None = None,
    cautions: Fields | None = None,
    assemblies: Fields | None = None,
) -> KnowledgeBase:
    return KnowledgeBase.model_validate(
        {
            "wording": words or wording(PLAIN),
            "assemblies": {**ASSEMBLIES, **(assemblies or {})},
            "features": {name: {**told, "label": told["label"] + " " + name} for name, told in features.items()},
            "makers": {folder.maker.id: folder for folder in makers},
            "cautions": cautions or {},
        }
    )


def phi_of(base: KnowledgeBase, feature: str) -> tuple[Cells, np.ndarray]:
    """Phi of one feature before any specimen's own parts are weighed."""
    cells = build_cells(base)
    return cells, factory_table(base, cells, feature, factory_parts(base, cells, feature), {})


def cell(cells: Cells, variant: str | None, year: int, maker: str | None = "brindlemere") -> int:
    return int(np.flatnonzero(cells.of_group(Group(maker, variant)) & (cells.year == year))[0])


def look(feature: str, value: str | Sequence[str] | None = None, **more: Any) -> Observation:
    return Observation.model_validate({"feature": feature, **({} if value is None else {"is": value}), **more})


def examine(
    base: KnowledgeBase | Compiled,
    *seen: Observation,
    goal: Goal = Goal.VARIANT,
    claim: Claim | None = None,
    also: frozenset[Access] = frozenset(),
    **case: Any,
) -> Examination:
    compiled = base if isinstance(base, Compiled) else compile_base(base)
    written = Case.model_validate({"hobmark": "1", "observations": seen, **case})
    return Examination(compiled, written, goal, claim, also)


def chance(ranking: Ranking, variant: str | None, maker: str | None = "brindlemere") -> float:
    return float(ranking.by_group[ranking.model.cells.groups.index(Group(maker, variant))])
