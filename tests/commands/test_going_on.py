"""What a session goes on with once its question is answered, and words kept from a plate."""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hobmark.case import Case
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.vocabulary import Situation
from hobmark.reasoning.examination import Compiled, Examination, compile_base
from hobmark_tui.commands.going_on import part_looks

if os.name != "posix":
    pytest.skip("pseudo-terminals are POSIX", allow_module_level=True)

from .small_base import write_small_base
from .terminal import Terminal, warmed

TODAY = f"case-{datetime.date.today().isoformat()}.yaml"
WREN = ("f legs", "1", "f clock", "1", "f burner head", "1", "f window", "1", "f drip pans", "1")
FINCH = ("f legs", "3", "f clock", "3", "f burner head", "3", "f window", "3", "f clock face", "2")
STAMP = """
stamp:
  {label: Stamp, assembly: body, ask: "What shape is the stamp?", look: At the back., access: photo,
   values: {round: {}, square: {}}}
seal:
  {label: Seal, assembly: body, ask: "What colour is the seal?", look: At the back., access: photo,
   values: {red: {}, green: {}}}
"""
RUN = """
- {id: stamp-wren, feature: stamp, of: [wren], run: [round, {from: "1932", value: square}], certainty: attested,
   sources: [book]}
- {id: seal-wren, feature: seal, of: [wren], run: [red, {from: "1932", value: green}], certainty: attested,
   sources: [book]}
"""


@pytest.fixture(scope="module")
def dated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small base with two looks that tell a Wren's year."""
    folder = write_small_base(tmp_path_factory.mktemp("dated"))
    for name, more in (("features.yaml", STAMP), ("coppice/traits.yaml", RUN)):
        path = folder / name
        path.write_text(path.read_text(encoding="utf-8") + more, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def dated_cache(tmp_path_factory: pytest.TempPathFactory, dated: Path) -> Path:
    return warmed(tmp_path_factory.mktemp("cache"), dated)


@pytest.fixture(scope="module")
def compiled(small: Path) -> Compiled:
    return compile_base(read_base([small]))


@pytest.fixture
def asked(cache: Path, small: Path, tmp_path: Path) -> Iterator[Terminal]:
    with Terminal(cache, tmp_path, "identify", "--knowledge", small) as terminal:
        terminal.shown()
        yield terminal


@pytest.fixture
def of_a_year(dated_cache: Path, dated: Path, tmp_path: Path) -> Iterator[Terminal]:
    with Terminal(dated_cache, tmp_path, "identify", "--knowledge", dated) as terminal:
        terminal.shown()
        yield terminal


def kept(folder: Path) -> list[dict[str, object]]:
    return yaml.safe_load((folder / TODAY).read_text(encoding="utf-8"))["observations"]


def test_a_settled_session_shows_the_report_and_offers_the_year(of_a_year: Terminal) -> None:
    shown = of_a_year.type(*WREN)
    assert "Settled: Coppice Works Wren." in shown
    assert "it is settled, at" in shown
    assert "y goes on until the year is settled; u takes back" in shown


def test_y_goes_on_until_the_year_is_settled_and_shows_the_report_again(of_a_year: Terminal) -> None:
    assert "What colour is the seal?" in of_a_year.type(*WREN, "y")
    assert "What shape is the stamp?" in of_a_year.type("1")
    shown = of_a_year.type("1")
    assert "Settled: made within 1930-" in shown
    assert "Nothing more to ask: the year is settled, at" in shown
    assert "y goes on" not in shown
    assert of_a_year.type("y").startswith("The year is settled already.")
    assert "Stopped: the year is settled, at" in of_a_year.type("")


def test_y_is_not_offered_and_refused_where_no_look_tells_the_year(asked: Terminal) -> None:
    assert "y goes on" not in asked.type(*WREN)
    assert asked.type("y").startswith("No look that can be had here tells more about the year.")


def test_m_takes_one_look_at_every_part_not_seen_yet_and_shows_the_report_again(
    asked: Terminal, tmp_path: Path
) -> None:
    shown = asked.type(*FINCH)
    assert "m looks at the part not seen yet (5 s)" in shown
    assert "not looked at: backguard, loose iron" in shown
    assert "Not seen yet: loose iron (1 look to go)." in asked.type("m")
    shown = asked.type("1")
    assert kept(tmp_path)[-1] == {"feature": "drip_pans", "is": "absent"}
    assert "Cannot be told apart from here" in shown
    assert "m looks at" not in shown
    assert asked.type("m").startswith("Every part that can be seen here was looked at.")


def test_there_is_one_look_for_every_part_not_seen_and_none_for_what_is_the_range(compiled: Compiled) -> None:
    case = Case.model_validate({"hobmark": "1", "observations": [{"feature": "burner_head", "is": "ring"}]})
    looks = part_looks(Examination(compiled, case), frozenset())
    assert [look.feature for look in looks] == ["door_window", "clock", "drip_pans"]
    assert [look.feature for look in part_looks(Examination(compiled, case), {"electrics"})] == [
        "door_window",
        "drip_pans",
    ]


def test_a_look_that_cannot_be_had_here_is_none_for_its_part(compiled: Compiled) -> None:
    looks = part_looks(Examination(compiled, Case(hobmark="1", situation=Situation.LISTING)), frozenset())
    assert [look.feature for look in looks] == ["door_window", "clock"]


def test_a_part_passed_over_in_the_round_is_not_asked_again_in_it(asked: Terminal) -> None:
    asked.type(*FINCH, "m")
    assert "Nothing more to ask" in asked.type("s")


@pytest.mark.parametrize("typed", ["", "q"])
def test_enter_and_q_end_it_with_all_cautions_and_the_report_is_not_said_twice(asked: Terminal, typed: str) -> None:
    assert "Shut the gas off." not in asked.type(*WREN)
    shown = asked.type(typed)
    assert shown.startswith("Caution. Local codes and a licensed fitter come first. - Shut the gas off. (verified)")
    assert "Is it all one range?" not in shown
    assert asked.code() == 0


def test_what_is_no_key_at_the_end_is_told_which_there_are(asked: Terminal) -> None:
    assert asked.type(*WREN, "1").startswith("u takes back the last answer or pass, f WORD takes another look")


@pytest.mark.parametrize(
    ("typed", "seen"),
    [
        ("serial K 1234-b", {"serial": "K 1234-b", "found_on": "rating_plate"}),
        ("Plate Model 12, Pat. Pend.", {"plate_text": "Model 12, Pat. Pend.", "found_on": "rating_plate"}),
    ],
)
@pytest.mark.parametrize("before", [("f legs",), ("f pan",), WREN], ids=["question", "list", "end"])
def test_words_are_kept_at_any_prompt_as_they_are_typed(
    asked: Terminal, tmp_path: Path, before: tuple[str, ...], typed: str, seen: dict[str, object]
) -> None:
    asked.type(*before)
    shown = asked.type(typed)
    assert shown.startswith("Kept: ")
    assert kept(tmp_path)[-1] == seen


def test_words_leave_the_question_standing_and_u_takes_them_back(asked: Terminal, tmp_path: Path) -> None:
    asked.type("f legs", "serial 12", "1")
    assert kept(tmp_path) == [{"serial": "12", "found_on": "rating_plate"}, {"feature": "legs", "is": "curved"}]
    assert 'Taken back: serial "12" on the rating' in asked.type("u", "u")
    assert kept(tmp_path) == []


@pytest.mark.parametrize("typed", ["serial", "plate ", "serial " + "1" * 81, b"plate a\x01b", b"serial \x1b[A"])
def test_words_that_cannot_be_kept_are_refused(asked: Terminal, tmp_path: Path, typed: str | bytes) -> None:
    assert not asked.type("f legs", typed).startswith("Kept")
    assert list(tmp_path.iterdir()) == []
