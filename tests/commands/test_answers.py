"""What a typed line means as an answer to one look."""

from __future__ import annotations

import time
from contextlib import suppress

import pytest
from hobmark.knowledge.schema.looks import Feature
from hobmark_tui.commands.answers import NotAnAnswer, length_example, read_answer
from hypothesis import given
from hypothesis import strategies as st

COMMON = {"label": "Clock", "assembly": "electrics", "ask": "What clock?", "look": "At the panel.", "access": "photo"}
BASE = Feature.model_validate(COMMON | {"values": {"curved": {}, "straight": {}, "recess": {}}})
CLOCK = Feature.model_validate(COMMON | {"values": {"absent": {}, "wind_up": {}}})
SHELF = Feature.model_validate(COMMON | {"traces_on": "body", "values": {"folding": {}, "fixed": {}}})
DEPTH = Feature.model_validate(
    COMMON | {"measure": {"unit": "mm", "error": "2"}, "bands": {"shallow": "..19", "deep": "19.."}}
)
WIDTH = Feature.model_validate(
    COMMON
    | {
        "measure": {"unit": "in", "error": "0.5"},
        "bands": {"w20": "..26", "w30": "26..33", "w36": "33..38", "w40": "38.."},
    }
)
GAUGED = Feature.model_validate(
    COMMON
    | {
        "measure": {"unit": "mm", "error": "0.03"},
        "bands": {"thin": "..0.32", "medium": "0.32..0.60", "heavy": "0.60.."},
    }
)


def said(feature: Feature, typed: str) -> dict[str, object]:
    """What the answer says, but for the feature's name."""
    seen = read_answer("it", feature, typed)
    return seen.model_dump(mode="json", by_alias=True, exclude_defaults=True, exclude={"feature"})


def refusal(feature: Feature, typed: str) -> str:
    with pytest.raises(NotAnAnswer) as caught:
        read_answer("it", feature, typed)
    return str(caught.value)


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("1", {"is": ["curved"]}),
        ("3", {"is": ["recess"]}),
        ("03", {"is": ["recess"]}),
        ("1,3", {"is": ["curved", "recess"]}),
        ("1, 3", {"is": ["curved", "recess"]}),
        ("3 1", {"is": ["recess", "curved"]}),
        ("2,2", {"is": ["straight"]}),
        ("1,2,3", {"is": ["curved", "straight", "recess"]}),
        ("!2", {"is_not": ["straight"]}),
        ("! 2", {"is_not": ["straight"]}),
        ("!1,2", {"is_not": ["curved", "straight"]}),
        ("2?", {"is": ["straight"], "sure": "likely"}),
        ("2 ??", {"is": ["straight"], "sure": "guess"}),
        ("1,3?", {"is": ["curved", "recess"], "sure": "likely"}),
        ("!2?", {"is_not": ["straight"], "sure": "likely"}),
        ("?", {"unseen": True}),
        ("straight", {"is": ["straight"]}),
    ],
)
def test_a_typed_line_is_an_answer(typed: str, means: dict[str, object]) -> None:
    assert said(BASE, typed) == means


@pytest.mark.parametrize("feature", [CLOCK, SHELF], ids=["what may be absent", "what leaves traces"])
@pytest.mark.parametrize("typed", ["x", "X"])
def test_x_says_that_it_was_there_and_is_gone(feature: Feature, typed: str) -> None:
    assert said(feature, typed) == {"removed": True}


def test_x_is_refused_where_nothing_can_be_gone() -> None:
    assert refusal(BASE, "x").startswith("That cannot be gone from a range.")


@pytest.mark.parametrize("typed", ["31 mm", "3.1 cm", "1 1/4 in", "1-1/4 in", '1 1/4"', "31mm", "0 mm", "99999 in"])
def test_a_length_with_its_unit_is_kept_as_typed(typed: str) -> None:
    assert said(DEPTH, typed) == {"measured": typed}


@pytest.mark.parametrize("typed", ["31 furlongs", "1/0 in", "1/0", "-3 mm", "1e3 mm", "nan mm", "31 mm???"])
def test_a_length_that_is_none_is_refused(typed: str) -> None:
    assert refusal(DEPTH, typed)


@pytest.mark.parametrize(
    ("feature", "typed", "means"),
    [
        (WIDTH, "36", {"measured": "36 in"}),
        (WIDTH, "35.5", {"measured": "35.5 in"}),
        (WIDTH, "35 1/2", {"measured": "35 1/2 in"}),
        (WIDTH, "36?", {"measured": "36 in", "sure": "likely"}),
        (WIDTH, "900 mm??", {"measured": "900 mm", "sure": "guess"}),
        (DEPTH, "31", {"measured": "31 mm"}),
        (GAUGED, "0.45", {"measured": "0.45 mm"}),
    ],
)
def test_a_bare_number_is_a_length_in_the_unit_of_the_question(
    feature: Feature, typed: str, means: dict[str, object]
) -> None:
    assert said(feature, typed) == means


def test_a_bare_number_that_answers_the_question_is_that_answer() -> None:
    assert said(WIDTH, "4") == {"is": ["w40"]}


@pytest.mark.parametrize("typed", ["5", "0", "90", "5?", "500"])
def test_a_bare_number_that_is_no_likely_size_is_not_taken_for_a_length(typed: str) -> None:
    said = f"There are answers 1 to 4; such a length needs its unit, as {typed.rstrip('?')} in."
    assert refusal(WIDTH, typed) == said


@pytest.mark.parametrize(
    ("feature", "example"),
    [
        (WIDTH, "36 in, or 36 alone"),
        (DEPTH, "19 mm, or 19 alone"),
        (GAUGED, "0.46 mm, or 0.46 alone"),
        (BASE, ""),
    ],
)
def test_the_example_of_a_length_is_of_the_looks_own_size_and_unit(feature: Feature, example: str) -> None:
    assert length_example(feature) == example


def test_a_band_by_its_number_will_do_where_nothing_was_measured() -> None:
    assert said(DEPTH, "2") == {"is": ["deep"]}


def test_a_length_for_what_is_not_measured_is_refused() -> None:
    assert refusal(BASE, "31 mm").startswith("A number is an answer")


@pytest.mark.parametrize("typed", ["0", "4", "99", "1,4", "!0"])
def test_a_number_beyond_the_answers_is_told_how_many_there_are(typed: str) -> None:
    assert refusal(BASE, typed) == "There are answers 1 to 3."


def test_a_negation_that_leaves_nothing_is_refused() -> None:
    assert refusal(BASE, "!1,2,3") == "That leaves no value at all; type ? if it cannot be seen."


@pytest.mark.parametrize("typed", ["", "!", "??", "1-3", "1.5", "yes", "1,,3", ",", "2???", "100", "\x1b[A", "½"])
def test_anything_else_is_met_with_how_to_answer(typed: str) -> None:
    assert refusal(BASE, typed).startswith("A number is an answer")


@pytest.mark.parametrize("typed", ["1 " * 4000, "1" + " " * 4000 + "z", "9" * 4000, "!" * 4000])
def test_a_line_that_never_ends_is_refused_at_once(typed: str) -> None:
    start = time.process_time()
    assert refusal(BASE, typed)
    assert time.process_time() - start < 0.1


@given(st.text(max_size=30))
def test_whatever_is_typed_is_an_answer_or_refused_as_none(typed: str) -> None:
    with suppress(NotAnAnswer):
        assert read_answer("it", DEPTH, typed).feature == "it"
