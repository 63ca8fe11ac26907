from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from hobmark.case import Case
from hobmark.curating.simulating import SimulatedRange, draw_ranges, drawn_features
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal, Situation
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Compiled, Examination, compile_base
from hobmark.reasoning.questions import cannot_tell

from ..studies.playing import Player, Stop, StoppedBy, by_gain, by_index, in_order, play, positions

MANY = 2000


@pytest.fixture(scope="module")
def compiled() -> Compiled:
    """The shipped base without its rules, which simulated ranges do not meet."""
    base = read_base([knowledge_root()])
    for maker, folder in base.makers.items():
        for rule in folder.rules:
            base = base.without(rule=f"{maker}/{rule.id}")
    return compile_base(base)


@pytest.fixture(scope="module")
def many(compiled: Compiled) -> tuple[SimulatedRange, ...]:
    return draw_ranges(compiled, MANY, seed=1)


@pytest.fixture(scope="module")
def player(compiled: Compiled) -> Player:
    return Player(compiled, Situation.SALE)


def near(count: int, chance: float, draws: int) -> bool:
    """Within five standard deviations of a binomial count."""
    return bool(abs(count - chance * draws) <= 5 * np.sqrt(chance * (1 - chance) * draws) + 1e-9)


def test_a_range_is_the_same_however_many_are_drawn(compiled: Compiled, many: tuple[SimulatedRange, ...]) -> None:
    assert draw_ranges(compiled, 5, seed=1) == many[:5]
    assert draw_ranges(compiled, 5, seed=2) != many[:5]


def test_only_stated_features_are_drawn(compiled: Compiled, many: tuple[SimulatedRange, ...]) -> None:
    stated = {trait.feature for folder in compiled.base.makers.values() for trait in folder.acting_traits}
    assert set(drawn_features(compiled)) == stated == set(many[0].shows) == set(many[0].readings)
    unstated = next(feature for feature in compiled.base.features if feature not in stated)
    assert many[0].answer(unstated) is None


def test_variants_come_as_often_as_their_prior(compiled: Compiled, many: tuple[SimulatedRange, ...]) -> None:
    cells = compiled.model.cells
    listed = np.array([not cells.groups[g].unlisted for g in cells.group])
    for group in cells.groups:
        drawn = sum(one.group == group for one in many)
        expected = cells.prior[cells.of_group(group) & listed].sum() / cells.prior[listed].sum()
        assert near(drawn, float(expected), MANY), group


def test_given_groups_and_no_others_are_drawn(compiled: Compiled) -> None:
    wanted = [compiled.model.cells.groups[0], Group(None, None)]
    assert {one.group for one in draw_ranges(compiled, 200, seed=3, groups=wanted)} == set(wanted)
    with pytest.raises(ValueError, match="no_such"):
        draw_ranges(compiled, 1, seed=3, groups=[Group("no_such", None)])


def test_swaps_come_at_their_rates(compiled: Compiled, many: tuple[SimulatedRange, ...]) -> None:
    for assembly, rate in zip(compiled.model.assemblies, compiled.model.sigma, strict=True):
        assert near(sum(assembly in one.swapped for one in many), float(rate), MANY), assembly
    for feature in drawn_features(compiled):
        rate = compiled.model.features[feature].swapped_alone
        assert near(sum(feature in one.swapped_alone for one in many), rate, MANY), feature


def test_values_come_from_phi_swaps_included(compiled: Compiled, many: tuple[SimulatedRange, ...]) -> None:
    cells, model = compiled.model.cells, compiled.model
    listed = np.array([not cells.groups[g].unlisted for g in cells.group])
    prior = np.where(listed, cells.prior, 0.0) / cells.prior[listed].sum()
    for feature in drawn_features(compiled):
        table = model.features[feature]
        for x, value in enumerate(table.values):
            donated = (cells.donors @ table.phi[x])[cells.maker]
            own_part = 1 - (1 - model.sigma[table.assembly]) * (1 - table.swapped_alone)
            chance = float(prior @ ((1 - own_part) * table.phi[x] + own_part * donated))
            assert near(sum(one.shows[feature] == value for one in many), chance, MANY), (feature, value)


def test_a_swapped_assembly_comes_whole_from_one_donor(compiled: Compiled) -> None:
    """Its features agree with each other as the donors' do, not as if each had a donor of its own."""
    cells, model = compiled.model.cells, compiled.model
    first, second = model.features["drip_pans"], model.features["grate_pattern"]
    group = cells.groups[0]
    k = int(cells.maker[cells.of_group(group)][0])
    drawn = [one for one in draw_ranges(compiled, 2000, 4, [group]) if "loose_iron" in one.swapped]
    drawn = [one for one in drawn if not {"drip_pans", "grate_pattern"} & one.swapped_alone]
    joint = np.einsum("h,xh,yh->xy", cells.donors[k], first.phi, second.phi)
    for x, here in enumerate(first.values):
        for y, there in enumerate(second.values):
            met = sum(one.shows["drip_pans"] == here and one.shows["grate_pattern"] == there for one in drawn)
            assert near(met, float(joint[x, y]), len(drawn)), (here, there)


def test_what_no_swap_touched_shows_what_it_left_the_works_with(
    compiled: Compiled, many: tuple[SimulatedRange, ...]
) -> None:
    places = {feature: compiled.base.features[feature].assembly for feature in drawn_features(compiled)}
    untouched = [
        (one, f) for one in many for f in places if places[f] not in one.swapped and f not in one.swapped_alone
    ]
    assert {(one.number, f) for one, f in untouched if one.shows[f] != one.own[f]} == set()


def test_what_a_range_left_the_works_with_comes_from_its_own_phi(
    compiled: Compiled, many: tuple[SimulatedRange, ...]
) -> None:
    cells = compiled.model.cells
    listed = np.array([not cells.groups[g].unlisted for g in cells.group])
    prior = np.where(listed, cells.prior, 0.0) / cells.prior[listed].sum()
    for feature in drawn_features(compiled):
        table = compiled.model.features[feature]
        for x, value in enumerate(table.values):
            count = sum(one.own[feature] == value for one in many)
            assert near(count, float(prior @ table.phi[x]), MANY), (feature, value)


def test_a_donor_of_the_same_cell_changes_no_value(compiled: Compiled) -> None:
    """Own and donated value are drawn with one number, so that a change is the donor's doing and not chance."""
    cells = replace(compiled.model.cells, donors=np.tile(np.eye(len(compiled.model.cells))[0], (3, 1)))
    model = replace(compiled.model, cells=cells)
    ranges = draw_ranges(Compiled(compiled.base, model, compiled.rules), 400, 5, [cells.groups[0]])
    first_year = [one for one in ranges if one.year == cells.year[0]]
    assert any(one.swapped for one in first_year)
    same = [one.shows[f] == one.own[f] for one in first_year for f in one.own if f not in one.swapped_alone]
    assert all(same)


def test_readings_slip_and_fail_at_their_rates(compiled: Compiled, many: tuple[SimulatedRange, ...]) -> None:
    for feature in drawn_features(compiled):
        if compiled.base.features[feature].needs:
            continue
        told = [one for one in many if one.readings[feature] is not None]
        assert near(MANY - len(told), cannot_tell(compiled.base, feature), MANY), feature
        slip = 1 - float(compiled.model.features[feature].slips[0, 0])
        assert near(sum(one.readings[feature] != one.shows[feature] for one in told), slip, len(told)), feature


def test_a_gated_look_tells_nothing_where_its_gate_fails(compiled: Compiled, many: tuple[SimulatedRange, ...]) -> None:
    needs = {f: compiled.base.features[f].needs for f in drawn_features(compiled) if compiled.base.features[f].needs}
    assert needs
    for one in many:
        for feature, gates in needs.items():
            if not all(one.shows[gate] in values for gate, values in gates.items()):
                assert one.answer(feature) is None
    for feature in needs:
        assert any(one.answer(feature) is not None for one in many), feature


@pytest.mark.parametrize("number", range(4))
def test_a_game_goes_as_the_program_goes(
    compiled: Compiled, player: Player, many: tuple[SimulatedRange, ...], number: int
) -> None:
    """The quick player knows and chooses what an examination of the same answers knows and chooses."""
    examination = Examination(compiled, Case(hobmark="1", label="simulated", situation=Situation.SALE))
    for position, feature in positions(player, many[number], by_index):
        np.testing.assert_allclose(position.ranking.posterior, examination.ranking.posterior, atol=1e-12)
        assert position.likeliest == pytest.approx(examination.likeliest, abs=1e-12)
        theirs = [look.feature for look in examination.looks if look.feature in player.seconds]
        assert [look.feature for look in position.looks] == theirs
        if feature is None or len(position.told) > 25:
            break
        examination = examination.with_answer(observed(feature, many[number].answer(feature)))


def observed(feature: str, reading: str | None) -> Observation:
    said: Mapping[str, object] = {"unseen": True} if reading is None else {"is": reading}
    return Observation.model_validate({"feature": feature, **said})


def test_every_policy_is_told_the_same_and_ends_at_the_same_ranking(
    player: Player, many: tuple[SimulatedRange, ...]
) -> None:
    ends = [
        play(player, many[0], policy, Stop(None, None))
        for policy in (by_index, in_order(player.opening_order), in_order(player.opening_order[::-1]))
    ]
    assert {end.stopped_by for end in ends} == {StoppedBy.NOTHING_LEFT}
    assert len({end.leader for end in ends}) == 1


def test_a_game_stops_when_settled_and_pays_for_every_look(player: Player, many: tuple[SimulatedRange, ...]) -> None:
    stop = Stop(0.95, 0.02)
    for one in many[:20]:
        end = play(player, one, in_order(player.opening_order), stop)
        assert end.truth == one.group
        assert end.right == (end.leader == end.truth)
        assert (end.probability >= 0.95) == (end.stopped_by is StoppedBy.SETTLED)
        game = positions(player, one, in_order(player.opening_order))
        taken = [look for _, (_, look) in zip(range(end.looks), game, strict=False)]
        assert end.seconds == sum(player.seconds[look] for look in taken if look is not None)


def test_a_game_stops_where_no_look_is_worth_taking(player: Player, many: tuple[SimulatedRange, ...]) -> None:
    end = play(player, many[0], by_index, Stop(None, 100.0))
    assert (end.looks, end.seconds, end.stopped_by) == (0, 0, StoppedBy.NOTHING_WORTH)


def test_worth_is_the_same_looked_for_piece_by_piece(player: Player, many: tuple[SimulatedRange, ...]) -> None:
    for position, _ in list(positions(player, many[1], in_order(player.opening_order)))[::6]:
        for bits in (0.001, 0.02, 0.2):
            piecemeal = position.is_worth(bits)
            assert piecemeal == any(look.bits >= bits for look in position.looks)


def test_cost_counts_for_the_program_and_not_for_gain_alone(player: Player) -> None:
    looks = player.opening.looks
    assert by_index(player.opening) == max(looks, key=lambda look: look.index).feature
    assert by_gain(player.opening) == max(looks, key=lambda look: look.bits).feature


@pytest.mark.parametrize("goal", [Goal.YEAR, Goal.MAKER])
def test_other_goals_are_judged_by_their_own_truth(
    compiled: Compiled, many: tuple[SimulatedRange, ...], goal: Goal
) -> None:
    player = Player(compiled, Situation.BENCH, goal)
    ends = [play(player, one, in_order(player.opening_order), Stop(0.95, None)) for one in many[:15]]
    settled = [end for end in ends if end.stopped_by is StoppedBy.SETTLED]
    assert sum(end.right for end in settled) >= 0.8 * len(settled) > 0
