"""The set-up card as a page: what it says, in what order, room to write, no number without its mark and its caution."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

import pytest
from hobmark.knowledge.schema.bench import Mark
from hobmark.reports.setup_gas_shape import SettingShown
from hobmark.reports.setup_shape import SetupReport
from hobmark.reports.setup_text import STOP_FIRST, setup_text
from hobmark.reports.words import percent

from .pages import BENCH, CARDS, PAGES, SYMPTOM, Read, card, page, page_read, part, within, words

MARKED = "|".join(re.escape(mark.value) for mark in Mark)
BARE = ("farm-kitchen", "one-colour")
"""Cases whose record holds no number, so that text and page number their sources alike."""


@pytest.mark.parametrize("name", [name for name in PAGES if "card" in name or "order" in name])
def test_every_setting_has_its_mark_and_a_caution_that_stands_on_the_page(name: str) -> None:
    found = page_read(name)
    names = {each.get("id") for each in found.all()}
    bare = [
        words(setting)
        for setting in found.all(of="setting")
        for value, grounds, beware in [[within(setting, of)[0] for of in ("value", "grounds", "beware")]]
        if not words(value)
        or not re.fullmatch(r"\[\S.*\]", words(grounds))
        or not {link.get("href", "")[1:] for link in beware.iter("a")} & names
    ]
    assert bare == []


def shown(found: Read) -> Counter[tuple[str, str]]:
    """Every number to set by on a page in the unit it is stated in, and its mark."""
    return Counter(
        (
            words(within(each, "value")[0]).partition(" (")[0],
            re.match(rf"\[({MARKED})", words(within(each, "grounds")[0]))[1],  # type: ignore[index]
        )
        for each in found.all(of="setting")
    )


def told(settings: Sequence[SettingShown | None]) -> Counter[tuple[str, str]]:
    return Counter((each.text.partition(" (")[0], each.mark.value) for each in settings if each is not None)


def of_card(report: SetupReport) -> list[SettingShown | None]:
    """Every number of a card that one could set by."""
    gas = report.gas
    of_places = [each for place in gas.places for each in (place.heat, place.share, place.drill_bore, *place.bores)]
    of_samples = [each for sample in report.record.combustion for each in (sample.measured, sample.oxygen)]
    return [
        *of_places,
        *of_samples,
        *(sample.air_free for sample in report.record.combustion),
        *(limit.setting for limit in report.co_limits),
        *(read.reads for read in gas.pressures),
        *(gas.laid_on.heating_value, gas.regulator.outlet, gas.house_regulator.outlet),
    ]


def of_steps(report: SetupReport) -> list[SettingShown | None]:
    """The same of the appendix."""
    steps = [step for section in report.sections for step in section.steps]
    fields = [choice for step in steps for field in step.fields for choice in field.choices]
    jets = [each for jet in report.jets for each in (jet.input, jet.bore, jet.share, jet.flow)]
    return [
        *(choice.setting for choice in (*fields, *(note for step in steps for note in step.notes))),
        *jets,
        *(wrong.setting for wrong in report.gas.wrong_gas),
    ]


@pytest.mark.parametrize("name", CARDS)
def test_every_setting_of_a_card_stands_on_it_with_its_unit_and_its_mark(name: str) -> None:
    assert shown(page_read(f"card of {name}")) == told(of_card(card(name)))


@pytest.mark.parametrize("name", BENCH)
def test_the_whole_card_has_the_settings_of_every_step_too(name: str) -> None:
    assert shown(page_read(f"whole card of {name}")) == told([*of_card(card(name)), *of_steps(card(name))])


@pytest.mark.parametrize("name", [name for name in PAGES if "card" in name])
def test_every_number_that_one_sets_by_has_a_unit(name: str) -> None:
    bare = re.compile(r"\d[\d,./ ]*(?: to [\d,./ ]+)?$")
    values = [words(within(each, "value")[0]) for each in page_read(name).all(of="setting")]
    assert [value for value in values if bare.search(value)] == []


def as_said(line: str) -> str:
    """A line of the text without what only paper of one width needs: signs of a list, colons, room to write."""
    said = re.split(r"\[\.\.", line)[0].replace("***", "")
    return " ".join(re.sub(r"^\s*-|:", "", said).split())


@pytest.mark.parametrize("name", BARE)
def test_a_card_says_on_paper_what_it_says_as_plain_text(name: str) -> None:
    """All but the table of places, which is laid out otherwise, and the list of sources."""
    lines = setup_text(card(name), 100_000).partition("\nSOURCES")[0].splitlines()
    labels = tuple(place.label for place in card(name).gas.places)
    table = (*labels, "place ", "heat in Btu/h", "Set-up card")
    lines = [line for line in lines if not line.replace("\N{NO-BREAK SPACE}", " ").strip().startswith(table)]
    on_page = page_read(f"card of {name}").text().replace(":", "")
    assert [line for line in lines if as_said(line) not in on_page] == []


ORDER = ("STOP at", "RELEASE", "GAS", "JETS", "LEAK CHECK", "COMBUSTION", "CAUTIONS", "SOURCES")
"""All but the tag, which is cut off at the foot of both sides."""


@pytest.mark.parametrize("name", BENCH)
def test_the_parts_of_a_card_stand_in_the_order_of_the_text(name: str) -> None:
    text = page_read(f"card of {name}").text()
    places = [text.index(f" {each}") for each in ORDER]
    assert places == sorted(places)


@pytest.mark.parametrize("name", BENCH)
def test_what_stops_everything_stands_before_all_else(name: str) -> None:
    before, _, after = page(f"card of {name}").partition(STOP_FIRST)
    assert ("<section" in before, "RELEASE" in after) == (False, True)


@pytest.mark.parametrize("name", BENCH)
def test_what_keeps_a_range_from_release_stands_with_what_is_done_about_it(name: str) -> None:
    release = card(name).release
    said = words(part(f"card of {name}", "release")).casefold()
    lacks = [*release.stopped_by, *release.missing]
    assert (release.allowed, [each for each in lacks if f"{each.says} {each.how}".casefold() not in said]) == (
        False,
        [],
    )


def test_a_contradiction_that_stops_is_not_said_twice() -> None:
    text = page_read("card of full-record").text().casefold()
    against = card("full-record").gas.contradictions
    assert [text.count(each.casefold()) for each in against] == [1] * len(against)


def test_a_contradiction_behind_another_begins_as_a_sentence() -> None:
    said = words(part("card of full-record", "release"))
    _, *behind = card("full-record").gas.contradictions
    assert behind
    assert [each for each in behind if f". {each[0].upper()}{each[1:]}" not in said] == []


def test_a_leak_check_that_is_recorded_stands_above_the_room_for_the_next() -> None:
    check = card("full-record").record.leak_check
    assert check is not None
    said = words(part("card of full-record", "leak-check"))
    assert f"gauge: 9 in wc to 9 in wc, 10 min, by {check.by}, {check.date}: {check.says}" in said
    assert "method start end minutes by date" in said


@pytest.mark.parametrize("name", BENCH)
def test_the_tag_repeats_every_box_of_the_card(name: str) -> None:
    boxes = [step.box for section in card(name).sections for step in section.steps if step.box]
    on_tag = [words(each) for each in within(part(f"card of {name}", "tag"), "box")]
    assert [text.startswith(box) for text, box in zip(on_tag, boxes, strict=True)] == [True] * len(boxes)
    assert any("NO SAFETY SHUT-OFF" in text for text in on_tag)


@pytest.mark.parametrize("name", BENCH)
def test_the_tag_is_the_foot_of_either_side(name: str) -> None:
    """So that on the back of what is cut off is nothing but the other half of it."""
    sides = page_read(f"card of {name}").all(of="side")
    feet = [[each for each in side if within(each, "tag")] for side in sides]
    assert [foot == [side[-1]] for foot, side in zip(feet, sides, strict=True)] == [True, True]


def test_what_was_not_done_stays_on_the_card_when_the_tag_is_cut_off() -> None:
    said = words(part("card of full-record", "release"))
    assert [each for each in card("full-record").record.not_done if f"not done: {each}" not in said] == []


def test_sources_that_paper_has_no_room_for_stand_on_the_screen_by_their_numbers() -> None:
    found = page_read("card of full-record with a symptom")
    (listed,) = found.all(of="off-paper")
    (said,) = found.all(of="on-paper")
    assert words(said) == f"S1 to S{len(list(listed.iter('li')))} in full: --whole"


def test_the_tag_says_what_was_not_done() -> None:
    said = words(part("card of full-record", "tag"))
    record = card("full-record").record
    assert [each for each in record.not_done if f"not done: {each}" not in said] == []
    assert f"tag: {record.tag}" in said


@pytest.mark.parametrize("name", CARDS)
def test_a_box_that_holds_of_some_ranges_only_says_of_which(name: str) -> None:
    """Once in front, once on the tag."""
    boxes = [words(each) for each in page_read(f"card of {name}").all("p", of="box")]
    steps = [step for section in card(name).sections for step in section.steps if step.box and step.only_if]
    wanted = {f"{step.box} only with {step.only_if} ({percent(step.chance)})": 2 for step in steps}
    assert {text: boxes.count(text) for text in wanted} == wanted
    assert not {step.box for step in steps} & set(boxes)


@pytest.mark.parametrize("name", CARDS)
def test_each_caution_stands_on_a_card_once_with_letter_mark_and_source(name: str) -> None:
    lines = [words(each) for each in part(f"card of {name}", "cautions").iter("li")]
    cautions = {each.name: each for each in card(name).cautions}
    found = [re.fullmatch(r"([A-Z]+) (.*?): (.*) \[(.+), S\d+\]", line) for line in lines]
    assert Counter((each[2], each[3]) for each in found if each) == Counter(
        (each.name, each.short) for each in cautions.values()
    )
    assert len({each[1] for each in found if each}) == len(lines)


def test_the_whole_card_has_each_caution_in_full() -> None:
    lines = [words(each) for each in part("whole card of farm-kitchen", "cautions-in-full").iter("li")]
    assert [each.says for each in card("farm-kitchen").cautions if not any(each.says in line for line in lines)] == []
    assert len(lines) == len(card("farm-kitchen").cautions)


@pytest.mark.parametrize("name", BENCH)
def test_the_whole_card_is_the_card_with_the_steps_behind_it(name: str) -> None:
    alone, whole = page_read(f"card of {name}"), page_read(f"whole card of {name}")
    (of_alone, of_whole) = ([words(side) for side in each.all(of="side")] for each in (alone, whole))
    links = re.compile(r"(Release Gas Jets .*? Tag)( .*? More sources)?(?= RELEASE)")
    bare = [[links.sub("", side).partition(" SOURCES ")[0] for side in sides] for sides in (of_whole, of_alone)]
    assert bare[0] == bare[1]
    assert (len(alone.all(of="step")), len(whole.all(of="step"))) == (
        0,
        sum(len(section.steps) for section in card(name).sections),
    )


@pytest.mark.parametrize("name", BENCH)
def test_every_line_of_a_step_has_room_for_what_was_found_and_what_was_left(name: str) -> None:
    rows = [each for each in page_read(f"whole card of {name}").all("tr") if within(each, "blank")]
    lines = [field for section in card(name).sections for step in section.steps for field in step.fields]
    assert [[words(within(cell, "is")[0]) for cell in within(row, "blank")] for row in rows] == [
        ["as found", "as left"]
    ] * len(lines)


def test_the_search_for_a_cause_stands_on_side_two() -> None:
    _, back = page_read("card of full-record with a symptom").all(of="side")
    symptom = card("full-record", SYMPTOM).symptom
    assert symptom is not None
    assert symptom.next is not None
    assert f"Check next: {symptom.next.label}" in words(back)


def test_a_symptom_that_stops_everything_gives_no_number_to_set_by_and_no_card() -> None:
    found = page_read("page that stops")
    assert (found.all(of="setting"), found.all(of="side")) == ([], [])
    assert "STOP" in found.text()
