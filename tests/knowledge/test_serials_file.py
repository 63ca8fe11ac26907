"""serials.yaml: what it may say, where a mistake in it is told, and what check tells of it."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.curating.check import checked
from hobmark.knowledge.schema.serials import SerialFormat
from hobmark.reasoning.examination import compile_base

from .small_base import SmallBase

SERIALS = "finch_works/serials.yaml"
TEXT = """\
- id: fw-s1
  pattern: "H #####"
  found_on: rating_plate
  of: [finch]
  made: "1936/1942"
  first: H 01000
  last: 60000
  anchors:
    - {serial: H 12400, date: "1938-03", sources: [sp-1]}
    - {serial: 48800, date: "1941", sources: [cat-38:4], note: by its receipt}
  error: 6 months
  outlier: sometimes
  sources: [cat-38]
- {id: fw-s2, pattern: ["YY/###", YY/####], found_on: body, made: "1946/1950", sources: [cat-38]}
"""


@pytest.fixture
def numbered(small: SmallBase) -> SmallBase:
    small.write(SERIALS, TEXT)
    return small


def block(small: SmallBase, place: int = 0) -> SerialFormat:
    return small.read().makers["finch_works"].serials[place]


def test_the_blocks_of_a_maker_are_read(numbered: SmallBase) -> None:
    assert [each.id for each in numbered.read().makers["finch_works"].serials] == ["fw-s1", "fw-s2"]


def test_a_number_is_written_as_on_the_plate_or_by_its_digits(numbered: SmallBase) -> None:
    assert block(numbered).numbers == (12400, 48800)


def test_error_and_outlier_have_defaults(numbered: SmallBase) -> None:
    assert (block(numbered, 1).error, block(numbered, 1).outlier) == (6, "rarely")


@pytest.mark.parametrize("text", ["", "[]", "# nothing yet\n"])
def test_a_file_in_which_nothing_is_written_yet_reads(text: str, small: SmallBase) -> None:
    small.write(SERIALS, text)
    assert small.read().makers["finch_works"].serials == ()


def test_a_base_without_some_variants_keeps_the_blocks_of_the_others(numbered: SmallBase) -> None:
    numbered.change(SERIALS, "of: [finch]", "of: [finch_plain, finch_deluxe]")
    left = numbered.read().without_variants("finch_works", frozenset({"finch_plain"}))
    assert left.makers["finch_works"].serials[0].of == ("finch_deluxe",)


def test_a_base_without_some_variants_has_no_block_of_theirs(numbered: SmallBase) -> None:
    numbered.change(SERIALS, "of: [finch]", "of: [finch_plain]")
    left = numbered.read().without_variants("finch_works", frozenset({"finch_plain"}))
    assert [each.id for each in left.makers["finch_works"].serials] == ["fw-s2"]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('pattern: "H #####"', 'pattern: ▶"H_#####"', "'H_#####' is not a pattern. Write letters, digits and # for each digit, as H #####."),
        ('pattern: "H #####"', "pattern: ▶H", "'H' has no running number, or one too long. Write 1 to 9 signs #."),
        ('pattern: "H #####"', 'pattern: ▶"##########"', "'##########' has no running number, or one too long. Write 1 to 9 signs #."),
        ("found_on: rating_plate", "found_on: ▶boddy", "unknown assembly 'boddy'. Did you mean 'body'?"),
        ("of: [finch]", "of: [▶fnch]", "unknown variant or family 'fnch'. Did you mean 'finch'?"),
        ('made: "1936/1942"', 'made: ▶"1962/1970"', "'1962/1970' lies outside 1924/1961, the life of the works. Mend this date, or 'life' in maker.yaml."),
        ('date: "1941"', 'date: ▶"1943"', "'1943' lies outside 1936/1942, the years of this block. Mend this date, or 'made'."),
        ('date: "1941"', 'date: ▶"spring"', "'spring' is not an EDTF date. Write a year, as 1939, 1939~ (about), 1939/1941 (lasting) or [1939..1941] (one of)."),
        ("serial: H 12400", "serial: ▶K 12400", "'K 12400' does not fit H #####. Write it as on the plate, or its running digits alone."),
        ("serial: H 12400", "serial: ▶H 124?0", "'H 124?0' does not fit H #####. Write it as on the plate, or its running digits alone."),
        ("serial: 48800", "serial: ▶68800", "68800 is higher than 60000, the last of this block. Mend this number, or 'last'."),
        ("serial: 48800", "serial: ▶800", "800 is lower than 1000, the first of this block. Mend this number, or 'first'."),
        ("sources: [sp-1]", "sources: [▶sp-9]", "unknown source 'sp-9'. Did you mean 'sp-1'?"),
        ("note: by its receipt", "against: [▶H 12500]", "no anchor of this block is number 12500. Write the number of an anchor that contradicts this one."),
        ("error: 6 months", "error: ▶soon", "'soon' is not an error. Write a number of months up to 120, as 6 months."),
        ("outlier: sometimes", "outlier: ▶sometime", "unknown word 'sometime' for outlier. Did you mean 'sometimes'?"),
        ("id: fw-s2", "id: ▶fw-s1", "duplicate id 'fw-s1', first used at line 1. Ids are permanent: choose a new one."),
        ('["YY/###", YY/####]', '["YY/###", "####"]', "some of these patterns open with YY and some do not. Make them two entries."),
        ('made: "1946/1950"', "first: 1", "a number that opens with the year has its date. Remove 'anchors', 'first' and 'last'."),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_its_place(old: str, new: str, said: str, numbered: SmallBase) -> None:
    place = numbered.change(SERIALS, old, new)
    (refusal,) = numbered.refusals()
    assert refusal.startswith(place)
    assert refusal.endswith(said)


def advice(small: SmallBase) -> list[str]:
    base = small.read()
    return [line for line in checked(compile_base(base), [small.root]).advice if line.startswith("fw-s")]


def test_check_says_nothing_of_anchors_that_follow_each_other(numbered: SmallBase) -> None:
    assert advice(numbered) == []


def test_check_tells_of_anchors_that_contradict_and_where(numbered: SmallBase, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(numbered.root)
    numbered.change(SERIALS, 'date: "1941"', 'date: "1937"')
    (said,) = advice(numbered)
    assert said.startswith(
        f"fw-s1 ({Path(SERIALS)}:1): H 12400 is dated 1938-03 (sp-1), but 48800 is dated 1937 (cat-38:4)"
    )


def test_check_tells_of_one_number_with_two_dates_that_do_not_meet(numbered: SmallBase) -> None:
    numbered.change(SERIALS, "serial: 48800", "serial: 12400")
    assert len(advice(numbered)) == 1


@pytest.mark.parametrize(
    ("old", "new"),
    [('"1938-03", sources', '"1938-03", against: [48800], sources'), ("note: by its receipt", "against: [H 12400]")],
)
def test_check_is_silent_on_a_contradiction_that_is_known(old: str, new: str, numbered: SmallBase) -> None:
    numbered.change(SERIALS, 'date: "1941"', 'date: "1937"')
    numbered.change(SERIALS, old, new)
    assert advice(numbered) == []
