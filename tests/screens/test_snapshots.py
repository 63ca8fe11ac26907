"""The key screens look as they did when somebody last looked at them and kept the picture.

Where one has changed on purpose: pytest tests/screens/test_snapshots.py --snapshot-update, then look at the pictures.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hobmark.reasoning.examination import Compiled
from hobmark_tui.app import make_app
from hobmark_tui.sessions.session import CaseSession
from textual.pilot import Pilot
from textual.widgets import Input

from .conftest import LOW, NARROW
from .driving import ALL, BEGUN, SETTLED, Driven
from .records import STOPPED, farm, released

WIDE = (160, 45)
BOTH = pytest.mark.parametrize("size", [LOW, WIDE], ids=["80x24", "160x45"])
ALL_THREE = pytest.mark.parametrize("size", [LOW, WIDE, NARROW], ids=["80x24", "160x45", "50x30"])
SMALL = pytest.mark.parametrize("size", [LOW, NARROW], ids=["80x24", "50x30"])
THREE_DAYS = 3 * 86400.0
CLAIMED = SETTLED.replace("situation: sale", "situation: listing\nclaims: {variant: finch, made: '1948'}")
"""A Robin that is sold as a Finch of 1948."""

Look = Callable[..., bool]
"""Open the program on cases and press keys; whether it looks as it did."""


@pytest.fixture
def looks_as_before(
    snap_compare: Callable[..., bool],
    small: Compiled,
    small_root: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> Look:
    """Cases lie in a folder of always the same name, and were touched three days ago."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOBMARK_THEME", "dark")
    folder = Path("cases")
    folder.mkdir()

    def compared(
        size: tuple[int, int],
        *keys: str,
        cases: tuple[str, ...] = (),
        opens: bool = True,
        compiled: Compiled = small,
    ) -> bool:
        for number, text in enumerate(cases, start=1):
            path = folder / f"case-{number}.yaml"
            path.write_text(text, encoding="utf-8")
            os.utime(path, times=(time.time() - THREE_DAYS - number,) * 2)
        app = make_app(compiled, folder, roots=(small_root,), case=folder / "case-1.yaml" if opens else None)

        async def pressed(pilot: Pilot[None]) -> None:
            driven = Driven(app, pilot, None)
            await driven.settle()
            await driven.press(*keys)
            for line in app.screen.query(Input):
                line.cursor_blink = False

        return snap_compare(app, terminal_size=size, run_before=pressed)

    return compared


@BOTH
def test_a_first_start_explains_itself(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, opens=False)


@BOTH
def test_cases_stand_with_their_leading_answers(looks_as_before: Look, size: tuple[int, int]) -> None:
    robin, broken = SETTLED.replace("green", "grey"), "hobmark: 1\nlabel: [\n"
    assert looks_as_before(size, cases=(BEGUN, robin, ALL.replace("green", "cream"), broken), opens=False)


@BOTH
def test_a_case_that_is_open_elsewhere_is_refused(
    looks_as_before: Look, size: tuple[int, int], small: Compiled, tmp_path: Path
) -> None:
    (tmp_path / "cases" / "case-1.yaml").write_text(BEGUN, encoding="utf-8")
    with CaseSession.open(Path("cases") / "case-1.yaml", small.base):
        assert looks_as_before(size, "enter", cases=(BEGUN,), opens=False)


@ALL_THREE
def test_a_look_stands_beside_what_is_known(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, cases=(BEGUN,))


@ALL_THREE
def test_an_answer_in_the_making_says_what_it_will_mean(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "space", "1", "2", "l", cases=(BEGUN,))


@SMALL
def test_an_answer_is_said_below_the_next_look(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "1", cases=(BEGUN,))


@SMALL
def test_delete_asks_which_case(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "d", cases=(BEGUN, SETTLED), opens=False)


@ALL_THREE
def test_stop_is_announced(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, cases=(ALL,))


@ALL_THREE
def test_what_is_known_turns_up_on_the_other_side(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "v", cases=(CLAIMED,))


@ALL_THREE
def test_dates_are_drawn_assembly_under_assembly(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "d", cases=(SETTLED.replace("wind_up", "electric"),))


@BOTH
def test_reasons_grow_as_a_tree(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "w", cases=(SETTLED,))


@BOTH
def test_answers_are_listed(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "a", cases=(SETTLED,))


@BOTH
def test_any_look_is_found_by_words(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "f", *"clo", cases=(BEGUN,))


@BOTH
def test_goals_are_chosen_from(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "o", cases=(BEGUN,))


@BOTH
def test_situations_are_chosen_from(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "i", cases=(BEGUN,))


@BOTH
def test_cautions_stand_in_full(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "x", cases=(BEGUN,))


@BOTH
def test_keys_are_explained(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "h", cases=(BEGUN,), opens=False)


@BOTH
def test_light_is_as_readable_as_dark(looks_as_before: Look, size: tuple[int, int]) -> None:
    assert looks_as_before(size, "ctrl+t", cases=(BEGUN,))


@SMALL
def test_symptoms_stand_below_what_stops(looks_as_before: Look, size: tuple[int, int], shipped: Compiled) -> None:
    assert looks_as_before(size, "b", cases=(farm(symptoms=STOPPED),), compiled=shipped)


@SMALL
def test_facts_of_the_gas_stand_below_the_release(
    looks_as_before: Look, size: tuple[int, int], shipped: Compiled
) -> None:
    assert looks_as_before(size, "b", "t", cases=(released(),), compiled=shipped)


@SMALL
def test_jets_are_told_place_by_place(looks_as_before: Look, size: tuple[int, int], shipped: Compiled) -> None:
    assert looks_as_before(size, "b", "t", "j", cases=(released(),), compiled=shipped)
