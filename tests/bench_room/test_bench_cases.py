"""Measures and numbers in a case: what may be written, where a mistake is told, and that they are written back."""

# ruff: noqa: E501 - a message under test stands on one line, as a person reads it
from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.case import Case, read_case, write_case
from hobmark.problems import Refused

from .fitting import shipped

HEAD = "hobmark: 1\n"


def refusals(tmp_path: Path, text: str) -> list[str]:
    path = tmp_path / "case.yaml"
    path.write_text(HEAD + text, encoding="utf-8")
    with pytest.raises(Refused) as caught:
        read_case(path, shipped().base)
    return [str(problem).removeprefix(f"{path}:") for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("measures: [{kind: valv, measure: body_length, value: 60 mm}]\n", "2:19: unknown kind of part 'valv'. Did you mean 'valve'?"),
        ("measures: [{part: bm-p-va9, measure: body_length, value: 60 mm}]\n", "2:19: unknown part 'bm-p-va9'. Did you mean 'bm-p-va7'?"),
        ("measures: [{kind: valve, measure: body_lenght, value: 60 mm}]\n", "2:35: unknown measure 'body_lenght' of a burner valve. Did you mean 'body_length'?"),
        ("measures: [{kind: valve, measure: body_length, value: '60'}]\n", "2:55: '60' is not a length. Write it with its unit, as 31 mm or 1 1/4 in."),
        ("measures: [{kind: valve, measure: inlet_thread, value: 1/4 pip}]\n", "2:56: '1/4 pip' is no inlet_thread. Did you mean '1/4 pipe'?"),
        ("measures: [{measure: body_length, value: 60 mm}]\n", "2:12: a measure is of one part, or of one kind of part. Write 'part' or 'kind'."),
        ("measures:\n  - {kind: valve, measure: body_length, value: 60 mm}\n  - {kind: valve, measure: body_length, value: 61 mm}\n", "4:28: 'body_length' is measured already, as entry 1. Keep one."),
        ("numbers: [{kind: valv, number: V-3}]\n", "2:18: unknown kind of part 'valv'. Did you mean 'valve'?"),
        ("numbers: [{kind: valve, number: '--'}]\n", "2:33: '--' is not a number of a part. Write the letters and digits that stand on it."),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_its_place(text: str, said: str, tmp_path: Path) -> None:
    assert refusals(tmp_path, text) == [said]


def test_one_measure_on_the_range_and_on_the_part_are_two(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    entry = "  - {kind: valve, measure: body_length, value: 60 mm"
    path.write_text(f"{HEAD}measures:\n{entry}}}\n{entry}, on: part}}\n", encoding="utf-8")
    assert len(read_case(path, shipped().base).case.measures) == 2


def test_measures_and_numbers_are_written_back(tmp_path: Path) -> None:
    case = Case.model_validate(
        {
            "hobmark": "1",
            "measures": [{"kind": "valve", "measure": "body_length", "value": "2 1/2 in", "on": "part"}],
            "numbers": [{"kind": "valve", "number": "V-3C", "note": "on the left one"}],
        }
    )
    write_case(tmp_path / "case.yaml", case)
    assert read_case(tmp_path / "case.yaml", shipped().base).case == case
