"""Going on with a session: the newest begun case of a folder, or the case that is named."""

from __future__ import annotations

import datetime
import os
import signal
from pathlib import Path

import pytest
import yaml

if os.name != "posix":
    pytest.skip("pseudo-terminals are POSIX", allow_module_level=True)

from .terminal import Terminal

TODAY = f"case-{datetime.date.today().isoformat()}.yaml"


ONE = "[{feature: legs, is: recess}]"
WREN = {"legs": "curved", "clock": "absent", "burner_head": "ring", "door_window": "absent", "drip_pans": "absent"}


def on_terminal(cache: Path, small: Path, folder: Path, *more: object) -> Terminal:
    return Terminal(cache, folder, "identify", "--knowledge", small, *more)


def kept(folder: Path, name: str = TODAY) -> list[dict[str, object]]:
    """The observations that stand in the case file."""
    return yaml.safe_load((folder / name).read_text(encoding="utf-8"))["observations"]


def case_written(folder: Path, name: str, observations: str = "[]", *, age: int = 0, head: str = "") -> Path:
    path = folder / name
    path.write_text(
        f"{head}hobmark: 1\nlabel: mine\nsituation: bench\nobservations: {observations}\n", encoding="utf-8"
    )
    os.utime(path, (1_700_000_000 - age, 1_700_000_000 - age))
    return path


def test_a_case_of_another_day_is_offered_first(cache: Path, small: Path, tmp_path: Path) -> None:
    case_written(tmp_path, "case-2020-02-03.yaml", ONE)
    with on_terminal(cache, small, tmp_path) as terminal:
        assert terminal.shown() == "Go on with case-2020-02-03.yaml (1 look)? y/n"
        assert "Going on with case-2020-02-03.yaml (1 look)." in terminal.type("y")
        terminal.type("f burner head", "3")
    assert kept(tmp_path, "case-2020-02-03.yaml") == [
        {"feature": "legs", "is": "recess"},
        {"feature": "burner_head", "is": "slotted"},
    ]


def test_the_newest_case_with_a_look_is_the_one_offered(cache: Path, small: Path, tmp_path: Path) -> None:
    case_written(tmp_path, "case-2024-01-01.yaml", ONE, age=500)
    case_written(tmp_path, "case-of-the-blue-one.yaml", ONE, age=10)
    case_written(tmp_path, "case-2024-02-01.yaml", age=1)
    with on_terminal(cache, small, tmp_path) as terminal:
        assert terminal.shown() == "Go on with case-of-the-blue-one.yaml (1 look)? y/n"


def test_n_begins_a_new_case_and_leaves_the_old_one_alone(cache: Path, small: Path, tmp_path: Path) -> None:
    old = case_written(tmp_path, TODAY, ONE).read_bytes()
    with on_terminal(cache, small, tmp_path) as terminal:
        terminal.shown()
        terminal.type("n", "f legs", "1")
    assert (tmp_path / TODAY).read_bytes() == old
    assert kept(tmp_path, TODAY.replace(".yaml", "-2.yaml")) == [{"feature": "legs", "is": "curved"}]


def test_a_case_changed_by_somebody_else_meanwhile_is_left_as_they_wrote_it(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    with on_terminal(cache, small, tmp_path) as terminal:
        terminal.shown()
        terminal.type("f legs", "1")
        theirs = case_written(tmp_path, TODAY, ONE).read_bytes()
        assert f"{TODAY} was changed by somebody else" in terminal.type("f clock", "1")
    assert (tmp_path / TODAY).read_bytes() == theirs
    assert [seen["feature"] for seen in kept(tmp_path, TODAY.replace(".yaml", "-2.yaml"))] == ["legs", "clock"]


def test_a_case_begun_by_another_session_meanwhile_is_left_alone(cache: Path, small: Path, tmp_path: Path) -> None:
    with on_terminal(cache, small, tmp_path) as terminal:
        terminal.shown()
        other = case_written(tmp_path, TODAY, ONE).read_bytes()
        assert f"{TODAY} was begun by another session" in terminal.type("f legs", "1")
        terminal.type("f clock", "1")
    assert (tmp_path / TODAY).read_bytes() == other
    assert [seen["feature"] for seen in kept(tmp_path, TODAY.replace(".yaml", "-2.yaml"))] == ["legs", "clock"]


def test_a_case_that_is_open_in_another_program_is_refused_and_left_alone(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    path = case_written(tmp_path, "mine.yaml", ONE)
    with on_terminal(cache, small, tmp_path, "--ask", path) as first:
        first.shown()
        with on_terminal(cache, small, tmp_path, "--ask", path) as second:
            shown = second.shown()
            assert f"mine.yaml:1:1: this case is open in another program (process {first.pid})." in shown
            assert "Close it there first, or go on with a copy of it." in shown
            assert second.code() == 2
        first.type("f clock", "3")
    assert [seen["feature"] for seen in kept(tmp_path, "mine.yaml")] == ["legs", "clock"]


def test_the_newest_case_is_refused_too_where_another_program_has_it_open(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    case_written(tmp_path, "case-2020-02-03.yaml", ONE)
    with on_terminal(cache, small, tmp_path) as first:
        first.shown()
        first.type("y")
        with on_terminal(cache, small, tmp_path) as second:
            second.shown()
            assert "this case is open in another program" in second.type("y")
            assert second.code() == 2


def test_two_programs_begun_at_once_in_one_folder_keep_a_case_each(cache: Path, small: Path, tmp_path: Path) -> None:
    with on_terminal(cache, small, tmp_path) as first, on_terminal(cache, small, tmp_path) as second:
        first.shown()
        second.shown()
        first.type("f legs", "1")
        assert f"{TODAY} was begun by another session" in second.type("f clock", "1")
    assert [seen["feature"] for seen in kept(tmp_path)] == ["legs"]
    assert [seen["feature"] for seen in kept(tmp_path, TODAY.replace(".yaml", "-2.yaml"))] == ["clock"]


def test_a_killed_program_keeps_nobody_from_its_case(cache: Path, small: Path, tmp_path: Path) -> None:
    path = case_written(tmp_path, "mine.yaml", ONE)
    with on_terminal(cache, small, tmp_path, "--ask", path) as first:
        first.shown()
        first.signal(signal.SIGKILL)
        first.code()
    assert (tmp_path / ".mine.yaml.lock").exists()
    with on_terminal(cache, small, tmp_path, "--ask", path) as second:
        assert "Going on with" in second.shown()


def test_anything_else_asks_once_more_whether_to_go_on(cache: Path, small: Path, tmp_path: Path) -> None:
    case_written(tmp_path, TODAY, ONE)
    with on_terminal(cache, small, tmp_path) as terminal:
        terminal.shown()
        assert terminal.type("perhaps").startswith("y goes on with it, n begins a new case, q stops.")


def test_the_end_of_input_at_that_question_makes_no_file(cache: Path, small: Path, tmp_path: Path) -> None:
    case_written(tmp_path, "case-2020-02-03.yaml", ONE)
    with on_terminal(cache, small, tmp_path) as terminal:
        terminal.shown()
        terminal.hang_up_input()
        assert terminal.code() == 0
    assert [path.name for path in tmp_path.iterdir()] == ["case-2020-02-03.yaml"]


def test_a_settled_case_is_offered_and_said_to_be_settled(cache: Path, small: Path, tmp_path: Path) -> None:
    seen = ", ".join(f"{{feature: {feature}, is: {value}}}" for feature, value in WREN.items())
    case_written(tmp_path, "case-2020-02-03.yaml", f"[{seen}]")
    with on_terminal(cache, small, tmp_path) as terminal:
        assert terminal.shown() == "Go on with case-2020-02-03.yaml (5 looks, settled)? y/n"


def test_a_case_that_cannot_be_read_is_named_passed_over_and_left_alone(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    broken = case_written(tmp_path, "case-2020-02-03.yaml", "[{feature: legs, is: curvd}]")
    before = broken.read_bytes()
    with on_terminal(cache, small, tmp_path) as terminal:
        assert "Passed over, as it cannot be read: case-2020-02-03.yaml:4:" in terminal.shown()
    assert broken.read_bytes() == before


def test_ask_goes_on_with_the_case_named_and_keeps_what_else_stands_in_it(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    path = case_written(tmp_path, "mine.yaml", "[{feature: legs, is: recess, note: seen twice}]")
    with on_terminal(cache, small, tmp_path, "--ask", path) as terminal:
        assert "Going on with" in terminal.shown()
        terminal.type("f clock", "3")
    assert yaml.safe_load(path.read_text()) == {
        "hobmark": 1,
        "label": "mine",
        "situation": "bench",
        "observations": [
            {"feature": "legs", "is": "recess", "note": "seen twice"},
            {"feature": "clock", "is": "electric"},
        ],
    }


def test_going_on_keeps_the_comments_of_a_case(cache: Path, small: Path, tmp_path: Path) -> None:
    path = case_written(tmp_path, "mine.yaml", head="# my own words\n")
    with on_terminal(cache, small, tmp_path, "--ask", path) as terminal:
        terminal.shown()
        terminal.type("f clock", "3")
    assert path.read_text().startswith("# my own words\n")
    assert "clock" in path.read_text()


def test_u_in_a_session_gone_on_with_takes_back_what_was_said_last(cache: Path, small: Path, tmp_path: Path) -> None:
    path = case_written(tmp_path, "mine.yaml", "[{feature: legs, is: recess}]")
    with on_terminal(cache, small, tmp_path, "--ask", path) as terminal:
        terminal.shown()
        assert terminal.type("u").startswith("Taken back: legs: recess.")
    assert kept(tmp_path, "mine.yaml") == []


def test_a_situation_named_on_the_command_line_offers_its_looks_and_leaves_the_files_own(
    cache: Path, small: Path, tmp_path: Path
) -> None:
    path = case_written(tmp_path, "mine.yaml")
    with on_terminal(cache, small, tmp_path, "--ask", path, "--situation", "listing") as terminal:
        terminal.shown()
        assert "(60 s)" in terminal.type("f legs")
        terminal.type("1")
    assert yaml.safe_load(path.read_text())["situation"] == "bench"
