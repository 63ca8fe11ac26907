"""What a curator reads when something is refused."""

from __future__ import annotations

import pickle

import pytest
from hobmark.problems import ECHO_LIMIT, Problem, Refused, did_you_mean, listed, shown, spoken
from hobmark.yaml_words import yaml_worded
from hypothesis import given
from hypothesis import strategies as st

KNOWN = ("porcelain", "phenolic", "urea", "chromed_zinc")


def test_a_problem_reads_as_place_then_what_is_wrong_then_what_to_do() -> None:
    problem = Problem("traits.yaml", 41, 12, "unknown value 'urae' for dial_material.", "Did you mean 'urea'?")
    assert str(problem) == "traits.yaml:41:12: unknown value 'urae' for dial_material. Did you mean 'urea'?"


def test_a_problem_without_a_remedy_has_no_trailing_space() -> None:
    assert str(Problem("a.yaml", 1, 1, "it is wrong.", "")) == "a.yaml:1:1: it is wrong."


def test_a_problem_stays_on_one_line_whatever_its_path_and_message_hold() -> None:
    said = str(Problem("a\n.yaml", 1, 1, "bad \x1b[31m\u202e thing.", "Mend it."))
    assert said == "a\\n.yaml:1:1: bad \\x1b[31m\\u202e thing. Mend it."


def test_problems_sort_in_file_order() -> None:
    later, earlier = Problem("a", 10, 1, "x", ""), Problem("a", 9, 30, "y", "")
    assert sorted([later, earlier]) == [earlier, later]


def test_a_refusal_prints_one_line_a_problem() -> None:
    refused = Refused([Problem("a", 1, 1, "x.", "X."), Problem("b", 2, 3, "y.", "Y.")])
    assert str(refused) == "a:1:1: x. X.\nb:2:3: y. Y."


def test_a_refusal_survives_the_way_between_processes() -> None:
    refused = Refused([Problem("a", 1, 1, "x.", "X.")])
    assert pickle.loads(pickle.dumps(refused)).problems == refused.problems


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("urea", "urea"),
        ("Wärmer ½", "Wärmer ½"),
        ("a\tb\nc\x00", "a\\tb\\nc\\x00"),
        ("\u202eaeru\u2066", "\\u202eaeru\\u2066"),
        ("urea\u00a0", "urea\\xa0"),
        ("x" * 60, "x" * 60),
        ("x" * 61, "x" * 59 + "…"),
    ],
)
def test_echoed_text_shows_what_is_invisible_and_stops_at_sixty_characters(text: str, seen: str) -> None:
    assert shown(text) == seen


@given(st.text())
def test_echoed_text_is_always_short_and_printable(text: str) -> None:
    assert len(shown(text)) <= ECHO_LIMIT
    assert shown(text).isprintable()


@pytest.mark.parametrize(
    ("word", "meant"),
    [("urae", "urea"), ("Porcelain", "porcelain"), ("chromed zinc", "chromed_zinc"), ("fenolic", "phenolic")],
)
def test_a_near_miss_is_met_with_the_word_that_was_meant(word: str, meant: str) -> None:
    assert did_you_mean(word, KNOWN) == f" Did you mean '{meant}'?"


@pytest.mark.parametrize("word", ["", "gooseneck", "u" * 5_000_000])
def test_a_word_like_no_other_is_met_with_silence(word: str) -> None:
    assert did_you_mean(word, KNOWN) == ""


def test_the_suggestion_does_not_hang_on_the_order_of_the_known_words() -> None:
    assert did_you_mean("fine", ["wine", "line", "mine"]) == did_you_mean("fine", ["mine", "wine", "line"])


@pytest.mark.parametrize(
    ("error", "said"),
    [
        ("it is late. Come earlier.", ("it is late.", "Come earlier.")),
        ("'x' is no id. Did you mean 'y'?", ("'x' is no id.", "Did you mean 'y'?")),
        ("it is late", ("it is late.", "The comment at the head of the file says how to write it.")),
        ("", ("this cannot be used here.", "The comment at the head of the file says how to write it.")),
    ],
)
def test_a_validators_own_words_are_kept_and_completed(error: str, said: tuple[str, str]) -> None:
    assert spoken(error) == said


def test_a_parser_sentence_nobody_foresaw_still_gets_a_remedy() -> None:
    assert yaml_worded("while doing something strange")[1].startswith("Check indentation")


def test_no_list_of_names_makes_a_remedy_of_pages() -> None:
    named = listed(["y" * 5000, *(f"name-{n}" for n in range(50))], 3)
    assert named.endswith("name-0, name-1, …")
    assert len(named) < 100
