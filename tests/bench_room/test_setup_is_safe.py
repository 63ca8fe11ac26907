"""What a careful fitter would strike out of a set-up sheet or a fault table: order, leave to adjust, gas let out."""

from __future__ import annotations

import re

import pytest
from hobmark.knowledge.schema.bench import Work
from hobmark.knowledge.schema.setting_up import SetupStatement
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.html import setup_page
from hobmark.reports.setup import set_up
from hobmark.reports.setup_text import setup_text

from .bases import base, examined
from .records import gauged
from .sheets import farm_kitchen, sheet, steps, unknown

ORDER = [
    ("asbestos", "burner_seats"),
    ("mercury", "oven_seat"),
    ("lead", "inlet"),
    ("no_oven_safety", "oven_pilot"),
    ("no_top_safety", "light_pilots"),
    ("which_gas", "leak_test"),
    ("jets", "leak_test"),
    ("connector", "leak_test"),
    ("leak_test", "pressure"),
    ("burner_seats", "pressure"),
    ("pressure", "test_again"),
    ("test_again", "light_pilots"),
    ("top_pilot", "top_flames"),
    ("jets", "air"),
    ("pressure", "air"),
    ("oven_pilot", "oven_flame"),
    ("oven_flame", "co_test"),
]
"""Step and the step that never comes before it."""


@pytest.mark.parametrize(("first", "then"), ORDER)
def test_a_step_comes_before_what_must_wait_for_it(first: str, then: str) -> None:
    numbers = {name: step.number for name, step in steps(sheet()).items()}
    assert numbers[first] < numbers[then]


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("smell_first", "the shut-off of the range itself is the first thing that is closed, and air comes second"),
        ("gas_off", "Close the shut-off of the range before any knob, then open a window"),
        ("gas_off", "a connected range is not drawn forward to see behind it"),
        ("asbestos", "Nobody sweeps, vacuums, brushes or dry-scrapes it"),
        ("asbestos", "that is neither the owner nor the gas fitter"),
        ("mercury", "are not touched, brushed, turned, bent, cut or unscrewed, nor posted"),
        ("leak_test", "every pilot that has a screw of its own shut there"),
        ("leak_test", "Only with gas, jets and regulator known to belong together"),
        ("leak_test", "A licensed fitter does it, by the local code, and lights nothing for it"),
        ("leak_test", "the valve of that one place is open, all others off"),
        ("leak_test", "Fluid is for finding the place of a leak"),
        ("leak_test", "Once anything has been opened after it, the check is done again"),
        ("which_gas", "the gas stays off and nothing is lit"),
        ("which_gas", "never told by the colour of a flame, by a pressure or by somebody's word"),
        ("jets", "Gas off. Gauge each jet"),
        ("well_seat", "It is lit only as it will be used, seated"),
        ("well_seat", "after joints, gas and pressure have been found right"),
        ("seized_screws", "away from the range and empty of gas"),
        ("pressure", "Only once gas and jets are known to belong together and the leak check has held"),
        ("air", "a shutter hides a wrong jet"),
        ("pressure", "Without a regulator of its own a range for natural gas has at its manifold what the house gives"),
        ("test_again", "Only then is a pilot lit"),
        ("inlet", "is not shortened, bored, bent or turned about"),
    ],
)
def test_a_step_says_what_keeps_it_safe(step: str, words: str) -> None:
    assert words in " ".join(base().bench.step_of[step].do.split())


@pytest.mark.parametrize(
    ("caution", "words"),
    [
        ("asbestos", "Never sweep, vacuum, brush or dry-scrape"),
        ("asbestos", "not by the owner and not by the gas fitter"),
        ("mercury_sensor", "Do not touch, turn, bend, cut or unscrew it"),
        ("mercury_sign", "Never touch, turn, bend, cut, unscrew or part the sensor"),
        ("gas_leak", "close the shut-off of the range itself, then let air in"),
        ("brass_connector", "Do not move a connected range"),
        ("oven_limit", "CO air-free = CO as measured x 20.9 / (20.9 - O2 in percent)"),
        ("oven_limit", "A bare meter reading is as measured, and lower than its air-free figure"),
    ],
)
def test_a_caution_says_what_is_never_done(caution: str, words: str) -> None:
    known = base().cautions | base().bench.hazards
    assert words in " ".join(known[caution].says.split())


def test_the_formula_of_air_free_is_on_the_sheet_beside_both_figures() -> None:
    text = " ".join(setup_text(sheet(), whole=True).split())
    assert "CO air-free = CO as measured x 20.9 / (20.9 - O2 in percent)" in text
    told = [each.id for each in steps(sheet())["co_test"].fields]
    assert told[told.index("oven_co_measured") :][:3] == ["oven_co_measured", "oven_o2", "oven_co"]


SAID_OF_THE_WELL = [
    statement
    for folder in base().makers.values()
    for statement in folder.setup
    if statement.step == "well_seat" and statement.says is not None
]


@pytest.mark.parametrize("statement", SAID_OF_THE_WELL, ids=lambda statement: statement.id)
def test_no_makers_paper_has_the_well_burner_lit_off_its_jet(statement: SetupStatement) -> None:
    assert "never for lighting" in " ".join((statement.says or "").split())


@pytest.mark.parametrize("clue", sorted(base().bench.fuel.clues) if base().bench.fuel else [])
def test_no_clue_to_the_gas_is_had_by_lighting_anything(clue: str) -> None:
    table = base().bench.fuel
    assert table is not None
    words = f"{table.clues[clue].label} {table.clues[clue].do}"
    assert not re.search(r"\b[Ll]ights?\b|alight|lit\b(?! or opened)", words)


@pytest.mark.parametrize(
    "name", ["air_too_much", "air_too_little", "dial_slipped", "door_leaks", "pilot_low", "bypass_low"]
)
def test_what_is_adjusted_is_not_left_to_the_owner(name: str) -> None:
    assert base().bench.faults.causes[name].who is not Work.OWNER


ADJUSTED = re.compile(
    r"shutter|screw|manometer|drill shank|draws the plug|takes the (?:hood|line|pilot)", re.IGNORECASE
)
"""Words for work on the gas way or its settings."""


@pytest.mark.parametrize("name", sorted(base().bench.faults.checks))
def test_a_check_that_works_on_gas_or_air_is_a_fitters(name: str) -> None:
    check = base().bench.faults.checks[name]
    assert check.who is not Work.OWNER or not ADJUSTED.search(check.do)


@pytest.mark.parametrize("name", sorted(base().bench.faults.causes))
def test_a_proof_that_works_on_gas_or_air_is_a_fitters(name: str) -> None:
    proof = base().bench.faults.causes[name].proof
    assert proof.who is not Work.OWNER or not ADJUSTED.search(proof.do)


@pytest.mark.parametrize("name", sorted(base().bench.faults.causes))
def test_a_proof_that_opens_the_gas_way_begins_with_gas_off(name: str) -> None:
    do = base().bench.faults.causes[name].proof.do
    opened = re.search(r"draws the plug|takes the (?:hood|line|pilot)|end plug|[Gg]auge a jet", do)
    assert opened is None or do.startswith("Gas off")


@pytest.mark.parametrize(
    ("check", "words"),
    [
        ("windless", "Stay by it: if it goes out, gas off"),
        ("stays_while_held", "Door open, aired, no smell, match burning first"),
        ("top_too", "Window open."),
        ("match_at_port", "No smell first. Match burning"),
        ("burner_or_oven", "do not try it out"),
    ],
)
def test_a_check_lets_no_gas_gather(check: str, words: str) -> None:
    assert words in base().bench.faults.checks[check].do


@pytest.mark.parametrize(
    ("symptom", "words"),
    [
        ("flames_lift", "Turn it off"),
        ("yellow_flames", "measured before it is used again"),
        ("one_burner_weak", "valve off meanwhile; do not open up the jet"),
        ("delayed_boom", "Stop using"),
        ("lazy_flames", "Stop: burners off, window open"),
    ],
)
def test_a_symptom_first_says_what_is_no_longer_used(symptom: str, words: str) -> None:
    assert words in " ".join(base().bench.faults.symptoms[symptom].do)


FARM = {"back_stamp": "town_country", "regulator": "rear_add_on"}
"""Looks that a rule of Wexcombe, invented, draws a caution from."""


def test_the_cautions_of_rules_that_fired_stand_in_the_head_of_the_sheet() -> None:
    text = " ".join(setup_text(set_up(examined(**FARM), "x")).split())
    told = text.index("!! If a Wexcombe: Probably built for export or bottled gas, so the jets may be for another gas")
    assert told < text.index("GAS ! ")


def test_they_stand_on_the_page_as_well() -> None:
    assert "Probably built for export or bottled gas" in setup_page(set_up(examined(**FARM), "x"))


def test_once_a_maker_is_settled_the_cautions_of_one_that_is_ruled_out_are_gone() -> None:
    told = [each.says for each in set_up(farm_kitchen(), "x").by_rules]
    assert [each.partition(":")[0] for each in told] == ["If a Wexcombe"]


def test_up_high_the_heat_that_a_makers_paper_states_is_said_to_be_that_at_sea_level() -> None:
    report = set_up(unknown(), "x", record=gauged(gas=Gas.NATURAL, altitude="5000 ft"))
    labels = [each.label for each in steps(report)["jets"].fields if each.unit == "Btu/h"]
    assert labels == ["Input of a top burner, at sea level", "Input of the oven burner, at sea level"]


def test_the_guide_for_rooms_people_live_in_stands_beside_the_figure_to_stop_at() -> None:
    (guide,) = next(each for each in steps(sheet())["co_test"].fields if each.id == "room_co_guide").choices
    assert guide.setting is not None
    assert (guide.setting.high, guide.setting.unit) == (9, "ppm")


@pytest.mark.parametrize(
    "words",
    [
        r"ream(?:ed|ing)? (?:it|them|out)",
        r"drill (?:it|them|the jet|out)",
        r"enlarge the",
        r"cut the manifold",
        r"(?:test|look)\w* (?:for leaks )?with a (?:flame|match|lighter)",
        r"(?:plug|bridge|tie|wedge)s? the safety",
    ],
)
def test_no_sheet_and_no_fault_tells_anyone_to_do_what_is_never_done(words: str) -> None:
    table = base().bench.faults
    told = [setup_text(sheet(), 100_000, whole=True), *(each.remedy for each in table.causes.values())]
    told += [*(each.proof.do for each in table.causes.values()), *(each.do for each in table.checks.values())]
    found = [
        text[max(0, at.start() - 30) : at.end()] for text in told for at in re.finditer(words, text, re.IGNORECASE)
    ]
    assert [each for each in found if not re.search(r"\b(?:never|not)\b", each)] == []
