"""Ranking with swapped assemblies and single parts against brute force over every pattern (see enumeration.py)."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.rules import Rule
from hobmark.reasoning.examination import Examination, compile_base
from hobmark.reasoning.model import compile_model
from hobmark.reasoning.ranking import Ranking

from .enumeration import (
    Enumerated,
    concluded,
    donor_weights,
    enumerate_patterns,
    enumerate_pieces,
    pieces_of,
    reading_chances,
)
from .tables import random_base, random_observations, ranked

every_base = pytest.mark.parametrize("seed", range(60))
some_bases = pytest.mark.parametrize("seed", range(24))


@cache
def both_ways(seed: int) -> tuple[KnowledgeBase, list[Observation], Ranking, Enumerated]:
    """A random base with 1 to 6 readings, ranked by the project and by enumeration."""
    base = random_base(seed)
    seen = random_observations(base, seed, 1 + seed % 6)
    model = compile_model(base)
    return base, seen, ranked(base, model, seen), enumerate_patterns(base, model, seen)


@every_base
def test_the_posterior_is_that_of_all_patterns(seed: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    assert ranking.posterior == pytest.approx(counted.cells / counted.cells.sum(), abs=1e-10)


@every_base
def test_the_evidence_is_that_of_all_patterns(seed: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    assert ranking.log_evidence == pytest.approx(np.log(counted.cells.sum()), abs=1e-10)


@every_base
def test_swapped_is_as_probable_as_the_patterns_that_swap_it(seed: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    assert ranking.swapped == pytest.approx(counted.swapped / counted.cells.sum(), abs=1e-10)


@every_base
@pytest.mark.parametrize("assembly", [1, 2])
def test_a_donor_is_as_probable_as_the_patterns_that_draw_it(seed: int, assembly: int) -> None:
    _, _, ranking, counted = both_ways(seed)
    expected = counted.donor[assembly] / counted.donor[assembly].sum()
    assert ranking.donors_of(assembly) == pytest.approx(expected, abs=1e-10)


@every_base
def test_what_a_donors_assembly_shows_is_one_number_for_each_maker(seed: int) -> None:
    """R: for a range of cell h, the chance of an assembly's readings where it came whole from some donor."""
    base, seen, ranking, _ = both_ways(seed)
    model, delta = ranking.model, donor_weights(base, ranking.model)
    expected = np.empty((len(model.cells), len(base.assemblies)))
    for h in range(len(model.cells)):
        for a, assembly in enumerate(base.assemblies):
            shown = np.ones(len(model.cells))
            for one in seen:
                feature = base.features[one.feature]
                if feature.assembly == assembly:
                    rate = base.wording.swapped[feature.swapped_alone] if feature.swapped_alone else 0.0
                    says = reading_chances(base, one) @ model.features[one.feature].phi
                    shown *= (1 - rate) * says + rate * (delta[h] @ says)
            expected[h, a] = delta[h] @ shown
    assert ranking.donated[model.cells.maker] == pytest.approx(expected, abs=1e-10)


# Things removed


def with_traces(base: KnowledgeBase) -> KnowledgeBase:
    """look1 (a part swapped alone) leaves its traces on part0, the range; look2 on part1. Their v0 becomes `absent`."""
    bearers = {"look1": "part0", "look2": "part1"}
    features = dict(base.features)
    for feature, bearer in bearers.items():
        values = {"absent" if value == "v0" else value: told for value, told in base.features[feature].values.items()}
        features[feature] = features[feature].model_copy(update={"values": values, "traces_on": bearer})
    makers = {}
    for name, folder in base.makers.items():
        traits = tuple(
            trait.model_copy(update={"value": "absent"}) if trait.feature in bearers and trait.value == "v0" else trait
            for trait in folder.traits
        )
        makers[name] = remade(folder, traits=traits)
    return KnowledgeBase(wording=base.wording, assemblies=base.assemblies, features=features, makers=makers)


def remade(folder: MakerFolder, **fields: object) -> MakerFolder:
    """A maker's folder with other fields."""
    return MakerFolder(**({name: getattr(folder, name) for name in MakerFolder.model_fields} | fields))


@cache
def both_ways_of_removed(seed: int) -> tuple[Ranking, Enumerated]:
    """look1 or look2 or both are gone, two other looks were seen."""
    base = with_traces(random_base(seed))
    draw = np.random.default_rng([seed, 3])
    gone = [("look1",), ("look2",), ("look1", "look2")][seed % 3]
    sure = [str(draw.choice(["certain", "likely", "guess"])) for _ in gone]
    seen = [
        Observation.model_validate({"feature": feature, "removed": True, "sure": word})
        for feature, word in zip(gone, sure, strict=True)
    ]
    seen += [one for one in random_observations(base, seed, 6) if one.feature not in ("look1", "look2")][:2]
    model = compile_model(base)
    return ranked(base, model, seen), enumerate_patterns(base, model, seen)


@some_bases
def test_what_is_removed_weighs_where_its_traces_are(seed: int) -> None:
    ranking, counted = both_ways_of_removed(seed)
    assert ranking.posterior == pytest.approx(counted.cells / counted.cells.sum(), abs=1e-10)


@some_bases
def test_traces_tell_whether_the_assembly_that_bears_them_is_its_own(seed: int) -> None:
    ranking, counted = both_ways_of_removed(seed)
    assert ranking.swapped == pytest.approx(counted.swapped / counted.cells.sum(), abs=1e-10)


# Bounds and derived features

STAMPED: dict[str, list[dict[str, Any]]] = {
    "one": [
        {"feature": "look4", "is": "v0", "how": "usually"},
        {"not_before": "1931", "of": "part1"},
        {"rules_out": ["one0"], "of": "part2"},
    ],
    "two": [{"feature": "look5", "is": "v1", "how": "often"}, {"not_after": "1930", "of": "part0"}],
}
"""What each maker's rule concludes from the stamp; look4 is of part1, look5 a part of part2 that is swapped alone."""


def with_rules(base: KnowledgeBase) -> KnowledgeBase:
    """A stamp of which no statement speaks, and each maker's rule about it."""
    told = {"label": "l", "ask": "l", "look": "l", "access": "hand", "values": {"absent": {}, "town": {}}}
    stamp = Feature.model_validate({**told, "assembly": "part0"})
    makers = {
        name: remade(
            folder,
            rules=(
                Rule.model_validate(
                    {
                        "id": "r0",
                        "when": {"all": [{"stamp": "town"}]},
                        "then": STAMPED[name],
                        "because": "so.",
                        "sources": ["book"],
                    }
                ),
            ),
        )
        for name, folder in base.makers.items()
    }
    features = {**base.features, "stamp": stamp}
    return KnowledgeBase(wording=base.wording, assemblies=base.assemblies, features=features, makers=makers)


@cache
def both_ways_of_ruled(seed: int) -> tuple[Ranking, Enumerated]:
    """The stamp was seen, so both rules fire, and up to three other looks; a look seen itself is not derived again."""
    base = with_rules(random_base(seed))
    seen = [Observation.model_validate({"feature": "stamp", "is": "town"})]
    seen += [one for one in random_observations(base, seed, 4) if one.feature != "stamp"][: seed % 4]
    compiled = compile_base(base)
    pieces = pieces_of(base, compiled.model, seen)
    for maker, conclusions in STAMPED.items():
        for conclusion in conclusions:
            if conclusion.get("feature") not in [one.feature for one in seen]:
                pieces.append(concluded(base, compiled.model, maker, conclusion))
    case = Case(hobmark="1", label="stamped", observations=tuple(seen))
    return Examination(compiled, case).ranking, enumerate_pieces(base, compiled.model, pieces)


@some_bases
def test_bounds_and_derived_features_weigh_as_in_all_patterns(seed: int) -> None:
    ranking, counted = both_ways_of_ruled(seed)
    assert ranking.posterior == pytest.approx(counted.cells / counted.cells.sum(), abs=1e-10)


@some_bases
def test_bounds_and_derived_features_tell_what_is_not_its_own(seed: int) -> None:
    ranking, counted = both_ways_of_ruled(seed)
    assert ranking.swapped == pytest.approx(counted.swapped / counted.cells.sum(), abs=1e-10)


@some_bases
@pytest.mark.parametrize("assembly", [1, 2])
def test_bounds_and_derived_features_tell_the_donor(seed: int, assembly: int) -> None:
    ranking, counted = both_ways_of_ruled(seed)
    expected = counted.donor[assembly] / counted.donor[assembly].sum()
    assert ranking.donors_of(assembly) == pytest.approx(expected, abs=1e-10)
