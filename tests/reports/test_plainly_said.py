"""What must be said plainly wherever a report is read: that a base is made up, that nothing can be told yet."""

from __future__ import annotations

import pytest
from hobmark.case import Case
from hobmark.problems import plain
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit_text import fit_text
from hobmark.reports.html import report_page
from hobmark.reports.one_range import detail_lines
from hobmark.reports.range_report import RangeReport, range_report, report_text
from hobmark.reports.words import DEMONSTRATION

from .pages import CASES, PAGES, examination, orders, page_read, read, report, words


def of_nothing() -> RangeReport:
    """The report of a range that nobody looked at."""
    compiled = examination(next(iter(CASES))).compiled
    return range_report(Examination(compiled, Case(hobmark="1", label="a range")), "a case")


@pytest.mark.parametrize("name", [name for name in PAGES if "stop" not in name])
def test_every_page_says_that_the_makers_of_the_demonstration_are_invented(name: str) -> None:
    assert DEMONSTRATION in page_read(name).text()


def test_a_report_in_plain_text_says_so_too() -> None:
    assert DEMONSTRATION in " ".join(report_text(report("married-top")).split())


def test_so_does_what_is_told_of_a_part() -> None:
    assert DEMONSTRATION in " ".join(fit_text(orders()).split())


def test_a_base_without_an_invented_maker_says_nothing_of_it() -> None:
    real = report("married-top").model_copy(update={"demonstration": None})
    assert "invented." not in read(report_page(real)).text()


def test_a_range_that_nobody_looked_at_is_not_headed_by_a_name() -> None:
    (leader,) = read(report_page(of_nothing())).all(of="leader")
    assert words(leader) == "Cannot be told yet"


def test_an_own_part_whose_likeliest_years_are_others_is_told_of() -> None:
    said = [line.text for line in detail_lines(report("green-range"))]
    assert any("likelier of other years by itself" in text and "front and doors" in text for text in said)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\u202eb", "a\\u202eb"),
        ("one\ntwo", "one\ntwo"),
        ("a\u00a0b\tc", "a b c"),
        ("\x1b[2J", "\\x1b[2J"),
        ("\u05ea\u05e0\u05d5\u05e8", "\u05ea\u05e0\u05d5\u05e8"),
    ],
)
def test_a_text_for_a_person_shows_what_is_not_seen_and_keeps_its_lines(text: str, shown: str) -> None:
    assert plain(text) == shown
