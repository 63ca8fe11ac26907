"""The dating tables as curators write them: what reads, and what is refused in its place."""

from __future__ import annotations

import pytest
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.schema.dating import Form

from .small_base import HERE, SmallBase

PATENTS, MARKS = "reference/us_patents.yaml", "reference/standards.yaml"
YEARS = """\
- {id: us-30, year: 1930, first: 1000, source: a list, status: verified}
- {id: us-31, year: 1931, within: [2000, 2500], source: a list, status: single}
"""
ROWS = """\
- {id: asa, words: [A.S.A.], not_before: "1928", usually_until: "1966",
   proves: So., does_not_prove: So., source: a list, status: single}
- {id: zone, form: us_postal_zone, not_before: "1943",
   proves: So., does_not_prove: So., source: a list, status: verified}
"""
ASA = "- {id: asa, words: [A.S.A.]"
FIRST, SECOND = "- {id: us-30, year: 1930, first: 1000", "- {id: us-31, year: 1931, within: [2000, 2500]"


@pytest.fixture
def dated(small: SmallBase) -> SmallBase:
    small.write(PATENTS, YEARS)
    small.write(MARKS, ROWS)
    return small


def test_the_tables_are_part_of_the_base(dated: SmallBase) -> None:
    tables = dated.read().dating
    assert [(row.year, row.least, row.greatest) for row in tables.patent_years] == [
        (1930, 1000, 1000),
        (1931, 2000, 2500),
    ]
    assert [row.id for row in tables.rows] == ["asa", "zone"]


def test_a_row_is_found_by_its_form(dated: SmallBase) -> None:
    tables = dated.read().dating
    assert tables.row(Form.US_POSTAL_ZONE) == tables.rows[1]
    assert tables.row(Form.US_ZIP) is None


def test_a_base_without_tables_has_empty_ones(small: SmallBase) -> None:
    assert (small.read().dating.patent_years, small.read().dating.rows) == ((), ())


@pytest.mark.parametrize("name", [PATENTS, MARKS])
def test_a_table_in_which_nothing_is_written_yet_is_empty(dated: SmallBase, name: str) -> None:
    dated.write(name, "# nothing yet\n")
    dated.read()


def test_a_second_folder_adds_rows_and_years_in_their_order(dated: SmallBase) -> None:
    other = SmallBase(dated.root.parent / "other")
    for path in list(other.root.rglob("*.yaml")):
        path.unlink()
    other.write(PATENTS, "- {id: us-29, year: 1929, first: 500, source: a list, status: verified}\n")
    tables = read_base([dated.root, other.root]).dating
    assert [row.year for row in tables.patent_years] == [1929, 1930, 1931]


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        (PATENTS, "year: 1931", f"year: {HERE}1930", "the year 1930 stands twice. Keep one of them."),
        (PATENTS, "[2000, 2500]", f"{HERE}[900, 950]", "1931 begins with 900, no more than 1930 does. Mend the number"),
        (PATENTS, "id: us-31", f"id: {HERE}us-30", "duplicate id 'us-30', used in "),
        (MARKS, "id: zone", f"id: {HERE}asa", "duplicate id 'asa', used in "),
        (PATENTS, FIRST, f"- {HERE}{{id: us-30, year: 1930", "a year has either 'first' or 'within'."),
        (PATENTS, SECOND, f"- {HERE}{{id: us-31, year: 1931, within: [9, 8]", "'within' is the least number, then the"),
        (PATENTS, "status: single", f"status: {HERE}memory", "unknown word 'memory' for status."),
        (PATENTS, "first: 1000", f"first: {HERE}one", "'one' for first is not a whole number."),
        (MARKS, "us_postal_zone", f"{HERE}postal_zone", "unknown word 'postal_zone' for form. Did you mean 'us_postal"),
        (MARKS, ASA, f"- {HERE}{{id: asa, words: [.]", "'words' holds an entry without a letter or digit."),
        (MARKS, ASA, f"- {HERE}{{id: asa, form: us_zip, words: [A]", "a row has one of 'form', 'words' or 'covers'."),
        (MARKS, ASA, f"- {HERE}{{id: asa", "a row has one of 'form', 'words' or 'covers'. Keep one."),
        (MARKS, ASA, f"- {HERE}{{id: asa, covers: 1930", "what 'covers' a time is told and bounds nothing."),
        (MARKS, '- {id: asa, words: [A.S.A.], not_before: "1928"', f"- {HERE}{{id: asa, words: [A], not_before: 1970",
         "'1966' comes before '1970'."),
        (MARKS, 'not_before: "1943"', f'not_before: {HERE}"c. 1943"', "'c. 1943' is not an EDTF date."),
    ],
)  # fmt: skip
def test_a_mistake_is_refused_in_its_place(dated: SmallBase, name: str, old: str, new: str, said: str) -> None:
    place = dated.change(name, old, new)
    (told,) = dated.refusals()
    assert told.startswith(f"{place}: {said}")


def test_a_table_of_another_name_is_refused_with_the_nearest(dated: SmallBase) -> None:
    dated.write("reference/us_patent.yaml", YEARS)
    assert dated.refusals() == [
        "reference/us_patent.yaml:1:1: 'reference/us_patent.yaml' is not read here. "
        "Did you mean 'reference/us_patents.yaml'?"
    ]
