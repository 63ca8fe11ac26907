"""The bench record in a case: what may be written, where a mistake is told, and that it is written back as it was."""

# ruff: noqa: E501 - a message under test stands on one line, as a person reads it
from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.case import Case, case_text, read_case, write_case
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.problems import Refused
from hypothesis import HealthCheck, given, settings

from .bases import base
from .records import record
from .test_release_properties import records

HEAD = "hobmark: 1\nbench:\n"


def refusals(tmp_path: Path, text: str) -> list[str]:
    path = tmp_path / "case.yaml"
    path.write_text(f"{HEAD}  {text}\n", encoding="utf-8")
    with pytest.raises(Refused) as caught:
        read_case(path, base())
    return [str(problem).removeprefix(f"{path}:") for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("laid_on: {gas: propane}", "3:18: unknown word 'propane' for gas. Write one of: natural, bottled, manufactured."),
        ("laid_on: {gas: natural, by: jets}", "3:31: unknown word 'jets' for by. Write one of: supplier, bill, meter, tank, tank_regulator."),
        ("laid_on: {gas: natural, heating_value: 830}", "3:42: '830' is no number with a unit. Write it as 1000 Btu/ft3; the units are Btu/ft3, MJ/m3."),
        ("regulator: {state: none, gas: natural}", "3:14: 'gas' and 'outlet' are read on a regulator that is there. Write 'state: fitted'."),
        ("jets: [{place: front, found: 54}]", "3:18: unknown word 'front' for place."),
        ("jets: [{place: oven, found: 5400}]", "3:31: '5400' is no drill and no length. Write 54 or 1.4 mm. Did you mean '54'?"),
        ("jets: [{place: oven, gas: natural}]", "3:10: 'gas' and 'by' go together: what it is marked for, and by stamp, tag or as fitted new."),
        ("jets: [{place: oven}, {place: oven}]", "3:3: the jet at 'oven' stands twice. Keep one entry for each place."),
        ("pressures: [{reads: 4 ft}]", "3:23: '4 ft' is no pressure. Write a number with a unit of that."),
        ("clues: [{clue: jet_size, value: 54}]", "3:18: 'jet_size' is no clue beside the record. Write it under 'jets', at its place."),
        ("clues: [{clue: owner, value: coal}]", "3:32: unknown value 'coal' for owner."),
        ("leak_check: {method: sniffing, tight: yes}", "3:24: unknown word 'sniffing' for method. Write one of: gauge, meter, fluid."),
        ("leak_check: {method: gauge, tight: yes, start: 9}", "3:15: '9' is no number with a unit."),
        ("combustion: [{at: attic, co: 9 ppm}]", "3:21: unknown word 'attic' for at. Write one of: oven_vent, top_burners, room."),
        ("dial: [{dial: warm, reads: 350 F}]", "3:17: 'warm' is no temperature. Write it as 350 F or 180 C."),
        ("symptoms: [{symptom: boom}]", "3:24: unknown symptom 'boom'."),
        ("symptoms: [{symptom: flames_lift, check: x, outcome: y}]", "3:44: 'x' is no check of this symptom."),
        ("altitude: 14000 ft", "3:13: the rule for jets at a height holds to 10,000 ft. Ask the gas supplier above that, and leave it out here."),
        ("jets: [{place: oven, found: 5 in}]", "3:31: '5 in' is no jet of a range. Write the drill that just enters, as 54."),
        ("jets: [{place: oven, heat: 0 Btu/h}]", "3:30: '0 Btu/h' is nothing."),
        ("pressures: [{reads: 0 in wc}]", "3:23: '0 in wc' is nothing."),
        ("symptoms: [{symptom: smell_of_gas, cleared: me}]", "3:47: 'me' does not say by whom and when. Write a name and a date."),
        ("fuel: natural", "3:3: unknown field 'fuel'."),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_its_place(text: str, said: str, tmp_path: Path) -> None:
    (told,) = refusals(tmp_path, text)
    assert told.startswith(said)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(made=records())
def test_a_record_is_written_back_as_it_was(made: BenchRecord, tmp_path: Path) -> None:
    case = Case(hobmark="1", bench=made)
    write_case(tmp_path / "case.yaml", case)
    assert read_case(tmp_path / "case.yaml", base()).case == case


def test_a_case_without_a_record_says_nothing_of_one() -> None:
    assert "bench" not in case_text(Case(hobmark="1"))


def test_a_jet_is_one_line_of_the_file() -> None:
    lines = case_text(Case(hobmark="1", bench=record())).splitlines()
    assert "  - {place: front_left, found: '54', heat: 9000 Btu/h}" in lines


def test_a_list_longer_than_any_visit_is_refused(tmp_path: Path) -> None:
    reads = ", ".join(["{reads: 4 in wc}"] * 61)
    assert "60" in refusals(tmp_path, f"pressures: [{reads}]")[0]
