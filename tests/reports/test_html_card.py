"""The size of type of a side of the card: what its words take room for."""

from __future__ import annotations

import pytest
from hobmark.reports.html_card import SIZES, height, type_of
from hypothesis import given
from hypothesis import strategies as st

PARAGRAPH = "<p>{}</p>"


def side(paragraphs: int, letters: int = 400) -> str:
    return "".join(PARAGRAPH.format("a " * (letters // 2)) for _ in range(paragraphs))


def test_a_side_with_few_words_is_set_in_the_largest_type() -> None:
    assert type_of(side(3)) == SIZES[0]


def test_a_side_with_more_words_than_fit_is_set_in_the_smallest() -> None:
    assert type_of(side(500)) == SIZES[-1]


def test_no_side_is_set_in_less_than_six_and_a_half_points() -> None:
    assert min(SIZES) >= 6.5


@given(few=st.integers(0, 60), more=st.integers(0, 60))
def test_more_words_never_take_a_larger_type(few: int, more: int) -> None:
    assert type_of(side(few + more)) <= type_of(side(few))


@given(paragraphs=st.integers(0, 60), letters=st.integers(2, 900))
def test_a_larger_type_takes_no_less_room(paragraphs: int, letters: int) -> None:
    takes = [height(side(paragraphs, letters), points) for points in SIZES]
    assert takes == sorted(takes, reverse=True)


@pytest.mark.parametrize(
    "markup",
    [
        '<ul class="sources columns">{}</ul>',
        '<ul class="cautions lettered columns">{}</ul>',
        '<div class="halves">{}</section>',
    ],
)
def test_words_set_in_columns_take_no_more_than_a_few_lines_beyond_words_that_are_not(markup: str) -> None:
    lines = "".join(f"<li>{'a ' * 60}</li>" for _ in range(30))
    assert height(markup.format(lines), 7) < height(lines, 7) + 10


def test_markup_and_names_of_signs_take_no_room() -> None:
    assert height("<p>a &amp; b</p>", 7) == height('<p><b class="x">a</b> + b</p>', 7)


def test_a_row_to_write_in_is_as_high_as_a_hand_needs() -> None:
    assert height('<tr><th></th><td data-is="left"></td></tr>', 7) >= 6.5
