"""Decibans between two lines, shared out by exact Shapley values, and the look the answer hangs on."""

from __future__ import annotations

import itertools
import math
from functools import cache

import numpy as np
import pytest
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.cells import Group
from hobmark.reasoning.explaining import MOST_SHARED, Comparison, compare, decibans, hinge, shares
from hobmark.reasoning.ranking import Ranking, rank

from .small_base import base_of, examine, feature, look, said, wording, works

MANY = MOST_SHARED + 3
PARTS = tuple(f"part{n:02}" for n in range(MANY))
FEATURES = {
    "width": feature("body", "narrow", "wide"),
    "dial": feature("control", "porcelain", "resin", "zinc"),
    "skirt": feature("control", "absent", "steel"),
    "mark": feature("control", "absent", "ring", swapped_alone="sometimes"),
    **{part: feature("iron", "plain", "fancy") for part in PARTS},
}
WORDS = ("always", "usually", "often")
TRAITS = [
    said("width", "alder", "narrow"),
    said("width", "birch", "wide", how="usually"),
    said("dial", "heron", run=["porcelain", {"from": "1938-06", "value": "resin", "run_out": "12 months"}]),
    said("dial", "wren_family", "zinc", how="often"),
    said("skirt", "alder", "steel", how="usually"),
    said("mark", "birch", "ring", how="often"),
    *(said(part, "alder", "plain", how=WORDS[n % 3]) for n, part in enumerate(PARTS)),
    *(said(part, "birch", "fancy", how=WORDS[n % 2]) for n, part in enumerate(PARTS)),
]
FEW = (look("width", "narrow"), look("dial", "resin"), look("skirt", "steel"), look("mark", "ring"))
ALL = (*FEW, *(look(part, "fancy" if n % 4 == 0 else "plain") for n, part in enumerate(PARTS)))


@cache
def ranked(seen: tuple[Observation, ...] = FEW) -> Ranking:
    traits = [trait for trait in TRAITS if trait["of"] != ["wren_family"]]
    folder = works({"heron": {"alder": {"units": 200}, "birch": {"units": 90}}}, life="1936/1941", traits=traits)
    other = works({"wren_family": {"rowan": {}}}, maker="wexcombe", life="1938/1943", traits=[TRAITS[3]])
    return examine(base_of(FEATURES, folder, other, words=wording()), *seen).ranking


def groups(ranking: Ranking, *names: tuple[str | None, str | None]) -> list[int]:
    return [ranking.model.cells.groups.index(Group(*name)) for name in names]


ALDER, BIRCH, ROWAN = ("brindlemere", "alder"), ("brindlemere", "birch"), ("wexcombe", "rowan")
PAIRS = [(ALDER, BIRCH), (BIRCH, ALDER), (ALDER, ROWAN), (ALDER, ("brindlemere", None)), (ROWAN, (None, None))]
every_pair = pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: "-".join(str(name[1]) for name in pair))
few_and_many = pytest.mark.parametrize("seen", [(), FEW[:1], FEW, ALL], ids=lambda seen: f"{len(seen)} looks")


def compared(pair: tuple[tuple[str | None, str | None], ...], seen: tuple[Observation, ...]) -> Comparison:
    return compare(ranked(seen), *groups(ranked(seen), *pair))


# Adding up


@few_and_many
@every_pair
def test_decibans_add_up_to_the_odds_of_two_lines(
    pair: tuple[tuple[str | None, str | None], ...], seen: tuple[Observation, ...]
) -> None:
    p = ranked(seen).by_group[groups(ranked(seen), *pair)]
    assert compared(pair, seen).total == pytest.approx(10 * math.log10(p[0] / p[1]), abs=1e-9)


@few_and_many
@every_pair
def test_prior_and_shares_add_up_to_the_odds_of_the_best_cells(
    pair: tuple[tuple[str | None, str | None], ...], seen: tuple[Observation, ...]
) -> None:
    found = compared(pair, seen)
    p = ranked(seen).posterior[[found.first_cell, found.second_cell]]
    told = found.prior + sum(share.decibans for share in found.shares)
    assert told == pytest.approx(10 * math.log10(p[0] / p[1]), abs=1e-9)


@few_and_many
def test_the_shares_of_an_assembly_add_up_to_what_it_says(seen: tuple[Observation, ...]) -> None:
    found, ranking = compared((ALDER, BIRCH), seen), ranked(seen)
    told = np.zeros(len(ranking.model.assemblies))
    np.add.at(told, [share.assembly for share in found.shares], [share.decibans for share in found.shares])
    says = 10 * np.log10(ranking.likelihood[:, found.first_cell] / ranking.likelihood[:, found.second_cell])
    assert told == pytest.approx(says, abs=1e-9)


def test_turned_round_every_share_changes_its_sign() -> None:
    there, back = compared((ALDER, BIRCH), FEW), compared((BIRCH, ALDER), FEW)
    assert there.total == pytest.approx(-back.total, abs=1e-9)


def test_the_best_cells_are_compared() -> None:
    found, ranking = compared((ALDER, BIRCH), FEW), ranked()
    mine = ranking.posterior[ranking.model.cells.of_group(Group(*ALDER))]
    assert ranking.posterior[found.first_cell] == mine.max()


def test_the_freedom_of_year_is_what_the_other_years_add() -> None:
    found, ranking = compared((ALDER, BIRCH), FEW), ranked()
    first, second = groups(ranking, ALDER, BIRCH)
    whole = ranking.by_group[[first, second]] / ranking.posterior[[found.first_cell, found.second_cell]]
    assert found.freedom_of_year == pytest.approx(10 * math.log10(whole[0] / whole[1]))


def test_a_line_cannot_be_compared_with_itself() -> None:
    with pytest.raises(ValueError, match="itself"):
        compare(ranked(), 0, 0)


# Shapley values


def test_looks_at_one_assembly_are_credited_by_the_mean_over_all_orders() -> None:
    """Shapley (1953): the mean of what a player adds, over every order in which the players may come."""
    ranking = ranked()
    h1, h2 = compared((ALDER, BIRCH), FEW).first_cell, compared((ALDER, BIRCH), FEW).second_cell
    places = [i for i, message in enumerate(ranking.messages) if message.assembly == 1]

    def worth(some: tuple[int, ...]) -> float:
        found = rank(ranking.model, [ranking.messages[i] for i in some]).likelihood[1]
        return 10 * math.log10(found[h1] / found[h2])

    added = dict.fromkeys(places, 0.0)
    for order in itertools.permutations(places):
        for n, place in enumerate(order):
            added[place] += (worth(order[: n + 1]) - worth(order[:n])) / math.factorial(len(places))
    assert {share.messages[0]: share.decibans for share in shares(ranking, h1, h2) if share.assembly == 1} == (
        pytest.approx(added, abs=1e-9)
    )


def test_a_lone_look_gets_all_its_assembly_says() -> None:
    found = compared((ALDER, BIRCH), FEW)
    body = [share.decibans for share in found.shares if share.assembly == 0]
    likelihood = ranked().likelihood[0]
    assert body == pytest.approx([10 * math.log10(likelihood[found.first_cell] / likelihood[found.second_cell])])


def test_every_look_has_a_share_of_its_own() -> None:
    assert sorted(place for share in compared((ALDER, BIRCH), FEW).shares for place in share.messages) == [0, 1, 2, 3]


def test_shares_come_the_strongest_first() -> None:
    sizes = [abs(share.decibans) for share in compared((ALDER, BIRCH), FEW).shares]
    assert sizes == sorted(sizes, reverse=True)


def test_two_looks_that_say_the_same_are_credited_the_same() -> None:
    ranking = ranked(ALL)
    found = compared((ALDER, BIRCH), ALL)
    by_feature = {ranking.messages[s.messages[0]].feature: s.decibans for s in found.shares if len(s.messages) == 1}
    assert by_feature["part00"] == pytest.approx(by_feature["part12"])


# Too many looks at one assembly


def on_the_iron(seen: tuple[Observation, ...]) -> list[tuple[int, ...]]:
    return [share.messages for share in compared((ALDER, BIRCH), seen).shares if share.assembly == 2]


def test_beyond_twelve_looks_at_an_assembly_there_are_twelve_lines() -> None:
    assert len(on_the_iron(ALL)) == MOST_SHARED


def test_beyond_twelve_looks_the_weakest_share_one_line() -> None:
    assert sorted(len(places) for places in on_the_iron(ALL)) == [1] * (MOST_SHARED - 1) + [MANY - MOST_SHARED + 1]


def test_beyond_twelve_looks_none_is_lost() -> None:
    assert sorted(place for places in on_the_iron(ALL) for place in places) == list(range(4, 4 + MANY))


def test_up_to_twelve_looks_each_has_its_line() -> None:
    assert len(on_the_iron(ALL[: 4 + MOST_SHARED])) == MOST_SHARED


# What it hangs on


def test_without_evidence_it_hangs_on_nothing() -> None:
    assert hinge(ranked(())) is None


def test_it_hangs_on_the_look_without_which_another_leads() -> None:
    seen = (look("width", "narrow"), look("mark", "ring"))
    found = hinge(ranked(seen))
    assert found is not None
    assert (ranked(seen).messages[found.message].feature, found.leader_after) == ("width", ranked(seen[1:]).leader)


def test_where_no_look_overturns_it_hangs_on_the_one_that_moves_most() -> None:
    found, ranking = hinge(ranked(ALL)), ranked(ALL)
    moved = [abs(_odds(ranking) - _odds(ranked((*ALL[:i], *ALL[i + 1 :])), ranking.leader)) for i in range(len(ALL))]
    assert found is not None
    assert abs(found.decibans) == pytest.approx(max(moved))


def _odds(ranking: Ranking, group: int | None = None) -> float:
    p = ranking.by_group[ranking.leader if group is None else group]
    return 10 * math.log10(p / (1 - p))


def test_a_look_that_spoke_for_the_leader_takes_decibans_with_it() -> None:
    found = hinge(ranked(FEW[:1]))
    assert found is not None
    assert found.decibans < 0


@pytest.mark.parametrize(("ratio", "value"), [(10, 10), (1, 0), (0.5, -3.0103), (0, -math.inf)])
def test_ten_decibans_are_ten_to_one(ratio: float, value: float) -> None:
    assert decibans(ratio) == pytest.approx(value, abs=1e-4)
