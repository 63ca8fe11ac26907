"""Comments of a file that is written anew: each stays, beside what it stood beside, and the file says what is new."""

from __future__ import annotations

from pathlib import Path

import yaml
from hobmark.case import Case, case_text, read_case
from hobmark.comments import with_comments
from hypothesis import assume, given
from hypothesis import strategies as st

from .sessions.cases import small_base
from .test_case import cases

OLD = """# head
hobmark: 1  # version
label: "rail # 2"
# before the looks
observations:   # looks
  # first
  - {feature: legs, is: recess}  # by daylight
  - feature: knob  # two lines
    is: round
  # third
  - {feature: clock, is: none}
# tail
"""


def rewritten(old: str, **changed: object) -> str:
    return with_comments(old, yaml.safe_dump({**yaml.safe_load(old), **changed}, sort_keys=False))


def test_a_file_in_which_nothing_changed_is_the_same() -> None:
    assert rewritten(OLD) == OLD


def test_another_label_changes_no_more_than_its_line() -> None:
    assert rewritten(OLD, label="back # 3") == OLD.replace('"rail # 2"', "'back # 3'")


def test_an_entry_of_the_same_name_keeps_its_place_and_its_comments() -> None:
    values = {"legs": "recess", "knob": "square", "clock": "none"}
    looks = [{"feature": feature, "is": value} for feature, value in values.items()]
    assert rewritten(OLD, observations=looks) == OLD.replace("is: round", "is: square")


def test_the_comments_of_what_is_gone_stand_at_the_head() -> None:
    text = rewritten(OLD, observations=[{"feature": "clock", "is": "none"}])
    assert text.startswith("# by daylight\n# two lines\n# third\n# head\n")


def test_a_sign_within_words_is_no_comment() -> None:
    assert with_comments("label: 'rail # 2'\n", "label: x\n") == "label: x\n"


def test_of_what_is_no_yaml_any_more_the_comments_stay() -> None:
    assert with_comments("# mine\na: [1\n", "a: 2\n") == "# mine\na: 2\n"


@given(cases, cases, st.lists(st.tuples(st.integers(0, 40), st.booleans()), min_size=1, max_size=8))
def test_whatever_changes_no_comment_is_lost_and_the_file_is_the_case(
    tmp_path_factory, before: Case, after: Case, places: list[tuple[int, bool]]
) -> None:
    lines = case_text(before).splitlines()
    for number, (place, behind) in enumerate(places):
        at, remark = place % len(lines), f"# remark {number}."
        if behind:
            lines[at] += f"  {remark}"
        else:
            lines.insert(at, remark)
    old = "\n".join(lines) + "\n"
    try:
        assume(yaml.safe_load(old) == yaml.safe_load(case_text(before)))
    except yaml.YAMLError:
        assume(False)
    new = with_comments(old, case_text(after))
    path: Path = tmp_path_factory.mktemp("case") / "case.yaml"
    path.write_text(new, encoding="utf-8")
    assert read_case(path, small_base()).case == after
    assert all(new.count(f"# remark {number}.") == 1 for number in range(len(places)))
