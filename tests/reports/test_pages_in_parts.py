"""Finding one's way on a page: the title at the foot of every sheet of paper, and links to the parts at the top."""

from __future__ import annotations

import re

import pytest
from hobmark.reports.html import RUNNING, harmless, in_css
from hobmark.reports.words import shortened
from hypothesis import given
from hypothesis import strategies as st

from .pages import PAGES, page, page_read, words

LONG = [name for name in PAGES if "stop" not in name]
ESCAPE = re.compile(r"\\([0-9a-f]{1,6})\s?")
"""One that CSS Syntax Level 3, section 4.3.7, ends: a blank behind it belongs to it."""


def as_a_browser_reads_it(quoted: str) -> str:
    return ESCAPE.sub(lambda found: chr(int(found[1], 16)), quoted)


@given(st.text(max_size=200))
def test_no_text_ends_the_quotes_in_which_it_stands_in_the_style_sheet(text: str) -> None:
    assert re.fullmatch(r"([A-Za-z0-9]|\\[0-9a-f]{6})*", in_css(text))


@given(st.text(max_size=200))
def test_a_browser_reads_in_the_style_sheet_what_the_page_shows(text: str) -> None:
    assert as_a_browser_reads_it(in_css(text)) == shortened(str(harmless(text)), RUNNING)


@pytest.mark.parametrize("name", PAGES)
def test_every_sheet_of_paper_has_the_title_at_its_foot(name: str) -> None:
    (title,) = page_read(name).all("title")
    (foot,) = re.findall(r'@bottom-left { content: "([^"]*)"', page(name))
    assert as_a_browser_reads_it(foot) == shortened(words(title), RUNNING)


@pytest.mark.parametrize("name", LONG)
def test_a_page_begins_with_links_to_all_its_parts(name: str) -> None:
    found = page_read(name)
    (ways,) = found.all("nav", of="ways")
    linked = {each.get("href", "")[1:] for each in ways.iter("a")}
    parts = {each.get("id") for each in found.all("article" if name == "order sheets" else "section") if each.get("id")}
    assert parts == linked


@pytest.mark.parametrize("name", LONG)
def test_the_links_stand_before_the_parts(name: str) -> None:
    before, _, after = page(name).partition('<nav class="ways"')
    assert ('<section id="' in before, '<section id="' in after) == (False, True)
