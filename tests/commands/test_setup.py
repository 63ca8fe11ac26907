"""`hobmark setup`: the sheet on standard output, its exit codes, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from hobmark.curating.schemas import schema_text

from .conftest import Done, Hobmark

EXAMPLE = Path(__file__).parents[2] / "examples" / "house-call" / "farm-kitchen.yaml"


Sheet = Callable[..., Done]


@pytest.fixture
def sheet(hobmark: Hobmark) -> Sheet:
    def command(*arguments: object) -> Done:
        return hobmark("setup", EXAMPLE, *arguments)

    return command


def test_a_sheet_is_written_and_all_is_well(sheet: Sheet) -> None:
    done = sheet()
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("Set-up sheet: ")


def test_its_json_fits_the_published_schema(sheet: Sheet) -> None:
    done = sheet("--format", "json", "--symptom", "one_burner_dead", "--altitude", "5000 ft")
    jsonschema.validate(json.loads(done.out), json.loads(schema_text("setup-output")))


@pytest.mark.parametrize("symptom", ["smell_of_gas", "co_alarm"])
def test_what_stops_everything_is_a_warning(sheet: Sheet, symptom: str) -> None:
    done = sheet("--symptom", symptom)
    assert (done.code, done.out[:6]) == (1, "STOP: ")


def test_clues_that_contradict_each_other_are_a_warning(sheet: Sheet) -> None:
    done = sheet("--clue", "jet_size=54", "--clue", "pressure=11 in wc")
    assert done.code == 1
    assert "contradict each other" in " ".join(done.out.split())


def test_a_gas_named_against_a_clue_of_the_case_is_a_warning(sheet: Sheet) -> None:
    done = sheet("--fuel", "natural")
    assert done.code == 1
    assert "!! you named natural gas; what speaks against it: regulator" in " ".join(done.out.split())


def test_one_jet_names_no_gas_where_the_regulator_speaks_for_another(sheet: Sheet) -> None:
    assert "GAS: Cannot tell" in sheet("--clue", "jet_size=54").out


def test_a_gas_that_is_named_alone_is_set_out_for(sheet: Sheet) -> None:
    assert "GAS: Set out for natural gas, as you named it." in sheet("--fuel", "natural").out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--symptom", "smel_of_gas"), "--symptom: unknown symptom 'smel_of_gas'. Did you mean 'smell_of_gas'?"),
        (("--found", "pilot_out=seen"), "--found goes with a symptom. Add --symptom NAME."),
        (("--symptom", "flames_lift", "--found", "x=y"), "--found: 'x' is no check of this symptom."),
        (("--clue", "pressure=3"), "--clue: '3' is no number with a unit. Write it as 4 in wc;"),
        (
            ("--altitude", "14000 ft"),
            "--altitude: the rule holds from 0 to 10,000 ft. Ask the gas supplier above that.",
        ),
        (("--altitude", "high"), "--altitude: 'high' is no height. Write it with its unit, as 5000 ft or 1500 m."),
        (("--symptom", "foo"), "--symptom: unknown symptom 'foo'. Those there are: smell_of_gas, co_alarm,"),
        (("--fuel", "coal"), "coal"),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_write(sheet: Sheet, arguments: tuple[str, ...], said: str) -> None:
    done = sheet(*arguments)
    assert (done.code, done.out) == (2, "")
    assert said in done.err


def test_no_case_is_a_usage_error(hobmark: Hobmark) -> None:
    done = hobmark("setup")
    assert (done.code, done.out) == (2, "")
    assert "no case is named. Name the case file of the range: hobmark setup CASE." in done.err


def test_a_base_without_the_tables_is_refused(hobmark: Hobmark, small: Path) -> None:
    done = hobmark("setup", EXAMPLE, "--knowledge", small)
    assert (done.code, done.out) == (2, "")
    assert "Name the base that comes with hobmark first." in done.err


def test_a_text_in_a_case_cannot_turn_a_line_of_the_sheet(hobmark: Hobmark, tmp_path: Path) -> None:
    case = tmp_path / "case.yaml"
    case.write_text('hobmark: 1\nlabel: "a <b>range</b>\\n*** SAFE ***"\nobservations: []\n', encoding="utf-8")
    done = hobmark("setup", case)
    assert done.code == 0
    assert done.out.splitlines()[0] == "Set-up sheet: a <b>range</b> *** SAFE ***"


def test_a_clue_given_twice_is_refused_with_what_to_write(sheet: Sheet) -> None:
    done = sheet("--clue", "jet_size=54", "--clue", "jet_size=54")
    assert (done.code, "Give it once; sizes of several jets as 54,55." in done.err) == (2, True)
