"""What holds for every serial number and every set of anchors, contradicting ones included."""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.dates import read_span
from hypothesis import given
from hypothesis import strategies as st

from .teal_works import YEARS, Block, anchors, shares

dates = st.one_of(
    st.integers(1925, 1960).map(str),
    st.tuples(st.integers(1925, 1960), st.integers(1, 12)).map(lambda at: f"{at[0]}-{at[1]:02}"),
    st.tuples(st.integers(1925, 1960), st.integers(0, 9)).map(lambda at: f"[{at[0]}..{at[0] + at[1]}]"),
    st.integers(1925, 1960).map("../{}".format),
    st.integers(1925, 1960).map("{}/..".format),
)
dated = st.lists(st.tuples(st.integers(0, 99999), dates), max_size=6)
numbers = st.integers(0, 99999)
months = st.integers(0, 30)


def block(points: list[tuple[int, str]], error: int) -> Block:
    return {"pattern": "H #####", "anchors": anchors(*points), "error": error}


@given(dated, months, numbers)
def test_the_shares_of_the_years_are_none_below_0_and_sum_to_1(
    points: list[tuple[int, str]], error: int, number: int
) -> None:
    found = shares(f"H {number:05}", block(points, error))
    assert (found >= 0).all()
    assert found.sum() == pytest.approx(1)


@given(dated, months, numbers, numbers)
def test_a_higher_number_is_never_likelier_to_be_earlier(
    points: list[tuple[int, str]], error: int, one: int, other: int
) -> None:
    low, high = (shares(f"H {number:05}", block(points, error)).cumsum() for number in sorted((one, other)))
    assert (high <= low + 1e-9).all()


@given(dated, months, numbers, st.sets(st.integers(0, 4), min_size=1, max_size=2))
def test_an_unread_digit_leaves_open_what_every_completion_leaves_open(
    points: list[tuple[int, str]], error: int, number: int, unread: set[int]
) -> None:
    text = f"{number:05}"
    masked = "".join("?" if place in unread else digit for place, digit in enumerate(text))
    narrow, wide = shares(f"H {text}", block(points, error)), shares(f"H {masked}", block(points, error))
    assert (wide >= narrow / 10 ** len(unread) - 1e-12).all()


@given(dated, months, numbers, st.integers(0, 4))
def test_an_unread_digit_is_no_surer_than_its_completions_are_on_the_whole(
    points: list[tuple[int, str]], error: int, number: int, place: int
) -> None:
    text = f"{number:05}"
    every = [shares(f"H {text[:place]}{digit}{text[place + 1 :]}", block(points, error)) for digit in range(10)]
    wide = shares(f"H {text[:place]}?{text[place + 1 :]}", block(points, error))
    assert entropy(wide) >= np.mean([entropy(each) for each in every]) - 1e-9


def entropy(share: np.ndarray) -> float:
    known = share[share > 0]
    return float(-(known * np.log2(known)).sum())


@given(st.lists(st.tuples(numbers, st.integers(1925, 1960)), min_size=1, max_size=6), st.integers(0, 6), st.data())
def test_a_dated_number_has_most_of_its_mass_on_its_date(
    points: list[tuple[int, int]], error: int, data: st.DataObject
) -> None:
    rising = zip(sorted({number for number, _ in points}), sorted({year for _, year in points}), strict=False)
    known = [(number, str(year)) for number, year in rising]
    number, date = data.draw(st.sampled_from(known))
    found = shares(f"H {number:05}", block(known, error))
    assert found[read_span(date).first_year == YEARS].sum() > 0.5


@given(
    numbers,
    st.sampled_from(["", " ", "-", "/", ". ", "   "]),
    st.sampled_from("hH"),
    st.sampled_from(["", " ", "No. ", "serial: "]),
)
def test_spelling_does_not_matter(number: int, between: str, letter: str, before: str) -> None:
    same = block([(100, "1930"), (90000, "1950")], 6)
    found = shares(f"{before}{letter}{between}{number:05}", same)
    assert found.tolist() == shares(f"H {number:05}", same).tolist()
