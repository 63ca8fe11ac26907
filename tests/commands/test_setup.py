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
    assert done.out.startswith("Set-up card: ")


def test_its_json_fits_the_published_schema(sheet: Sheet) -> None:
    done = sheet("--format", "json", "--symptom", "one_burner_dead", "--altitude", "5000 ft")
    jsonschema.validate(json.loads(done.out), json.loads(schema_text("setup-output")))


@pytest.mark.parametrize("symptom", ["smell_of_gas", "co_alarm"])
def test_what_stops_everything_is_a_warning(sheet: Sheet, symptom: str) -> None:
    done = sheet("--symptom", symptom)
    assert (done.code, done.out[:6]) == (1, "STOP: ")


def told(done: Done) -> str:
    return " ".join(done.out.split())


def release(done: Done) -> dict[str, object]:
    found = json.loads(done.out)["release"]
    assert isinstance(found, dict)
    return found


def test_the_five_facts_are_told_apart(sheet: Sheet) -> None:
    done = sheet(
        "--laid-on", "natural:meter", "--wanted", "bottled", "--regulator", "none", "--pressure", "house=7 in wc:none"
    )
    words = told(done)
    assert "laid on: natural gas, by the meter" in words
    assert "set for: not known at every place; 0 of 7 places gauged" in words
    assert (
        "wanted: bottled gas (propane): another gas than is laid on; a plan is no evidence and releases nothing"
        in words
    )
    assert "7 in. w.c. (17.4 mbar; 1.74 kPa; 0.253 psi) at the house, nothing lit, OUTSIDE its band" in words


def test_natural_jets_with_bottled_gas_outside_are_never_released(sheet: Sheet) -> None:
    places = ("front_left", "front_right", "rear_left", "rear_right")
    jets = [f"--jet={place}=54" for place in places] + [f"--hood={place}=universal:backed_out" for place in places]
    done = sheet("--laid-on", "bottled:tank", *jets, "--clue", "owner=natural", "--format", "json")
    found = release(done)
    assert (done.code, found["allowed"]) == (1, False)
    assert [each["id"] for each in found["stopped_by"]] == ["jets_amiss", "clues_disagree"]  # type: ignore[attr-defined]


def test_the_release_is_told_in_json_with_what_is_missing(sheet: Sheet) -> None:
    found = release(sheet("--format", "json"))
    assert set(found) == {"allowed", "says", "tag", "missing", "stopped_by"}
    assert [each["id"] for each in found["missing"]] == [  # type: ignore[attr-defined]
        *("laid_on", "set_for", "regulator_gas", "heat_to_be_given", "leak_check")
    ]


def test_what_is_missing_is_no_warning_and_what_stops_is_one(sheet: Sheet) -> None:
    assert (sheet().code, sheet("--regulator", "gone").code) == (0, 1)


def test_two_jets_never_speak_for_the_range_without_that_being_said(sheet: Sheet) -> None:
    words = told(sheet("--laid-on", "bottled:tank", "--jet", "front_left=69", "--jet", "front_right=69"))
    assert "2 of 7 places gauged; not gauged: rear left, rear right, oven, top pilot, oven pilot" in words


def test_the_card_leaves_steps_to_whole(sheet: Sheet) -> None:
    assert ("SEAT WHAT WAS LOOSE" in sheet().out, "SEAT WHAT WAS LOOSE" in sheet("--whole").out) == (False, True)


def test_the_release_table_needs_no_case(hobmark: Hobmark) -> None:
    done = hobmark("setup", "--release-table")
    assert (done.code, done.out.splitlines()[0]) == (
        0,
        "RELEASED to a licensed fitter: 14 of 276,480 combinations. All others refuse.",
    )


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """A case of one's own, to be written to."""
    case = tmp_path / "case.yaml"
    case.write_text(EXAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
    return case


def test_what_is_told_is_kept_in_the_case_where_that_is_asked_for(hobmark: Hobmark, mine: Path) -> None:
    hobmark("setup", mine, "--laid-on", "bottled:tank", "--regulator", "gone", "--keep")
    again = hobmark("setup", mine)
    assert again.code == 1
    assert "!! stopped: the range had a regulator, and it has gone." in told(again)


def test_else_the_case_is_as_it_was_and_that_is_said(hobmark: Hobmark, mine: Path) -> None:
    before = mine.read_bytes()
    done = hobmark("setup", mine, "--regulator", "gone")
    assert mine.read_bytes() == before
    assert done.err == "What was told of the gas is not kept. Add --keep to write it into the case.\n"


def test_a_symptom_that_stops_everything_stands_in_the_case_until_it_is_cleared(hobmark: Hobmark, mine: Path) -> None:
    hobmark("setup", mine, "--symptom", "smell_of_gas", "--keep")
    assert "!! stopped: smell of gas." in told(hobmark("setup", mine))
    hobmark("setup", mine, "--cleared", "smell_of_gas=a licensed fitter, 2026-11-30", "--keep")
    assert "!! stopped: smell of gas." not in told(hobmark("setup", mine))


def test_carbon_monoxide_is_told_as_two_numbers_with_the_formula(sheet: Sheet) -> None:
    done = sheet("--co", "at=oven_vent, co=225 ppm, o2=18 percent, minutes=15")
    words = told(done)
    assert "oven vent, 15 min after lighting: 225 ppm as measured, oxygen 18 %, air-free 1,620 ppm [computed]" in words
    assert "CO air-free = CO as measured x 20.9 / (20.9 - O2 in percent)" in words
    assert "over 800 ppm air-free: not used until it is mended" in words
    assert done.code == 1


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--symptom", "flames_lift", "--found", "x=y"), "--found: 'x' is no check of this symptom."),
        (("--found", "pilot_out=seen"), "--found goes with a symptom. Add --symptom NAME."),
        (("--pressure", "3"), "--pressure: '3' is no number with a unit. Write it as 4 in wc;"),
        (("--pressure", "99 psi"), "--pressure: '99 psi' is no pressure that gas has inside a house."),
        (("--pressure", "roof=4 in wc"), "--pressure: unknown place to read a pressure 'roof'."),
        (
            ("--altitude", "14000 ft"),
            "--altitude: the rule holds from 0 to 10,000 ft. Ask the gas supplier above that.",
        ),
        (("--altitude", "high"), "--altitude: 'high' is no height. Write it with its unit, as 5000 ft or 1500 m."),
        (
            ("--fuel", "natural"),
            "--fuel is gone: what is laid on and what is wanted are two things. Write --laid-on GAS:HOW",
        ),
        (
            ("--clue", "jet_size=54"),
            "--clue jet_size is gone: it is a fact of its own. Write the jet at its place:",
        ),
        (("--clue", "pressure=4 in wc"), "--clue pressure is gone: it is a fact of its own. Write --pressure"),
        (("--clue", "owner=coal"), "unknown value 'coal' for owner."),
        (("--laid-on", "coal"), "--laid-on: unknown gas 'coal'. Write one of: natural, bottled, manufactured."),
        (("--laid-on", "natural:smell"), "--laid-on: unknown way to know it 'smell'."),
        (("--jet", "54"), "--jet: '54' names no place. Write it as front_left=54."),
        (("--jet", "front=54"), "--jet: unknown place 'front'."),
        (("--jet", "oven=5400"), "--jet: '5400' is no drill and no length. Write 54 or 1.4 mm."),
        (("--jet", "oven=2 in"), "--jet: '2 in' is no jet of a range."),
        (("--heat", "oven_pilot=900"), "--heat: a pilot has no heat to be given (oven pilot). Name a burner."),
        (("--heating-value", "830"), "--heating-value: a heating value is that of the gas laid on, and none is told."),
        (("--regulator", "none:natural"), "--regulator: "),
        (("--leak-check", "start=9 in wc"), "--leak-check: 'method' is missing. Add it."),
        (("--leak-check", "method=sniffing, tight=yes"), "--leak-check: unknown word 'sniffing' for method."),
        (("--co", "at=oven_vent, co=much"), "--co: 'much' is no number with a unit."),
        (("--cleared", "smell_of_gas=me"), "--cleared: 'me' does not say by whom and when. Write a name and a date."),
        (("--cleared", "boom=B. Reed, 2026"), "--cleared: 'boom' does not stand in the record."),
        (("--laid-on", "natural:tank"), "--laid-on: a tank or its regulator means bottled gas, not natural."),
        (("--hood", "oven=fixed:home"), "--hood: a hood that is fixed has no second seat."),
        (("--co", "at=room, co=9 ppm, o2=20.9 percent"), "--co: '20.9 percent' of oxygen is room air"),
        (("--explained", "owner=old"), "--explained: the clue 'owner' does not stand in the record."),
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
    assert done.out.splitlines()[0] == "Set-up card: a <b>range</b> *** SAFE ***"
