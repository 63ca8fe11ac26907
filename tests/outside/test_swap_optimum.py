"""The optimum that the originality study stands beside the program (swap_optimum.py), against brute force over every
pattern (enumeration.py), and the program against it on the shipped base.
"""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.curating.simulating import draw_ranges, drawn_features
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.examination import compile_base
from hobmark.reasoning.model import compile_model
from hobmark.reasoning.questions import cannot_tell

from .enumeration import enumerate_patterns, enumerate_pieces, piece_of, pieces_of, reading_chances
from .swap_optimum import optimum_for
from .tables import random_base, ranked

every_base = pytest.mark.parametrize("seed", range(60))

BLIND = 0.07


def readings(base: KnowledgeBase, seed: int, count: int) -> dict[str, str]:
    """`count` looks, each of which told one value."""
    draw = np.random.default_rng([seed, 4])
    looked = [str(feature) for feature in draw.permutation(list(base.features))[:count]]
    return {feature: str(draw.choice(base.features[feature].value_ids)) for feature in looked}


@every_base
def test_the_optimum_is_that_of_all_patterns(seed: int) -> None:
    base = random_base(seed)
    model = compile_model(base)
    told = readings(base, seed, 1 + seed % 6)
    counted = enumerate_patterns(
        base, model, [Observation.model_validate({"feature": f, "is": v}) for f, v in told.items()]
    )
    best = optimum_for(base, model, dict.fromkeys(base.features, BLIND)).not_its_own([told])
    assert best[0] == pytest.approx(counted.swapped / counted.cells.sum(), abs=1e-10)


@pytest.mark.parametrize("looked", [{}, {"look0": None, "look4": None}], ids=["no look", "looks that told nothing"])
def test_the_optimum_of_nothing_told_is_the_rate_of_swaps(looked: dict[str, None]) -> None:
    base = random_base(0)
    model = compile_model(base)
    best = optimum_for(base, model, dict.fromkeys(base.features, BLIND)).not_its_own([looked])
    assert best[0] == pytest.approx(model.sigma)


def test_the_optimum_of_many_ranges_is_that_of_each() -> None:
    base = random_base(1)
    optimum = optimum_for(base, compile_model(base), dict.fromkeys(base.features, BLIND))
    told = [readings(base, seed, 4) for seed in range(600)]
    each = np.concatenate([optimum.not_its_own([one]) for one in told])
    assert optimum.not_its_own(told) == pytest.approx(each, abs=1e-12)


def test_the_optimum_knows_which_cells_are_drawn() -> None:
    """Nothing but the drawn cells may be the range's own; a donor may still be of any cell."""
    base = random_base(2)
    model = compile_model(base)
    told = readings(base, 2, 6)
    drawn = np.array([not model.cells.groups[group].unlisted for group in model.cells.group])
    blind = dict.fromkeys(base.features, BLIND)
    counted = enumerate_pieces(
        base,
        model,
        pieces_of(base, model, [Observation.model_validate({"feature": f, "is": v}) for f, v in told.items()]),
        drawn,
    )
    best = optimum_for(base, model, blind, drawn).not_its_own([told])
    assert best[0] == pytest.approx(counted.swapped / counted.cells.sum(), abs=1e-10)


def gated(base: KnowledgeBase, gate: str) -> KnowledgeBase:
    """look4, of part1, can be seen only where the gate shows v1."""
    behind = base.features["look4"].model_copy(update={"needs": {gate: ("v1",)}})
    features = {**base.features, "look4": behind}
    return KnowledgeBase(wording=base.wording, assemblies=base.assemblies, features=features, makers=base.makers)


@pytest.mark.parametrize("gate", ["v0", "v1", None])
@pytest.mark.parametrize("behind", ["v0", None])
@pytest.mark.parametrize("seed", range(8))
def test_the_optimum_learns_of_a_gate_from_what_is_behind_it(seed: int, gate: str | None, behind: str | None) -> None:
    """What look4 told proves that look1 is v1; that it told nothing is certain where it is not."""
    base = gated(random_base(seed), "look1")  # of part1, too, and swapped alone at times
    model = compile_model(base)
    values = base.features["look1"].value_ids
    chances = np.ones(len(values))
    if gate is not None:
        chances = reading_chances(base, Observation.model_validate({"feature": "look1", "is": gate}))
    opens = np.array([value == "v1" for value in values])
    chances = chances * (np.where(opens, BLIND, 1.0) if behind is None else opens)
    pieces = [piece_of(base, model, "look1", chances, None)]
    if behind is not None:
        pieces += pieces_of(base, model, [Observation.model_validate({"feature": "look4", "is": behind})])
    counted = enumerate_pieces(base, model, pieces)
    optimum = optimum_for(base, model, dict.fromkeys(base.features, BLIND))
    best = optimum.not_its_own([{"look1": gate, "look4": behind}])
    assert best[0] == pytest.approx(counted.swapped / counted.cells.sum(), abs=1e-10)


def test_a_gate_of_another_assembly_is_refused_by_the_optimum() -> None:
    base = gated(random_base(0), "look0")
    with pytest.raises(ValueError, match="look4"):
        optimum_for(base, compile_model(base), dict.fromkeys(base.features, BLIND))


def test_the_program_says_what_the_optimum_says_of_the_shipped_base() -> None:
    """Of looks without gates, where both have the same to go by."""
    compiled = compile_base(read_base([knowledge_root()]))
    base, model = compiled.base, compiled.model
    open_looks = [feature for feature in drawn_features(compiled) if not base.features[feature].needs]
    told = [
        {feature: one.readings[feature] for feature in open_looks}
        for one in draw_ranges(compiled, 40, 11, model.cells.groups)
    ]
    program = [
        ranked(
            base, model, [Observation.model_validate({"feature": f, "is": v}) for f, v in looks.items() if v]
        ).swapped
        for looks in told
    ]
    best = optimum_for(base, model, {f: cannot_tell(base, f) for f in open_looks}).not_its_own(told)
    assert best == pytest.approx(np.array(program), abs=1e-10)
