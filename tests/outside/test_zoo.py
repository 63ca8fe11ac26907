"""Zoo (R. Forsyth 1990, UCI, DOI 10.24432/C5R59V): telling 59 distinct animals apart with the fewest questions.

Every animal is as likely as any other and every question costs 1. The exact optimum comes from dynamic programming;
Huffman's 5.9153 bounds only the yes-or-no form.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest
from hobmark.reasoning.model import compile_model

from .decision_trees import Asking, huffman, walk
from .tables import Row, base_from_statements, wording

ZOO = Path(__file__).parent / "data" / "zoo.csv"


@cache
def animals(*, yes_or_no: bool) -> dict[str, Row]:
    """The first animal of each set that the 16 attributes do not tell apart; legs as counted or as six questions."""
    with ZOO.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    first: dict[tuple[str, ...], str] = {}
    for number, row in enumerate(rows):  # two frogs differ in their attributes, so a name alone is no key
        values = tuple(v for k, v in row.items() if k not in ("name", "type"))
        first.setdefault(values, f"{row['name']} {number}")
    attributes = [name for name in rows[0] if name not in ("name", "type")]
    legs = sorted({row["legs"] for row in rows})
    distinct = {name: dict(zip(attributes, values, strict=True)) for values, name in first.items()}
    if yes_or_no:
        for row in distinct.values():
            counted = row.pop("legs")
            row.update({f"legs {many}": str(int(many == counted)) for many in legs})
    return distinct


@cache
def asking(*, yes_or_no: bool) -> Asking:
    rows = list(animals(yes_or_no=yes_or_no).values())
    answers = [[int(row[attribute]) for row in rows] for attribute in rows[0]]
    return Asking(answers, [1.0] * len(rows), [1.0] * len(answers), range(len(rows)))


@cache
def projects_cost(*, yes_or_no: bool, one_assembly: bool) -> float:
    base = base_from_statements(animals(yes_or_no=yes_or_no), wording(), one_assembly=one_assembly)
    model = compile_model(base)
    return walk(base, model, model.cells.group)


def test_the_zoo_holds_59_distinct_animals() -> None:
    assert len(animals(yes_or_no=False)) == 59


def test_huffmans_bound_for_59_equal_things_is_5_9153() -> None:
    """D. A. Huffman, Proc. IRE 40 (1952), 1098-1101: 5 questions for 5 of them and 6 for 54."""
    assert huffman(59) / 59 == pytest.approx(5.9153, abs=5e-5)


@pytest.mark.parametrize(("yes_or_no", "least"), [(False, 4.8136), (True, 5.9322)])
def test_the_exact_optimum_is_known(yes_or_no: bool, least: float) -> None:
    assert asking(yes_or_no=yes_or_no).optimum() == pytest.approx(least, abs=5e-5)


@pytest.mark.parametrize(("yes_or_no", "cost"), [(False, 4.8814), (True, 6.0)])
def test_plain_information_gain_needs_a_little_more(yes_or_no: bool, cost: float) -> None:
    assert asking(yes_or_no=yes_or_no).greedy() == pytest.approx(cost, abs=5e-5)


@pytest.mark.parametrize("one_assembly", [False, True], ids=["an assembly each", "one assembly"])
@pytest.mark.parametrize(("yes_or_no", "least"), [(False, 4.8136), (True, 5.9322)])
def test_the_projects_looks_are_within_a_twentieth_of_the_optimum(
    yes_or_no: bool, least: float, one_assembly: bool
) -> None:
    found = projects_cost(yes_or_no=yes_or_no, one_assembly=one_assembly)
    print(f"zoo: {found:.4f} questions, optimum {least:.4f}, ratio {found / least:.4f}")
    assert least - 1e-4 <= found <= 1.05 * least
