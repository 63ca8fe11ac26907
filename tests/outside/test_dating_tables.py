"""The shipped dating tables against what was published: gazette volumes, milestones of the Patent Office, year tables,
and what histories of the post, the telephone, standards and notices say.

The whole lists are read from the folder that HOBMARK_CHECKS names; ten rows, each with its source, stand here.
"""

from __future__ import annotations

import csv
import os
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml
from hobmark.dating.patents import issue_years
from hobmark.dating.plate_text import read_words
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.dating import DatingTables

published = pytest.mark.skipif("HOBMARK_CHECKS" not in os.environ, reason="HOBMARK_CHECKS names no published tables")
SHIPPABLE = ("verified", "single")
UNSURE = range(2_695_998, 2_700_764)
"""The numbers of the one volume that holds the end of 1954 and the beginning of 1955."""


class Volume(NamedTuple):
    """Numbers from `first` to `last`, all issued in `year`."""

    first: int
    last: int
    year: int


# US Patent and Trademark Office, milestones (www.uspto.gov/patents/milestones): 8 August 1911, 30 April 1935,
# 12 September 1961. Google Patents, US2934212A: 26 April 1960. Then labels of volumes of the Official Gazette, as a
# research library's catalogue has them: 1912 DEC (line 1452), 1927 JAN. 4-FEB. 22 (43), 1933 NOV. 7-DEC. 26 (86),
# 1937 DEC. (123), 1940 DEC. (159), 1955 (320).
CITED = [
    Volume(1_000_000, 1_000_000, 1911),
    Volume(2_000_000, 2_000_000, 1935),
    Volume(3_000_000, 3_000_000, 1961),
    Volume(2_934_212, 2_934_212, 1960),
    Volume(1_045_803, 1_049_325, 1912),
    Volume(1_612_790, 1_618_966, 1927),
    Volume(1_938_535, 1_941_448, 1933),
    Volume(2_101_015, 2_104_003, 1937),
    Volume(2_223_338, 2_227_417, 1940),
    Volume(2_700_764, 2_705_321, 1955),
]


@cache
def shipped() -> DatingTables:
    return read_base([knowledge_root()]).dating


def reference(name: str) -> Path:
    return Path(os.environ.get("HOBMARK_CHECKS", "")) / "reference" / name


def rows(name: str) -> list[dict[str, str]]:
    with reference(name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def years(number: int) -> tuple[int | None, int | None]:
    issued = issue_years(f"{number:,}", shipped())
    assert issued is not None
    return issued.first, issued.last


def agrees(volume: Volume) -> bool:
    """Whether the table gives both ends of a volume its year; the last year known has no end."""
    ends = [years(volume.first), years(volume.last)]
    if volume.year > 1975:
        return ends == [(1975, None)] * 2
    return ends == [(volume.year, None if volume.year == 1975 else volume.year)] * 2


def volume_of(row: dict[str, str]) -> Volume:
    return Volume(int(row["first_number"]), int(row["last_number"]), int(row["year"]))


@pytest.mark.parametrize("volume", CITED, ids=str)
def test_a_published_volume_is_of_its_year(volume: Volume) -> None:
    assert agrees(volume)


@published
def test_every_published_volume_is_of_its_year_unless_its_label_is_known_to_be_wrong() -> None:
    listed = rows("us_utility_patents_dated_checks.csv")
    assert len(listed) == 238
    apart = [row for row in listed if not agrees(volume_of(row))]
    assert apart == [row for row in listed if row["status"] == "label_error"]


@published
def test_no_published_volume_reaches_into_the_one_that_holds_two_years() -> None:
    volumes = map(volume_of, rows("us_utility_patents_dated_checks.csv"))
    assert [volume for volume in volumes if volume.first in UNSURE or volume.last in UNSURE] == []


@published
def test_the_table_is_the_published_one_as_far_as_it_is_confirmed() -> None:
    listed = {
        int(row["year"]): (int(row["first_number"]), row["status"])
        for row in rows("us_utility_patents_first_by_year.csv")
        if row["status"] in SHIPPABLE
    }
    ours = {row.year: (row.first, row.status) for row in shipped().patent_years if row.first is not None}
    assert ours == listed


@published
def test_a_year_that_is_only_bracketed_stands_as_a_bracket() -> None:
    listed = [row for row in rows("us_utility_patents_first_by_year.csv") if row["status"] == "bracketed"]
    ours = [row for row in shipped().patent_years if row.within is not None]
    assert [row.year for row in ours] == [int(row["year"]) for row in listed] == [1955]
    assert ours[0].least <= int(listed[0]["first_number"]) <= ours[0].greatest


@published
def test_nothing_of_which_only_memory_speaks_is_in_the_table() -> None:
    memory = {int(row["year"]) for row in rows("us_utility_patents_first_by_year.csv") if row["status"] == "memory"}
    assert memory == {1976, 1977, 1978, 1979, 1980}
    assert memory.isdisjoint(row.year for row in shipped().patent_years)


def test_between_the_tables_that_disagree_on_1927_the_gazette_is_followed() -> None:
    # Year tables print 1,612,700 as the first of 1927; the gazette's volume of December 1926 ends with 1,612,789.
    assert (years(1_612_700), years(1_612_789), years(1_612_790)) == ((1926, 1926), (1926, 1926), (1927, 1927))


class Shown(NamedTuple):
    """A published row, words that show it on a plate, our row for it, and the earliest date published."""

    file: str
    id: str
    plate: str
    kind: str
    since: str | None


POST, MARKS, NOTICES = "postal_and_telephone", "approval_marks_and_standards", "us_trademark_and_marking_rules"
# Where each was published stands beside our row in knowledge/reference, under the name of `kind`.
SHOWN = [
    Shown(POST, "postal_zone", "CHICAGO 16, ILL.", "us_postal_zone", "1943"),
    Shown(POST, "zip5", "CHICAGO, ILL. 60601", "us_zip", "1963"),
    Shown(POST, "state_list_june_1963", "CHICAGO, IL", "us_state_two_letter", "1963"),
    Shown(POST, "state_two_letter", "CHICAGO, IL", "us_state_two_letter", "1963"),
    Shown(POST, "nebraska", "OMAHA, NB 68102", "us_state_nb", "1963"),
    Shown(POST, "zip4", "CHICAGO, IL 60601-1234", "us_zip_4", "1983"),
    Shown(POST, "state_trad", "CHICAGO, ILL.", "us_state_traditional", None),
    Shown(POST, "uk_postcode_trial", "NORWICH NOR 12A", "uk_postcode_trial", "1959"),
    Shown(POST, "uk_postcode_national", "BIRMINGHAM B12 9QT", "uk_postcode", "1959"),
    Shown(POST, "quebec_code", "MONTREAL, QC", "quebec_qc", "1991"),
    Shown(POST, "tel_2L4N_2L5N", "TEL. HARRISON 7-1234", "us_telephone_name", None),
    Shown(POST, "exchange_names_late", "TEL. HARRISON 7-1234", "us_telephone_name", None),
    Shown(POST, "area_code_plan", "312-555-0123", "us_area_code", "1951"),
    Shown(POST, "ddd", "312-555-0123", "us_area_code", "1951"),
    Shown(MARKS, "aga_lab", "AMERICAN GAS ASSOCIATION LABORATORIES", "gas_laboratory", "1925"),
    Shown(MARKS, "aga_lab_end", "AMERICAN GAS ASSOCIATION LABORATORIES", "gas_laboratory", "1925"),
    Shown(MARKS, "blue_star_wording", "CERTIFIED-DESIGN", "blue_star_seal", "1925"),
    Shown(MARKS, "body_names", "ASA Z21.1", "asa", "1928"),
    Shown(MARKS, "z21_1_editions", "ANSI Z21.1-2005", "z21_1_2005", "2005"),
    Shown(MARKS, "kitemark", "KITEMARK", "kitemark", None),
    Shown(MARKS, "ul_gas_fired_mark", "UL GAS-FIRED", "ul_gas_fired", "2002"),
    Shown(NOTICES, "tm_1881_act_numbers", "TRADE MARK REG. NO. 44,358", "us_trademark_1905", "1905"),
    Shown(NOTICES, "circle_r", "BRINDLEMERE®", "circled_r", "1946"),
    Shown(NOTICES, "patent_number_required", "PAT. 1914", "us_patent_date", "1914"),
    Shown(NOTICES, "patent_tpq_rule", "PAT. 2,108,343", "us_patent", "1938"),
    Shown(NOTICES, "false_marking", "PAT. 2,108,343", "us_patent", "1938"),
    Shown(NOTICES, "pat_pending", "PAT. PEND.", "us_patent_pending", None),
    Shown(NOTICES, "copyright_1909", "© 1938", "copyright_sign", "1909"),
]
NOT_SHOWN = {
    "aga_los_angeles": "no plate is known to tell the second laboratory from the first",
    "tm_500000": "one number of a year; the series has no table",
    "oven_shutoff_dates": "no mark on a plate, and an opinion",
}
"""Published rows that no words on a plate can show."""


@pytest.mark.parametrize("row", SHOWN, ids=lambda row: row.id)
def test_words_that_show_a_published_row_have_its_earliest_date(row: Shown) -> None:
    assert (row.kind, row.since) in [(each.kind, each.not_before) for each in read_words(row.plate, shipped())]


@pytest.mark.parametrize(("name", "since", "until"), [
    ("AESC", "1918", "1928"), ("A.S.A.", "1928", "1966"), ("USASI", "1966", "1969"), ("ANSI", "1969", None),
])  # fmt: skip
def test_a_standards_body_is_of_the_years_of_its_name(name: str, since: str, until: str | None) -> None:
    (found,) = read_words(name, shipped())
    assert (found.not_before, found.usually_until, found.not_after) == (since, until, None)


@pytest.mark.parametrize(("number", "kind"), [
    ("8,190", None), ("8,191", "us_trademark_1881"), ("44,357", "us_trademark_1881"), ("44,358", "us_trademark_1905"),
])  # fmt: skip
def test_a_trade_mark_is_of_the_act_of_its_number(number: str, kind: str | None) -> None:
    # USPTO, Trademark Manual of Examining Procedure, 1601.07
    found = read_words(f"TRADE MARK REG. NO. {number}", shipped())
    assert [each.kind for each in found] == ([kind] if kind is not None else [])


def entries(file: str) -> list[dict[str, Any]]:
    whole = yaml.safe_load(reference(f"{file}.yaml").read_text(encoding="utf-8"))
    if isinstance(whole, list):
        return whole
    return [row for part in whole.values() if isinstance(part, list) for row in part]


@published
@pytest.mark.parametrize("file", [POST, MARKS, NOTICES])
def test_every_published_row_that_is_confirmed_is_shown_or_cannot_be(file: str) -> None:
    confirmed = {row["id"] for row in entries(file) if row["status"].startswith((*SHIPPABLE, "year verified"))}
    assert confirmed - {row.id for row in SHOWN} - set(NOT_SHOWN) == set()


@published
@pytest.mark.parametrize("row", [row for row in SHOWN if row.since], ids=lambda row: row.id)
def test_the_earliest_date_is_the_published_one(row: Shown) -> None:
    listed = next(each for each in entries(row.file) if each["id"] == row.id)
    earliest = listed.get("tpq")
    assert earliest is None or str(earliest) == row.since


@published
@pytest.mark.parametrize("file", [POST, MARKS, NOTICES])
def test_no_row_that_only_memory_speaks_for_is_shown(file: str) -> None:
    unsure = {row["id"] for row in entries(file) if row["status"].startswith(("memory", "conflict", "not_found"))}
    assert unsure & {row.id for row in SHOWN} == set()


@published
def test_wartime_limits_are_told_as_published_and_weighed_by_nobody() -> None:
    ours = [row for row in shipped().rows if row.covers is not None]
    dates = {str(row.get("effective", row["date"])) for row in entries("wartime_controls") if "date" in row}
    assert dates >= {"1942-05-05", "1942-07-31", "1943-08-23", "1945-11-06"}
    assert [row.not_before or row.not_after for row in ours] == [None] * len(ours) == [None] * 4
