"""Screen and report tell one story: donors, looks, what is settled, and of what one asks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from hobmark.case import Case, read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.vocabulary import Goal, Originality
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Compiled, claim_of, first_goal
from hobmark.reports.findings import findings
from hobmark.reports.identify import Findings
from hobmark.reports.one_range import comes_from
from hobmark.reports.text import settled_answer, verdict_lines
from hobmark_tui.views.banner import stop_view
from hobmark_tui.views.dates import dates_view
from hobmark_tui.views.open import open_view
from hobmark_tui.views.standing import Aim, Standing, stand

from .conftest import Open

EXAMPLES = Path(__file__).parents[2] / "examples"
SHIPPED = [
    *sorted(path for path in EXAMPLES.glob("*/*.yaml")),
    *sorted(knowledge_root().glob("*/cases/*.yaml"))[::8],
]
GOALS = [Goal.VARIANT, Goal.YEAR, Goal.MAKER]


@cache
def shipped_base() -> Compiled:
    return load_compiled([knowledge_root()])


@cache
def told(path: Path, goal: Goal) -> tuple[Standing, Findings]:
    """Where a case stands on the screen, and what its report tells."""
    compiled = shipped_base()
    standing = stand(compiled, read_case(path, compiled.base).case, Aim(goal))
    return standing, findings(standing.now, str(path))


each_case = pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)


@each_case
@pytest.mark.parametrize("goal", GOALS)
def test_what_the_screen_calls_settled_the_report_calls_so_in_the_same_words(path: Path, goal: Goal) -> None:
    standing, found = told(path, goal)
    banner = stop_view(standing, found)
    answer, _ = settled_answer(found)
    on_paper = verdict_lines(found)[0].text
    on_screen = banner.heading if banner is not None else ""
    assert on_screen.startswith(f"Settled: {answer} (") is on_paper.startswith(f"Settled: {answer}")


@each_case
def test_no_look_that_is_asked_is_named_as_one_for_later(path: Path) -> None:
    _, found = told(path, Goal.VARIANT)
    of_it = [
        paragraph.text
        for look in found.next
        for paragraph in open_view(shipped_base().base, found, look.feature)
        if paragraph.text.startswith(f"later: {look.label.lower()} (")
    ]
    assert of_it == []


@each_case
def test_donors_are_named_on_the_screen_where_the_report_names_them_and_nowhere_else(path: Path) -> None:
    _, found = told(path, Goal.VARIANT)
    lines = [paragraph.text for paragraph in dates_view(found)]
    doubted = [entry for entry in found.assemblies if entry.verdict is not Originality.AS_LEFT_THE_WORKS]
    assert [line for line in lines if "such w" in line] == [
        comes_from(entry) for entry in sorted(doubted, key=lambda each: -each.not_its_own)
    ]


def test_a_variant_that_is_not_listed_is_not_called_none_that_i_know() -> None:
    _, found = told(EXAMPLES / "sale" / "green-range.yaml", Goal.VARIANT)
    unlisted = found.ranking[0].model_copy(
        update={"maker": "brindlemere", "variant": None, "unlisted": True, "label": "Brindlemere, a variant not listed"}
    )
    assert settled_answer(found.model_copy(update={"ranking": [unlisted]}))[0] == "Brindlemere, a variant not listed"


def test_where_the_year_is_asked_nothing_is_said_of_a_name() -> None:
    _, found = told(EXAMPLES / "sale" / "green-range.yaml", Goal.YEAR)
    open_still = found.model_copy(update={"named": True, "settled": False, "stop": False, "assemblies_seen": 2})
    assert "it has a year, but on 2 parts" in verdict_lines(open_still)[0].text


FOUR = EXAMPLES / "listing" / "four-pictures.yaml"


def test_a_case_that_claims_something_is_asked_about_its_claim() -> None:
    case = read_case(FOUR, shipped_base().base).case
    assert first_goal(shipped_base().base, case) is Goal.CLAIM
    assert first_goal(shipped_base().base, Case(hobmark="1")) is Goal.VARIANT


async def test_it_opens_on_its_claim(opened: Open) -> None:
    async with opened(text=FOUR.read_text(encoding="utf-8"), compiled=shipped_base()) as driven:
        assert driven.examine.aim.goal is Goal.CLAIM


@pytest.mark.parametrize("variant", ["heron_plain", "heron_deluxe"])
def test_the_variant_that_leads_is_compared_with_another_whatever_is_claimed(variant: str) -> None:
    compiled = shipped_base()
    case = read_case(EXAMPLES / "sale" / "green-range.yaml", compiled.base).case
    claims = case.claims.model_copy(update={"maker": "brindlemere", "variant": f"brindlemere/{variant}"})
    standing = stand(compiled, case.model_copy(update={"claims": claims}), Aim(Goal.CLAIM))
    assert claim_of(compiled.base, standing.case) is not None
    found = findings(standing.now, "it")
    assert found.comparison is not None
    assert found.comparison.first == found.ranking[0].label
    assert found.comparison.second != found.ranking[0].label
    assert found.comparison.total > 0
