"""Worked examples whose answers are printed in the literature, reckoned by the project's own ranking and looks."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.vocabulary import Goal
from hobmark.reasoning.goals import partition
from hobmark.reasoning.model import Model, compile_model
from hobmark.reasoning.questions import Expectation, expectations, look_table

from .tables import (
    Row,
    base_from_specimens,
    features_of,
    folder_of,
    observed,
    probability_of,
    ranked,
    wording,
)

WEATHER = """
sunny hot high F N | sunny hot high T N | overcast hot high F P | rain mild high F P | rain cool normal F P
rain cool normal T N | overcast cool normal T P | sunny mild high F N | sunny cool normal F P | rain mild normal F P
sunny mild normal T P | overcast mild high T P | overcast hot normal F P | rain mild high T N
"""
"""J. R. Quinlan, Induction of decision trees, Machine Learning 1 (1986), 81-106, table 1."""

WEATHER_COLUMNS = ("outlook", "temperature", "humidity", "windy", "class")


def weather() -> list[Row]:
    lines = [line for part in WEATHER.strip().splitlines() for line in part.split("|")]
    return [dict(zip(WEATHER_COLUMNS, line.split(), strict=True)) for line in lines]


@cache
def weather_base() -> tuple[KnowledgeBase, Model]:
    base = base_from_specimens(weather(), "class", wording())
    return base, compile_model(base)


def opening(base: KnowledgeBase, model: Model) -> dict[str, Expectation]:
    parts = partition(model.cells, Goal.VARIANT)
    return expectations(look_table(model), ranked(base, model, []), parts, set(base.features))


def test_the_uncertainty_before_any_look_is_that_of_nine_to_five() -> None:
    """Quinlan 1986, p. 89: I(9, 5), printed as 0.940 bits."""
    base, model = weather_base()
    groups = ranked(base, model, []).by_group
    groups = groups[groups > 0]
    assert -(groups * np.log2(groups)).sum() == pytest.approx(0.940286, abs=1e-6)


@pytest.mark.parametrize(
    ("column", "bits"),
    [("outlook", 0.246750), ("humidity", 0.151836), ("windy", 0.048127), ("temperature", 0.029223)],
)
def test_the_expected_bits_of_a_look_are_quinlans_gain(column: str, bits: float) -> None:
    """Quinlan 1986, p. 90, prints .246 .151 .048 .029 from rounded steps; these are the exact figures of his table."""
    assert opening(*weather_base())[column].goal_bits == pytest.approx(bits, abs=1e-6)


def test_naive_bayes_without_smoothing_gives_the_posterior_of_a_cool_windy_sunny_day() -> None:
    """P(N | sunny, cool, high, windy) from Quinlan's table: 5/14 (3 1 4 3)/5^4 against 9/14 (2 3 3 3)/9^4."""
    base, model = weather_base()
    day = {"outlook": "sunny", "temperature": "cool", "humidity": "high", "windy": "T"}
    assert probability_of(ranked(base, model, observed(day, day)), "N") == pytest.approx(0.795417, abs=1e-6)


HEADS = 20
"""General Report on Tunny (1945), p. 39: a factor f is worth 10 log10 f decibans; a penny shows 20 heads."""


@cache
def penny_base(*, one_assembly: bool) -> tuple[KnowledgeBase, Model]:
    words = wording(often={"always": 1, "usually": 0.9, "often": 0.5, "sometimes": 0.3, "rarely": 0.1, "never": 0})
    columns = {f"toss {toss}": ["heads", "tails"] for toss in range(HEADS)}
    assemblies, features = features_of(columns, one_assembly=one_assembly)
    traits = [{"feature": f, "of": ["double_headed"], "value": "heads"} for f in features]
    traits += [{"feature": f, "of": ["fair"], "values": {"heads": "often", "tails": "often"}} for f in features]
    maker = folder_of("mint", {"double_headed": {"units": 1}, "fair": {"units": 10_000}}, traits=traits)
    base = KnowledgeBase(wording=words, assemblies=assemblies, features=features, makers={"mint": maker})
    return base, compile_model(base)


@pytest.mark.parametrize("one_assembly", [False, True], ids=["each toss an assembly", "all tosses one assembly"])
def test_twenty_heads_lift_a_penny_from_ten_thousand_to_one_against(one_assembly: bool) -> None:
    """Tunny report, p. 39: 20 heads are worth 20 x 3.0103 db against prior odds of -40 db: 20.206 db."""
    base, model = penny_base(one_assembly=one_assembly)
    tosses = {f"toss {toss}": "heads" for toss in range(HEADS)}
    ranking = ranked(base, model, observed(tosses, tosses))
    odds = probability_of(ranking, "double_headed") / probability_of(ranking, "fair")
    assert 10 * math.log10(odds) == pytest.approx(20.206, abs=5e-4)


def test_a_penny_of_twenty_heads_is_probably_double_headed() -> None:
    """Odds of 2^20 / 10^4 = 104.8576 are a probability of 0.990553."""
    base, model = penny_base(one_assembly=False)
    tosses = {f"toss {toss}": "heads" for toss in range(HEADS)}
    found = probability_of(ranked(base, model, observed(tosses, tosses)), "double_headed")
    assert found == pytest.approx(0.990553, abs=1e-6)


WELLS = {"dry": (30, 15, 5), "wet": (9, 12, 9), "soaking": (2, 8, 10)}
"""H. Raiffa, Decision Analysis (1968), pp. 34-36: of 100 wells, by state and what the seismic test shows."""
SEISMIC = ("none", "open", "closed")
WORTH = {"dry": -70, "wet": 50, "soaking": 200}
"""Revenue 0, 120 or 270 less 70 for drilling."""


@cache
def wells_base() -> tuple[KnowledgeBase, Model]:
    rows = [
        {"state": state, "seismic": shown}
        for state, counts in WELLS.items()
        for shown, count in zip(SEISMIC, counts, strict=True)
        for _ in range(count)
    ]
    base = base_from_specimens(rows, "state", wording())
    return base, compile_model(base)


def test_the_seismic_test_tells_a_sixth_of_a_bit() -> None:
    """Raiffa 1968, pp. 34-36: mutual information of the printed joint table, 0.160411 bits."""
    assert opening(*wells_base())["seismic"].goal_bits == pytest.approx(0.160411, abs=1e-6)


def worth_of_drilling(shown: dict[str, str]) -> float:
    base, model = wells_base()
    ranking = ranked(base, model, observed(shown, shown))
    return sum(probability_of(ranking, state) * worth for state, worth in WORTH.items())


def test_drilling_without_a_test_is_worth_twenty() -> None:
    """Raiffa 1968, p. 34: expected value 20."""
    assert worth_of_drilling({}) == pytest.approx(20, abs=1e-9)


def test_the_seismic_test_is_worth_twelve_and_a_half() -> None:
    """Raiffa 1968, p. 36: drill only where it pays after the test; 32.5 - 20 = 12.5 before the test's price of 10."""
    chances = opening(*wells_base())["seismic"].answers
    after = [max(0.0, worth_of_drilling({"seismic": shown})) for shown in SEISMIC]
    assert float(chances @ np.array(after)) - 20 == pytest.approx(12.5, abs=1e-9)
