"""`f WORD` in a session: which looks a word names, and choosing from several."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark_tui.commands.finding import looks_named, numbered

if os.name != "posix":
    pytest.skip("pseudo-terminals are POSIX", allow_module_level=True)

from .terminal import Terminal

LEGS = "What does the range stand on?"
PANS = "Are there pans below the burners?"
LISTED = "1 Clock 2 Drip pans 3 Pan depth 4 Insulation which? >"


@pytest.fixture(scope="module")
def shipped() -> KnowledgeBase:
    return read_base([knowledge_root()])


@pytest.fixture
def asked(cache: Path, small: Path, tmp_path: Path) -> Iterator[Terminal]:
    """A new session in an empty folder, at the question of the legs."""
    with Terminal(cache, tmp_path, "identify", "--knowledge", small) as terminal:
        terminal.shown()
        terminal.type("f legs")
        yield terminal


@pytest.mark.parametrize(
    ("word", "feature"),
    [("grate feet", "grate_feet"), ("grate_feet", "grate_feet"), ("Drip-pan  depth", "drip_pan_depth")],
)
def test_an_id_or_a_whole_label_names_one_look(shipped: KnowledgeBase, word: str, feature: str) -> None:
    assert looks_named(shipped, word) == [feature]


@pytest.mark.parametrize("named", ["id", "label"])
def test_every_look_is_reached_by_its_id_and_by_its_label(shipped: KnowledgeBase, named: str) -> None:
    for feature, entry in shipped.features.items():
        assert feature in looks_named(shipped, feature if named == "id" else entry.label)


def test_a_list_is_laid_in_as_many_columns_as_fit() -> None:
    assert numbered(["Clock", "Lamp", "Legs"], 40) == "  1  Clock   2  Lamp    3  Legs\n"
    assert numbered(["Clock", "Lamp", "Legs"], 24) == "  1  Clock   2  Lamp\n  3  Legs\n"


def test_all_looks_of_a_word_are_listed_by_number(asked: Terminal) -> None:
    shown = asked.type("f pan")
    assert shown == f"Which of these? A number or a word chooses one; Enter goes back. {LISTED}"


@pytest.mark.parametrize("typed", ["2", "drip pans", "Drip", "drip_pans", "below"])
def test_what_is_typed_next_chooses_from_the_list_and_answers_nothing(
    asked: Terminal, tmp_path: Path, typed: str
) -> None:
    assert PANS in asked.type("f pan", typed)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("typed", ["9", "0", "zebra", "w", "?", "1,2", "f zebra"])
def test_what_chooses_nothing_says_so_and_the_list_still_stands(asked: Terminal, tmp_path: Path, typed: str) -> None:
    shown = asked.type("f pan", typed)
    assert "None of these goes by that." in shown or "No look goes by that word." in shown
    assert shown.endswith("which? >")
    assert PANS in asked.type("2")
    assert list(tmp_path.iterdir()) == []


def test_a_word_that_leaves_several_lists_those_anew(asked: Terminal) -> None:
    assert asked.type("f pan", "pans").endswith("1 Drip pans 2 Pan depth which? >")
    assert "How deep are the pans?" in asked.type("2")


def test_enter_goes_back_to_the_question(asked: Terminal) -> None:
    assert asked.type("f pan", "").startswith(LEGS)


def test_another_f_looks_among_all(asked: Terminal) -> None:
    assert "Is there a window in the oven door?" in asked.type("f pan", "f window")


def test_q_at_the_list_stops(asked: Terminal) -> None:
    assert "Stopped: you stopped." in asked.type("f pan", "q")
    assert asked.code() == 0


def test_a_list_can_be_chosen_from_when_nothing_is_left_to_ask(asked: Terminal) -> None:
    asked.type("1", "f clock", "1", "f burner head", "1", "f window", "1", "f drip pans", "1")
    assert PANS in asked.type("f pan", "2")


@pytest.mark.parametrize(
    ("typed", "said"), [("f zebra", "No look goes by that word. >"), ("f", "Write a word behind f, as: f dial. >")]
)
def test_a_word_of_no_look_says_so_and_the_question_stands(
    asked: Terminal, tmp_path: Path, typed: str, said: str
) -> None:
    assert asked.type(typed) == said
    asked.type("1")
    assert len(list(tmp_path.glob("[!.]*"))) == 1


def test_a_whole_label_means_that_look_though_others_hold_the_word(asked: Terminal) -> None:
    assert "What clock is on the panel?" in asked.type("f Clock")
