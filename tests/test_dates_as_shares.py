"""How much of each year a production, a date or a change covers; the expected numbers are worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hobmark.dates import NotADate, changed_by, overlap, read_ends, read_span, share_of_years
from hypothesis import given
from hypothesis import strategies as st


def shares(made: str | tuple[str, str], first: int, last: int) -> list[float]:
    start, end = read_ends(made) if isinstance(made, str) else (read_span(made[0]), read_span(made[1]))
    return share_of_years(start, end, np.arange(first, last + 1)).tolist()


@pytest.mark.parametrize(
    ("made", "first", "share"),
    [
        ("1937/1939", 1936, [0, 1, 1, 1, 0]),
        ("1938", 1937, [0, 1, 0]),
        ("1935-10/1942-09", 1934, [0, 0.25, 1, 1, 1, 1, 1, 1, 0.75, 0]),
        ("../1938", 1936, [1, 1, 1, 0]),
        ("1938/..", 1937, [0, 1, 1]),
        ("1941~/1946", 1939, [0, 0.25, 0.75, 1]),
        ("[1938..]", 1937, [0, 1, 1]),
        ("[..1938]", 1937, [1, 1, 0]),
        (("1939", "[1941..1942]"), 1938, [0, 1, 1, 1, 0.5, 0]),
        (("[1938..1940]", "1945"), 1937, [0, 0.25, 0.75, 1, 1]),
    ],
)
def test_a_production_covers_this_share_of_each_year(
    made: str | tuple[str, str], first: int, share: list[float]
) -> None:
    assert shares(made, first, first + len(share) - 1) == pytest.approx(share)


def test_two_productions_of_a_variant_are_apart_by_the_gap() -> None:
    before, after = shares("1937/1942-09", 1942, 1946), shares("1946/1950", 1942, 1946)
    assert np.maximum(before, after).tolist() == pytest.approx([0.75, 0, 0, 0, 1])


years = st.integers(1980, 2020)
ends = st.one_of(
    years.map(str),
    st.tuples(years, years).map(lambda pair: "[{}..{}]".format(*sorted(pair))),
    years.map("[{}..]".format),
    years.map("[..{}]".format),
)


@given(ends, ends)
def test_a_share_lies_between_none_and_all(start: str, end: str) -> None:
    found = share_of_years(read_span(start), read_span(end), np.arange(1990, 2010))
    assert ((found >= 0) & (found <= 1)).all()


@pytest.mark.parametrize(
    ("text", "first", "inside"),
    [
        ("1938", 1937, [0, 1, 0]),
        ("1938-03", 1938, [1 / 12, 0]),
        ("[1938..1939]", 1937, [0, 1, 1, 0]),
        ("1938-07/1939-03", 1938, [0.5, 0.25]),
        ("../1938", 1937, [1, 1, 0]),
        ("[1938..]", 1937, [0, 1, 1]),
        ("1938~", 1936, [0, 1, 1, 1, 0]),
    ],
)
def test_a_span_overlaps_this_much_of_each_year(text: str, first: int, inside: list[float]) -> None:
    found = overlap(read_span(text), np.arange(first, first + len(inside)))
    assert found.tolist() == pytest.approx(inside)


def changed(text: str, run_out_months: int, first: int, last: int) -> list[float]:
    return changed_by(read_span(text), run_out_months / 12, np.arange(first, last + 1)).tolist()


@pytest.mark.parametrize(
    ("text", "run_out_months", "first", "after"),
    [
        ("1939", 0, 1938, [0, 1, 1]),
        ("1939-07", 0, 1938, [0, 0.5, 1]),
        ("1939", 6, 1938, [0, 0.75, 1]),
        ("1939", 12, 1938, [0, 0.5, 1]),
        ("1939", 24, 1938, [0, 0.25, 0.75, 1]),
        ("1939-07", 6, 1938, [0, 0.25, 1]),
    ],
)
def test_a_dated_change_ramps_up_while_old_stock_is_used(
    text: str, run_out_months: int, first: int, after: list[float]
) -> None:
    assert changed(text, run_out_months, first, first + len(after) - 1) == pytest.approx(after)


# By hand: the moment is even over the date, the year of make even over the year, and the run-out clips to 0..1.
@pytest.mark.parametrize(
    ("text", "run_out_months", "first", "after"),
    [
        ("[1938..1939]", 0, 1937, [0, 1 / 4, 3 / 4, 1]),
        ("1938/1939", 0, 1937, [0, 1 / 4, 3 / 4, 1]),
        ("[1938..1939]", 12, 1937, [0, 1 / 12, 1 / 2, 11 / 12, 1]),
        ("1939~", 0, 1937, [0, 1 / 6, 1 / 2, 5 / 6, 1]),
        ("[1938..1940]", 0, 1937, [0, 1 / 6, 1 / 2, 5 / 6, 1]),
        ("[1939..1939]", 0, 1938, [0, 1 / 2, 1]),
    ],
)
def test_an_uncertain_change_is_spread_over_its_date(
    text: str, run_out_months: int, first: int, after: list[float]
) -> None:
    assert changed(text, run_out_months, first, first + len(after) - 1) == pytest.approx(after, abs=0.025)


@pytest.mark.parametrize("text", ["1939/..", "../1939", "[1939..]", "[..1939]"])
def test_a_change_without_both_ends_is_refused(text: str) -> None:
    with pytest.raises(NotADate, match=r"leaves the change without a date\. Give both ends, as \[1938\.\.1939\]\."):
        changed(text, 0, 1938, 1940)


@given(st.integers(1930, 1950), st.integers(0, 4), st.integers(0, 120))
def test_a_change_never_goes_back(first: int, lasting: int, run_out_months: int) -> None:
    after = changed(f"[{first}..{first + lasting}]", run_out_months, 1925, 1970)
    assert after == sorted(after)
    assert (after[0], after[-1]) == (0, 1)
