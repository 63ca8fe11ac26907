"""The size of type of a side of the card: what its words take room for, and what stands where."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hobmark.reports.html import setup_page
from hobmark.reports.html_card import HIGH, LAYOUTS, SIZES, Layout, Sides, height, laid_out, type_of
from hypothesis import given
from hypothesis import strategies as st

from .crowded import FILES, SEEDS, crowded, staying, with_symptom

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


SIDE = re.compile(r'--type: ([\d.]+)pt; --strip: (\d+)mm">(.*?)<section[^>]*class="tag">', re.DOTALL)


def takes(card: str) -> list[float]:
    """What each side of a card takes on paper by the reckoning, with the tag."""
    return [height(side, float(points)) + int(strip) for points, strip, side in SIDE.findall(card)]


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("symptom", staying())
def test_both_sides_of_a_card_with_a_symptom_fit_by_the_reckoning(symptom: str, name: str) -> None:
    assert [room <= HIGH for room in takes(setup_page(with_symptom(name, symptom)))] == [True, True]


def test_a_card_on_which_nearly_everything_stops_seldom_needs_a_third_side() -> None:
    """A record of twelve facts that contradict one another may: what stops is said in full before all else."""
    beyond = [seed for seed in SEEDS if max(takes(setup_page(crowded(seed)))) > HIGH]
    assert len(beyond) <= len(SEEDS) // 8


RECORD, SOURCE = PARAGRAPH.format("record " * 400), PARAGRAPH.format("source " * 900)
"""About 30 and 70 millimetres of small print."""
EMPTY = Sides("", "", "", "")


def of(layout: Layout, *, always: int = 0) -> Sides:
    """A card of three long records, of many sources, and of so much else on side two."""
    front, back = (RECORD * len(each) for each in (layout.front, layout.back))
    return replace(EMPTY, front=front, back=back + PARAGRAPH.format("word " * always) + SOURCE * layout.sources)


def test_a_card_with_room_enough_is_laid_out_as_it_always_is() -> None:
    assert laid_out(of) == LAYOUTS[0]


def test_records_move_to_the_side_that_has_room_before_sources_yield() -> None:
    layout = laid_out(lambda each: of(each, always=1700))
    assert (layout.sources, layout.back) == (True, ())


def test_sources_yield_where_the_card_fits_in_no_other_way() -> None:
    assert not laid_out(lambda each: of(each, always=2600)).sources


def test_the_tag_is_as_high_as_the_higher_of_its_two_sides() -> None:
    words = side(4)
    assert replace(EMPTY, tag=words).strip == replace(EMPTY, tag=words, tag_back=PARAGRAPH).strip > EMPTY.strip
