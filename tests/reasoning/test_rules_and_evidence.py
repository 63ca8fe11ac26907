"""Rules that chain, what of it is weighed and how much, bounds, other makers' cells, gates, traces, contradictions."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.evidence import Message, with_gates
from hobmark.reasoning.examination import Examination

from .small_base import PLAIN, base_of, cell, examine, feature, look, rule, said, wording, works

FEATURES = {
    "mark": feature("control", "absent", "ring", "bar"),
    "skirt": feature("control", "absent", "steel", "plated"),
    "stop": feature("body", "plain", "click"),
    "control": feature("control", "wheel", "rod", "bulb", "second_bulb"),
    "lighting": feature("control", "match", "pilot", "safety"),
    "lamp": feature("iron", "absent", "fixed", traces_on="body"),
    "lamp_arm": feature("iron", "straight", "bent", needs={"lamp": "fixed"}),
    "lamp_shade": feature("iron", "glass", "tin", needs={"lamp_arm": ["straight", "bent"]}),
}
TRAITS = [
    said("control", "heron_plain", run=["wheel", {"from": "1939", "value": "rod"}]),
    said("control", "heron_deluxe", values={"bulb": "usually", "wheel": "rarely"}),
    said("lighting", "all", "pilot", how="usually"),
    said("lamp", "heron_deluxe", "fixed"),
    said("lamp", "heron_plain", "absent"),
]
CHAIN = [
    rule("r1", [{"mark": "bar"}], {"feature": "skirt", "is": "plated"}),
    rule("r2", [{"skirt": ["steel", "plated"]}, {"stop": "click"}], {"feature": "control", "is": ["bulb", "rod"]}),
    rule("r3", [{"control": ["wheel", "bulb", "rod"]}], {"not_after": "1938", "of": "control"}),
]
BAR_IS_BULB = rule("r1", [{"mark": "bar"}], {"feature": "control", "is": "bulb", "how": "usually"})


def examined(rules: list[dict[str, Any]], *seen: Observation, **model: float) -> Examination:
    heron = works({"heron": {"heron_plain": {}, "heron_deluxe": {}}}, life="1937/1940", traits=TRAITS, rules=rules)
    wren = works(
        {"wren": {"wren_plain": {}}}, maker="wexcombe", life="1937/1940", traits=[said("control", "all", "bulb")]
    )
    return examine(base_of(FEATURES, heron, wren, words=wording({**PLAIN, "floor": 0.003, **model})), *seen)


def fired(examination: Examination) -> list[str]:
    return [firing.clause for firing in examination.derivations["brindlemere"].firings]


def derived(examination: Examination) -> list[Message]:
    return [message for message in examination.ranking.messages if message.maker is not None]


# Chaining


def test_rules_chain_three_deep() -> None:
    assert fired(examined(CHAIN, look("mark", "bar"), look("stop", "click"))) == ["r1", "r2", "r3"]


def test_a_chain_stops_where_a_condition_is_not_known() -> None:
    assert fired(examined(CHAIN, look("mark", "bar"))) == ["r1"]


def test_any_of_several_conditions_is_enough() -> None:
    either = rule("r1", [{"any": [{"mark": "bar"}, {"skirt": "steel"}]}, {"stop": "click"}], {"remark": "Look."})
    assert fired(examined([either], look("skirt", "steel"), look("stop", "click"))) == ["r1#2"]


def test_a_set_that_lies_inside_a_condition_meets_it() -> None:
    within = rule("r1", [{"mark": ["absent", "ring"]}], {"remark": "Early."})
    assert fired(examined([within], look("mark", ["ring", "absent"]))) == ["r1"]


def test_a_set_that_reaches_beyond_a_condition_does_not_meet_it() -> None:
    within = rule("r1", [{"mark": ["absent", "ring"]}], {"remark": "Early."})
    assert fired(examined([within], look("mark", ["ring", "bar"]))) == []


def test_a_derived_set_meets_a_wider_condition() -> None:
    assert "r3" in fired(examined(CHAIN, look("skirt", "steel"), look("stop", "click")))


@pytest.mark.parametrize(
    "seen",
    [
        look("mark", "bar", sure="likely"),
        look("mark", "bar", sure="guess"),
        look("mark", is_not=["absent", "ring"]),
        look("mark", unseen=True),
    ],
    ids=["likely", "guess", "negation", "unseen"],
)
def test_what_is_not_a_certain_value_fires_nothing(seen: Observation) -> None:
    assert fired(examined(CHAIN, seen)) == []


def test_a_retired_rule_does_not_fire() -> None:
    assert examined([{**BAR_IS_BULB, "status": "retired"}], look("mark", "bar")).derivations == {}


# What is weighed


def test_a_derived_feature_is_weighed_by_its_rules_word_and_the_rest_split_evenly() -> None:
    examination = examined([BAR_IS_BULB], look("mark", "bar"))
    reading = np.array([0.05, 0.05, 0.85, 0.05])
    expected = examination.compiled.model.message("control", reading)
    own = examination.compiled.model.cells.maker == 0
    assert derived(examination)[0].values[:, own] == pytest.approx(expected[:, own])


def test_a_derived_set_gives_its_word_to_each_of_its_values() -> None:
    two = rule("r1", [{"mark": "bar"}], {"feature": "control", "is": ["bulb", "rod"], "how": "often"})
    examination = examined([two], look("mark", "bar"))
    expected = examination.compiled.model.message("control", np.array([0.2, 0.6, 0.6, 0.2]))
    assert derived(examination)[0].values[0, 0] == pytest.approx(expected[0, 0])


def test_a_derived_feature_bears_on_its_own_assembly() -> None:
    base = examined([BAR_IS_BULB], look("mark", "bar"))
    assert base.compiled.model.assemblies[derived(base)[0].assembly] == "control"


def test_two_rules_that_conclude_the_same_weigh_once_by_the_stronger_word() -> None:
    weaker = rule("r2", [{"stop": "click"}], {"feature": "control", "is": "bulb", "how": "often"})
    both = examined([BAR_IS_BULB, weaker], look("mark", "bar"), look("stop", "click"))
    alone = examined([BAR_IS_BULB], look("mark", "bar"))
    assert np.allclose(derived(both)[0].values, derived(alone)[0].values)


def test_a_conclusion_about_what_was_observed_is_not_weighed() -> None:
    assert derived(examined([BAR_IS_BULB], look("mark", "bar"), look("control", "wheel"))) == []


def test_a_conclusion_about_what_could_not_be_seen_is_weighed() -> None:
    assert len(derived(examined([BAR_IS_BULB], look("mark", "bar"), look("control", unseen=True)))) == 1


def test_a_conclusion_from_an_observed_feature_with_statements_is_not_weighed() -> None:
    from_stated = rule("r1", [{"lighting": "safety"}], {"feature": "control", "is": "second_bulb"})
    assert derived(examined([from_stated], look("lighting", "safety"))) == []


def test_a_chain_through_a_derived_feature_with_statements_is_weighed() -> None:
    onward = rule("r2", [{"control": "bulb"}], {"not_before": "1939", "of": "control"})
    assert len(derived(examined([BAR_IS_BULB, onward], look("mark", "bar")))) == 2


def test_one_stated_leaf_keeps_the_whole_proof_from_weighing() -> None:
    mixed = rule("r1", [{"mark": "bar"}, {"lighting": "pilot"}], {"not_before": "1939", "of": "control"})
    assert derived(examined([mixed], look("mark", "bar"), look("lighting", "pilot"))) == []


def test_a_second_proof_without_statements_weighs() -> None:
    either = rule("r1", [{"any": [{"mark": "bar"}, {"lighting": "pilot"}]}], {"not_before": "1939", "of": "control"})
    assert len(derived(examined([either], look("mark", "bar"), look("lighting", "pilot")))) == 1


def test_a_rule_that_only_remarks_weighs_nothing() -> None:
    assert derived(examined([rule("r1", [{"mark": "bar"}], {"remark": "Look."})], look("mark", "bar"))) == []


# Bounds


def bounded(**bound: Any) -> Examination:
    return examined([rule("r1", [{"mark": "bar"}], {**bound, "of": "control"})], look("mark", "bar"))


def on_own_years(examination: Examination, variant: str = "heron_plain") -> list[float]:
    cells = examination.compiled.model.cells
    return [float(derived(examination)[0].values[0, cell(cells, variant, year)]) for year in range(1937, 1941)]


@pytest.mark.parametrize(
    ("bound", "expected"),
    [
        ({"not_before": "1939"}, [0.003, 0.003, 1, 1]),
        ({"not_before": "1938-06"}, [0.003, 1, 1, 1]),
        ({"not_before": "[1938..1939]"}, [0.003, 1, 1, 1]),
        ({"not_after": "1938"}, [1, 1, 0.003, 0.003]),
        ({"not_after": "[1937..1939]"}, [1, 1, 1, 0.003]),
    ],
    ids=str,
)
def test_a_bound_is_one_inside_and_the_floor_outside(bound: dict[str, str], expected: list[float]) -> None:
    assert on_own_years(bounded(**bound)) == pytest.approx(expected)


@pytest.mark.parametrize(("variant", "value"), [("heron_plain", 0.003), ("heron_deluxe", 1)])
def test_variants_ruled_out_get_the_floor(variant: str, value: float) -> None:
    assert on_own_years(bounded(rules_out=["heron_plain"]), variant) == pytest.approx([value] * 4)


def test_a_bound_dates_its_assembly_and_not_the_range() -> None:
    """The control may be another's: the range keeps a swap's share of the excluded years."""
    ranking = bounded(not_before="1939").ranking
    mean = 0.9 * (0.5 + 0.5 * 0.003) + 0.1 * (0.5 + 0.5 * 0.003)  # other makers take the mean
    outside, inside = 0.85 * 0.003 + 0.15 * mean, 0.85 + 0.15 * mean
    control = ranking.model.assemblies.index("control")
    h = [cell(ranking.model.cells, "heron_plain", year) for year in (1937, 1940)]
    assert ranking.likelihood[control, h] / ranking.likelihood[control, h[1]] == pytest.approx([outside / inside, 1])


# Other makers' cells


def test_on_other_makers_cells_a_rules_message_is_its_mean_over_its_own() -> None:
    examination = bounded(not_before="1939")
    cells = examination.compiled.model.cells
    wren = derived(examination)[0].values[:, cells.maker == 1]
    assert wren == pytest.approx(np.full(wren.shape, (1 + 0.003) / 2))


def test_a_rule_leaves_the_odds_of_its_maker_as_they_were() -> None:
    """With nothing else seen and the control never swapped, a mean is all another maker's cells can get."""
    heron = works(
        {"heron": {"heron_plain": {}}},
        life="1937/1940",
        rules=[rule("r1", [{"stop": "click"}], {"not_before": "1939", "of": "body"})],
    )
    wren = works({"wren": {"wren_plain": {}}}, maker="wexcombe", life="1937/1940")
    ranking = examine(base_of(FEATURES, heron, wren), look("stop", "click")).ranking
    assert ranking.posterior[ranking.model.cells.maker == 1].sum() == pytest.approx(0.5)


# Gates and traces


def test_answering_a_gated_feature_asserts_its_gate() -> None:
    seen = with_gates(examined([]).compiled.base, [look("lamp_arm", "bent")])
    assert [(one.feature, one.is_) for one in seen[1:]] == [("lamp", ("fixed",))]


def test_a_gate_of_a_gate_is_asserted_too() -> None:
    seen = with_gates(examined([]).compiled.base, [look("lamp_shade", "tin")])
    assert [one.feature for one in seen] == ["lamp_shade", "lamp_arm", "lamp"]


def test_a_gate_is_as_sure_as_what_asserts_it() -> None:
    seen = with_gates(examined([]).compiled.base, [look("lamp_arm", "bent", sure="guess")])
    assert seen[1].sure == "guess"


def test_an_observed_gate_stands_as_it_was_observed() -> None:
    told = [look("lamp", "absent"), look("lamp_arm", "bent")]
    assert with_gates(examined([]).compiled.base, told) == told


def test_an_unseen_gated_feature_asserts_nothing() -> None:
    told = [look("lamp_arm", unseen=True)]
    assert with_gates(examined([]).compiled.base, told) == told


def test_what_was_removed_is_weighed_where_its_traces_are() -> None:
    examination = examined([], look("lamp", removed=True))
    assert [message.assembly for message in examination.ranking.messages] == [0]


def test_traces_do_not_come_with_a_part_swapped_on_its_own() -> None:
    examination = examined([], look("lamp", removed=True))
    phi = examination.compiled.model.features["lamp"].phi
    assert examination.ranking.messages[0].values[0] == pytest.approx(phi[1])


# Contradictions


@pytest.mark.parametrize(
    "seen", [look("control", "wheel"), look("control", is_not=["bulb", "rod"])], ids=["another value", "a negation"]
)
def test_a_derived_feature_that_was_seen_otherwise_is_shown(seen: Observation) -> None:
    examination = examined(CHAIN, look("mark", "bar"), look("stop", "click"), seen)
    assert examination.contradictions() == [("brindlemere", "control", frozenset({"bulb", "rod"}))]


@pytest.mark.parametrize(
    "seen", [look("control", "bulb"), look("control", ["bulb", "wheel"]), look("control", "wheel", sure="likely")]
)
def test_what_may_still_agree_is_no_contradiction(seen: Observation) -> None:
    assert examined(CHAIN, look("mark", "bar"), look("stop", "click"), seen).contradictions() == []


def test_what_was_seen_is_weighed_whatever_a_rule_concludes() -> None:
    told = [look("mark", "bar"), look("control", "wheel")]
    with_rule, without = examined([BAR_IS_BULB], *told), examined([], *told)
    assert with_rule.ranking.posterior == pytest.approx(without.ranking.posterior)
