"""Patents in the words of a plate: which are found, which of them count, and which numbers are left alone."""

from __future__ import annotations

import pytest
from hobmark.dating.evidence import Evidence
from hobmark.dating.plate_text import read_words

from .small_tables import shipped


def words(text: str) -> tuple[Evidence, ...]:
    return read_words(text, shipped())


def told(text: str) -> list[tuple[str, str, str | None]]:
    """Kind, reading and earliest date of each finding."""
    return [(each.kind, each.reading, each.not_before) for each in words(text)]


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("PAT. 2,108,343 - 2,199,026", ["2,108,343", "2,199,026"]),
        ("PATENT NOS. 1933576 & 2,000,000", ["1933576", "2,000,000"]),
        ("U.S. PAT. 2108343", ["2108343"]),
        ("U. S. Patent No. 2 108 343", ["2 108 343"]),
        ("pat'd 2.108.343; 2.199.026", ["2.108.343", "2.199.026"]),
        ("PATENTED / 2,108,343 / 2,199,026", ["2,108,343", "2,199,026"]),
        ("PATENT NOS.\n2108343\n2199026", ["2108343", "2199026"]),
        ("PATS. 2108343,2199026", ["2108343", "2199026"]),
        ("PAT. 2,108,343,2,199,026", ["2,108,343", "2,199,026"]),
        ("PAT. US2108343", ["2108343"]),
        ("MADE UNDER ONE OR MORE OF THE FOLLOWING PATENTS: 2,108,343 AND OTHERS", ["2,108,343"]),
        ("PAT. 2,108,343 — 2,199,026", ["2,108,343", "2,199,026"]),
        ("PAT. 2,1?8,343", ["2,1?8,343"]),
    ],
)
def test_us_patent_numbers_are_found_as_they_stand(text: str, numbers: list[str]) -> None:
    assert [reading for kind, reading, _ in told(text) if kind == "us_patent"] == numbers


@pytest.mark.parametrize(
    "text",
    [
        "2,108,343",
        "MODEL 2108343",
        "SERIAL NO. 2108343 PAT. PEND.",
        "PAT. NO. 2,108,343 MODEL 2199026",
        "PAT. NO. 2,108,343 / 41877",
        "PAT. NO. 2108343 / 2199026",
        "PAT. 2,108,343 H2199026",
        "REG. U.S. PAT. OFF. 2108343",
        "PAT. APP. NO. 12345",
        "PAT. 2,108,343 65,000 BTU",
        "PATTERN 2108343",
    ],
)
def test_a_number_that_may_be_a_model_or_a_serial_is_left_alone(text: str) -> None:
    assert [r for kind, r, _ in told(text) if kind == "us_patent" and r != "2,108,343"] == (
        ["2108343"] if "PAT. NO. 2108343" in text else []
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("PAT. JULY 7, 1936", "1936-07"),
        ("PATENTED AUG. 4 1914", "1914-08"),
        ("PATENTED 4TH AUG. 1914", "1914-08"),
        ("PAT. SEPT 1921", "1921-09"),
        ("PATENTED 1914", "1914"),
        ("PAT'D 7-7-36", "1936"),
        ("PAT'D 7/7/36", "1936"),
        ("PAT. APR. 7, '36", "1936"),
        ("PAT. JULY 7, 193?", "1930"),
        ("PAT. JULY ?, 1936", "1936-07"),
        ("PAT. 19?6", "1906"),
    ],
)
def test_the_date_of_a_patent_is_the_earliest_of_its_part(text: str, expected: str) -> None:
    assert [date for _, _, date in told(text)] == [expected]


def test_two_digits_of_a_year_that_may_be_of_either_century_prove_only_the_earlier_and_are_not_counted() -> None:
    (found,) = words("PAT'D 6-4-67")
    assert (found.not_before, found.weighed) == ("1867", False)


def test_two_digits_of_a_year_say_how_they_were_read() -> None:
    assert "The year is read as 1936" in words("PAT'D 7-7-36")[0].proves


def test_of_several_numbers_the_highest_counts_and_the_others_are_told() -> None:
    found = words("PAT. 2,199,026 2,108,343 2,199,027")
    assert [(each.reading, each.weighed) for each in found] == [
        ("2,199,026", False),
        ("2,108,343", False),
        ("2,199,027", True),
    ]


def test_of_several_dates_the_latest_counts() -> None:
    found = words("PAT. MAY 5, 1914; FEB. 11, 1913")
    assert [(each.not_before, each.weighed) for each in found] == [("1914-05", True), ("1913-02", False)]


def test_a_date_after_1927_has_no_hint_that_such_dates_are_older() -> None:
    assert [each.usually_until for each in words("PAT. 1914 / PAT. 1936")] == ["1927", None]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("PAT. RE. 19,123", "us_reissue"),
        ("RE. 19,123", "us_reissue"),
        ("RE19123", "us_reissue"),
        ("DES. 101,234", "us_design"),
        ("DESIGN PAT. 101,234", "us_design"),
        ("PAT. D-101,234", "us_design"),
    ],
)
def test_a_series_of_its_own_proves_no_year(text: str, kind: str) -> None:
    (found,) = words(text)
    assert (found.kind, found.not_before, found.weighed) == (kind, None, False)


def test_series_stand_beside_each_other() -> None:
    assert [kind for kind, _, _ in told("PAT. 2,108,343 RE. 19,123 DES. 101,234 2,199,026")] == [
        *("us_patent", "us_reissue", "us_design", "us_patent")
    ]


@pytest.mark.parametrize("text", ["D-101234", "RE 12345", "DES MOINES 9", "MODEL D101234"])
def test_letters_that_may_be_a_models_are_no_series(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    "text",
    [
        "BRIT. PAT. 412,345",
        "CAN. PAT. 345678",
        "CAN. PAT. 2,108,343",
        "PAT. 1938 CANADA",
        "PATENTED IN CANADA 1938",
        "PATENTED 1938 IN CANADA",
        "British Patent No. 412345",
        "D.R.P. PAT. 412345",
        "U.S. & CAN. PATS. 2,108,343",
        "CANADA & U.S. PATENTS 2,108,343",
    ],
)
def test_a_patent_of_another_country_is_not_read_as_an_american_one(text: str) -> None:
    assert {kind for kind, _, _ in told(text)} == {"foreign_patent"}


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("U.S. PAT. 2,108,343 CAN. PAT. 345678", ["us_patent", "foreign_patent"]),
        ("PAT. 2,108,343 CANADA 1938", ["us_patent", "foreign_patent"]),
        ("CANADA / PAT. 2,108,343", ["us_patent"]),
        ("PAT. 2,108,343 MADE IN CANADA", ["us_patent"]),
        ("PAT. 2,108,343 AND FOREIGN PATENTS", ["us_patent"]),
        ("PAT. 2,108,343 DUTCH OVEN", ["us_patent"]),
        ("MADE IN CANADA U.S. PAT. 2,108,343", ["us_patent"]),
    ],
)
def test_a_country_speaks_only_of_the_patents_it_stands_with(text: str, kinds: list[str]) -> None:
    assert [kind for kind, _, _ in told(text)] == kinds


@pytest.mark.parametrize(
    "text",
    [
        *(
            "PAT. PEND.",
            "PATENT PENDING",
            "PATENT APPLIED FOR",
            "Pat. App'd For",
            "PATS. PENDING",
            "PATENTS ARE PENDING",
        ),
        *("OTHER PATENTS PENDING", "OTHERS PENDING", "PAT PEND", "PAT'S PEND'G"),
    ],
)
def test_pending_is_told_and_proves_no_year(text: str) -> None:
    (found,) = words(text)
    assert (found.kind, found.not_before, found.not_after) == ("us_patent_pending", None, None)
