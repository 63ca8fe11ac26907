"""The year of issue of a US patent number, read off a table of first numbers."""

from __future__ import annotations

import pytest
from hobmark.dating.numbers import first_year, number_span
from hobmark.dating.patents import issue_years
from hobmark.knowledge.schema.dating import DatingTables

from .small_tables import shipped, tables, year

SMALL = tables(year(1930, 100_000), year(1931, 200_000, "single"), year(1932, (300_000, 310_000)), year(1934, 500_000))


def years(number: str, known: DatingTables = SMALL) -> tuple[int | None, int | None]:
    issued = issue_years(number, known)
    assert issued is not None
    return issued.first, issued.last


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        ("100000", (1930, 1930)),
        ("199,999", (1930, 1930)),
        ("200,000", (1931, 1931)),
        ("99,999", (None, 1929)),
        ("500000", (1934, None)),
        ("9,999,999", (1934, None)),
    ],
)
def test_a_number_is_of_the_year_whose_first_number_is_the_last_below_it(
    number: str, expected: tuple[int | None, int | None]
) -> None:
    assert years(number) == expected


@pytest.mark.parametrize(
    ("number", "expected"),
    [("299,999", (1931, 1931)), ("300,000", (1931, 1933)), ("309,999", (1931, 1933)), ("310,000", (1932, 1933))],
)
def test_a_year_whose_first_number_is_not_known_widens_the_answer_near_it(
    number: str, expected: tuple[int, int]
) -> None:
    assert years(number) == expected


def test_a_year_without_a_row_widens_the_answer_to_its_neighbours() -> None:
    assert years("400,000") == (1932, 1933)


@pytest.mark.parametrize("number", ["2,695,998", "2,698,433", "2,698,434", "2,700,763"])
def test_the_shipped_table_leaves_1954_and_1955_open_where_one_volume_holds_both(number: str) -> None:
    assert years(number, shipped()) == (1954, 1955)


@pytest.mark.parametrize(("number", "expected"), [("2,695,997", 1954), ("2,700,764", 1955)])
def test_numbers_clear_of_that_volume_have_one_year(number: str, expected: int) -> None:
    assert years(number, shipped()) == (expected, expected)


def test_below_the_shipped_table_a_number_is_of_1899_or_earlier() -> None:
    assert years("640,166", shipped()) == (None, 1899)


def test_from_the_last_row_of_the_shipped_table_on_there_is_no_last_year() -> None:
    assert years("3,858,241", shipped()) == (1975, None)


@pytest.mark.parametrize(
    "number",
    [
        "0",
        "12",
        "9,999",
        "10,000,000",
        "0108343",
        "123456789012345",
        "",
        "x",
        "\uff12\uff11\uff10\uff18\uff13\uff14\uff13",
    ],
)
def test_what_is_hardly_a_patent_number_is_said_to_be_none(number: str) -> None:
    issued = issue_years(number, shipped())
    assert issued is not None
    assert (issued.plausible, issued.first, issued.last) == (False, None, None)
    assert "hardly the number" in issued.words


def test_without_a_table_nothing_is_said() -> None:
    assert issue_years("2,108,343", DatingTables()) is None


def test_the_status_is_that_of_the_weakest_row_it_rests_on() -> None:
    found = [issue_years(number, SMALL) for number in ("150,000", "250,000", "600,000")]
    assert [each.status for each in found if each is not None] == ["single", "single", "verified"]


def test_each_source_is_named_once() -> None:
    issued = issue_years("2,108,343", shipped())
    assert issued is not None
    assert issued.source.count("Official Gazette of the US Patent Office, volume labels") == 1


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2,1?8,343", (2_108_343, 2_198_343)),
        ("2,108,34?", (2_108_340, 2_108_349)),
        ("?,108,343", (1_108_343, 9_108_343)),
        ("2?108,343", (2_108_343, 2_108_343)),
        ("2,108?343", (2_108_343, 2_108_343)),
        ("2?108?343", (2_108_343, 2_108_343)),
        ("?????43", (1_000_043, 9_999_943)),
        ("2 108 343", (2_108_343, 2_108_343)),
        ("2.108.343", (2_108_343, 2_108_343)),
        ("2, 108, 343", (2_108_343, 2_108_343)),
    ],
)
def test_an_unreadable_sign_leaves_every_number_that_it_may_have_been(text: str, expected: tuple[int, int]) -> None:
    assert number_span(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [("19?6", 1906), ("1938", 1938), ("193?", 1930), ("?936", 1936), ("????", None), ("1066", None), ("193", None)],
)
def test_an_unreadable_year_is_the_earliest_it_may_have_been(text: str, expected: int | None) -> None:
    assert first_year(text) == expected
