"""With everything else off the model is naive Bayes: held against scikit-learn's CategoricalNB on random tables.

F. Pedregosa et al., Scikit-learn, JMLR 12 (2011), 2825-2830; CategoricalNB smooths as (n_x + alpha) / (n + alpha K).
The project smooths as (n_x + alpha0 U) / (n + alpha0) with one alpha0 for every feature, so the two are the same for
features of equal K, U even and alpha0 = alpha K: every column is given the same K values, seen or not.
"""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.reasoning.model import compile_model

from .tables import base_from_specimens, observed, ranked, wording

naive_bayes = pytest.importorskip("sklearn.naive_bayes", reason="NOT COMPARED: scikit-learn is not installed")

COLUMNS = [f"column {place}" for place in range(5)]


def random_table(seed: int, values: int) -> tuple[np.ndarray, np.ndarray]:
    """40 rows of 5 columns in 3 classes that the columns tell something about."""
    draw = np.random.default_rng([seed, values])
    chance = draw.dirichlet(np.ones(values), size=(3, len(COLUMNS)))
    classes = np.concatenate([[0, 1, 2], draw.choice(3, size=37, p=[0.6, 0.3, 0.1])])
    rows = [[draw.choice(values, p=chance[c, f]) for f in range(len(COLUMNS))] for c in classes]
    return np.array(rows), classes


def as_row(values: np.ndarray) -> dict[str, str]:
    return {column: f"value {value}" for column, value in zip(COLUMNS, values, strict=True)}


@pytest.mark.parametrize("one_assembly", [False, True], ids=["an assembly each", "one assembly"])
@pytest.mark.parametrize("alpha", [0.01, 2.0])
@pytest.mark.parametrize("values", [2, 3, 5])
@pytest.mark.parametrize("seed", range(2))
def test_log_odds_are_those_of_scikit_learn(seed: int, values: int, alpha: float, one_assembly: bool) -> None:
    table, classes = random_table(seed, values)
    theirs = naive_bayes.CategoricalNB(alpha=alpha, min_categories=values).fit(table, classes)
    rows = [as_row(row) | {"class": f"class {c}"} for row, c in zip(table, classes, strict=True)]
    every_value = {column: [f"value {value}" for value in range(values)] for column in COLUMNS}
    words = wording(used_weight=alpha * values)
    base = base_from_specimens(rows, "class", words, columns=every_value, one_assembly=one_assembly)
    model = compile_model(base)
    order = [[g.variant for g in model.cells.groups].index(f"class_{c}") for c in range(3)]
    asked = random_table(seed + 100, values)[0][:10]
    ours = np.log([ranked(base, model, observed(as_row(row), COLUMNS)).by_group[order] for row in asked])
    expected = theirs.predict_log_proba(asked)
    difference = (ours - ours[:, :1]) - (expected - expected[:, :1])
    assert np.abs(difference).max() < 1e-12
