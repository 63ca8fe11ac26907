"""An observation as a likelihood vector: values, sets, negations, guesses, measures, and the kinds of nothing."""

from __future__ import annotations

from statistics import NormalDist
from typing import Any

import numpy as np
import pytest
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.reading import known_values, likelihood, slip_confusion

from .small_base import base_of, feature, look, works

FEATURES = {
    "grate": feature("iron", "finger", "square", "ring", slips="sometimes"),
    "shelf": feature("control", "absent", "folding", "fixed", traces_on="body"),
    "depth": feature("iron", measure={"unit": "mm", "error": 2}, bands={"shallow": "..19", "deep": "19.."}),
    "width": feature(
        "body", measure={"unit": "in", "error": 0.5}, bands={"w20": "..26", "w30": "26..33", "w36": "33.."}
    ),
}
BASE = base_of(FEATURES, works({"heron": {"heron_plain": {}}}))


def read(name: str, value: Any = None, **more: Any) -> list[float]:
    return list(likelihood(BASE, name, look(name, value, **more)))


def inside(low: float, high: float, size: float, error: float) -> float:
    return NormalDist(size, error).cdf(high) - NormalDist(size, error).cdf(low)


# Slips


def test_a_slip_is_shared_evenly_by_the_other_values() -> None:
    assert slip_confusion(BASE, "grate")[:, 0] == pytest.approx([0.95, 0.025, 0.025])


def test_some_value_is_always_read() -> None:
    assert slip_confusion(BASE, "grate").sum(axis=0) == pytest.approx([1, 1, 1])


# Values, sets and negations


def test_a_certain_value_is_as_likely_as_slips_allow() -> None:
    assert read("grate", "square") == pytest.approx([0.025, 0.95, 0.025])


@pytest.mark.parametrize(("sure", "c"), [("likely", 0.8), ("guess", 0.6)])
def test_a_doubtful_value_is_partly_any_value(sure: str, c: float) -> None:
    plain = np.array([0.025, 0.95, 0.025])
    assert read("grate", "square", sure=sure) == pytest.approx(c * plain + (1 - c) / 3)


def test_a_set_is_the_sum_over_its_values() -> None:
    assert read("grate", ["finger", "ring"]) == pytest.approx([0.975, 0.05, 0.975])


def test_a_value_named_twice_counts_once() -> None:
    assert read("grate", ["finger", "finger"]) == pytest.approx(read("grate", "finger"))


def test_a_set_of_all_values_says_nothing() -> None:
    assert read("grate", ["finger", "square", "ring"]) == pytest.approx([1, 1, 1])


def test_a_negation_is_the_complement() -> None:
    assert read("grate", is_not="square") == pytest.approx([0.975, 0.05, 0.975])


def test_not_one_of_two_leaves_the_third() -> None:
    assert read("grate", is_not=["finger", "square"]) == pytest.approx(read("grate", "ring"))


def test_a_doubtful_negation_is_partly_any_value() -> None:
    plain = np.array([0.975, 0.05, 0.975])
    assert read("grate", is_not="square", sure="likely") == pytest.approx(0.8 * plain + 0.2 * 2 / 3)


def test_a_guess_at_two_values_is_the_sum_of_two_guesses() -> None:
    both = np.add(read("grate", "finger", sure="guess"), read("grate", "square", sure="guess"))
    assert read("grate", ["finger", "square"], sure="guess") == pytest.approx(both)


def test_an_unknown_value_is_refused() -> None:
    with pytest.raises(KeyError, match="star"):
        read("grate", "star")


# Kinds of nothing


def test_what_cannot_be_seen_is_all_ones() -> None:
    assert read("grate", unseen=True) == [1, 1, 1]


def test_what_was_removed_is_any_value_but_absent() -> None:
    assert read("shelf", removed=True) == [0, 1, 1]


def test_a_thing_that_never_was_is_read_as_absent() -> None:
    assert read("shelf", "absent") == pytest.approx([0.98, 0.01, 0.01])


# Measures


def test_a_measure_is_the_normal_mass_inside_each_band() -> None:
    assert read("depth", measured="20 mm") == pytest.approx([NormalDist(20, 2).cdf(19), 1 - NormalDist(20, 2).cdf(19)])


def test_a_measure_in_inches_is_held_against_bands_in_inches() -> None:
    assert read("width", measured="33 1/4 in")[1] == pytest.approx(inside(26, 33, 33.25, 0.5))


@pytest.mark.parametrize("text", ["1 1/4 in", "1.25 in", "31.75 mm", "3.175 cm"])
def test_a_length_says_the_same_in_every_unit(text: str) -> None:
    assert read("depth", measured=text) == pytest.approx(read("depth", measured="31.75 mm"))


def test_a_measure_on_an_edge_is_half_in_each_band() -> None:
    assert read("depth", measured="19 mm") == pytest.approx([0.5, 0.5])


def test_a_doubtful_measure_is_partly_any_band() -> None:
    assert read("depth", measured="19 mm", sure="guess") == pytest.approx([0.5, 0.5])


def test_a_band_may_be_given_instead_of_a_measure() -> None:
    assert read("depth", "deep") == pytest.approx([0.02, 0.98])


def test_what_has_no_bands_cannot_be_measured() -> None:
    with pytest.raises(KeyError, match="measured"):
        read("grate", measured="19 mm")


# What the rules are given


@pytest.mark.parametrize(
    ("seen", "values"),
    [
        (look("grate", "ring"), {"ring"}),
        (look("grate", ["ring", "square"]), {"ring", "square"}),
        (look("depth", measured="31 mm"), {"deep"}),
        (look("depth", measured="14 mm"), {"shallow"}),
        (look("depth", measured="20 mm"), {"shallow", "deep"}),
    ],
    ids=["a value", "a set", "a measure well inside", "another", "near an edge"],
)
def test_rules_are_given_certain_positive_readings(seen: Observation, values: set[str]) -> None:
    assert known_values(BASE, seen) == values


@pytest.mark.parametrize(
    "seen",
    [
        look("grate", "ring", sure="likely"),
        look("grate", "ring", sure="guess"),
        look("grate", is_not="ring"),
        look("grate", unseen=True),
        look("shelf", removed=True),
        look("depth", measured="31 mm", sure="likely"),
        Observation.model_validate({"serial": "41877", "found_on": "body"}),
    ],
    ids=["likely", "guess", "negation", "unseen", "removed", "likely measure", "serial"],
)
def test_rules_are_given_nothing_else(seen: Observation) -> None:
    assert known_values(BASE, seen) is None
