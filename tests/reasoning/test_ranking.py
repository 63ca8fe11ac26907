"""Ranking on assemblies that may be another range's: swapped, donors, date strips, and the lines of the ranking."""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.reasoning.cells import Group
from hobmark.reasoning.ranking import Ranking

from .small_base import base_of, cell, chance, examine, feature, look, said, wording, works

FEATURES = {
    "dial": feature("control", "porcelain", "resin", slips="hardly"),
    "skirt": feature("control", "absent", "steel", slips="hardly"),
    "width": feature("body", "narrow", "wide", slips="hardly"),
    "edge": feature("body", "square", "round", slips="hardly"),
    "knob": feature("body", "lever", "pointer", slips="hardly", swapped_alone="mostly"),
}
TRAITS = [
    said("width", "heron_plain", "narrow"),
    said("width", "heron_deluxe", "wide"),
    said("edge", "all", run=["square", {"from": "1939", "value": "round"}]),
    said("dial", "heron_plain", "porcelain"),
    said("dial", "heron_deluxe", "resin"),
    said("skirt", "all", run=["absent", {"from": "1939", "value": "steel"}]),
    said("knob", "heron_plain", "lever"),
    said("knob", "heron_deluxe", "pointer"),
]
EXACT = wording(
    {"used_weight": 0, "floor": 0, "unlisted_variant": 0, "unlisted_maker": 0},
    often={"always": 1},
    slips={"hardly": 0},
)
"""No slips, no floor, nothing unlisted, and `always` means always: what is left is swaps."""


def ranked(*pairs: str, words: object = EXACT) -> Ranking:
    """`width=narrow` and the like, looked at."""
    folder = works({"heron": {"heron_plain": {}, "heron_deluxe": {}}}, life="1937/1940", traits=TRAITS)
    seen = [look(*pair.split("=")) for pair in pairs]
    return examine(base_of(FEATURES, folder, words=words), *seen).ranking


CONTROL = 1


# Swapped assemblies


def test_an_odd_control_on_a_sure_body_is_certainly_another_ranges() -> None:
    assert ranked("width=narrow", "dial=resin").swapped[CONTROL] == pytest.approx(1)


def test_a_fitting_control_is_still_swapped_a_little_of_the_time() -> None:
    """sigma R / L with R = 1/2: donors are of either variant alike."""
    expected = 0.15 * 0.5 / (0.85 + 0.15 * 0.5)
    assert ranked("width=narrow", "dial=porcelain").swapped[CONTROL] == pytest.approx(expected)


def test_an_assembly_not_looked_at_is_swapped_at_its_rate() -> None:
    assert ranked("width=narrow").swapped == pytest.approx([0, 0.15, 0.3])


def test_the_body_is_never_swapped() -> None:
    assert ranked("width=narrow", "edge=round", "dial=resin").swapped[0] == 0


def test_a_control_alone_says_of_the_range_what_swaps_leave_of_it() -> None:
    own, donated = 0.85, 0.15 * 0.5
    assert chance(ranked("dial=resin"), "heron_deluxe") == pytest.approx((own + donated) / (own + 2 * donated))


def test_two_odd_features_of_one_donor_cost_one_swap() -> None:
    """Features of an assembly agree with each other: the donor brings both at once."""
    one = ranked("width=narrow", "edge=square", "dial=resin")
    two = ranked("width=narrow", "edge=square", "dial=resin", "skirt=steel")
    assert np.exp(two.log_evidence - one.log_evidence) == pytest.approx(0.5)


def test_a_part_swapped_on_its_own_weakens_its_evidence() -> None:
    own, donated = 0.7, 0.3 * 0.5
    assert chance(ranked("knob=lever"), "heron_plain") == pytest.approx((own + donated) / (own + 2 * donated))


# Donors


def test_the_donor_of_an_odd_control_is_the_variant_that_had_it() -> None:
    ranking = ranked("width=narrow", "dial=resin")
    donors = ranking.donors_of(CONTROL)
    assert donors[ranking.model.cells.of_group(Group("brindlemere", "heron_deluxe"))].sum() == pytest.approx(1)


def test_a_donors_years_come_from_the_assembly_itself() -> None:
    ranking = ranked("width=narrow", "edge=square", "dial=resin", "skirt=steel")
    donors = ranking.donors_of(CONTROL)
    assert donors[ranking.model.cells.year >= 1939].sum() == pytest.approx(1)


def test_donors_make_one() -> None:
    assert ranked("dial=resin").donors_of(CONTROL).sum() == pytest.approx(1)


def test_without_a_look_donors_follow_the_prior() -> None:
    ranking = ranked()
    assert ranking.donors_of(CONTROL) == pytest.approx(ranking.model.cells.prior)


# Date strips


def test_a_strip_holds_the_years_of_the_assemblys_own_features() -> None:
    assert ranked("edge=square", "skirt=steel").date_strip(CONTROL) == pytest.approx(
        {1937: 0, 1938: 0, 1939: 0.5, 1940: 0.5}
    )


def test_a_strip_takes_nothing_from_other_assemblies() -> None:
    assert ranked("edge=square", "skirt=steel").date_strip(0) == pytest.approx({1937: 0.5, 1938: 0.5, 1939: 0, 1940: 0})


def test_the_strip_of_what_was_not_looked_at_is_the_priors() -> None:
    assert ranked("edge=square").date_strip(CONTROL) == pytest.approx(dict.fromkeys(range(1937, 1941), 0.25))


def test_a_strip_makes_one() -> None:
    assert sum(ranked("dial=resin", words=wording()).date_strip(CONTROL).values()) == pytest.approx(1)


# Lines and years


def test_years_over_all_cells_make_one() -> None:
    assert sum(ranked("dial=resin", words=wording()).by_year.values()) == pytest.approx(1)


def test_years_come_in_order() -> None:
    assert list(ranked().by_year) == [1937, 1938, 1939, 1940]


def test_the_years_of_one_line_make_one() -> None:
    assert sum(ranked("edge=round").years_of(Group("brindlemere", "heron_plain")).values()) == pytest.approx(1)


def test_the_years_of_an_impossible_line_are_even() -> None:
    years = ranked("width=narrow").years_of(Group("brindlemere", "heron_deluxe"))
    assert years == pytest.approx(dict.fromkeys(range(1937, 1941), 0.25))


def test_the_leader_is_the_likeliest_line() -> None:
    ranking = ranked("width=wide")
    assert ranking.model.cells.groups[ranking.leader].variant == "heron_deluxe"


def test_what_is_not_listed_is_what_no_listed_line_holds() -> None:
    ranking = ranked("width=wide", words=wording())
    nobody = chance(ranking, None) + chance(ranking, None, None)
    assert ranking.unlisted == pytest.approx(nobody)


def test_with_nothing_unlisted_nothing_is() -> None:
    assert ranked("width=wide").unlisted == pytest.approx(0)


def test_without_a_look_the_posterior_is_the_prior() -> None:
    ranking = ranked(words=wording())
    assert ranking.posterior == pytest.approx(ranking.model.cells.prior)


def test_without_a_look_the_evidence_is_one() -> None:
    assert ranked().log_evidence == pytest.approx(0, abs=1e-12)


def test_a_range_that_fits_nothing_is_probably_not_listed() -> None:
    """An unlisted range mixes what the listed ones keep apart."""
    features = {f"trim{n}": feature("body", "plain", "fancy") for n in range(8)}
    traits = [said(f, v, x) for f in features for v, x in (("heron_plain", "plain"), ("heron_deluxe", "fancy"))]
    base = base_of(features, works({"heron": {"heron_plain": {}, "heron_deluxe": {}}}, traits=traits), words=wording())
    seen = [look(f"trim{n}", "plain" if n % 2 else "fancy") for n in range(8)]
    assert examine(base, *seen).ranking.unlisted > 0.9


@pytest.mark.parametrize("count", [0, 2, 4])
def test_touched_assemblies_are_those_with_evidence(count: int) -> None:
    pairs = ["width=narrow", "edge=square", "dial=resin", "skirt=steel"][:count]
    assert ranked(*pairs).touched == {0: set(), 2: {0}, 4: {0, CONTROL}}[count]


def test_a_cell_made_likelier_by_the_body_alone_is_weighed_by_phi() -> None:
    ranking = ranked("edge=square")
    h = [cell(ranking.model.cells, "heron_plain", year) for year in (1937, 1940)]
    assert ranking.posterior[h] == pytest.approx([0.25, 0])
