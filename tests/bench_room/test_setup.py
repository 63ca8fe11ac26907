"""The set-up sheet: its order, its settings with mark and caution, what differs between variants, what stops it."""

from __future__ import annotations

import re

import pytest
from hobmark.bench.setup import chances_of
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import ClueRecord
from hobmark.knowledge.schema.setting_up import Part
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.setup import set_up
from hobmark.reports.setup_text import setup_text

from .bases import base, examined
from .records import gauged, laid_on
from .sheets import field, known, settings, sheet, steps, unknown


def test_the_parts_stand_in_the_order_of_the_work() -> None:
    assert [part.id for part in sheet().sections] == list(Part)


def test_steps_are_numbered_through() -> None:
    numbers = [step.number for part in sheet().sections for step in part.steps]
    assert numbers == list(range(1, len(numbers) + 1))


def test_local_codes_and_a_licensed_fitter_come_first() -> None:
    assert setup_text(sheet()).split("\n")[1].startswith("Local codes and a licensed fitter come first.")


@pytest.mark.parametrize("gas", [None, *Gas], ids=str)
def test_every_setting_has_unit_source_mark_and_a_caution_that_stands_on_the_sheet(gas: Gas | None) -> None:
    report = sheet(gas)
    stand = {each.id for each in report.cautions}
    shown = settings(report)
    assert len(shown) > 20
    assert [each for each in shown if not (each.unit and each.source and set(each.cautions) <= stand)] == []


@pytest.mark.parametrize("step", [step.id for step in base().bench.steps])
def test_every_caution_that_a_step_or_its_fields_name_is_known(step: str) -> None:
    entry = base().bench.step_of[step]
    named = {*entry.cautions, *(name for each in entry.fields for name in each.cautions)}
    assert named <= {*base().cautions, *base().bench.hazards}


# What is common practice has no source and says so. One row each: step, field (none: the step's own words), the words.
COMMON = [
    ("top_pilot", "height_usual", "3/8 to 1/2 in."),
    ("top_flames", "cone", "1/2 in."),
    ("jets", None, "first is the jet, then the pressure, then dirt; air comes last"),
    ("jets", "fixed_jet", "nothing to set: the gas is right when the bore is"),
    ("jets", "adjustable_natural", "sets the gas: backed off the needle it lets more through"),
    ("jets", "universal_natural", "sets the gas: standing off its inner seat"),
    ("jets", "universal_bottled", "nothing to set: down on its inner seat, without force"),
    ("tube_seats", None, "see first whether the tip sits in the hole"),
    ("well_seat", None, "Nothing is ever lit that is off its jet"),
    ("light_pilots", "lit_within", "1 min or less"),
    ("seized_screws", None, "a head shears before it turns"),
    ("seized_screws", None, "are given no leverage at all"),
    ("inlet", None, "is not shortened, bored, bent or turned about"),
    ("inlet", None, "the fitting with its bend, a connector without a kink, and air that can pass"),
]


@pytest.mark.parametrize(("step", "name", "words"), COMMON)
def test_common_practice_is_on_the_sheet_and_marked_as_without_a_source(
    step: str, name: str | None, words: str
) -> None:
    shown = steps(sheet())[step]
    if name is None:
        assert words in " ".join(shown.do.split())
        assert shown.mark is Mark.COMMON_PRACTICE
        return
    said = [choice for choice in field(sheet(), step, name).choices if choice.mark is Mark.COMMON_PRACTICE]
    assert words in " ".join(f"{each.setting.text if each.setting else ''} {each.says or ''}" for each in said)


@pytest.mark.parametrize("name", ["height", "height_usual"])
def test_no_pilot_flame_is_over_half_an_inch(name: str) -> None:
    highest = [c.setting.high for c in field(sheet(), "top_pilot", name).choices if c.setting is not None]
    assert set(highest) == {0.5}


@pytest.mark.parametrize(
    ("step", "name", "least", "most", "mark"),
    [
        ("clearance", "above", 30, None, Mark.VERIFIED),
        ("clearance", "above_protected", 24, None, Mark.SINGLE),
        ("connector", "length", None, 6, Mark.VERIFIED),
        ("leak_test", "hold", 3, None, Mark.VERIFIED),
        ("leak_test", "hold_meter", 15, None, Mark.SINGLE),
        ("top_pilot", "height", 0.25, 0.5, Mark.SINGLE),
        ("co_test", "oven_co", None, 800, Mark.VERIFIED),
        ("co_test", "oven_co_measured", None, 225, Mark.SINGLE),
        ("co_test", "room_co", None, 35, Mark.SINGLE),
        ("calibration", "off_by", None, 25, Mark.SINGLE),
        ("calibration", "soak", 30, None, Mark.VERIFIED),
    ],
)
def test_what_was_published_is_marked_by_how_well(
    step: str, name: str, least: float | None, most: float | None, mark: Mark
) -> None:
    (choice,) = field(sheet(), step, name).choices
    assert choice.setting is not None
    assert (choice.setting.low, choice.setting.high, choice.mark) == (least, most, mark)


def test_every_field_is_left_empty_to_be_filled_in_twice() -> None:
    every = [each for step in steps(sheet()).values() for each in step.fields]
    assert {(each.as_found, each.as_left) for each in every} == {("", "")}
    text = setup_text(sheet(), whole=True)
    assert text.count("[........|........]") + text.count("[ ]|[ ]") == len(every)


def test_a_value_of_a_variant_that_is_not_settled_is_given_for_each_and_says_so() -> None:
    shown = field(sheet(), "jets", "top_burner_input")
    stated = {choice.setting.aim for choice in shown.choices if choice.setting is not None}
    assert stated >= {9000, 7500, 8500, 7000}
    assert not shown.settled
    assert "not settled; what it is depends on the range" in setup_text(sheet(), whole=True)


def test_the_choices_of_a_field_share_all_the_chances() -> None:
    shown = field(sheet(), "jets", "top_burner_input")
    assert sum(choice.chance for choice in shown.choices) == pytest.approx(1, abs=0.05)


def test_a_settled_variant_has_one_value_with_the_makers_paper_beside_it() -> None:
    shown = field(set_up(known(), "x"), "pressure", "manifold_bottled")
    assert shown.settled
    assert shown.choices[0].mark is Mark.MAKERS_PAPER
    assert shown.choices[0].ranges == ["Kestrel for bottled gas"]
    assert "gas dealers' handbook, page 9, invented" in shown.choices[0].source


def test_what_a_maker_says_of_a_step_stands_beside_the_general_words() -> None:
    notes = [note.says for note in steps(set_up(known(), "x"))["top_pilot"].notes]
    assert any(said is not None and said.startswith("The pilot has a cover.") for said in notes)


def test_an_oven_that_may_have_no_safety_has_the_box() -> None:
    assert sheet().boxes == ["NO SAFETY SHUT-OFF", "NO SAFETY SHUT-OFF ON TOP"]


def test_an_oven_seen_to_be_lit_by_match_has_the_box_without_an_only_with() -> None:
    shown = steps(set_up(examined(oven_lighting="match_hole"), "x"))["no_oven_safety"]
    assert (shown.box, shown.only_if) == ("NO SAFETY SHUT-OFF", None)


@pytest.mark.parametrize(("well", "there"), [("pot_well", True), ("absent", False)])
def test_the_well_burner_is_spoken_of_where_there_may_be_one(well: str, there: bool) -> None:
    report = set_up(examined(deep_well=well), "x")
    assert ("well_seat" in steps(report)) is there


def test_a_step_for_what_may_not_be_there_says_only_with() -> None:
    shown = steps(sheet())["well_seat"]
    assert shown.only_if is not None
    assert shown.only_if.startswith("deep well: ")


def test_a_removed_well_is_no_well() -> None:
    removed = Observation.model_validate({"feature": "high_shelf", "removed": "true"})
    assert chances_of(examined(removed), "high_shelf")["absent"] == pytest.approx(1)


def test_no_gas_named_gives_the_values_of_all_that_may_be() -> None:
    names = {each.id for each in steps(sheet())["pressure"].fields}
    assert names >= {"manifold_natural", "manifold_bottled", "manifold_manufactured"}


def test_the_gas_laid_on_gives_its_values_alone() -> None:
    report = sheet(Gas.BOTTLED)
    assert {each.id for each in steps(report)["pressure"].fields} == {"manifold_bottled"}
    assert (report.gas.reckoned, report.gas.laid_on.says) == (Gas.BOTTLED, "bottled gas (propane), by the meter")


def test_a_gas_that_is_wanted_is_set_out_for_where_none_is_laid_on_and_releases_nothing() -> None:
    report = set_up(unknown(), "x", record=BenchRecord(wanted=Gas.BOTTLED))
    assert {each.id for each in steps(report)["pressure"].fields} == {"manifold_bottled"}
    assert "laid_on" in [each.id for each in report.release.missing]


@pytest.mark.parametrize(
    ("jet", "gas", "line"),
    [
        ("adjustable", Gas.NATURAL, "adjustable_natural"),
        ("universal", Gas.NATURAL, "universal_natural"),
        ("universal", Gas.BOTTLED, "universal_bottled"),
        ("adjustable", Gas.BOTTLED, "adjustable_bottled"),
        ("fixed", Gas.NATURAL, "fixed_jet"),
    ],
)
def test_which_jets_adjust_goes_by_the_hood_seen_and_the_gas(jet: str, gas: Gas, line: str) -> None:
    shown = steps(set_up(examined(jet_hood=jet), "x", record=laid_on(gas)))["jets"].fields
    hoods = {each.id: each.chance for each in shown if re.search("_natural|_bottled|fixed_jet", each.id)}
    assert max(hoods, key=lambda name: hoods[name]) == line
    assert hoods[line] > 0.9


def test_jets_are_told_for_every_input_and_gas_with_their_neighbours() -> None:
    jets = [jet for jet in sheet(Gas.NATURAL).jets if jet.input.aim == pytest.approx(9000)]
    assert [(jet.smaller, jet.drill, jet.larger) for jet in jets] == [("no. 55", "no. 54", "no. 53")]


def test_at_an_altitude_the_jets_are_smaller_and_say_where() -> None:
    report = set_up(unknown(), "x", record=gauged(gas=Gas.NATURAL, altitude="5000 ft"))
    assert report.altitude == "5000 ft (1,520 m)"
    assert {jet.drill for jet in report.jets if jet.input.aim == pytest.approx(7200)} == {"no. 55"}


@pytest.mark.parametrize("symptom", ["smell_of_gas", "co_alarm"])
def test_where_all_stops_nothing_is_set(symptom: str) -> None:
    report = set_up(unknown(), "x", symptom=symptom)
    assert (report.sections, report.jets) == ([], [])
    text = setup_text(report)
    assert text.startswith("STOP: ")
    assert "as found ...." not in text


def test_a_symptom_stands_before_the_steps_with_its_next_check() -> None:
    text = setup_text(set_up(unknown(), "x", symptom="one_burner_dead"), whole=True)
    assert text.index("SYMPTOM: one burner will not light") < text.index("Check next: ") < text.index("MAKE SAFE")
    assert "--found pilot_out=seen" in text


def test_a_cause_found_tells_what_is_done_and_who_may() -> None:
    report = set_up(unknown(), "x", symptom="flames_lift", found=[("jet_too_large", "seen")])
    text = " ".join(setup_text(report).split())
    assert "Range off. A fitter changes all jets and the regulator together. (not used until a licensed" in text


def test_no_gas_is_told_by_the_colour_of_a_flame() -> None:
    told = BenchRecord(clues=(ClueRecord(clue="flame_colour", value="blue"),))
    report = set_up(unknown(), "x", record=told)
    assert report.gas.reckoned is None
    assert "Not counted: colour of the flame" in " ".join(setup_text(report, whole=True).split())


@pytest.mark.parametrize("whole", [False, True])
@pytest.mark.parametrize("width", [50, 78, 100])
def test_the_sheet_keeps_to_the_width_of_the_page(width: int, whole: bool) -> None:
    assert [line for line in setup_text(sheet(), width, whole=whole).splitlines() if len(line) > width] == []


def test_every_number_in_a_steps_own_words_stands_in_a_setting_instead() -> None:
    shown = steps(sheet()).values()
    assert [step.id for step in shown if re.search(r"\d", step.do + step.title)] == []
