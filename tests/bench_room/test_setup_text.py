"""The set-up sheet as text: what is said once, what is pointed at, and what never parts from a number."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.page import Line, folded
from hobmark.reports.setup import set_up
from hobmark.reports.setup_gas_shape import SettingShown
from hobmark.reports.setup_letters import pointers_of
from hobmark.reports.setup_shape import CautionShown, SetupReport
from hobmark.reports.setup_symptom_text import bearing_on
from hobmark.reports.setup_text import setup_text

from .bases import base
from .records import plain, record
from .sheets import choices, settings, sheet, unknown

ONE_LINE_EACH = 100_000
"""A page so wide that no paragraph is folded."""


def lines_of(report: SetupReport) -> list[str]:
    return setup_text(report, ONE_LINE_EACH, whole=True).splitlines()


def with_symptom() -> SetupReport:
    return set_up(unknown(), "x", symptom="one_burner_dead")


def in_the_table(report: SetupReport) -> list[SettingShown]:
    """Figures of the table of places, whose units, marks and cautions stand at its foot."""
    rows = report.gas.places
    return [each for row in rows for each in (*row.bores, row.heat, row.share, row.drill_bore) if each is not None]


def cautions(count: int) -> list[CautionShown]:
    named = range(count)
    return [
        CautionShown(id=f"c{n}", name="care", says="Care.", short="Care.", source="s", status="single") for n in named
    ]


@pytest.mark.parametrize("report", [sheet(), sheet(Gas.NATURAL), with_symptom()], ids=["any gas", "natural", "symptom"])
def test_each_caution_stands_in_full_once(report: SetupReport) -> None:
    text = setup_text(report, ONE_LINE_EACH, whole=True)
    assert {each.id: text.count(each.says) for each in report.cautions} == {each.id: 1 for each in report.cautions}


@pytest.mark.parametrize("name", [*base().cautions, *base().bench.hazards])
def test_a_caution_is_pointed_at_in_no_more_than_four_words(name: str) -> None:
    called = (base().cautions | base().bench.hazards)[name].name
    assert called is not None
    assert 1 <= len(called.split()) <= 4


@pytest.mark.parametrize("gas", [None, *Gas], ids=str)
def test_no_setting_stands_without_the_names_of_its_cautions_behind_it(gas: Gas | None) -> None:
    report = sheet(gas)
    names = {each.id: each.name for each in report.cautions}
    lines = lines_of(report)
    parted = [
        choice.setting.text
        for choice in choices(report)
        if choice.setting is not None
        and not any(
            choice.setting.text in line and all(names[each] in line for each in choice.setting.cautions)
            for line in lines
        )
    ]
    assert parted == []


@pytest.mark.parametrize("gas", [None, *Gas], ids=str)
def test_no_setting_stands_without_its_mark_behind_it(gas: Gas | None) -> None:
    lines = lines_of(sheet(gas))
    figures = [each for each in settings(sheet(gas)) if each not in in_the_table(sheet(gas))]
    told = [(each.text, f"[{each.mark.value}") for each in figures if each.aim is None or each.unit != "Btu/h"]
    assert [text for text, mark in told if not any(text in line and mark in line for line in lines)] == []


def test_the_table_of_places_bears_units_marks_and_cautions_at_its_foot() -> None:
    report = set_up(plain(), "x", record=record())
    lines = lines_of(report)
    foot = next(line for line in lines if line.startswith("  heat in Btu/h, gives in times of that ["))
    assert [mark for mark in ("[as recorded", "[computed") if mark not in foot] == []
    names = {each.id: each.name for each in report.cautions}
    figures = in_the_table(report)
    assert [each.text for each in figures if any(names[name] not in foot for name in each.cautions)] == []


def test_the_card_has_each_caution_in_a_few_words_once() -> None:
    text = setup_text(sheet(), ONE_LINE_EACH)
    assert [each.id for each in sheet().cautions if text.count(f" {each.name}: {each.short} [") != 1] == []


def test_what_a_jet_was_reckoned_with_stands_right_below_the_jets() -> None:
    blocks = setup_text(sheet(), ONE_LINE_EACH, whole=True).split("\n\n")
    jets = next(block for block in blocks if block.startswith("JETS RECKONED"))
    assert [each.bore.source for each in sheet().jets if each.bore.source not in jets] == []


def test_each_source_of_a_step_stands_at_the_end_alone() -> None:
    text = setup_text(sheet(), ONE_LINE_EACH, whole=True)
    body, _, sources = text.partition("\nSOURCES\n")
    told = {each.source for each in choices(sheet())} - {"common practice, no source"}
    assert len(told) > 5
    assert [each for each in told if each not in sources or each in body] == []


def test_every_source_that_is_pointed_at_stands_at_the_end() -> None:
    body, _, sources = setup_text(sheet(), ONE_LINE_EACH, whole=True).partition("\nSOURCES\n")
    pointed = {word.strip("[],") for word in body.split() if word.startswith("S") and word.strip("[],")[1:].isdigit()}
    assert len(pointed) > 20
    assert [each for each in pointed if f"{each} " not in sources] == []


def test_the_cautions_of_a_symptom_stand_before_all_the_others() -> None:
    report = with_symptom()
    text = setup_text(report, ONE_LINE_EACH, whole=True)
    assert report.symptom is not None
    places = {each.id: text.index(each.says) for each in report.cautions}
    first = bearing_on(report.symptom)
    assert max(places[name] for name in first) < min(places[name] for name in places if name not in first)


def test_a_mark_that_a_whole_part_shares_stands_at_its_head_alone() -> None:
    head = next(place for place, line in enumerate(lines_of(sheet())) if line.startswith("MAKE SAFE"))
    part = lines_of(sheet())[head : lines_of(sheet()).index("", head)]
    assert [line for line in part if "[common practice, no source]" in line] == part[:1]


def test_a_box_on_top_says_of_which_ranges_it_holds_where_that_is_not_settled() -> None:
    boxes = [line for line in lines_of(sheet()) if line.startswith("*** ")]
    assert [line.partition(" only with ")[0] for line in boxes] == [
        "*** NO SAFETY SHUT-OFF ***",
        "*** NO SAFETY SHUT-OFF ON TOP ***",
    ]
    assert ["only with oven lighting" in line for line in boxes] == [True, False]


def test_a_blank_that_nothing_is_claimed_of_bears_no_mark() -> None:
    assert [line for line in lines_of(sheet()) if line.startswith("   - Told to") and "[common" in line] == []


@pytest.mark.parametrize(("place", "letter"), [(0, "A"), (25, "Z"), (26, "AA"), (51, "ZZ")])
def test_letters_go_on_after_z(place: int, letter: str) -> None:
    assert pointers_of(cautions(52)).letters[f"c{place}"] == letter


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        (Line("a word", tail="[..]"), ["a word          [..]"]),
        (Line("some words here so", tail="[..]"), ["some words here so", "                [..]"]),
    ],
)
def test_room_to_write_in_stands_at_the_right_edge_behind_or_below(line: Line, shown: Sequence[str]) -> None:
    assert folded([line], 20).splitlines() == shown
