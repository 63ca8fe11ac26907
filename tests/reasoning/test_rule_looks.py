"""Looks at the conditions of rules, chained ahead: what an answer would set off is what the look is worth."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.examination import Examination

from .small_base import PLAIN, base_of, examine, feature, look, rule, said, specimen, wording, works

FEATURES = {
    "mark": feature("body", "absent", "ring", "bar"),
    "stop": feature("body", "plain", "click"),
    "control": feature("body", "wheel", "bulb"),
}
TRAITS = [said("control", "alder", "wheel"), said("control", "birch", "bulb")]
BAR_IS_BULB = rule("r1", [{"mark": "bar"}], {"feature": "control", "is": "bulb"})
RING_IS_WHEEL = rule("r2", [{"mark": "ring"}], {"feature": "control", "is": "wheel"})
BOTH = rule("r3", [{"mark": "bar"}, {"stop": "click"}], {"feature": "control", "is": "bulb"})


def examined(rules: list[dict[str, Any]], *seen: Observation, **more: Any) -> Examination:
    folder = works({"heron": {"alder": {}, "birch": {}}}, traits=TRAITS, rules=rules, **more)
    return examine(base_of(FEATURES, folder, words=wording(PLAIN)), *seen)


def bits(examination: Examination, feature: str = "mark") -> float:
    return examination.expected[feature].goal_bits


# What such a look is worth


def test_without_rules_a_feature_nobody_speaks_of_tells_nothing() -> None:
    assert bits(examined([])) == pytest.approx(0, abs=1e-12)


def test_a_look_that_could_set_off_a_rule_tells_something() -> None:
    assert bits(examined([BAR_IS_BULB])) > 0.1


def test_a_look_that_sets_off_a_rule_on_either_answer_tells_more() -> None:
    assert bits(examined([BAR_IS_BULB, RING_IS_WHEEL])) > bits(examined([BAR_IS_BULB]))


def test_the_answers_to_such_a_look_make_one() -> None:
    assert examined([BAR_IS_BULB]).expected["mark"].answers.sum() == pytest.approx(1)


def test_the_answers_that_set_off_nothing_are_alike() -> None:
    answers = examined([BAR_IS_BULB]).expected["mark"].answers
    assert answers[0] == pytest.approx(answers[1])


def test_its_bits_are_those_of_ranking_after_every_answer() -> None:
    """Mutual information of answer and variant, each answer ranked with what it sets off."""
    examination = examined([BAR_IS_BULB, RING_IS_WHEEL])
    answers = examination.expected["mark"].answers
    after = [examination.with_answer(look("mark", value)).ranking.by_group[:2] for value in ("absent", "ring", "bar")]
    joint = answers[:, None] * np.array(after)
    apart = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
    assert bits(examination) == pytest.approx(float((joint * np.log2(joint / apart)).sum()))


def test_a_bound_that_a_look_could_set_off_is_worth_something_about_the_cells() -> None:
    bound = rule("r1", [{"mark": "bar"}], {"not_after": "1937", "of": "body"})
    assert examined([bound]).expected["mark"].cell_bits > 0.1


def test_a_look_that_could_only_set_off_a_remark_tells_nothing() -> None:
    assert bits(examined([rule("r1", [{"mark": "bar"}], {"remark": "Look."})])) == pytest.approx(0, abs=1e-12)


# When it is worth nothing


def test_a_rule_that_would_only_repeat_what_was_seen_is_worth_nothing() -> None:
    assert bits(examined([BAR_IS_BULB], look("control", "bulb"))) == pytest.approx(0, abs=1e-12)


def test_a_rule_with_another_condition_open_is_worth_nothing_yet() -> None:
    assert bits(examined([BOTH])) == pytest.approx(0, abs=1e-12)


def test_a_rule_with_its_other_condition_met_is_worth_looking_for() -> None:
    assert bits(examined([BOTH], look("stop", "click"))) > 0.1


def test_a_rule_with_a_stated_condition_is_not_weighed_and_so_worth_nothing() -> None:
    stated = rule("r1", [{"mark": "bar"}, {"control": "bulb"}], {"not_before": "1938", "of": "body"})
    assert examined([stated], look("control", "bulb")).expected["mark"].cell_bits == pytest.approx(0, abs=1e-12)


def test_a_rule_that_has_fired_already_is_not_set_off_again() -> None:
    either = rule("r1", [{"any": [{"mark": "bar"}, {"stop": "click"}]}], {"feature": "control", "is": "bulb"})
    assert bits(examined([either], look("stop", "click"))) == pytest.approx(0, abs=1e-12)


# Beside statements and specimens


def test_a_specimen_that_shows_the_mark_does_not_hide_what_the_rule_would_tell() -> None:
    seen = specimen("sp-1", "alder", "1937", {"feature": "mark", "is": "absent"})
    assert bits(examined([BAR_IS_BULB], specimens=[seen])) > 0.1


def test_a_look_at_a_mark_comes_in_order_with_the_others() -> None:
    order = [one.feature for one in examined([BAR_IS_BULB, RING_IS_WHEEL]).looks]
    assert order == ["control", "mark", "stop"]


def test_a_rule_may_overturn_who_leads() -> None:
    leaning = examined([BAR_IS_BULB], look("control", "wheel", sure="guess"))
    assert examined([BAR_IS_BULB, RING_IS_WHEEL]).expected["mark"].overturns > leaning.expected["mark"].overturns
