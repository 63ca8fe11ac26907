"""The factory table against sums by hand: statements, U, specimens, floor, and what is not listed."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reasoning.cells import Group
from hobmark.reasoning.factory import statements_about, used_values
from hobmark.reasoning.model import compile_model, retabled

from .small_base import PLAIN, base_of, cell, feature, look, phi_of, said, specimen, wording, works

FAMILIES = {
    "heron": {"heron_plain": {"units": 300}, "heron_deluxe": {"units": 100}},
    "plover": {"plover_plain": {"units": 100}},
}
FEATURES = {
    "dial": feature("control", "porcelain", "resin", "zinc"),
    "skirt": feature("control", "absent", "steel"),
    "shelf": feature("iron", "absent", "fixed", traces_on="control"),
}
USUALLY_RESIN = said("dial", "heron_plain", "resin", how="usually", certainty="inferred")
PORCELAIN = said("dial", "heron_deluxe", "porcelain")
D_PLAIN = np.array([0.15, 0.85, 0])
D_DELUXE = np.array([0.99, 0.01, 0])
U = (300 * 10 * D_PLAIN + 100 * 20 * D_DELUXE) / (300 * 10 + 100 * 20)
"""What the works used over all: by units and weight of statement; the undocumented Plover says nothing."""


SHELVES = [said("shelf", "heron_plain", "fixed"), said("shelf", "heron_deluxe", "absent")]


def one_works(*specimens: Any, traits: Any = (USUALLY_RESIN, PORCELAIN), **model: float) -> KnowledgeBase:
    folder = works(FAMILIES, traits=traits, specimens=specimens)
    return base_of(FEATURES, folder, words=wording({**PLAIN, **model}, slips={"rarely": 0}))


def column(
    base: KnowledgeBase, variant: str | None, year: int = 1937, feature: str = "dial", **more: Any
) -> list[float]:
    cells, phi = phi_of(base, feature)
    return list(phi[:, cell(cells, variant, year, **more)])


def seen_resin(made: str = "1937", **more: Any) -> dict[str, Any]:
    told = {"feature": "dial", "is": "resin", "original": True, **more}
    return specimen("sp-1", "heron_plain", made, {k: v for k, v in told.items() if v is not None})


# Statements and U


def test_a_statement_is_weighed_against_what_the_maker_used() -> None:
    assert column(one_works(), "heron_plain") == pytest.approx((U + 10 * D_PLAIN) / 11)


def test_a_stronger_statement_leaves_less_to_what_the_maker_used() -> None:
    assert column(one_works(), "heron_deluxe") == pytest.approx((U + 20 * D_DELUXE) / 21)


def test_what_the_maker_used_may_weigh_more() -> None:
    assert column(one_works(used_weight=5), "heron_plain") == pytest.approx((5 * U + 10 * D_PLAIN) / 15)


def test_an_undocumented_variant_stays_at_what_the_maker_used() -> None:
    assert column(one_works(), "plover_plain") == pytest.approx(U)


def test_a_feature_nobody_speaks_of_is_uniform() -> None:
    assert column(one_works(), "heron_plain", feature="skirt") == pytest.approx([0.5, 0.5])


def test_one_makers_statements_say_nothing_of_anothers_ranges() -> None:
    other = works({"wren": {"wren_plain": {}}}, maker="wexcombe")
    base = base_of(FEATURES, works(FAMILIES, traits=[USUALLY_RESIN]), other)
    assert column(base, "wren_plain", maker="wexcombe") == pytest.approx([1 / 3] * 3)


def test_every_column_makes_one() -> None:
    _, phi = phi_of(one_works(seen_resin(original=None), floor=0.003, unlisted_maker=0.05), "dial")
    assert phi.sum(axis=0) == pytest.approx(np.ones(phi.shape[1]))


# Floor and what is not listed


def test_no_value_is_less_likely_than_the_floor() -> None:
    _, phi = phi_of(one_works(floor=0.003), "dial")
    assert phi.min() >= 0.003


def test_the_floor_is_mixed_in_evenly() -> None:
    plain = np.array(column(one_works(), "heron_plain"))
    assert column(one_works(floor=0.003), "heron_plain") == pytest.approx((1 - 3 * 0.003) * plain + 0.003)


def test_an_unlisted_variant_follows_its_maker_three_quarters() -> None:
    assert column(one_works(unlisted_variant=0.02), None) == pytest.approx(0.75 * U + 0.25 / 3)


def test_an_unlisted_maker_follows_all_makers_one_half() -> None:
    other = works({"wren": {"wren_plain": {}}}, maker="wexcombe", traits=[said("dial", "all", "zinc")])
    base = base_of(FEATURES, works(FAMILIES, traits=[USUALLY_RESIN, PORCELAIN]), other, words=wording(PLAIN))
    of_all = (U + np.array([0, 0, 1])) / 2
    assert column(base, None, maker=None) == pytest.approx(0.5 * of_all + 0.5 / 3)


# Specimens


def test_a_specimens_own_part_counts_as_one_range_seen() -> None:
    expected = (U + 10 * D_PLAIN + [0, 1, 0]) / 12
    assert column(one_works(seen_resin()), "heron_plain") == pytest.approx(expected)


def test_a_part_known_not_to_be_its_own_counts_nothing() -> None:
    assert column(one_works(seen_resin(original=False)), "heron_plain") == pytest.approx((U + 10 * D_PLAIN) / 11)


def test_a_part_of_which_nothing_is_recorded_counts_by_the_swap_rate_at_first() -> None:
    expected = (U + 10 * D_PLAIN + 0.85 * np.array([0, 1, 0])) / (11 + 0.85)
    assert column(one_works(seen_resin(original=None)), "heron_plain") == pytest.approx(expected)


def test_a_specimen_of_two_possible_years_is_shared_out_over_them() -> None:
    expected = (U + 10 * D_PLAIN + [0, 0.5, 0]) / 11.5
    assert column(one_works(seen_resin("[1937..1938]")), "heron_plain") == pytest.approx(expected)


def test_a_specimen_says_nothing_of_other_years() -> None:
    assert column(one_works(seen_resin("1937")), "heron_plain", 1938) == pytest.approx((U + 10 * D_PLAIN) / 11)


def test_a_specimen_says_nothing_of_other_variants() -> None:
    assert column(one_works(seen_resin()), "heron_deluxe") == pytest.approx((U + 20 * D_DELUXE) / 21)


def test_a_specimen_made_when_its_variant_was_not_counts_nothing() -> None:
    assert column(one_works(seen_resin("1950")), "heron_plain") == pytest.approx((U + 10 * D_PLAIN) / 11)


def test_a_specimen_that_shows_one_of_two_values_is_shared_by_them() -> None:
    shows = seen_resin(**{"is": ["resin", "porcelain"]})
    assert column(one_works(shows), "heron_plain") == pytest.approx((U + 10 * D_PLAIN + [0.5, 0.5, 0]) / 12)


def test_a_specimen_cited_for_a_statement_is_not_counted_again() -> None:
    cited = {**USUALLY_RESIN, "sources": ["sp-1:dial"]}
    base = one_works(seen_resin(), traits=[cited, PORCELAIN])
    assert column(base, "heron_plain") == pytest.approx((U + 10 * D_PLAIN) / 11)


def test_a_specimen_cited_for_another_feature_is_counted() -> None:
    other = said("skirt", "heron_plain", "steel", sources=["sp-1"])
    base = one_works(seen_resin(), traits=[USUALLY_RESIN, PORCELAIN, other])
    assert column(base, "heron_plain") == pytest.approx((U + 10 * D_PLAIN + [0, 1, 0]) / 12)


def test_a_specimen_cited_by_a_retired_statement_is_counted() -> None:
    retired = said("dial", "heron_plain", "resin", sources=["sp-1"], status="retired")
    base = one_works(seen_resin(), traits=[USUALLY_RESIN, PORCELAIN, retired])
    assert column(base, "heron_plain") == pytest.approx((U + 10 * D_PLAIN + [0, 1, 0]) / 12)


def test_a_value_only_a_specimen_shows_is_one_the_maker_used() -> None:
    base = one_works(seen_resin(**{"is": "zinc"}))
    assert list(used_values(base, base.makers["brindlemere"], "dial")) == [True, True, True]


# Own parts, by expectation-maximisation


def by_hand(base: KnowledgeBase, rounds: int) -> float:
    """gamma of a lone specimen that shows resin on an assembly swapped 15 times in 100, s_f and slips 0."""
    model = compile_model(base)
    h, gamma = cell(model.cells, "heron_plain", 1937), 0.85
    table = np.array([column(base, "heron_plain", 1938)] * len(model.cells))  # not shown in 1938: no count
    for variant in ("heron_deluxe", "plover_plain"):
        table[model.cells.of_group(Group("brindlemere", variant))] = column(base, variant)
    for _ in range(rounds):
        table[h] = (U + 10 * D_PLAIN + gamma * np.array([0, 1, 0])) / (11 + gamma)
        own, donated = table[h, 1], model.cells.donors[0] @ table[:, 1]
        gamma = 0.85 * own / (0.85 * own + 0.15 * donated)
    return gamma


def test_a_specimens_own_part_is_as_probable_as_two_rounds_make_it() -> None:
    base = one_works(seen_resin(original=None))
    assert compile_model(base).own["sp-1", "control"] == pytest.approx(by_hand(base, 2), abs=1e-12)


def test_a_third_round_would_move_it_by_less_than_a_thousandth() -> None:
    base = one_works(seen_resin(original=None))
    assert by_hand(base, 3) == pytest.approx(by_hand(base, 2), abs=1e-3)


def test_an_odd_part_is_less_probably_its_own_than_an_expected_one() -> None:
    odd = compile_model(one_works(seen_resin(original=None, **{"is": "porcelain"})))
    expected = compile_model(one_works(seen_resin(original=None)))
    assert odd.own["sp-1", "control"] < 0.85 < expected.own["sp-1", "control"]


def test_the_body_is_always_its_own() -> None:
    assert compile_model(one_works(seen_resin(original=None))).own["sp-1", "body"] == 1


def test_what_was_removed_bears_on_the_assembly_with_its_traces() -> None:
    gone = specimen("sp-1", "heron_plain", "1937", {"feature": "shelf", "removed": True})
    own = compile_model(one_works(gone, traits=SHELVES)).own
    assert own["sp-1", "control"] > 0.85


def test_what_was_removed_leaves_the_assembly_it_belonged_to_as_before() -> None:
    gone = specimen("sp-1", "heron_plain", "1937", {"feature": "shelf", "removed": True})
    assert compile_model(one_works(gone, traits=SHELVES)).own["sp-1", "iron"] == pytest.approx(0.7)


# Redone tables and what may be cited


def test_a_table_redone_is_the_one_compiled_anew() -> None:
    base = one_works()
    less = base.without(trait="brindlemere/t0")
    redone = retabled(less, compile_model(base), ["dial"]).features["dial"].phi
    assert redone == pytest.approx(compile_model(less).features["dial"].phi)


def test_statements_about_a_variant_come_the_most_specific_first() -> None:
    traits = [said("dial", "all", "zinc"), said("dial", "heron", "resin"), PORCELAIN]
    folder = works(FAMILIES, traits=traits)
    assert [trait.id for trait in statements_about(folder, "heron_deluxe", "dial")] == ["t2", "t1", "t0"]


def test_what_could_not_be_seen_on_a_specimen_counts_nothing() -> None:
    blind = specimen("sp-1", "heron_plain", "1937", look("dial", unseen=True).model_dump(by_alias=True))
    assert column(one_works(blind), "heron_plain") == pytest.approx((U + 10 * D_PLAIN) / 11)


# Months without production, and years without any


def test_months_before_a_variant_was_made_say_nothing_of_it() -> None:
    traits = [said("dial", "all", run=["porcelain", {"from": "1937-07", "value": "resin"}])]
    heron = works({"heron": {"heron_plain": {"made": ["1937-07/1938"]}}}, traits=traits)
    base = base_of(
        {"dial": feature("control", "porcelain", "resin")}, heron, words=wording({**PLAIN, "used_weight": 0})
    )
    cells, phi = phi_of(base, "dial")
    assert phi[1, cell(cells, "heron_plain", 1937)] == pytest.approx(0.99, abs=0.011)


def test_a_statement_that_holds_for_some_months_counts_for_them() -> None:
    traits = [
        said("dial", "all", "porcelain"),
        said("dial", "heron_plain", "resin", made="1937/1938-03"),
    ]
    base = base_of(
        {"dial": feature("control", "porcelain", "resin")},
        works({"heron": {"heron_plain": {}}}, traits=traits),
        words=wording({**PLAIN, "used_weight": 0}),
    )
    cells, phi = phi_of(base, "dial")
    assert phi[1, cell(cells, "heron_plain", 1938)] == pytest.approx(0.99 / 4, abs=0.02)


def test_an_unlisted_range_of_a_gap_has_what_was_used_in_the_nearest_year() -> None:
    traits = [said("dial", "all", run=["porcelain", {"from": "1939", "value": "resin"}])]
    heron = works({"heron": {"heron_plain": {"made": ["1937/1938", "1941/1942"]}}}, life="1937/1942", traits=traits)
    base = base_of({"dial": feature("control", "porcelain", "resin")}, heron, words=wording({"floor": 0}))
    cells, phi = phi_of(base, "dial")
    assert phi[:, cell(cells, None, 1939)] == pytest.approx(phi[:, cell(cells, None, 1938)])
