"""Dates as the published format has them."""

from __future__ import annotations

import math
import os
from pathlib import Path

import pytest
import yaml
from hobmark import dates
from hobmark.dates import NotADate, Span, packaged_points, read_ends, read_span, years_meant
from hypothesis import given, settings
from hypothesis import strategies as st

# Extended Date/Time Format (EDTF) Specification, Library of Congress, 4 February 2019: text, first and last year
# (None where open). Whether a mark widens a date is left open there; these are the years before it does.
ACCEPTED = [
    ("1947", 1947, 1947),
    ("1947?", 1947, 1947),
    ("1947~", 1947, 1947),
    ("1947%", 1947, 1947),
    ("194X", 1940, 1949),
    ("1946/1948", 1946, 1948),
    ("1946/..", 1946, None),
    ("../1948", None, 1948),
    ("[1946..1948]", 1946, 1948),
    ("[..1948]", None, 1948),
    ("[1946..]", 1946, None),
    ("{1946,1948}", 1946, 1948),
    ("1950S2", 1900, 1999),
]
# From the same: what the draft of 2012 allowed and the specification dropped, and what it never allowed.
REJECTED = ["c.1947", "ca 1947", "1946-1948", "1947u", "194u", "1947?~", "(1947)~", "unknown", "1946/open"]

loc_table = pytest.mark.skipif("HOBMARK_CHECKS" not in os.environ, reason="HOBMARK_CHECKS names no published tables")


def first_and_last(low: float, high: float) -> tuple[int | None, int | None]:
    span = Span("", low, high, lasting=False)
    return span.first_year, span.last_year


@pytest.mark.parametrize(("text", "first", "last"), ACCEPTED)
def test_a_date_of_the_loc_specification_covers_the_years_it_says(
    text: str, first: int | None, last: int | None
) -> None:
    assert first_and_last(*packaged_points(text)) == (first, last)


@pytest.mark.parametrize("text", [text for text, _, _ in ACCEPTED])
def test_a_date_of_the_loc_specification_is_read(text: str) -> None:
    assert read_span(text).text == text


def test_a_set_from_one_month_to_another_covers_its_years() -> None:
    assert first_and_last(*packaged_points("[1946-03..1948-06]")) == (1946, 1948)


@pytest.mark.parametrize("text", REJECTED)
def test_a_date_the_loc_specification_does_not_know_is_refused_with_what_to_write(text: str) -> None:
    with pytest.raises(NotADate, match=r"is not an EDTF date\. Write "):
        read_span(text)


@loc_table
def test_no_row_of_the_published_table_is_left_out() -> None:
    table = Path(os.environ["HOBMARK_CHECKS"]) / "reference" / "edtf.yaml"
    rows = yaml.safe_load(table.read_text(encoding="utf-8"))
    assert [row["edtf"] for row in rows["examples"]] == [text for text, _, _ in ACCEPTED]
    assert rows["must_reject"] == REJECTED


def test_years_that_edtf_takes_for_a_part_of_a_year_are_known() -> None:
    written = ("1937-39", "1920-41", "1937-21", "1941-41", "1942-41", "2001-21", "1937-11", "1937-42")
    assert [years_meant(each) for each in written] == [("1937", "1939"), ("1920", "1941"), *[None] * 6]


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("1946-1948", "Write 1946/1948 (lasting) or [1946..1948] (one of)."),
        ("1941-1939", "Write 1939/1941 (lasting) or [1939..1941] (one of)."),
        ("c.1947", "Write 1947, 1947~ (about) or 1947/.. (from then on)."),
        ("the forties", "Write a year, as 1939, 1939~ (about), 1939/1941 (lasting) or [1939..1941] (one of)."),
    ],
)
def test_the_remedy_is_made_of_the_years_that_were_written(text: str, advice: str) -> None:
    with pytest.raises(NotADate) as caught:
        read_span(text)
    assert str(caught.value) == f"'{text}' is not an EDTF date. {advice}"


@pytest.mark.parametrize(
    "text", ["1947/1946", "[1948..1946]", "1942-10/1942-09", "1941~/1940", "1942-02-02/1942-02-01"]
)
def test_a_date_that_ends_before_it_starts_is_refused(text: str) -> None:
    with pytest.raises(NotADate, match=r"ends before it starts\. Write the earlier date first\."):
        read_span(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "1" * 61,
        "[[[[[[",
        "1942-13",
        "1942-09-31",
        "[..]",
        "1947 ",
        "1946 / 1948",
        "1947\n",
        "[١٩٤٦..]",
        "2202-X6",
    ],
)
def test_what_only_looks_like_a_date_is_refused(text: str) -> None:
    with pytest.raises(NotADate):
        read_span(text)


@given(st.text(alphabet="0123456789-/.[]{},X~?%YSE uT:Z", max_size=30) | st.text(max_size=70))
def test_any_text_is_read_in_order_or_refused(text: str) -> None:
    try:
        span = read_span(text)
        read_ends(text)
    except NotADate:
        return
    assert span.earliest < span.latest


def test_reading_a_date_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(NotADate):
        packaged_points("1688-X4")
    assert capfd.readouterr().out == ""


years = st.integers(1000, 2099).map(str)
months = st.builds("{}-{:02}".format, years, st.integers(1, 12))
one = years | months
plain_forms = st.one_of(
    one,
    st.tuples(one, one).map(lambda pair: "/".join(sorted(pair))),
    one.map("{}/..".format),
    one.map("../{}".format),
    st.tuples(years, years).map(lambda pair: "[{}..{}]".format(*sorted(pair))),
    years.map("[{}..]".format),
    years.map("[..{}]".format),
)


@settings(max_examples=60)
@given(plain_forms)
def test_the_plain_reading_equals_the_packages(text: str) -> None:
    assert dates._plain_points(text) == pytest.approx(packaged_points(text))


@pytest.mark.parametrize(
    ("text", "earliest", "latest"),
    [
        ("1942-09", 1942 + 8 / 12, 1942 + 9 / 12),
        ("1942-12-31", 1942 + 11 / 12 + 30 / 365, 1943),
        ("1947~", 1946, 1949),
        ("1947?", 1946, 1949),
        ("1947%", 1945, 1950),
        ("~1947", 1946, 1949),
        ("1941~/1946", 1940, 1947),
        ("1941/1946~", 1941, 1948),
        ("1941%/1946?", 1939, 1948),
        ("/1948", -math.inf, 1949),
        ("1946/", 1946, math.inf),
    ],
)
def test_a_date_reaches_from_its_earliest_to_its_latest_moment(text: str, earliest: float, latest: float) -> None:
    span = read_span(text)
    assert (span.earliest, span.latest) == pytest.approx((earliest, latest))


@pytest.mark.parametrize("text", ["1946/1948", "1946/..", "../1948"])
def test_a_stroke_makes_a_date_last(text: str) -> None:
    assert read_span(text).lasting


@pytest.mark.parametrize("text", ["1947", "194X", "[1946..1948]", "1947~"])
def test_without_a_stroke_a_date_is_one_unknown_moment(text: str) -> None:
    assert not read_span(text).lasting


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("1941~/1946", (1940, 1943), (1946, 1947)),
        ("1946/..", (1946, 1947), (math.inf, math.inf)),
        ("../1941", (-math.inf, -math.inf), (1941, 1942)),
        ("[1938..1939]", (1938, 1940), (1938, 1940)),
        ("1938", (1938, 1939), (1938, 1939)),
    ],
)
def test_the_two_ends_of_a_date_are_dates_of_their_own(
    text: str, start: tuple[float, float], end: tuple[float, float]
) -> None:
    first, last = read_ends(text)
    assert ((first.earliest, first.latest), (last.earliest, last.latest)) == (start, end)
