"""The digit display of Breiman, Friedman, Olshen and Stone, Classification and Regression Trees (1984), pp. 43-49.

Seven lamps show a digit; each lamp is wrong with probability 0.1. A factory table without exceptions, read with slips
of 10%, is that display. The Bayes rate of 74% is printed with the data at UCI; the other figures follow exactly from
summing over all 128 readings.
"""

from __future__ import annotations

import itertools
from functools import cache

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.reasoning.model import Model, compile_model
from hobmark.reasoning.questions import expectations, look_table

from .tables import base_from_statements, observed, ranked, wording

DIGITS = {
    "zero": "1110111",
    "one": "0010010",
    "two": "1011101",
    "three": "1011011",
    "four": "0111010",
    "five": "1101011",
    "six": "1101111",
    "seven": "1010010",
    "eight": "1111111",
    "nine": "1111011",
}
LAMPS = [f"lamp {place}" for place in range(1, 8)]
SHOWN = {"0": "dark", "1": "lit"}


def lamps(segments: str) -> dict[str, str]:
    return {lamp: SHOWN[segment] for lamp, segment in zip(LAMPS, segments, strict=True)}


@cache
def display() -> tuple[KnowledgeBase, Model]:
    base = base_from_statements({digit: lamps(shown) for digit, shown in DIGITS.items()}, wording(slips=0.1))
    return base, compile_model(base)


@cache
def every_reading() -> tuple[np.ndarray, np.ndarray]:
    """P(reading), shape (128,), and P(digit | reading), shape (128, 10), both as the project ranks them."""
    base, model = display()
    rankings = [
        ranked(base, model, observed(lamps("".join(shown)), LAMPS)) for shown in itertools.product("01", repeat=7)
    ]
    chance = np.exp([ranking.log_evidence for ranking in rankings])
    return chance, np.array([ranking.by_group[: len(DIGITS)] for ranking in rankings])


def test_the_readings_chances_make_one() -> None:
    assert every_reading()[0].sum() == pytest.approx(1, abs=1e-12)


def test_naming_the_likeliest_digit_is_right_as_often_as_can_be() -> None:
    """CART 1984, p. 46: Bayes rate 74%; exactly 0.74002248."""
    chance, posterior = every_reading()
    assert chance @ posterior.max(axis=1) == pytest.approx(0.74002248, abs=1e-8)


def test_a_reading_tells_two_and_a_fifth_bits_about_the_digit() -> None:
    """I(C; X) = 2.212893 bits, by enumeration."""
    chance, posterior = every_reading()
    left = -(posterior * np.log2(np.maximum(posterior, 1e-300))).sum(axis=1)
    assert np.log2(10) - chance @ left == pytest.approx(2.212893, abs=1e-6)


def test_the_expected_log_loss_is_exact() -> None:
    """Expected log loss 0.768725 nats, by enumeration."""
    chance, posterior = every_reading()
    loss = -(posterior * np.log(np.maximum(posterior, 1e-300))).sum(axis=1)
    assert chance @ loss == pytest.approx(0.768725, abs=1e-6)


def test_the_expected_brier_score_is_exact() -> None:
    """Multiclass Brier score 0.367459, by enumeration: 1 - sum p^2 where the probabilities are right."""
    chance, posterior = every_reading()
    assert chance @ (1 - (posterior**2).sum(axis=1)) == pytest.approx(0.367459, abs=1e-6)


@pytest.mark.parametrize(
    ("lamp", "bits"),
    list(zip(LAMPS, (0.357751, 0.512458, 0.357751, 0.455823, 0.512458, 0.211081, 0.455823), strict=True)),
)
def test_the_first_look_at_a_lamp_tells_what_enumeration_says(lamp: str, bits: float) -> None:
    base, model = display()
    fid = lamp.replace(" ", "_")
    found = expectations(look_table(model), ranked(base, model, []), model.cells.group, {fid})
    assert found[fid].goal_bits == pytest.approx(bits, abs=1e-6)
