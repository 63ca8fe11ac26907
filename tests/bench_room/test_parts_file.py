"""parts.yaml, fit_rules.yaml and part_kinds.yaml: what they may say, and where a mistake in them is told."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.knowledge.schema.measures import hundredths, plain_number

from ..knowledge.small_base import SmallBase

KINDS, PARTS, RULES = "reference/part_kinds.yaml", "finch_works/parts.yaml", "finch_works/fit_rules.yaml"
KINDS_TEXT = """\
grate:
  label: grate
  assembly: loose_iron
  seat: body
  class: trial
  dimensions:
    span: {label: span, how: a tracing, access: hand}
    finish: {label: finish, how: look, access: hand, words: [bare, enamelled]}
control:
  label: control
  assembly: oven_control
  class: critical
  dimensions:
    length: {label: length, how: caliper}
    thread: {label: thread, how: thread gauge, words: [coarse, fine]}
  cautions: [gas]
  exchange: true
"""
PARTS_TEXT = """\
- id: fw-p1
  label: grate
  kind: grate
  numbers: [G 1]
  hand: left
  class: trial
  fits: [{of: [finch_plain], made: "../1939", sources: [cat-38:4]}]
  needs: [{measure: span, between: [200 mm, 8 1/4 in]}]
- id: fw-p2
  label: later grate
  kind: grate
  numbers: [G-2]
  class: trial
  fits: [{of: [all], made: "1939/..", sources: [cat-38:4]}]
  supersedes: [{part: fw-p1, from: "1939", sources: [cat-38:4]}]
- id: fw-p3
  label: control
  kind: control
  numbers: [C 3]
  class: critical
  fits: [{of: [finch], sources: [cat-38:5]}]
  needs:
    - {measure: length, between: [60 mm, 63 mm]}
    - {measure: thread, is: fine, on: part}
  prohibited: [{with: {dial_skirt: steel}, because: Another stem., sources: [cat-38:5]}]
  proved_by: Soap at both joints.
"""
RULES_TEXT = """\
- id: fw-f1
  when: {all: [{dial_skirt: absent}, {measure: length, of: control, between: [60 mm, 61 mm]}]}
  then: [{fit: not, parts: [fw-p3]}, {remark: It is the old control.}]
  because: It has no skirt.
  sources: [cat-38:6]
- id: fw-f2
  when: {all: [{fitted: [fw-p3]}, {variant: [finch_plain]}]}
  then: [{fit: interchanges, parts: [fw-p1]}]
  because: They were sold together.
  sources: [cat-38:6]
"""


@pytest.fixture
def stocked(tmp_path: Path) -> SmallBase:
    small = SmallBase(tmp_path / "base")
    for name, text in ((KINDS, KINDS_TEXT), (PARTS, PARTS_TEXT), (RULES, RULES_TEXT)):
        small.write(name, text)
    return small


def test_parts_and_fit_rules_of_a_maker_are_read(stocked: SmallBase) -> None:
    folder = stocked.read().makers["finch_works"]
    assert list(folder.acting_parts) == ["fw-p1", "fw-p2", "fw-p3"]
    assert [rule.id for rule in folder.acting_fit_rules] == ["fw-f1", "fw-f2"]


def test_a_part_goes_one_way_unless_a_paper_says_otherwise(stocked: SmallBase) -> None:
    (link,) = stocked.read().makers["finch_works"].acting_parts["fw-p2"].supersedes
    assert link.one_way


def test_a_part_is_for_either_side_unless_told(stocked: SmallBase) -> None:
    parts = stocked.read().makers["finch_works"].acting_parts
    assert [part.hand for part in parts.values()] == ["left", "either", "either"]


@pytest.mark.parametrize("text", ["", "[]", "# nothing yet\n"])
def test_a_parts_file_in_which_nothing_is_written_yet_reads(text: str, stocked: SmallBase) -> None:
    stocked.write(PARTS, text)
    stocked.write(RULES, text)
    assert stocked.read().makers["finch_works"].parts == ()


def test_a_retired_part_no_longer_acts(stocked: SmallBase) -> None:
    stocked.change(PARTS, "  label: control\n", "  label: control\n  status: retired\n")
    assert "fw-p3" not in stocked.read().makers["finch_works"].acting_parts


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("kind: control", "kind: ▶controll", "unknown kind of part 'controll'. Did you mean 'control'?"),
        ("of: [finch_plain], made", "of: [▶finch_plane], made", "unknown variant or family 'finch_plane'. Did you mean 'finch_plain'?"),
        ("sources: [cat-38:5]}]\n  needs", "sources: [▶cat-83:5]}]\n  needs", "unknown source 'cat-83'. Did you mean 'cat-38'?"),
        ("{measure: span,", "{measure: ▶spam,", "unknown measure of grate 'spam'. Did you mean 'span'?"),
        ("between: [200 mm, 8 1/4 in]", "between: [▶200, 8 1/4 in]", "'200' is not a length. Write it with its unit, as 31 mm or 1 1/4 in."),
        ("between: [60 mm, 63 mm]", "is: ▶fine", "'length' is a length. Write 'between: [least, greatest]', each with its unit."),
        ("is: fine, on: part", "is: ▶finer, on: part", "'finer' is no thread of a control. Did you mean 'fine'?"),
        ("is: fine, on: part", "between: ▶[1 mm, 2 mm], on: part", "'thread' is no length. Write 'is:' with one of coarse, fine."),
        ("made: \"../1939\"", "made: ▶\"../1930\"", "none of finch_plain was made in ../1930. Mend these years, or 'of'."),
        ("part: fw-p1,", "part: ▶fw-p9,", "unknown part 'fw-p9'. Did you mean 'fw-p3'?"),
        ("with: {dial_skirt: steel}", "with: {dial_skirt: ▶steal}", "unknown value 'steal' for dial_skirt. Did you mean 'steel'?"),
        ("with: {dial_skirt: steel}", "instead_of: [▶fw-p3]", "unknown part 'fw-p3'. Did you mean 'fw-p2'?"),
        ("kind: control\n  numbers: [C 3]\n  class: critical", "kind: control\n  numbers: [C 3]\n  class: ▶measured", "a control is critical at the least, and this one is measured. Write critical."),
    ],
)  # fmt: skip
def test_a_mistake_in_parts_is_told_in_its_place(old: str, new: str, said: str, stocked: SmallBase) -> None:
    place = stocked.change(PARTS, old, new)
    assert f"{place}: {said}" in stocked.refusals()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("  proved_by: Soap at both joints.\n", "", "a critical part has no check that proves it. Write 'proved_by', the test once it is on."),
        ("    - {measure: thread, is: fine, on: part}\n", "", "a critical part is proven by 2 checks or more, and this one has 1. Write what is measured under 'needs'."),
        ("    - {measure: thread, is: fine, on: part}\n", "    - {measure: length, between: [1 mm, 2 mm]}\n", "'length' is needed twice. Keep one."),
        ("  proved_by: Soap at both joints.\n", "  proved_by: Soap.\n  modification: {does: File it., reversible: false, sources: [cat-38]}\n", "a critical part is never modified. Remove 'modification' and 'as: modified'."),
        ("fits: [{of: [all], made", "fits: [{of: [all], as: modified, made", "it fits with a modification that is not said. Write 'modification: {does, reversible, sources}'."),
        ("fits: [{of: [all], made", "fits: [{of: [all], as: not, made", "it is not said why the part does not fit. Write 'because'."),
        ("fits: [{of: [all], made", "fits: [{of: [all], as: prohibited, made", "what is prohibited stands in a list of its own. Write it under 'prohibited'."),
        ("with: {dial_skirt: steel}, because", "because", "it is not said where the part is prohibited. Write 'of', 'with' or 'instead_of'."),
        ("between: [60 mm, 63 mm]", "between: [63 mm, 60 mm]", "63 mm to 60 mm holds no length. Write the least first."),
        ("between: [60 mm, 63 mm]", "how: caliper", "'length' is tested by nothing, or twice. Write 'between: [22 mm, 26 mm]' or 'is'."),
        ("numbers: [C 3]", "numbers: ['--']", "'--' is not a number of a part. Write the letters and digits that stand on it."),
    ],
)  # fmt: skip
def test_a_part_that_cannot_be_proven_is_refused(old: str, new: str, said: str, stocked: SmallBase) -> None:
    stocked.change(PARTS, old, new)
    assert [each.partition(": ")[2] for each in stocked.refusals() if each.startswith(PARTS)] == [said]


def test_a_chain_that_comes_back_to_its_beginning_is_refused_at_each_link(stocked: SmallBase) -> None:
    stocked.change(
        PARTS, "  needs: [{measure: span", "  supersedes: [{part: fw-p2, sources: [cat-38]}]\n  needs: [{measure: span"
    )
    said = [each.partition(": ")[2] for each in stocked.refusals()]
    remedy = "Leave the link out that points from the earlier part to the later one."
    assert said == [
        f"'fw-p1' supersedes itself in a circle: fw-p1 -> fw-p2 -> fw-p1. {remedy}",
        f"'fw-p2' supersedes itself in a circle: fw-p2 -> fw-p1 -> fw-p2. {remedy}",
    ]


def test_a_part_that_nobody_has_is_refused(stocked: SmallBase) -> None:
    stocked.change(
        PARTS,
        '  fits: [{of: [all], made: "1939/..", sources: [cat-38:4]}]\n  supersedes: [{part: fw-p1, from: "1939", sources: [cat-38:4]}]\n',
        "",
    )
    assert "fits nothing" in stocked.refusals()[0]


def test_a_part_that_takes_the_place_of_one_somebody_has_needs_no_range_of_its_own(stocked: SmallBase) -> None:
    stocked.change(PARTS, '  fits: [{of: [all], made: "1939/..", sources: [cat-38:4]}]\n', "")
    assert "fw-p2" in stocked.read().makers["finch_works"].acting_parts


def test_beyond_a_break_a_part_does_need_a_range_of_its_own(stocked: SmallBase) -> None:
    stocked.change(PARTS, '  fits: [{of: [all], made: "1939/..", sources: [cat-38:4]}]\n', "")
    stocked.change(PARTS, 'from: "1939", sources', 'from: "1939", break: another bracket, sources')
    assert "fits nothing" in stocked.refusals()[0]


def test_one_number_on_a_left_and_on_a_right_part_is_refused(stocked: SmallBase) -> None:
    stocked.change(PARTS, "  numbers: [G-2]\n", "  numbers: [▶g1]\n  hand: right\n")
    (said,) = stocked.refusals()
    assert said.endswith(
        "'g1' is a right part here and a left one at line 4. Mend one of the two: mirrored castings are numbered apart."
    )


def test_one_number_on_two_parts_of_the_same_side_is_no_mistake(stocked: SmallBase) -> None:
    stocked.change(PARTS, "  numbers: [G-2]\n", "  numbers: [g1]\n  hand: left\n")
    assert stocked.read().makers["finch_works"].parts


def test_a_measure_of_which_nobody_says_how_it_is_taken_is_refused(stocked: SmallBase) -> None:
    stocked.change(KINDS, "{label: span, how: a tracing, access: hand}", "{label: span, access: hand}")
    (said,) = stocked.refusals()
    assert said.endswith(
        "'span' cannot be measured: it is not said how. Write 'how', with the tool and the two points."
    )


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("assembly: oven_control", "assembly: ▶oven_controls", "unknown assembly 'oven_controls'. Did you mean 'oven_control'?"),
        ("seat: body", "seat: ▶boddy", "unknown assembly 'boddy'. Did you mean 'body'?"),
        ("cautions: [gas]", "cautions: [▶gaz]", "unknown caution 'gaz'. Did you mean 'gas'?"),
        ("cautions: [gas]", "looks: [▶dial_skirts]", "unknown feature 'dial_skirts'. Did you mean 'dial_skirt'?"),
        ("cautions: [gas]", "jet: ▶lenght", "unknown length of control 'lenght'. Did you mean 'length'?"),
    ],
)  # fmt: skip
def test_a_mistake_in_kinds_is_told_in_its_place(old: str, new: str, said: str, stocked: SmallBase) -> None:
    assert f"{stocked.change(KINDS, old, new)}: {said}" in stocked.refusals()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("left_alone: Leave it.\n  pictures: [the oven]", "what is left alone is not posted, and no number is read on it. Remove one of the two."),
        ("number: On its face.\n  left_alone: Leave it.\n  pictures: [the oven]", "what is left alone is not posted, and no number is read on it. Remove one of the two."),
    ],
    ids=["exchange", "number"],
)  # fmt: skip
def test_what_is_left_alone_is_neither_posted_nor_numbered(more: str, said: str, stocked: SmallBase) -> None:
    stocked.change(KINDS, "  exchange: true\n", f"  exchange: true\n  {more}\n")
    assert any(said in each for each in stocked.refusals())


def test_of_what_is_left_alone_it_is_said_which_pictures_can_be_had(stocked: SmallBase) -> None:
    stocked.change(KINDS, "  exchange: true\n", "  left_alone: Leave it.\n")
    assert any("it is not said which pictures can be had" in each for each in stocked.refusals())


def test_a_part_stands_where_its_kind_does(stocked: SmallBase) -> None:
    stocked.change(KINDS, "  seat: body\n", "  seat: body\n  places: [front_left, rear_left]\n")
    place = stocked.change(PARTS, "  hand: left\n", "  hand: left\n  places: [▶front_right]\n")
    assert any(each.startswith(f"{place}: a grate does not stand at front_right.") for each in stocked.refusals())


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("parts: [fw-p3]", "parts: [▶fw-p4]", "unknown part 'fw-p4'. Did you mean 'fw-p3'?"),
        ("{fitted: [fw-p3]}", "{fitted: [▶fw-p8]}", "unknown part 'fw-p8'. Did you mean 'fw-p3'?"),
        ("{variant: [finch_plain]}", "{variant: [▶finch_plane]}", "unknown variant or family 'finch_plane'. Did you mean 'finch_plain'?"),
        ("of: control, between", "of: ▶controls, between", "unknown kind of part 'controls'. Did you mean 'control'?"),
        ("{measure: length,", "{measure: ▶lenght,", "unknown measure of control 'lenght'. Did you mean 'length'?"),
        ("{fit: not,", "{fit: ▶nott,", "unknown word 'nott' for fit. Did you mean 'not'?"),
        ("{fit: not,", "{fit: modified,", "a critical part is never modified. Write what fits as it is."),
        ("{dial_skirt: absent}", "{▶dial_skirts: absent}", "unknown feature 'dial_skirts'. Did you mean 'dial_skirt'?"),
    ],
)  # fmt: skip
def test_a_mistake_in_fit_rules_is_told_in_its_place(old: str, new: str, said: str, stocked: SmallBase) -> None:
    place = stocked.change(RULES, old, new)
    assert any(each.startswith(place) and each.endswith(f": {said}") for each in stocked.refusals())


@pytest.mark.parametrize("text", ["TB-3", "tb 3", "TB3", "Tb . 3"])
def test_a_number_is_the_same_however_it_is_written(text: str) -> None:
    assert plain_number(text) == "tb-3"


def test_two_groups_of_digits_stay_apart() -> None:
    assert plain_number("1-12") != plain_number("11-2")


@pytest.mark.parametrize(("text", "whole"), [("22 mm", 2200), ("1/2 in", 1270), ("2.205 cm", 2205), ("0.005 in", 13)])
def test_a_measure_enters_the_rules_as_a_whole_number_of_hundredths(text: str, whole: int) -> None:
    assert hundredths(text) == whole
