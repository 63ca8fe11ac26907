"""A case: read and held against a base, added to, and written so that it reads the same again."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

import re
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hobmark.case import Case, case_text, read_case, write_case
from hobmark.files import UNWANTED
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.problems import Refused
from hypothesis import given
from hypothesis import strategies as st

from .knowledge.small_base import SmallBase

HERE = "▶"
WHOLE = """\
hobmark: 1
label: green range, Saturday sale
situation: sale
claims: {maker: finch_works, variant: finch_works/finch_deluxe, made: "1940"}
observations:
  - {feature: dial_material, is: urea}
  - {feature: drip_pans, is: [absent, present], sure: likely}
  - {feature: base, is_not: legs}
  - {feature: drip_pan_depth, measured: 31 mm}
  - {feature: dial_skirt, unseen: true}
  - {feature: high_shelf, removed: true, note: two plugged holes}
  - {plate_text: PAT. 2108343, found_on: rating_plate}
  - {serial: "H 41877", found_on: body}
expect: {variant: finch_plain, made: "1938/1940", not_its_own: [oven_control]}
not: [finch_works/finch_deluxe]
todo: no specimen with this dial yet
"""


@cache
def small_base() -> KnowledgeBase:
    with tempfile.TemporaryDirectory() as folder:
        return SmallBase(Path(folder) / "base").read()


@pytest.fixture
def base() -> KnowledgeBase:
    return small_base()


def written(tmp_path: Path, text: str) -> Path:
    (tmp_path / "case.yaml").write_text(text, encoding="utf-8")
    return tmp_path / "case.yaml"


def case(*observations: dict[str, Any], **fields: Any) -> Case:
    return Case.model_validate({"hobmark": "1", "observations": observations, **fields})


def test_a_whole_case_is_read(tmp_path: Path, base: KnowledgeBase) -> None:
    path = written(tmp_path, WHOLE)
    read = read_case(path, base)
    assert read.path == path
    assert (read.case.situation, read.case.claims.made, len(read.case.observations)) == ("sale", "1940", 8)


def test_a_case_needs_no_more_than_its_opening_word(tmp_path: Path, base: KnowledgeBase) -> None:
    assert read_case(written(tmp_path, "hobmark: 1\n"), base).case == Case(hobmark="1")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("hobmark: 1", "hobmark: ▶2", "unknown word '2' for hobmark. Write one of: 1."),
        ("hobmark: 1\n", "▶hobmrk: 1\n", "unknown field 'hobmrk'. Did you mean 'hobmark'?"),
        ("hobmark: 1\n", "▶", "'hobmark' is missing. Add it."),
        ("situation: sale", "situation: ▶sail", "unknown word 'sail' for situation. Did you mean 'sale'?"),
        ("is: urea", "is: ▶urae", "unknown value 'urae' for dial_material. Did you mean 'urea'?"),
        ("feature: dial_material", "feature: ▶dail_material", "unknown feature 'dail_material'. Did you mean 'dial_material'?"),
        ("sure: likely", "sure: ▶perhaps", "unknown word 'perhaps' for sure. Write one of: certain, likely, guess."),
        ("found_on: body", "found_on: ▶bodi", "unknown assembly 'bodi'. Did you mean 'body'?"),
        ("feature: base, is_not: legs", "feature: ▶dial_material, is_not: urea", "'dial_material' is observed already, as entry 1. Keep one, or write a list of values."),
        ("maker: finch_works", "maker: ▶finch_work", "unknown maker 'finch_work'. Did you mean 'finch_works'?"),
        ("maker: finch_works", "maker: ▶linnet", "unknown maker 'linnet'. Use one of finch_works."),
        ("variant: finch_works/finch_deluxe", "variant: ▶finch_works/finch_delux", "unknown variant 'finch_works/finch_delux'. Did you mean 'finch_works/finch_deluxe'?"),
        ("variant: finch_works/finch_deluxe", "variant: ▶kite", "unknown variant 'kite'. Write it as maker/variant."),
        ("variant: finch_plain", "variant: ▶finch_plane", "unknown variant 'finch_plane'. Did you mean 'finch_plain'?"),
        ("not: [finch_works/finch_deluxe]", "not: [▶finch_deluks]", "unknown variant 'finch_deluks'. Did you mean 'finch_deluxe'?"),
        ("not_its_own: [oven_control]", "not_its_own: [▶oven_contrl]", "unknown assembly 'oven_contrl'. Did you mean 'oven_control'?"),
        ("not_its_own: [oven_control]", "fit: {▶fw-p-1: exact}", "unknown part 'fw-p-1'. Write the id of a part, as in parts.yaml."),
        ("not_its_own: [oven_control]", "fit: {fw-p-1: ▶fits}", "unknown word 'fits' for fw-p-1. Write one of: exact, superseded, interchanges, fits_with_modification, unproven, does_not_fit, prohibited."),
        ('made: "1940"', 'made: ▶"1937-39"', "'1937-39' is a part of the year 1937 in EDTF. Write 1937/1939 for the years."),
        ('made: "1940"', "made: ▶c.1940", "'c.1940' is not an EDTF date. Write 1940, 1940~ (about) or 1940/.. (from then on)."),
        ("removed: true", "removed: ▶perhaps", "'perhaps' is neither true nor false. Write true or false."),
        ("todo:", "▶toodo:", "unknown field 'toodo'. Did you mean 'todo'?"),
    ],
)  # fmt: skip
def test_a_mistake_in_a_case_is_told_at_its_place(
    old: str, new: str, said: str, tmp_path: Path, base: KnowledgeBase
) -> None:
    assert WHOLE.count(old) == 1
    before, _, after = WHOLE.replace(old, new).partition(HERE)
    path = written(tmp_path, before + after)
    with pytest.raises(Refused) as caught:
        read_case(path, base, strict=True)
    place = f"{before.count(chr(10)) + 1}:{len(before) - before.rfind(chr(10))}"
    assert list(map(str, caught.value.problems)) == [f"{path}:{place}: {said}"]


STRANGE = """hobmark: 1
claims: {maker: foundry_x, variant: foundry_x/finch, made: "1940"}
not: [finch_works/kite, finch_plain]
observations:
- {feature: dail_material, is: urea}  # by the window
- {feature: base, is: legs}
- {feature: quite_other, is: so, sure: likely}
"""


def test_what_a_base_does_not_know_is_set_aside_and_told_at_its_place(tmp_path: Path, base: KnowledgeBase) -> None:
    path = written(tmp_path, STRANGE)
    read = read_case(path, base)
    assert [seen.feature for seen in read.case.observations] == ["base"]
    assert (read.case.not_, read.case.claims.maker, read.case.claims.made) == (("finch_plain",), None, "1940")
    aside = "Set aside; it stays in the file."
    assert list(map(str, read.set_aside)) == [
        f"{path}:2:17: unknown maker 'foundry_x'. {aside}",
        f"{path}:2:37: unknown variant 'foundry_x/finch'. {aside}",
        f"{path}:3:7: unknown variant 'finch_works/kite'. {aside}",
        f"{path}:5:13: unknown feature 'dail_material'. {aside} Did you mean 'dial_material'?",
        f"{path}:7:13: unknown feature 'quite_other'. {aside}",
    ]


def test_what_was_set_aside_stays_in_the_file_when_the_case_is_written(tmp_path: Path, base: KnowledgeBase) -> None:
    path = written(tmp_path, STRANGE)
    more = read_case(path, base).case.with_observation(Observation.model_validate({"feature": "base", "unseen": True}))
    write_case(path, more)
    text = path.read_text(encoding="utf-8")
    assert "- {feature: dail_material, is: urea} # by the window" in text
    assert "- {feature: quite_other, is: so, sure: likely}" in text
    assert "maker: foundry_x" in text
    assert "finch_works/kite" in text
    assert "{feature: base, unseen: true}" in text


def test_a_base_that_knows_it_takes_up_what_another_set_aside(tmp_path: Path, base: KnowledgeBase) -> None:
    known = read_case(written(tmp_path, WHOLE), base).case
    assert known.known_to(base.with_makers({})).whole() == known


@pytest.mark.parametrize("part", ["claims", "expect"])
def test_a_maker_that_did_not_make_the_variant_beside_it_is_told_at_its_place(
    part: str, tmp_path: Path, base: KnowledgeBase
) -> None:
    both = base.with_makers({**base.makers, "wren_works": base.makers["finch_works"]})
    path = written(tmp_path, f"hobmark: 1\n{part}: {{variant: finch_works/finch_deluxe, maker: wren_works}}\n")
    with pytest.raises(Refused) as caught:
        read_case(path, both)
    assert str(caught.value) == (
        f"{path}:2:{len(part) + 46}: 'wren_works' did not make the variant 'finch_works/finch_deluxe'; "
        "'finch_works' did. Delete the maker, or name a variant of its own."
    )


def test_a_maker_beside_a_variant_of_its_own_is_taken_as_it_stands(tmp_path: Path, base: KnowledgeBase) -> None:
    path = written(tmp_path, "hobmark: 1\nclaims: {maker: finch_works, variant: finch_deluxe}\n")
    assert read_case(path, base).case.claims.maker == "finch_works"


def test_every_problem_of_a_case_is_told_in_file_order(tmp_path: Path, base: KnowledgeBase) -> None:
    text = WHOLE.replace("finch_plain", "finch_plane").replace("is: urea", "is: urae").replace("body}", "bodi}")
    with pytest.raises(Refused) as caught:
        read_case(written(tmp_path, text), base, strict=True)
    assert [problem.line for problem in caught.value.problems] == [6, 13, 14]


def test_a_case_that_is_not_there_is_refused(tmp_path: Path, base: KnowledgeBase) -> None:
    with pytest.raises(Refused, match=r"case\.yaml:1:1: there is no such file or folder\."):
        read_case(tmp_path / "case.yaml", base)


def test_a_case_written_and_read_is_the_same(tmp_path: Path, base: KnowledgeBase) -> None:
    first = read_case(written(tmp_path, WHOLE), base).case
    write_case(tmp_path / "again.yaml", first)
    assert read_case(tmp_path / "again.yaml", base).case == first


def test_a_case_is_written_as_a_person_would(tmp_path: Path, base: KnowledgeBase) -> None:
    text = case_text(read_case(written(tmp_path, WHOLE), base).case)
    assert text.splitlines()[:3] == WHOLE.splitlines()[:3]
    assert (
        "  - {feature: dial_material, is: urea}\n  - {feature: drip_pans, is: [absent, present], sure: likely}\n"
        in text
    )


def test_an_empty_case_says_that_nothing_was_seen() -> None:
    assert case_text(Case(hobmark="1")) == "hobmark: 1\nlabel: a range\nsituation: sale\nobservations: []\n"


signs = st.characters(exclude_categories=["Cs"]).filter(lambda sign: not UNWANTED.search(sign))
words = st.text(signs, min_size=1, max_size=60)
lines = st.lists(words, min_size=1, max_size=3).map("\n".join)
sure = st.sampled_from(["certain", "likely", "guess"])
noted = st.fixed_dictionaries({"sure": sure}, optional={"note": lines, "original": st.booleans()})
readings = st.one_of(
    st.lists(st.sampled_from(["porcelain", "phenolic", "urea"]), min_size=1, max_size=3, unique=True).map(
        lambda values: {"feature": "dial_material", "is": values}
    ),
    st.just({"feature": "drip_pans", "is_not": ["absent"]}),
    st.integers(1, 99).map(lambda depth: {"feature": "drip_pan_depth", "measured": f"{depth} mm"}),
    st.sampled_from([{"feature": "high_shelf", "removed": True}, {"feature": "base", "unseen": True}]),
    lines.map(lambda text: {"plate_text": text, "found_on": "rating_plate"}),
    words.map(lambda text: {"serial": text, "found_on": "body"}),
)
sighting = st.builds(lambda reading, more: {**reading, **more}, readings, noted)
observations = st.lists(sighting, max_size=5, unique_by=lambda seen: seen.get("feature", repr(seen)))
cases = st.builds(
    lambda fields, seen: case(*seen, **fields),
    st.fixed_dictionaries(
        {"label": words, "situation": st.sampled_from(["listing", "sale", "bench"])},
        optional={
            "claims": st.just({"variant": "finch_plain", "made": "1940"}),
            "expect": st.just({"unlisted": True}),
            "not": st.just(["finch_deluxe"]),
            "todo": lines,
            "note": lines,
        },
    ),
    observations,
)


@given(cases)
def test_whatever_was_said_is_read_back_as_it_was(said: Case) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "case.yaml"
        write_case(path, said)
        assert read_case(path, small_base()).case == said


@pytest.mark.parametrize("text", ["a\x07b", "a\x85b", "\ufeffa", "a\x0cb"])
def test_words_that_could_not_be_read_back_are_not_written(text: str, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    write_case(path, Case(hobmark="1"))
    with pytest.raises(Refused, match=r"cannot stand in a text\. Delete it, then save again\."):
        write_case(path, case({"feature": "base", "is": "legs", "note": text}))
    assert path.read_text(encoding="utf-8") == case_text(Case(hobmark="1"))


def test_a_new_observation_takes_the_place_of_an_earlier_one_of_its_feature() -> None:
    first = case({"feature": "base", "is": "legs"}, {"feature": "drip_pans", "is": "absent"})
    after = first.with_observation(Observation.model_validate({"feature": "base", "is": "skirt"}))
    assert [(seen.feature, seen.is_) for seen in after.observations] == [
        ("drip_pans", ("absent",)),
        ("base", ("skirt",)),
    ]


def test_an_observation_added_leaves_the_case_it_was_added_to() -> None:
    first = case({"feature": "base", "is": "legs"})
    first.with_observation(Observation.model_validate({"feature": "base", "is": "skirt"}))
    assert first.observations[0].is_ == ("legs",)


def test_words_found_on_parts_all_stay() -> None:
    plate = {"plate_text": "A", "found_on": "body"}
    after = case(plate).with_observation(Observation.model_validate(plate | {"plate_text": "B"}))
    assert [seen.plate_text for seen in after.observations] == ["A", "B"]


def test_what_could_not_be_seen_counts_as_answered() -> None:
    seen = case({"feature": "base", "unseen": True}, {"serial": "1", "found_on": "body"})
    assert seen.answered() == {"base"}


def test_a_look_can_be_taken_back() -> None:
    seen = case({"feature": "base", "is": "legs"}, {"feature": "drip_pans", "is": "absent"})
    assert seen.without_feature("base").answered() == {"drip_pans"}


@pytest.mark.parametrize(
    ("field", "entry", "says"),
    [
        ("observations", "{feature: clock, is: none}", "observations has too many entries. Give at most 400."),
        ("observations", "{plate_text: ZONE 5, found_on: base}", "no range has 400 plates. Write down 40 at most."),
        ("measures", "{kind: grate, measure: span, value: 8 in}", "measures has too many entries. Give at most 400."),
        ("numbers", "{kind: grate, number: F 7}", "numbers has too many entries. Give at most 400."),
    ],
)
def test_a_case_holds_no_more_than_one_range_has(field: str, entry: str, says: str, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(f"hobmark: 1\n{field}:\n" + f"  - {entry}\n" * (400 + ("400." in says)), encoding="utf-8")
    with pytest.raises(Refused, match=re.escape(says)):
        read_case(path, small_base())
