"""What the studies of calibration reckon with: figures of probabilities against truth, and altered bases."""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import compile_base

from ..outside.tables import random_base
from ..studies.altered import with_doubts, with_swaps, with_units
from ..studies.verdicts import Verdicts, calibration_error

SAID = Verdicts(np.array([0.9, 0.7, 0.5, 0.3, 0.1]), np.array([True, False, True, True, False]))


# Verdicts


def test_precision_is_of_what_was_called() -> None:
    assert SAID.precision == pytest.approx(2 / 3)


def test_recall_is_of_what_was_so() -> None:
    assert SAID.recall == pytest.approx(2 / 3)


def test_recall_can_be_asked_of_a_part() -> None:
    assert SAID.recall_among(np.array([True, True, False, True, True])) == pytest.approx(1 / 2)


def test_false_alarms_were_called_and_not_so() -> None:
    assert SAID.false_alarms == 1


def test_the_brier_score_is_the_mean_square() -> None:
    assert SAID.brier == pytest.approx((0.01 + 0.49 + 0.25 + 0.49 + 0.01) / 5)


def test_nothing_called_has_no_precision() -> None:
    assert np.isnan(Verdicts(np.array([0.1]), np.array([True])).precision)


def test_the_curve_leaves_out_empty_bins() -> None:
    assert [(line.low, line.count) for line in SAID.curve] == [(0.1, 1), (0.3, 1), (0.5, 1), (0.7, 1), (0.9, 1)]


def test_a_certainty_stands_in_the_last_bin() -> None:
    (line,) = Verdicts(np.array([1.0]), np.array([True])).curve
    assert (line.low, line.high) == (0.9, 1.0)


def test_bins_of_equal_counts_hold_equally_many() -> None:
    said = np.linspace(0, 0.1, 40)
    assert {line.count for line in Verdicts(said, said > 0.05).curve_of_equal_counts} == {4}


def test_what_comes_true_as_often_as_said_has_no_error() -> None:
    curve = Verdicts(np.full(4, 0.25), np.array([True, False, False, False])).curve
    assert calibration_error(curve) == pytest.approx(0)


def test_the_error_weighs_each_bin_by_its_count() -> None:
    curve = Verdicts(np.array([0.05, 0.05, 0.05, 0.95]), np.array([True, False, False, False])).curve
    assert calibration_error(curve) == pytest.approx((3 * (1 / 3 - 0.05) + 0.95) / 4)


# Altered bases


@pytest.fixture(scope="module")
def base() -> KnowledgeBase:
    return random_base(0)


def test_every_swap_rate_is_scaled(base: KnowledgeBase) -> None:
    assert compile_base(with_swaps(base, 0.5)).model.sigma == pytest.approx(compile_base(base).model.sigma / 2)


def test_no_swap_rate_passes_one(base: KnowledgeBase) -> None:
    assert max(with_swaps(base, 9).wording.swapped.values()) == 1


@pytest.mark.parametrize(
    ("factor", "expected"),
    [
        (2, {"always": 0.98, "usually": 0.7, "often": 0.5, "sometimes": 0.5, "rarely": 0.16, "never": 0.01}),
        (0.5, {"always": 0.995, "usually": 0.925, "often": 0.8, "sometimes": 0.15, "rarely": 0.04, "never": 0.0025}),
    ],
)
def test_every_words_doubt_is_scaled(base: KnowledgeBase, factor: float, expected: dict[str, float]) -> None:
    assert with_doubts(base, factor).wording.often == pytest.approx(expected)


def test_each_variant_is_twice_or_half_as_frequent(base: KnowledgeBase) -> None:
    altered = with_units(base, 2, 3)
    scales = {
        altered.variant(maker, variant).units / base.variant(maker, variant).units
        for maker, folder in base.makers.items()
        for variant in folder.variants
    }
    assert scales == {0.5, 2}


def test_units_are_tossed_again_for_another_seed(base: KnowledgeBase) -> None:
    assert len({str(with_units(base, 2, seed).makers["one"].variants) for seed in range(8)}) > 1


def test_altered_units_move_the_prior(base: KnowledgeBase) -> None:
    cells, other = compile_base(base).model.cells, compile_base(with_units(base, 2, 3)).model.cells
    assert other.groups == cells.groups
    group = Group("one", "one0")
    assert other.prior[other.of_group(group)].sum() != pytest.approx(cells.prior[cells.of_group(group)].sum())
