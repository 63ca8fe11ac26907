"""Question after question on a terminal: what may be typed, and what stands in the case file after it."""

from __future__ import annotations

import datetime
import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

if os.name != "posix":
    pytest.skip("pseudo-terminals are POSIX", allow_module_level=True)

from .terminal import Terminal, ran

TODAY = f"case-{datetime.date.today().isoformat()}.yaml"


WREN = ("f legs", "1", "f clock", "1", "f burner head", "1", "f window", "1", "f drip pans", "1")
"""What is typed until it is settled."""


@pytest.fixture
def asked(cache: Path, small: Path, tmp_path: Path) -> Iterator[Terminal]:
    """A new session in an empty folder, at its first question."""
    with Terminal(cache, tmp_path, "identify", "--knowledge", small) as terminal:
        terminal.shown()
        yield terminal


def on_terminal(cache: Path, small: Path, folder: Path, *more: object) -> Terminal:
    return Terminal(cache, folder, "identify", "--knowledge", small, *more)


def kept(folder: Path, name: str = TODAY) -> list[dict[str, object]]:
    """The observations that stand in the case file; none where there is no file yet."""
    if not (folder / name).exists():
        return []
    return yaml.safe_load((folder / name).read_text(encoding="utf-8"))["observations"]


def test_no_case_file_is_made_before_the_first_answer(asked: Terminal, tmp_path: Path) -> None:
    asked.type("f legs", "w", "s", "r", "4")
    assert list(tmp_path.iterdir()) == []
    asked.type("f legs", "1")
    assert [path.name for path in tmp_path.glob("[!.]*")] == [TODAY]


def test_stopping_at_once_leaves_nothing(asked: Terminal, tmp_path: Path) -> None:
    assert asked.type("q") == "Stopped: you stopped. Nothing was said, and no file was made."
    assert list(tmp_path.iterdir()) == []


def test_keys_are_shown_as_they_are_typed(asked: Terminal) -> None:
    assert "Keys: w why this look, r ranking so far" in asked.screen


def test_the_likeliest_lines_tell_the_seconds_spent(asked: Terminal) -> None:
    assert "of looks" not in asked.screen
    assert "; 5 s of looks" in asked.type("f legs", "1")
    assert "; 25 s of looks" in asked.type("f pan depth", "?")


def test_a_question_shows_where_to_look_the_answers_by_number_and_the_seconds(asked: Terminal) -> None:
    shown = asked.type("f burner head")
    assert shown.endswith("What head does a burner have? (5 s) From above. 1 2 3 ( ) * ||| 1 ring 2 star 3 slotted >")


@pytest.mark.parametrize(
    ("look", "typed", "seen"),
    [
        ("legs", "2", {"is": "straight"}),
        ("legs", " 2 ", {"is": "straight"}),
        ("legs", "straight", {"is": "straight"}),
        ("legs", "1,3", {"is": ["curved", "recess"]}),
        ("legs", "1 3", {"is": ["curved", "recess"]}),
        ("legs", "!2", {"is_not": ["straight"]}),
        ("legs", "2?", {"is": "straight", "sure": "likely"}),
        ("legs", "2??", {"is": "straight", "sure": "guess"}),
        ("legs", "?", {"unseen": True}),
        ("clock", "x", {"removed": True}),
        ("pan depth", "31 mm", {"measured": "31 mm"}),
        ("pan depth", "1 1/4 in", {"measured": "1 1/4 in"}),
        ("pan depth", "31", {"measured": "31 mm"}),
        ("pan depth", "3", {"is": "deep"}),
    ],
)
def test_an_answer_is_on_disk_when_the_next_question_stands(
    asked: Terminal, tmp_path: Path, look: str, typed: str, seen: dict[str, object]
) -> None:
    asked.type(f"f {look}", typed)
    feature = {"pan depth": "drip_pan_depth"}.get(look, look)
    assert kept(tmp_path) == [{"feature": feature} | seen]


@pytest.mark.parametrize("typed", ["0", "4", "1,9", "!1,2,3", "x", "31 mm", "what", "-1", b"\xff\xfe", "1" * 300, "!"])
def test_what_answers_nothing_is_met_with_help_and_keeps_nothing(
    asked: Terminal, tmp_path: Path, typed: str | bytes
) -> None:
    shown = asked.type("f legs", typed)
    assert re.search(r"A number is an answer|There are answers 1 to 3|That leaves no value", shown)
    assert kept(tmp_path) == []


def test_w_says_what_the_look_splits(asked: Terminal) -> None:
    assert re.match(r"It splits \w+ from ", asked.type("f legs", "w"))


def test_r_shows_the_ranking_and_asks_the_same_again(asked: Terminal, tmp_path: Path) -> None:
    shown = asked.type("f legs", "3", "f clock", "r", "3")
    assert kept(tmp_path) == [{"feature": "legs", "is": "recess"}, {"feature": "clock", "is": "electric"}]
    assert "Coppice Works Finch" in shown


def test_r_shows_the_question_again_below_the_ranking_and_the_cautions_in_one_line(asked: Terminal) -> None:
    shown = asked.type("f legs", "r")
    assert shown.endswith("What does the range stand on? (5 s) Below the oven. 1 curved 2 straight 3 recess >")
    assert "all cautions with the report." in shown
    assert "Shut the gas off." not in shown


def test_h_tells_how_to_answer_and_which_letters_there_are(asked: Terminal) -> None:
    shown = asked.type("h")
    assert "A number is an answer" in shown
    assert "q save and stop" in shown


def test_s_puts_another_question_and_keeps_nothing(asked: Terminal, tmp_path: Path) -> None:
    first = asked.screen
    assert asked.type("s").split("?")[0] != first.split("?")[0]
    assert kept(tmp_path) == []


def test_passing_every_look_does_not_end_the_session_but_names_them(asked: Terminal) -> None:
    shown = asked.type("s", "s", "s", "s", "s")
    assert "the looks that could still tell something are those you passed over" in shown
    assert "u takes back the last answer or pass" in shown


def test_u_takes_a_passed_look_up_again(asked: Terminal) -> None:
    shown = asked.type("f legs", "s", "u")
    assert shown.startswith("Taken up again: Legs.")
    assert "What does the range stand on?" in shown


def test_u_takes_the_last_answer_back_and_asks_it_again(asked: Terminal, tmp_path: Path) -> None:
    shown = asked.type("f legs", "1", "f clock", "3", "u")
    assert shown.startswith("Taken back: clock: electric.")
    assert "What clock is on the panel?" in shown
    assert kept(tmp_path) == [{"feature": "legs", "is": "curved"}]


def test_u_brings_an_answer_back_that_a_second_one_replaced(asked: Terminal, tmp_path: Path) -> None:
    asked.type("f legs", "1", "f legs", "3", "u")
    assert kept(tmp_path) == [{"feature": "legs", "is": "curved"}]


def test_u_with_nothing_said_says_so(asked: Terminal) -> None:
    assert asked.type("u") == "There is nothing to take back. >"


def test_an_answer_that_settled_it_can_still_be_taken_back(asked: Terminal, tmp_path: Path) -> None:
    assert "Nothing more to ask: it is settled" in asked.type(*WREN)
    asked.type("u")
    assert [seen["feature"] for seen in kept(tmp_path)] == ["legs", "clock", "burner_head", "door_window"]


def test_a_look_asked_for_again_shows_what_was_said_and_takes_its_place(asked: Terminal, tmp_path: Path) -> None:
    assert "So far: legs: curved." in asked.type("f legs", "1", "f legs")
    asked.type("2")
    assert kept(tmp_path) == [{"feature": "legs", "is": "straight"}]


def test_f_reaches_a_look_that_this_place_does_not_offer(asked: Terminal, tmp_path: Path) -> None:
    asked.type("f insulation", "2")
    assert kept(tmp_path) == [{"feature": "insulation", "is": "wool"}]


def test_a_session_that_has_ended_leaves_its_case_and_nothing_else(asked: Terminal, tmp_path: Path) -> None:
    asked.type("f legs", "1", "q")
    asked.code()
    assert [path.name for path in tmp_path.iterdir()] == [TODAY]


def test_q_stops_and_says_so_and_how_to_go_on(asked: Terminal) -> None:
    shown = asked.type("f legs", "1", "q")
    assert shown.endswith(f"Stopped: you stopped. 1 look kept in {TODAY}. To go on: hobmark identify --ask {TODAY}")
    assert asked.code() == 0


def test_the_end_of_input_stops_and_says_so(asked: Terminal) -> None:
    asked.type("f legs", "1")
    assert "Stopped: the input ended. 1 look kept" in asked.hang_up_input()
    assert asked.code() == 0


def test_the_end_of_input_stops_at_a_look_asked_for_too(asked: Terminal) -> None:
    asked.type("f legs")
    assert "Stopped: the input ended." in asked.hang_up_input()


def test_ctrl_c_stops_keeps_the_answers_and_leaves_no_traceback(asked: Terminal) -> None:
    asked.type("f legs", "1")
    asked.signal(signal.SIGINT)
    shown = asked.shown()
    assert "Stopped: you broke off. 1 look kept" in shown
    assert "Traceback" not in shown


def test_a_settled_session_says_that_it_is_settled(asked: Terminal) -> None:
    assert "Settled: Coppice Works Wren." in asked.type(*WREN)
    assert re.search(r"Stopped: it is settled, at [0-9>]+%\. 5 looks kept", asked.type(""))


def test_a_name_on_few_parts_is_tested_and_that_is_said_once(asked: Terminal) -> None:
    assert "It has a name." in asked.type("f legs", "1", "f clock", "1", "f window", "1")
    assert asked.type("w").startswith("It tests whether it is a range I know at all.")
    assert "It has a name." not in asked.type("f burner head", "1")


def test_a_session_with_nothing_left_names_what_cannot_be_told_apart(asked: Terminal) -> None:
    shown = asked.type("f legs", "3", "f clock", "3", "f burner head", "3", "f window", "3", "f clock face", "2")
    assert "Cannot be told apart from here: Coppice Works Finch; Coppice Works Finch Export." in shown
    assert "Stopped: no look that can be had here tells more." in asked.type("")


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root writes anywhere")
def test_a_folder_that_cannot_be_written_is_refused_before_anything_is_asked(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    tmp_path.chmod(0o500)
    with on_terminal(cache, small, tmp_path) as terminal:
        assert "access is not permitted" in terminal.shown()
        assert terminal.code() == 2


def test_an_answer_the_disk_refuses_is_kept_with_the_next(asked: Terminal, tmp_path: Path) -> None:
    asked.type("f legs", "2")
    (tmp_path / TODAY).unlink()
    (tmp_path / TODAY).mkdir()
    assert "It is not kept yet; the next answer tries again." in asked.type("f legs", "1")
    (tmp_path / TODAY).rmdir()
    asked.type("f clock", "1")
    assert [seen["feature"] for seen in kept(tmp_path)] == ["legs", "clock"]


def test_a_session_whose_last_answer_could_not_be_kept_ends_as_refused(asked: Terminal, tmp_path: Path) -> None:
    asked.type("f legs", "2")
    (tmp_path / TODAY).unlink()
    (tmp_path / TODAY).mkdir()
    asked.type("f legs", "1", "q")
    assert asked.code() == 2


def test_the_program_started_by_its_own_command_asks_too(cache: Path, small: Path, tmp_path: Path) -> None:
    with Terminal(cache, tmp_path, "identify", "--knowledge", small, afresh=True) as terminal:
        terminal.shown()
        terminal.type("f legs", "1", "q")
        assert terminal.code() == 0
    assert kept(tmp_path) == [{"feature": "legs", "is": "curved"}]


def test_off_a_terminal_it_is_a_usage_error(cache: Path, small: Path, tmp_path: Path) -> None:
    done = ran(cache, tmp_path, "identify", "--knowledge", small)
    assert (done.returncode, list(tmp_path.iterdir())) == (2, [])
