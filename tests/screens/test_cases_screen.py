"""Your cases: first start, examples, the list, and what may be done to a case as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.examination import Compiled
from hobmark_tui.screens.cases import CasesScreen
from hobmark_tui.screens.examine import ExamineScreen
from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.widgets.case_list import CaseList
from hobmark_tui.widgets.prose import Prose
from textual.command import CommandList, CommandPalette
from textual.widgets import Input, OptionList

from .conftest import Open
from .driving import BEGUN, EMPTY, Driven


def _put(cases: Path, **labels: str) -> None:
    for name, label in labels.items():
        (cases / f"{name}.yaml").write_text(BEGUN.replace("green range", label), encoding="utf-8")


def _listed(driven: Driven) -> str:
    options = driven.app.screen.query_one(CaseList).options
    return "\n".join(str(option.prompt) for option in options)


def _highlighted(driven: Driven) -> str:
    option = driven.app.screen.query_one(CaseList).highlighted_option
    return str(option.prompt).splitlines()[0] if option is not None else ""


def _filter(driven: Driven) -> str:
    return driven.app.screen.query_one("#filter", Input).value


async def test_first_start_to_five_answers_of_an_example_on_disk(
    opened: Open, shipped: Compiled, cases: Path, size: tuple[int, int]
) -> None:
    async with opened(size, compiled=shipped, roots=(knowledge_root(),)) as driven:
        assert "open a shipped example" in str(driven.app.screen.query_one("#welcome", Prose).view)
        await driven.press("x", "enter")
        assert isinstance(driven.app.screen, ExamineScreen)
        before = len(driven.kept())
        await driven.press("1", "2", "1", "c", "1")
        assert len(driven.kept()) == before + 5
    [copy] = cases.glob("*.yaml")
    assert "expect" not in yaml.safe_load(copy.read_text(encoding="utf-8"))


async def test_the_welcome_is_three_lines(opened: Open) -> None:
    async with opened() as driven:
        welcome = driven.app.screen.query_one("#welcome", Prose)
        assert welcome.display
        assert welcome.view is not None
        assert len(welcome.view) == 3


async def test_a_new_case_is_on_disk_with_its_first_answer(opened: Open, cases: Path, size: tuple[int, int]) -> None:
    async with opened(size) as driven:
        await driven.press("n")
        await driven.type("barn find")
        await driven.press("1")
        assert driven.kept()
    [made] = cases.glob("*.yaml")
    assert yaml.safe_load(made.read_text(encoding="utf-8"))["label"] == "barn find"


async def test_the_list_tells_the_leading_answer(opened: Open, cases: Path, size: tuple[int, int]) -> None:
    _put(cases, a="green range")
    async with opened(size) as driven:
        assert "Coppice Works Finch" in _listed(driven)
        assert "1 look · just now" in _listed(driven)


async def test_what_cannot_be_read_is_listed_with_its_problem(opened: Open, cases: Path) -> None:
    (cases / "torn.yaml").write_text("hobmark: 1\nlabel: [", encoding="utf-8")
    async with opened() as driven:
        assert "cannot be read" in _listed(driven)


async def test_the_list_narrows_as_one_types(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        await driven.press("f", "i", "v", "o")
        assert "ivory" in _listed(driven)
        assert "green" not in _listed(driven)
        await driven.press("escape")
        assert "green" in _listed(driven)


async def test_enter_opens_what_the_filter_left(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        await driven.press("f", "i", "v", "enter")
        assert driven.case.label == "ivory range"


async def test_a_case_is_copied(opened: Open, cases: Path) -> None:
    _put(cases, a="green range")
    async with opened() as driven:
        await driven.press("c")
        assert len(list(cases.glob("*.yaml"))) == 2
        assert "green range (copy)" in _listed(driven)


async def test_a_case_is_renamed(opened: Open, cases: Path) -> None:
    _put(cases, a="green range")
    async with opened() as driven:
        await driven.press("e")
        await driven.type("blue range")
        assert "blue range" in _listed(driven)


async def test_delete_asks_and_its_first_answer_keeps_the_case(
    opened: Open, cases: Path, size: tuple[int, int]
) -> None:
    _put(cases, a="green range")
    async with opened(size) as driven:
        await driven.press("d")
        assert driven.title() == 'Delete "green range"?'
        await driven.press("enter")
        assert _listed(driven).startswith("green range")
        assert not (cases / "trash").exists()


async def test_a_deleted_case_is_in_the_trash_and_comes_back(opened: Open, cases: Path, size: tuple[int, int]) -> None:
    _put(cases, a="green range")
    async with opened(size) as driven:
        await driven.press("d", "down", "enter")
        assert [path.name for path in (cases / "trash").glob("*.yaml")] == ["a.yaml"]
        assert driven.app.screen.query_one("#welcome").display
        await driven.press("u")
        assert [path.name for path in cases.glob("*.yaml")] == ["a.yaml"]


async def test_after_a_delete_the_page_names_what_u_brings_back(
    opened: Open, cases: Path, size: tuple[int, int]
) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened(size) as driven:
        await driven.press("f", "g", "r", "e", "down")
        label = _highlighted(driven)
        await driven.press("delete", "down", "enter")
        assert driven.said() == f'Moved to the trash folder: "{label}". u brings it back.'
        await driven.press("u")
        assert driven.said() == f'Brought back: "{label}".'
        assert _highlighted(driven) == label


async def test_of_two_deleted_cases_the_page_names_the_one_that_u_brings_back_next(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        first = _highlighted(driven)
        await driven.press("d", "down", "enter")
        second = _highlighted(driven)
        await driven.press("d", "down", "enter", "u")
        assert driven.said() == f'Brought back: "{second}". u brings back "{first}".'


async def test_a_delete_that_fails_says_so_and_nothing_else(opened: Open, cases: Path) -> None:
    _put(cases, a="green range")
    (cases / "trash").write_text("a file where the folder should be", encoding="utf-8")
    async with opened() as driven:
        await driven.press("d", "down", "enter")
        assert driven.label("trouble").startswith("Not deleted: ")
        assert "rash folder:" not in driven.said()
        assert "green range" in _listed(driven)


async def test_backspace_deletes_no_case(opened: Open, cases: Path, size: tuple[int, int]) -> None:
    _put(cases, a="green range")
    async with opened(size) as driven:
        await driven.press("backspace", "down", "enter")
        assert not (cases / "trash").exists()


async def test_backspace_takes_the_last_letter_out_of_the_filter(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        await driven.press("i", "v", "z", "down", "backspace")
        assert _filter(driven) == "iv"
        assert "ivory" in _listed(driven)


async def test_a_word_typed_on_the_list_filters_it_and_does_nothing_else(
    opened: Open, cases: Path, size: tuple[int, int]
) -> None:
    _put(cases, a="green range", b="ivorydeluxe")
    async with opened(size) as driven:
        for letter in "ivorydeluxe":  # as fast as they come
            driven.app.simulate_key(letter)
        await driven.settle()
        assert _filter(driven) == "ivorydeluxe"
        assert "green" not in _listed(driven)
        assert isinstance(driven.app.screen, CasesScreen)
    assert sorted(path.name for path in cases.iterdir()) == ["a.yaml", "b.yaml"]


async def test_a_word_that_begins_with_the_key_for_delete_deletes_nothing(opened: Open, cases: Path) -> None:
    _put(cases, a="green range")
    async with opened() as driven:
        await driven.press(*"deluxe", "enter")
        assert "green range" in _listed(driven)
    assert [path.name for path in cases.iterdir()] == ["a.yaml"]


async def test_the_filter_does_not_claim_that_any_letter_filters(opened: Open, cases: Path) -> None:
    _put(cases, a="green range")
    async with opened() as driven:
        assert driven.app.screen.query_one("#filter", Input).placeholder.startswith("f or /")


async def test_from_the_filter_an_arrow_leads_into_what_it_left(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        await driven.press("f", "i", "v", "down", "d", "down", "enter")
        assert _filter(driven) == "iv"
    assert [path.name for path in (cases / "trash").iterdir()] == ["b.yaml"]


@pytest.mark.parametrize("filtered", [False, True])
async def test_the_highlight_is_on_a_copy(opened: Open, cases: Path, filtered: bool) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        await driven.press(*(("i", "v", "o", "down") if filtered else ()), "c")
        assert _highlighted(driven).endswith("(copy)")


@pytest.mark.parametrize("filtered", [False, True])
async def test_the_highlight_is_on_the_new_case_that_one_comes_back_from(
    opened: Open, cases: Path, filtered: bool, size: tuple[int, int]
) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened(size) as driven:
        await driven.press(*(("i", "v", "o", "down") if filtered else ()), "n")
        await driven.type("barn find")
        await driven.press("q")
        assert _highlighted(driven) == "barn find"


@pytest.mark.parametrize("filtered", [False, True])
async def test_the_highlight_is_on_the_example_that_one_comes_back_from(
    opened: Open, cases: Path, shipped: Compiled, filtered: bool
) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened(compiled=shipped, roots=(knowledge_root(),)) as driven:
        await driven.press(*(("i", "v", "o", "down") if filtered else ()), "x", "enter")
        label = driven.case.label
        await driven.press("q")
        assert _highlighted(driven) == label


async def test_the_highlight_is_on_a_case_that_comes_back_while_the_filter_hides_it(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        await driven.press("i", "v", "o", "down", "d", "down", "enter", "escape", "g", "r", "down", "u")
        assert _highlighted(driven) == "ivory range"
        assert _filter(driven) == ""


async def test_the_highlight_is_on_the_case_that_one_comes_back_from(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range", c="cream range")
    async with opened() as driven:
        await driven.press("down", "down")
        label = _highlighted(driven)
        await driven.press("enter", "1", "q")
        assert _highlighted(driven) == label


async def test_a_new_case_that_nothing_was_said_of_leaves_the_highlight_where_it_was(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range")
    async with opened() as driven:
        await driven.press("down")
        label = _highlighted(driven)
        await driven.press("n", "enter")
        (cases / "c.yaml").write_text(BEGUN.replace("green", "cream"), encoding="utf-8")
        await driven.press("q")
        assert _highlighted(driven) == label


async def test_after_a_delete_the_highlight_is_on_the_case_in_its_place(opened: Open, cases: Path) -> None:
    _put(cases, a="green range", b="ivory range", c="cream range")
    async with opened() as driven:
        await driven.press("down")
        below = _listed(driven).splitlines()[4]
        await driven.press("d", "down", "enter")
        assert _highlighted(driven) == below


async def test_what_was_deleted_in_another_session_comes_back_too(opened: Open, cases: Path) -> None:
    (cases / "trash").mkdir()
    _put(cases / "trash", a="green range")
    async with opened() as driven:
        await driven.press("u", "enter")
        assert [path.name for path in cases.glob("*.yaml")] == ["a.yaml"]


async def test_a_case_open_elsewhere_is_refused_in_words(opened: Open, cases: Path, small: Compiled) -> None:
    _put(cases, a="green range")
    with CaseSession.open(cases / "a.yaml", small.base):
        async with opened() as driven:
            await driven.press("enter")
            assert isinstance(driven.app.screen, CasesScreen)
            assert "this case is open" in driven.label("trouble")


async def test_a_named_case_that_is_open_elsewhere_shows_the_cases_and_says_so(
    opened: Open, cases: Path, small: Compiled
) -> None:
    (cases / "case.yaml").write_text(EMPTY, encoding="utf-8")
    with CaseSession.open(cases / "case.yaml", small.base):
        async with opened(text=EMPTY) as driven:
            assert "this case is open" in driven.label("trouble")


async def test_the_palette_offers_what_the_page_can_do(opened: Open, cases: Path) -> None:
    _put(cases, a="green range")
    async with opened() as driven:
        await driven.pilot.press("ctrl+p")
        await driven.pilot.pause(0.5)
        prompts = [str(option.prompt) for option in driven.app.screen.query_one(OptionList).options]
        assert any("Copy" in prompt for prompt in prompts)


async def test_q_leaves(opened: Open) -> None:
    async with opened() as driven:
        await driven.pilot.press("q")
        await driven.pilot.pause()
        assert not driven.app.is_running or driven.app.return_code == 0


async def test_a_palette_that_is_taken_down_while_it_looks_for_commands_does_not_end_the_program(opened: Open) -> None:
    async with opened() as driven:
        await driven.press("ctrl+p")
        palette = driven.app.screen
        assert isinstance(palette, CommandPalette)
        await palette.query(CommandList).remove()
        palette._gather_commands("open")
        await driven.settle()
        await driven.press("escape")
        assert driven.app.is_running
