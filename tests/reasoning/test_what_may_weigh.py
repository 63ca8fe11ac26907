"""What of a rule's conclusions is weighed, where something seen speaks against it, and what a family bound means."""

from __future__ import annotations

import pytest
from hobmark.reasoning.evidence import with_gates
from hobmark.reasoning.examination import Examination

from .small_base import PLAIN, base_of, chance, examine, feature, look, rule, said, specimen, wording, works

FEATURES = {
    "mark": feature("body", "absent", "ring", "bar"),
    "skirt": feature("body", "absent", "steel", "plated"),
    "width": feature("body", "narrow", "wide"),
    "pans": feature("iron", "absent", "present"),
    "depth": feature("iron", "shallow", "deep", needs={"pans": "present"}),
}
TRAITS = [said("width", "heron_plain", "narrow"), said("width", "heron_deluxe", "wide")]
SKIRT = rule("r1", [{"mark": "bar"}], {"feature": "skirt", "is": "plated"})
BOUND = rule("r2", [{"skirt": "plated"}], {"rules_out": ["heron_plain"], "of": "body"})


def examined(
    rules: list[dict[str, object]], *seen: object, traits: list[dict[str, object]] | None = None
) -> Examination:
    heron = works({"heron": {"heron_plain": {}, "heron_deluxe": {}}}, traits=TRAITS + (traits or []), rules=rules)
    return examine(base_of(FEATURES, heron, words=wording({**PLAIN, "floor": 0.003})), *seen)  # type: ignore[arg-type]


def test_a_bound_that_rests_on_a_derived_feature_weighs() -> None:
    assert chance(examined([SKIRT, BOUND], look("mark", "bar")).ranking, "heron_plain") < 0.01


def test_a_bound_that_rests_on_what_was_seen_to_be_otherwise_does_not_weigh() -> None:
    ranking = examined([SKIRT, BOUND], look("mark", "bar"), look("skirt", "steel")).ranking
    assert chance(ranking, "heron_plain") == pytest.approx(0.5)


def test_ruling_out_a_family_rules_out_each_of_its_variants() -> None:
    wren = {"heron": {"heron_plain": {}, "heron_deluxe": {}}, "wren": {"wren_plain": {}}}
    out = rule("r1", [{"mark": "bar"}], {"rules_out": ["heron"], "of": "body"})
    base = base_of(FEATURES, works(wren, rules=[out]), words=wording({**PLAIN, "floor": 0.003}))
    assert chance(examine(base, look("mark", "bar")).ranking, "wren_plain") > 0.99


def test_a_conclusion_that_says_less_than_another_is_no_second_witness() -> None:
    wide = rule("r2", [{"mark": "bar"}], {"feature": "skirt", "is": ["steel", "plated"]})
    traits = [said("skirt", "heron_plain", "steel"), said("skirt", "heron_deluxe", "plated")]
    one = examined([SKIRT], look("mark", "bar"), traits=traits).ranking
    two = examined([SKIRT, wide], look("mark", "bar"), traits=traits).ranking
    assert two.by_group == pytest.approx(one.by_group)


def test_what_is_known_to_be_another_ranges_asserts_no_gate() -> None:
    base = examined([]).compiled.base
    assert [seen.feature for seen in with_gates(base, [look("depth", "deep", original=False)])] == ["depth"]


def test_what_is_known_to_be_another_ranges_is_not_weighed() -> None:
    ranking = examined([], look("width", "wide", original=False)).ranking
    assert chance(ranking, "heron_deluxe") == pytest.approx(0.5)


def test_a_specimen_counts_for_nothing_of_a_feature_that_only_rules_speak_of() -> None:
    shown = specimen("sp-1", "heron_plain", "1937", {"feature": "mark", "is": "bar", "original": True})
    heron = works({"heron": {"heron_plain": {}, "heron_deluxe": {}}}, traits=TRAITS, rules=[SKIRT], specimens=[shown])
    ranking = examine(base_of(FEATURES, heron), look("mark", "bar")).ranking
    assert chance(ranking, "heron_plain") == pytest.approx(0.5)
