"""What must be said plainly wherever a report is read: that a base is made up, that nothing can be told yet."""

from __future__ import annotations

import pytest
from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.problems import plain
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit_findings import fit_report
from hobmark.reports.fit_text import fit_text
from hobmark.reports.html import report_page
from hobmark.reports.html_charts import strips
from hobmark.reports.one_range import detail_lines
from hobmark.reports.range_report import RangeReport, range_report, report_text
from hobmark.reports.setup_text import setup_text
from hobmark.reports.words import DEMONSTRATION, demonstration
from hobmark.reports.writing import orders_text

from .pages import CASES, PAGES, card, examination, orders, page_read, read, report, words


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


def test_so_do_order_sheets_in_plain_text() -> None:
    assert DEMONSTRATION in " ".join(orders_text(orders()).split())


@pytest.mark.parametrize("symptom", [None, "smell_of_gas"], ids=["card", "stop"])
def test_so_does_a_set_up_card_in_plain_text(symptom: str | None) -> None:
    assert DEMONSTRATION in " ".join(setup_text(card("farm-kitchen", symptom)).split())


def base_with_one_maker_not_invented() -> KnowledgeBase:
    base = examination("married-top").compiled.base
    folder = base.makers["wexcombe"]
    true = folder.model_copy(update={"maker": folder.maker.model_copy(update={"invented": False})})
    return base.model_copy(update={"makers": {**base.makers, "wexcombe": true}})


def test_where_only_some_makers_are_invented_they_are_named() -> None:
    said = demonstration(base_with_one_maker_not_invented()) or ""
    assert ("Brindlemere" in said, "Wexcombe" in said) == (True, False)


def test_a_base_without_an_invented_maker_says_nothing_of_it() -> None:
    real = report("married-top").model_copy(update={"demonstration": None})
    assert "invented." not in read(report_page(real)).text()


def test_a_range_that_nobody_looked_at_is_not_headed_by_a_name() -> None:
    (leader,) = read(report_page(of_nothing())).all(of="leader")
    assert words(leader) == "Cannot be told yet"


def test_a_range_that_nobody_looked_at_is_not_headed_by_a_name_where_parts_are_asked_for() -> None:
    compiled = examination(next(iter(CASES))).compiled
    told = fit_report(Examination(compiled, Case(hobmark="1", label="a range")), "a case", ["grate"])
    assert "cannot be told yet" in fit_text(told, width=200).splitlines()[0]


def test_the_strip_of_such_an_own_part_points_at_why() -> None:
    drawn = strips(report("green-range"))
    assert drawn is not None
    assert {row.name: row.verdict for row in drawn.rows}["front and doors"] == "own, see below"


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
