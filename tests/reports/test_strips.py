"""Date strips: one scale, one row a part, never wider than the page."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Examination
from hobmark.reports.findings import findings
from hobmark.reports.strips import Strip, drawn, strip_lines
from hobmark.reports.text import findings_text

ROWS = [
    Strip("the range", 1937, 1941, (1939, 1940)),
    Strip("front", 1935, 1948, (1938, 1942)),
    Strip("oven control", 1950, 1956, (1951, 1952), "!"),
]
CASES = sorted((knowledge_root() / "brindlemere" / "cases").glob("*.yaml"))[:6]


def signs(row: str) -> str:
    return row[16:]


def test_a_row_shows_its_likely_and_its_possible_years() -> None:
    assert signs(drawn(ROWS, 78)[1]) == "  --##-"


def test_a_part_that_is_not_its_own_is_marked() -> None:
    assert drawn(ROWS, 78)[3].startswith("  oven control !")


def test_a_part_of_its_own_is_not_marked() -> None:
    assert drawn(ROWS, 78)[2].startswith("  front         ")


def test_the_scale_stands_over_its_years() -> None:
    scale, *_, last = drawn(ROWS, 78)
    assert last[scale.index("1950")] == "-"


def test_the_year_before_the_scales_is_not_in_the_row() -> None:
    scale, *_, last = drawn(ROWS, 78)
    assert last[scale.index("1950") - 1] == " "


def test_on_a_narrow_page_a_sign_stands_for_more_years() -> None:
    assert signs(drawn(ROWS, 30)[1]).strip() == "-##"


@pytest.mark.parametrize("width", [30, 40, 50, 78, 120])
def test_no_row_is_wider_than_the_page(width: int) -> None:
    assert max(map(len, drawn(ROWS, width))) <= width


def shown(path: Path) -> Examination:
    compiled = load_compiled([knowledge_root()])
    return Examination(compiled, read_case(path, compiled.base).case)


@pytest.mark.parametrize(("path", "width"), product(CASES, [50, 78]), ids=lambda value: getattr(value, "stem", None))
def test_a_report_keeps_to_its_width(path: Path, width: int) -> None:
    text = findings_text(findings(shown(path), path.name), width)
    assert max(map(len, text.splitlines())) <= width


def test_one_assembly_alone_needs_no_strip() -> None:
    found = findings(shown(CASES[0]), "a case")
    assert strip_lines(found.model_copy(update={"assemblies": found.assemblies[:1]}), 78) == []


def test_the_key_tells_of_marks_only_where_they_stand() -> None:
    found = findings(shown(CASES[0]), "a case")
    own = [finding for finding in found.assemblies if finding.not_its_own < 0.1 and finding.dates]
    assert strip_lines(found.model_copy(update={"assemblies": own}), 78)[-1].endswith("each part by itself)")
