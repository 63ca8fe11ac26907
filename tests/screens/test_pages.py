"""What is announced above the look, and the pages beside it: dates, cautions, reasons, keys."""

from __future__ import annotations

from hobmark_tui.screens.examine import ExamineScreen
from hobmark_tui.screens.pages import CautionsScreen, DatesScreen
from hobmark_tui.screens.reasons import ReasonsScreen
from hobmark_tui.widgets.prose import Prose
from textual.widgets import Tree

from .conftest import Open
from .driving import ALL, BEGUN, SETTLED, Driven


async def test_settled_is_announced_and_never_blocks(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=SETTLED) as driven:
        assert "Settled: it" in driven.banner("stop") or "Settled: Coppice Works Robin" in driven.banner("stop")
        assert driven.asked()


async def test_stop_says_what_cannot_be_told_apart_and_what_could(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=ALL) as driven:
        said = driven.banner("stop").replace("\n", " ")
        assert "Cannot be told apart from here: Coppice Works Finch" in said
        assert "The cheapest look that could: insulation" in said
        assert "You may still go on." in said


async def test_assemblies_stand_with_sign_and_word(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        assert "✓ body" in driven.parts()
        assert "· front" in driven.parts()
        assert "(✓ its own; · not looked at)" in driven.parts()


async def test_dates_have_a_page_with_the_timeline(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=SETTLED) as driven:
        await driven.press("d")
        assert isinstance(driven.app.screen, DatesScreen)
        await driven.press("q")
        assert isinstance(driven.app.screen, ExamineScreen)


async def test_cautions_have_a_page_with_sources(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("x")
        assert isinstance(driven.app.screen, CautionsScreen)
        assert "book, page 3 (verified)" in _prose(driven)


async def test_reasons_grow_as_a_tree(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=SETTLED) as driven:
        await driven.press("w")
        assert isinstance(driven.app.screen, ReasonsScreen)
        branches = [str(node.label) for node in driven.app.screen.query_one(Tree).root.children]
        assert branches[0].startswith("How it came to Coppice Works Robin")
        assert branches[-1] == "What would change it"


async def test_why_not_another_is_chosen_by_words(opened: Open) -> None:
    async with opened(text=SETTLED) as driven:
        await driven.press("w", "n")
        await driven.type("export")
        branches = [str(node.label) for node in driven.app.screen.query_one(Tree).root.children]
        assert "Why Coppice Works Robin rather than Coppice Works Finch Export" in branches


async def test_every_key_of_the_page_is_explained(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("h")
        said = _prose(driven)
        assert "Cannot see: It cannot be seen from here." in said
        assert "1 … =" in said


def _prose(driven: Driven) -> str:
    prose = driven.app.screen.query_one(Prose)
    return "\n".join(line.plain for line in prose.lines(prose.view, 200)) if prose.view else ""
