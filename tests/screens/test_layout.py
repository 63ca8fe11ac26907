"""What was found wanting on pictures of the screen: words cut off, keys out of reach, sketches not level."""

from __future__ import annotations

import pytest
from hobmark.case import Case
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.examination import Compiled
from hobmark.reports.findings import findings
from hobmark_tui.views.dates import timeline
from hobmark_tui.views.leaders import LeaderLine, LeadersView, YearsView, leaders_view
from hobmark_tui.views.look import ValueView
from hobmark_tui.views.reasons import reasons_view
from hobmark_tui.views.standing import Aim, stand
from hobmark_tui.widgets.case_list import CaseList
from hobmark_tui.widgets.key_footer import KeyFooter
from hobmark_tui.widgets.panels import Leaders, Years
from hobmark_tui.widgets.values import ValueCard
from textual.widgets._footer import FooterKey

from .conftest import NARROW, Open
from .driving import ALL, BEGUN, SETTLED, Driven

LINE = LeaderLine("Coppice Works Finch Export", "Finch Export", 0.5, "50%", "1946-1950, likeliest 1948")


def keys_in_sight(driven: Driven) -> set[str]:
    """The words of the keys whose whole width stands on the screen."""
    shown = driven.app.screen.region
    return {key.description for key in driven.app.screen.query(FooterKey) if key.region in shown and key.region.area}


async def test_every_key_of_the_foot_is_in_sight_on_a_small_screen(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        every = {key.description for key in driven.app.screen.query_one(KeyFooter).query(FooterKey)}
        assert {"Cases", "Keys", "Cautions"} <= every == keys_in_sight(driven)


async def test_every_key_is_in_sight_where_something_was_taken_back(opened: Open) -> None:
    async with opened(NARROW, text=BEGUN) as driven:
        await driven.press("u")
        assert {"Redo", "Keys"} <= keys_in_sight(driven)


async def test_the_list_of_cases_says_what_enter_does(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("q")
        assert "Open" in keys_in_sight(driven)


async def test_a_first_start_offers_nothing_that_needs_a_case(opened: Open) -> None:
    async with opened() as driven:
        assert keys_in_sight(driven).isdisjoint({"Open", "Filter", "Copy", "Rename", "Delete"})


async def test_the_name_of_the_case_stands_in_full_on_a_narrow_screen(opened: Open) -> None:
    async with opened(NARROW, text=SETTLED.replace("green range", "four pictures of a green range")) as driven:
        assert driven.app.screen.query_one("#name").region.width >= len("four pictures of a green range")


@pytest.mark.parametrize("width", [24, 27, 40, 60, 110])
def test_no_line_of_the_ranking_is_wider_than_its_room(width: int) -> None:
    view = LeadersView((LINE, LINE), "1 look, about 5 s")
    assert max(line.cell_length for line in Leaders().lines(view, width)) <= width


@pytest.mark.parametrize("width", [20, 27, 60])
def test_no_line_of_the_years_is_wider_than_its_room(width: int) -> None:
    view = YearsView(1936, (0.5, 0.5), "1936-1937, likeliest 1936")
    assert max(line.cell_length for line in Years().lines(view, width)) <= width


def test_years_stand_under_one_another() -> None:
    robin = LeaderLine("Coppice Works Robin", "Robin", 0.4, "40%", "1936-1940")
    drawn = [line.plain for line in Leaders().lines(LeadersView((LINE, robin), "1 look, about 5 s"), 78)]
    assert drawn[1].index("1946") == drawn[2].index("1936")


def test_a_long_name_in_the_ranking_goes_on_in_the_next_line() -> None:
    view = LeadersView((LINE,), "1 look, about 5 s")
    drawn = "".join(line.plain for line in Leaders().lines(view, 20)).replace(" ", "")
    assert "Finch" in drawn
    assert "Export" in drawn
    assert "…" not in drawn


def test_where_nothing_stands_out_the_ranking_shows_that(small: Compiled) -> None:
    lines = leaders_view(stand(small, Case(hobmark="1"), Aim()).now).lines
    assert len(lines) > 1


def test_sketches_of_a_row_stand_level_whatever_their_words_take() -> None:
    short = ValueCard(1, ValueView("a", "1", "ring", "( )"), rows=1)
    long = ValueCard(2, ValueView("b", "2", "ring within a slotted ring", " * "), rows=1)
    height = len(long.drawn(14))
    places = [
        [line.plain.strip() for line in card.drawn(14, height)].index(sketch)
        for card, sketch in ((short, "( )"), (long, "*"))
    ]
    assert places[0] == places[1] == height - 1


@pytest.mark.parametrize("width", [46, 76, 110])
def test_no_line_of_the_timeline_is_wider_than_its_room(small: Compiled, width: int) -> None:
    seen = tuple(
        Observation.model_validate({"feature": feature, "is": value})
        for feature, value in {"legs": "recess", "clock": "wind_up", "burner_head": "star"}.items()
    )
    found = findings(stand(small, Case(hobmark="1", observations=seen), Aim()).now, "case")
    assert max(len(line.text) for line in timeline(found, width)) <= width


async def test_what_was_seen_stands_once_among_the_reasons_whoever_speaks_of_it(opened: Open) -> None:
    async with opened(text=ALL) as driven:
        standing = driven.examine.standing
        assert standing is not None
        found = findings(standing.now, "case")
        spoken_of_twice = found.model_copy(update={"trace": [*found.trace, *found.trace]})
        heads = [node.text for node in reasons_view(spoken_of_twice)[0].below[0].below]
        assert len(heads) == len(set(heads))


async def test_what_cannot_be_gone_is_refused_in_a_sentence(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.ask("legs")
        await driven.press("g")
        assert driven.said().endswith("That cannot be gone from a range.")


async def test_a_filter_that_nothing_has_says_so(opened: Open) -> None:
    async with opened(text=BEGUN) as driven:
        await driven.press("q", "f", *"zebra")
        assert [str(option.prompt) for option in driven.app.screen.query_one(CaseList).options] == [
            "No case has these words."
        ]


async def test_the_filter_says_how_to_leave_it(opened: Open, size: tuple[int, int]) -> None:
    async with opened(size, text=BEGUN) as driven:
        await driven.press("q", "f")
        assert "All cases" in keys_in_sight(driven)
