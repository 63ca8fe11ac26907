"""Addresses and marks in the words of a plate, what is left alone, and what all of it bounds together."""

from __future__ import annotations

import pytest
from hobmark.dating.evidence import Evidence
from hobmark.dating.plate_text import bounds, read_bare_numbers, read_words, told_of_the_time, year_alone
from hobmark.knowledge.schema.dating import DatingTables

from .small_tables import shipped


def words(text: str) -> tuple[Evidence, ...]:
    return read_words(text, shipped())


def told(text: str) -> list[tuple[str, str, str | None]]:
    """Kind, reading and earliest date of each finding."""
    return [(each.kind, each.reading, each.not_before) for each in words(text)]


@pytest.mark.parametrize(
    "text",
    [
        *("CHICAGO 16, ILL.", "Chicago 16, Illinois", "NEW YORK 17, N. Y.", "NEW YORK 17, N.Y.", "ST. LOUIS 10, MO."),
        *("ZONE 16", "ZONE 1?", "PITTSBURGH 22, PA", "CLEVELAND 1?, OHIO", "CHICAGO, 16, ILL."),
    ],
)
def test_a_postal_zone_is_of_1943_or_later_and_never_a_latest_date(text: str) -> None:
    (found,) = [each for each in words(text) if each.kind == "us_postal_zone"]
    assert (found.not_before, found.not_after, found.usually_until) == ("1943", None, "1963")


@pytest.mark.parametrize(
    "text", ["OVEN 16 IN", "16 GA. STEEL", "BOTTOM 10 GA", "MODEL 36, ILL.", "OVEN ZONE 1", "SIZE 16, IN", "BODY 16 GA"]
)
def test_a_size_or_a_gauge_is_no_zone(text: str) -> None:
    assert [kind for kind, _, _ in told(text) if kind == "us_postal_zone"] == []


@pytest.mark.parametrize(
    ("text", "kind", "date"),
    [
        ("CHICAGO, ILL. 60601", "us_zip", "1963"),
        ("CHICAGO, IL 60601", "us_zip", "1963"),
        ("ZIP CODE 60601", "us_zip", "1963"),
        ("CHICAGO, ILL. 606?1", "us_zip", "1963"),
        ("CHICAGO, IL 60601-1234", "us_zip_4", "1983"),
        ("DENVER CO 80202", "us_zip", "1963"),
    ],
)
def test_a_zip_code_is_found_behind_a_state(text: str, kind: str, date: str) -> None:
    assert (kind, date) in [(k, d) for k, _, d in told(text)]


@pytest.mark.parametrize("text", ["60601", "MODEL 60601", "MADE IN 60601", "PART OR 60601", "CHICAGO, ILL. 60,601"])
def test_five_digits_elsewhere_are_no_zip_code(text: str) -> None:
    assert [kind for kind, _, _ in told(text) if kind.startswith("us_zip")] == []


@pytest.mark.parametrize(
    "text", ["CHICAGO, IL", "MILWAUKEE, WI U.S.A.", "Indianapolis, IN", "PORTLAND, OR", "TULSA OK 74103"]
)
def test_two_letters_in_an_address_are_of_1963_or_later(text: str) -> None:
    assert ("us_state_two_letter", "1963") in [(kind, date) for kind, _, date in told(text)]


@pytest.mark.parametrize(
    "text",
    [
        *("MADE IN", "MADE IN / U.S.A.", "TURN ON, OR / CALL", "BRINDLEMERE STOVE, CO.", "BRINDLEMERE RANGE WORKS, CO"),
        *("light the pilot, or", "OK", "ME", "3 IN, OR 4", "BORE 1/2, ID", "BRINDLEMERE CO.", "Push, or"),
    ],
)
def test_two_letters_that_are_a_word_are_no_state(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    "text", ["PITTSBURGH, PA", "NEW YORK, NY", "CHICAGO, ILL.", "SAN FRANCISCO, CALIF.", "PITTSBURGH, PA."]
)
def test_letters_that_older_addresses_share_prove_no_year(text: str) -> None:
    assert [(kind, date) for kind, _, date in told(text)] == [("us_state_traditional", None)]


@pytest.mark.parametrize(
    ("text", "kind", "span"),
    [
        ("OMAHA, NB 68102", "us_state_nb", ("1963", "1969")),
        ("OMAHA, NB", "us_state_nb", ("1963", "1969")),
        ("SACKVILLE, NB", "us_state_traditional", (None, None)),
        ("OMAHA, NE 68102", "us_state_ne", ("1969", None)),
    ],
)
def test_nebraska_was_nb_before_it_was_ne(text: str, kind: str, span: tuple[str | None, str | None]) -> None:
    found = words(text)[0]
    assert (found.kind, (found.not_before, found.not_after)) == (kind, span)


@pytest.mark.parametrize(
    ("text", "kind", "date"),
    [
        ("NORWICH NOR 12A", "uk_postcode_trial", "1959"),
        ("BIRMINGHAM B12 9QT", "uk_postcode", "1959"),
        ("MONTREAL, QC", "quebec_qc", "1991"),
        ("TEL. HARRISON 7-1234", "us_telephone_name", None),
        ("TEL. MAIN 4000", "us_telephone_name", None),
        ("HA 7-1234", "us_telephone_name", None),
        ("PHONE (312) 555-0123", "us_area_code", "1951"),
        ("312-555-0123", "us_area_code", "1951"),
        ("AREA CODE 312", "us_area_code", "1951"),
        ("AMERICAN GAS / ASSOCIATION", "gas_laboratory", "1925"),
        ("A.S.A. Z21.1", "asa", "1928"),
        ("Usas Z21.1", "usasi", "1966"),
        ("ANSI Z21.1", "ansi", "1969"),
        ("Z21.1-2005", "z21_1_2005", "2005"),
        ("Kitemark", "kitemark", None),
        ("BRINDLEMERE®", "circled_r", "1946"),
        ("BRINDLEMERE (R)", "circled_r", "1946"),
        ("REG. U.S. PAT. OFF.", "reg_us_pat_off", None),
        ("© BRINDLEMERE 1938", "copyright_year", "1938"),
        ("COPYRIGHT 1938 BY BRINDLEMERE", "copyright_year", "1938"),
        ("(C) 19?8", "copyright_year", "1908"),
        ("© BRINDLEMERE", "copyright_sign", "1909"),
        ("TRADE MARK REG. NO. 44,357", "us_trademark_1881", "1881"),
        ("TRADEMARK REGISTERED 44,358", "us_trademark_1905", "1905"),
        ("cross-recess screws", "cross_recess", "1936-07"),
    ],
)
def test_a_mark_gives_the_date_of_its_row(text: str, kind: str, date: str | None) -> None:
    assert (kind, date) in [(k, d) for k, _, d in told(text)]


@pytest.mark.parametrize(
    "text", ["NASA", "MODEL 7-1234", "ANSIBLE", "B12 9QT X", "MODEL B12 9QT", "REG. NO. 44,358", "(C)"]
)
def test_what_only_looks_like_a_mark_is_left_alone(text: str) -> None:
    assert told(text) == []


def test_a_right_hand_burner_is_no_registered_mark() -> None:
    assert [each.weighed for each in words("(L) / (R)")] == [False]


def test_every_year_of_a_copyright_is_told() -> None:
    assert [date for _, _, date in told("COPYRIGHT 1936, 1938")] == ["1936", "1938"]


def test_findings_stand_in_order_with_their_places() -> None:
    text = "Brindlemere / Chicago 16, Ill. / Pat. 2,108,343"
    found = words(text)
    assert [text[slice(*each.place)] for each in found] == ["Chicago 16, Ill.", "Ill.", "2,108,343"]
    assert [each.place for each in found] == sorted(each.place for each in found)


def test_every_finding_says_what_it_proves_and_what_not_with_source_and_status() -> None:
    found = words("CHICAGO 16, ILL. / PAT. 2,108,343 RE. 19,123 / PAT. PEND. / ANSI / ®")
    assert len(found) == 7
    assert all(each.proves and each.does_not_prove and each.source and each.status for each in found)


def test_without_tables_nothing_is_found() -> None:
    assert read_words("CHICAGO 16, ILL. PAT. 2,108,343 ANSI", DatingTables()) == ()


@pytest.mark.parametrize("text", ["2,108,343", " 2108343 ", "2?108,343", "2108343 - 2,199,026"])
def test_numbers_alone_are_read_as_if_they_were_patents(text: str) -> None:
    found = read_bare_numbers(text, shipped())
    assert found[0].not_before == "1938"
    assert found[0].proves.startswith("If this is a US utility patent number: issued in 1938.")


@pytest.mark.parametrize("text", ["1938", "123", "?????", "2108343 X", "PAT. 2,108,343", "", "19?8"])
def test_a_year_or_a_number_with_words_is_not(text: str) -> None:
    assert read_bare_numbers(text, shipped()) == ()


def test_a_year_alone_is_known_for_one() -> None:
    assert (year_alone(" 1943 "), year_alone("1943 B"), year_alone("19?3")) == ("1943", None, None)


def test_the_bounds_are_the_latest_start_and_the_earliest_end() -> None:
    assert bounds(words("CHICAGO 16, ILL. / PAT. 2,108,343 - 2,199,026")) == ("1943", None, None)


def test_bounds_that_leave_no_year_are_a_contradiction() -> None:
    left = bounds(words("OMAHA, NB 68102-1234"))
    assert (left.not_before, left.not_after) == ("1983", "1969")
    assert left.contradiction is not None
    assert "'68102-1234' is of 1983 or later" in left.contradiction


def test_a_start_and_an_end_in_one_year_are_no_contradiction() -> None:
    assert bounds(words("OMAHA, NB / OMAHA, NE 68102")).contradiction is None


def test_what_is_not_weighed_bounds_nothing() -> None:
    assert bounds(words("PAT'D 6-4-67")) == (None, None, None)


def test_nothing_bounds_nothing() -> None:
    assert bounds(()) == (None, None, None)


@pytest.mark.parametrize(
    ("date", "count"), [("1943", 3), ("1942", 2), ("1938", 0), ("1945", 4), ("1946", 0), (None, 0)]
)
def test_what_is_told_of_a_time_is_told_of_that_time_only(date: str | None, count: int) -> None:
    assert len(told_of_the_time(date, shipped())) == count


def test_words_within_longer_words_of_the_same_row_are_not_found_twice() -> None:
    assert [reading for _, reading, _ in told("A.G.A. APPROVED")] == ["A.G.A. APPROVED"]
