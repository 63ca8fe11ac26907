"""Cells and prior: one cell for each variant and year, by units and share; what is not listed beside them; donors."""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reasoning.cells import Cells, Group, build_cells

from .small_base import PLAIN, base_of, cell, feature, wording, works

FEATURES = {"lamp": feature("body", "absent", "fixed")}
LISTED = wording(PLAIN)
UNLISTED = wording({"unlisted_variant": 0.02, "unlisted_maker": 0.05})


def made(*dates: object, life: str = "1930/1950") -> dict[int, float]:
    """Year -> prior of a lone variant made then, nothing unlisted."""
    cells = build_cells(base_of(FEATURES, works({"heron": {"heron_plain": {"made": dates}}}, life=life)))
    mine = cells.of_group(Group("brindlemere", "heron_plain"))
    return dict(zip(cells.year[mine].tolist(), cells.prior[mine].tolist(), strict=True))


def with_units(**units: float | None) -> Cells:
    told = {v: {} if u is None else {"units": u} for v, u in units.items()}
    return build_cells(base_of(FEATURES, works({"heron": told}, life="1937")))


def prior(cells: Cells, variant: str | None, maker: str | None = "brindlemere") -> float:
    return float(cells.prior[cells.of_group(Group(maker, variant))].sum())


@pytest.fixture
def two_makers() -> KnowledgeBase:
    big = works({"heron": {"heron_plain": {"units": 9000}, "heron_deluxe": {"units": 1000}}}, life="1930/1933")
    small = works({"wren": {"wren_plain": {"units": 10}}}, maker="wexcombe", life="1932/1937")
    return base_of(FEATURES, big, small, words=UNLISTED)


# A variant's years


def test_a_variant_has_one_cell_for_each_year_it_was_made() -> None:
    assert list(made("1937/1940")) == [1937, 1938, 1939, 1940]


def test_full_years_share_alike() -> None:
    assert list(made("1937/1940").values()) == pytest.approx([0.25] * 4)


def test_years_between_two_productions_have_no_cell() -> None:
    assert list(made("1940/1942", "1946/1947")) == [1940, 1941, 1942, 1946, 1947]


def test_a_year_of_which_production_took_a_third_weighs_a_third_of_a_whole_one() -> None:
    found = made("1940/1942-04")
    assert found[1942] / found[1941] == pytest.approx(1 / 3)


def test_an_uncertain_end_ramps_down() -> None:
    found = made({"from": "1939", "to": "[1941..1942]"})
    assert [found[y] / found[1939] for y in (1940, 1941, 1942)] == pytest.approx([1, 1, 0.5])


def test_an_uncertain_start_ramps_up() -> None:
    found = made({"from": "[1938..1940]", "to": "1942"})
    assert [found[y] / found[1942] for y in (1938, 1939, 1940)] == pytest.approx([0.25, 0.75, 1])


def test_about_reaches_a_year_further_each_way() -> None:
    found = made("1941~/1945")
    assert [found[y] / found[1945] for y in (1940, 1941, 1942)] == pytest.approx([0.25, 0.75, 1])


def test_a_production_that_ends_inside_a_year_leaves_no_trace_in_later_ones() -> None:
    assert max(made("1937/1942-08")) == 1942


def test_years_outside_the_makers_life_have_no_cell() -> None:
    assert list(made("1935/..", life="1937/1939")) == [1937, 1938, 1939]


def test_a_variant_made_in_no_year_of_its_makers_life_is_refused() -> None:
    with pytest.raises(ValueError, match="brindlemere/heron_plain was made in no year"):
        made("1950", life="1937/1939")


# Units


def test_variants_weigh_by_units() -> None:
    cells = with_units(heron_plain=300, heron_deluxe=100)
    assert prior(cells, "heron_plain") == pytest.approx(0.75)


def test_without_units_variants_weigh_alike() -> None:
    cells = with_units(heron_plain=None, heron_deluxe=None, heron_hotel=None)
    assert prior(cells, "heron_hotel") == pytest.approx(1 / 3)


def test_a_variant_of_unknown_units_weighs_like_the_mean_of_the_known() -> None:
    cells = with_units(heron_plain=300, heron_deluxe=100, heron_hotel=None)
    assert prior(cells, "heron_hotel") == pytest.approx(200 / 600)


def test_units_of_a_variant_do_not_grow_with_its_years() -> None:
    made_long = {"heron_long": {"units": 10, "made": ["1930/1939"]}, "heron_short": {"units": 10, "made": ["1935"]}}
    cells = build_cells(base_of(FEATURES, works({"heron": made_long}, life="1930/1939")))
    assert prior(cells, "heron_long") == pytest.approx(prior(cells, "heron_short"))


# What is not listed


def test_the_prior_makes_one(two_makers: KnowledgeBase) -> None:
    assert build_cells(two_makers).prior.sum() == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("maker", ["brindlemere", "wexcombe"])
def test_makers_weigh_alike_however_much_they_made(two_makers: KnowledgeBase, maker: str) -> None:
    cells = build_cells(two_makers)
    assert cells.prior[cells.maker == cells.makers.index(maker)].sum() == pytest.approx(0.95 / 2)


def test_an_unlisted_variant_has_its_share_of_its_maker(two_makers: KnowledgeBase) -> None:
    assert prior(build_cells(two_makers), None) == pytest.approx(0.02 * 0.95 / 2)


def test_an_unlisted_variant_has_a_cell_for_each_year_of_its_makers_life(two_makers: KnowledgeBase) -> None:
    cells = build_cells(two_makers)
    assert cells.year[cells.of_group(Group("wexcombe", None))].tolist() == list(range(1932, 1938))


def test_an_unlisted_maker_has_its_share_of_all(two_makers: KnowledgeBase) -> None:
    assert prior(build_cells(two_makers), None, None) == pytest.approx(0.05)


def test_an_unlisted_maker_has_a_cell_for_each_year_of_the_base(two_makers: KnowledgeBase) -> None:
    cells = build_cells(two_makers)
    assert cells.year[cells.of_group(Group(None, None))].tolist() == list(range(1930, 1938))


def test_the_years_of_what_is_not_listed_weigh_alike(two_makers: KnowledgeBase) -> None:
    cells = build_cells(two_makers)
    assert cells.prior[cells.of_group(Group(None, None))] == pytest.approx([0.05 / 8] * 8)


# Donors


def test_donors_of_each_maker_make_one(two_makers: KnowledgeBase) -> None:
    assert build_cells(two_makers).donors.sum(axis=1) == pytest.approx([1, 1, 1])


def test_a_donor_is_of_the_same_maker_nine_times_in_ten_and_of_any_the_tenth(two_makers: KnowledgeBase) -> None:
    cells = build_cells(two_makers)
    h = cell(cells, "wren_plain", 1935, "wexcombe")
    inside = cells.prior[h] / cells.prior[cells.maker == 1].sum()
    assert cells.donors[1, h] == pytest.approx(0.9 * inside + 0.1 * cells.prior[h])


def test_a_donor_of_another_maker_comes_from_the_tenth_alone(two_makers: KnowledgeBase) -> None:
    cells = build_cells(two_makers)
    h = cell(cells, "wren_plain", 1935, "wexcombe")
    assert cells.donors[0, h] == pytest.approx(0.1 * cells.prior[h])


def test_where_every_donor_may_be_anyones_they_follow_the_prior() -> None:
    base = base_of(FEATURES, works({"heron": {"heron_plain": {}}}), words=wording({"donor_within": 0}))
    cells = build_cells(base)
    assert np.allclose(cells.donors, cells.prior)
