"""The records of the set-up card as a page: each place of the gas, the samples, the marks of the dial."""

from __future__ import annotations

import re

import pytest
from hobmark.knowledge.schema.record_terms import Seat
from hobmark.reports.html import setup_page
from hobmark.reports.html_card import MARKS, SAMPLES

from .pages import BENCH, card, page_read, part, read, words


@pytest.mark.parametrize("name", BENCH)
def test_each_place_has_a_row_with_nine_columns(name: str) -> None:
    (table,) = page_read(f"card of {name}").all("table", of="places")
    rows = [[words(cell) for cell in row] for row in table.iter("tr")]
    assert [row[0] for row in rows] == ["place", *(place.label for place in card(name).gas.places)]
    assert {len(row) for row in rows} == {9}


def test_what_was_not_found_out_at_a_place_is_room_to_write() -> None:
    (table,) = page_read("card of one-colour").all("table", of="places")
    row = [words(cell) for cell in list(table.iter("tr"))[1]]
    assert row == ["front left", "not known", "", "not gauged", "", "", "", "", ""]


def test_what_was_recorded_at_a_place_stands_in_its_row() -> None:
    (table,) = page_read("card of full-record").all("table", of="places")
    row = [words(cell) for cell in list(table.iter("tr"))[1]]
    assert [re.sub(r" !.*", "", cell) for cell in row] == [
        "front left",
        "natural",
        "9,000 Btu/h",
        "54 fixed hood",
        "0.91 times",
        "no. 54 0.0550 in.",
        "55 0.0520 in.",
        "blue with sharp inner cones",
        "half open",
    ]


def test_the_seat_of_a_hood_stands_with_its_kind() -> None:
    told = card("full-record")
    places = [each.model_copy(update={"seat": Seat.HOME}) for each in told.gas.places]
    seated = told.model_copy(update={"gas": told.gas.model_copy(update={"places": places})})
    assert "54 fixed hood, seat home" in read(setup_page(seated)).text()


def test_the_gas_of_a_place_is_a_short_word() -> None:
    (table,) = page_read("card of full-record").all("table", of="places")
    assert [words(row[1]) for row in table.iter("tr") if words(row[0]) == "oven pilot"] == ["bottled"]


def test_a_note_and_a_warning_of_a_place_stand_below_the_table() -> None:
    below = words(part("card of full-record", "jets"))
    notes = [f"{each.label}: {each.note}" for each in card("full-record").gas.places if each.note]
    warned = [f"!! {each.label}: {each.warning}" for each in card("full-record").gas.places if each.warning]
    assert notes
    assert warned
    assert [each for each in (*notes, *warned) if each not in below] == []


@pytest.mark.parametrize("name", BENCH)
def test_the_log_has_room_for_four_samples_and_for_one_more_than_were_taken(name: str) -> None:
    (log,) = page_read(f"card of {name}").all("table", of="log")
    taken = len(card(name).record.combustion)
    blank = [row for row in log.iter("tr") if not words(row)]
    assert len(blank) == max(SAMPLES - taken, 1)
    assert len(list(log.iter("tr"))) == 1 + taken + len(blank)


@pytest.mark.parametrize("name", BENCH)
def test_the_dial_has_its_marks_and_room_for_more(name: str) -> None:
    said = words(part(f"card of {name}", "dial"))
    marks = card(name).record.dial
    assert [mark for mark in marks if mark not in said] == []
    assert said.count("mark reads") == max(MARKS - len(marks), 1)


def test_a_sample_over_a_limit_says_of_which_number() -> None:
    said = words(part("card of full-record", "combustion"))
    over = [each for sample in card("full-record").record.combustion for each in sample.over]
    assert over
    assert [each for each in over if f"!! {each}" not in said] == []
