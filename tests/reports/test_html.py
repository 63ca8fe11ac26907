"""The pages: made as HTML is to be, harmless whatever a text holds, and complete."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from itertools import pairwise

import pytest
from hobmark.reports.html import harmless, order_page, report_page, setup_page
from hobmark.reports.words import percent
from html5lib.html5parser import ParseError
from hypothesis import given, settings
from hypothesis import strategies as st

from .pages import CASES, DOT, PAGES, SYMPTOM, card, orders, page, page_read, read, report, reworded, within, words

HOSTILE = {
    "a script": "<script>alert(1)</script>",
    "an image that runs": "<img src=x onerror=alert(1)>",
    "the end of an attribute": "\" onmouseover=\"alert(1)' x='",
    "the end of the style": "</style><script>alert(1)</script>",
    "the end of the title": "</title></head><body onload=alert(1)>",
    "a comment left open": "<!-- ",
    "a declaration": "<![CDATA[ ]]> <!DOCTYPE x> <?php ?>",
    "a template's signs": "{{ 7 * 7 }} {% raw %} {# #} {{ found.__class__ }} ${7*7}",
    "an address that runs": "javascript:alert(1)",
    "entities": "&lt;b&gt; &#60;i&#62; &amp;amp; &",
    "signs that turn the line": "\u202egnp.\u202c \u2066x\u2069 \u200f",
    "signs that are not seen": "a\u200bb\u00adc\ufeff\u2060",
    "controls": "\x00\x08\x1b[2J\x7f\x85\u2028",
    "line ends": "a\r\nb\n\n\tc",
    "right to left": "\u05ea\u05e0\u05d5\u05e8 \u0641\u0631\u0646",
    "a long word": "x" * 5000,
    "marks heaped up": "e" + "\u0301" * 200,
}
SHAPES = {
    "report": lambda text: report_page(reworded(report("married-top"), text)),
    "card": lambda text: setup_page(reworded(card("full-record", SYMPTOM), text)),
    "whole card": lambda text: setup_page(reworded(card("farm-kitchen"), text), whole=True),
    "order sheets": lambda text: order_page(reworded(orders(), text)),
}
"""A page of each kind, with every free text on it, of case and knowledge alike, replaced by the one given."""
CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\u00ad]")


Shape = Counter[tuple[str, tuple[str, ...]]]
LENGTHS = (1, 11, 40, 80, 160, 320, 640, 5000)


@cache
def plain_shapes(kind: str) -> list[Shape]:
    """The shapes a page has of plain words: a card is laid out by how long its words are, by nothing else in them."""
    return [read(SHAPES[kind](("plain words " * 500)[:length].strip())).shape() for length in LENGTHS]


@pytest.mark.parametrize("kind", SHAPES)
@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_a_text_full_of_markup_changes_no_element_of_a_page(kind: str, text: str) -> None:
    assert read(SHAPES[kind](text)).shape() in plain_shapes(kind)


@settings(max_examples=15)
@given(text=st.text(min_size=1, max_size=80).filter(str.strip))
@pytest.mark.parametrize("kind", SHAPES)
def test_no_text_whatever_changes_an_element_of_a_page(kind: str, text: str) -> None:
    assert read(SHAPES[kind](text)).shape() in plain_shapes(kind)


@pytest.mark.parametrize("kind", SHAPES)
@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_no_page_holds_a_sign_that_is_not_seen(kind: str, text: str) -> None:
    assert CONTROLS.findall(SHAPES[kind](text)) == []


@pytest.mark.parametrize("kind", SHAPES)
@pytest.mark.parametrize("name", ["a script", "a template's signs", "entities", "right to left", "a long word"])
def test_a_text_stands_on_the_page_as_it_was_written(kind: str, name: str) -> None:
    assert HOSTILE[name] in read(SHAPES[kind](HOSTILE[name])).text()


@pytest.mark.parametrize("kind", SHAPES)
def test_words_of_a_case_turn_no_line_about_them(kind: str) -> None:
    """A right-to-left label is set apart from the rest, so that no number beside it changes place."""
    (title, *_) = read(SHAPES[kind](HOSTILE["right to left"])).all("h1")
    assert [words(each) for each in title.iter("bdi")] == [HOSTILE["right to left"]]


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        ("a\u202eb", "a\\u202eb"),
        ("a\u200bb", "a\\u200bb"),
        ("a\x00b", "a\\x00b"),
        ("a\nb\tc\r", "a b c "),
        ("a\u00a0b\u3000c", "a b c"),
        ("\u05ea", "\u05ea"),
        (7, 7),
    ],
)
def test_what_is_not_seen_is_shown_by_its_escape(given: object, shown: object) -> None:
    assert harmless(given) == shown


def test_what_is_not_there_is_never_put_out() -> None:
    with pytest.raises(TypeError):
        harmless(None)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_runs_nothing_and_asks_nothing_of_a_network(name: str) -> None:
    found = page_read(name)
    links = [each.get(at, "") for each in found.all() for at in ("href", "src", "action", "srcset", "poster")]
    assert [link for link in links if link and not link.startswith(("#", DOT))] == []
    assert {each.tag for each in found.all()} & {"script", "link", "iframe", "object", "embed", "base", "form"} == set()
    assert [at for each in found.all() for at in each.attrib if at.startswith("on")] == []
    assert "url(" not in page(name)
    assert "@import" not in page(name)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_forbids_the_browser_whatever_it_does_not_need(name: str) -> None:
    (policy,) = [each for each in page_read(name).all("meta") if each.get("http-equiv") == "Content-Security-Policy"]
    assert policy.get("content") == "default-src 'none'; img-src data:; style-src 'unsafe-inline'"


@pytest.mark.parametrize("name", PAGES)
def test_a_page_has_its_language_and_a_title(name: str) -> None:
    found = page_read(name)
    assert found.root.get("lang") == "en"
    assert [bool(words(each)) for each in found.all("title")] == [True]


@pytest.mark.parametrize("name", PAGES)
def test_no_heading_skips_a_rank(name: str) -> None:
    ranks = [int(each.tag[1]) for each in page_read(name).all() if re.fullmatch("h[1-6]", each.tag)]
    assert ranks[0] == 1
    assert [pair for pair in pairwise(ranks) if pair[1] > pair[0] + 1] == []


@pytest.mark.parametrize("name", PAGES)
def test_every_heading_of_a_table_says_what_it_heads(name: str) -> None:
    assert {each.get("scope") for each in page_read(name).all("th")} <= {"row", "col"}


@pytest.mark.parametrize("name", PAGES)
def test_no_name_on_a_page_stands_twice_and_every_link_leads_somewhere(name: str) -> None:
    found = page_read(name)
    names = Counter(each.get("id") for each in found.all() if each.get("id"))
    assert [each for each, count in names.items() if count > 1] == []
    assert {each.get("href", "")[1:] for each in found.all("a")} <= set(names)


@pytest.mark.parametrize("name", CASES)
def test_a_report_says_the_answer_in_words_and_as_a_number(name: str) -> None:
    found, text = report(name), page_read(f"report of {name}").text()
    assert f"{found.ranking[0].label} {percent(found.ranking[0].probability)} {found.certainty}" in text


@pytest.mark.parametrize("name", CASES)
def test_every_year_of_the_chart_has_its_figure_in_words(name: str) -> None:
    text = page_read(f"report of {name}").text()
    years = [entry for entry in report(name).years if entry.probability >= 0.005]
    assert [f"{entry.year} {percent(entry.probability)}" for entry in years if f"{entry.year} " not in text] == []
    assert len(within(page_read(f"report of {name}").root, "bar")) == len(years)


@pytest.mark.parametrize("name", CASES)
def test_every_assembly_has_its_years_and_its_verdict_in_words(name: str) -> None:
    drawn = [words(each) for each in page_read(f"report of {name}").all("tr") if within(each, "told")]
    rows = [row.removesuffix(", see below") for row in drawn]
    told = [
        f"{each.label}{'' if each.dates else '*'} {each.first}-{each.last} "
        + {"as_left_the_works": "own", "doubtful": f"? doubtful, {percent(each.not_its_own)}"}.get(
            each.verdict.value, f"! not its own, {percent(each.not_its_own)}"
        )
        for each in report(name).assemblies
    ]
    assert rows[2:] == told


@pytest.mark.parametrize("name", CASES)
def test_every_caution_stands_in_a_report(name: str) -> None:
    text = page_read(f"report of {name}").text()
    assert [each.short for each in report(name).cautions if each.short not in text] == []


def test_a_report_gives_the_verdict_on_a_claim() -> None:
    found, text = report("with-the-badge"), page_read("report of with-the-badge").text()
    assert [claim for claim in found.claims if f"{percent(claim.probability)} " not in text] == []
    assert found.claims[0].verdict in text


def test_a_report_shows_a_picture_with_what_it_shows() -> None:
    (picture,) = page_read("report of green-range").all("img")
    assert (picture.get("src"), picture.get("alt")) == (DOT, "the front")


def test_each_order_sheet_begins_a_page_of_its_own() -> None:
    assert len(page_read("order sheets").all("article")) == len(orders().orders)


def test_an_order_sheet_gives_each_dimension_the_papers_ask_with_its_source() -> None:
    asked = [row for order in orders().orders for row in order.dimensions if row.wanted is not None]
    shown = [words(each) for each in page_read("order sheets").all(of="setting") if "no fit" in words(each)]
    assert len(shown) == len(asked)
    assert [row for row, text in zip(asked, shown, strict=True) if not text.startswith(f"{row.wanted} [")] == []


def test_a_number_that_a_supplier_is_told_bears_source_and_caution_on_the_page() -> None:
    told = [ask for order in orders().orders for ask in order.asks if ask.is_setting]
    shown = [words(each) for each in page_read("order sheets").all(of="setting") if "its cautions" in words(each)]
    assert shown == [f"{ask.value} [{ask.source}] ! never without its cautions" for ask in told]


def test_what_is_to_be_asked_first_is_marked_so_on_the_page() -> None:
    wanting = [ask for order in orders().orders for ask in order.asks if ask.first and ask.value is None]
    assert wanting
    assert page_read("order sheets").text().count("Ask first:") == len(wanting)


def test_what_is_not_known_is_left_blank_on_an_order_sheet() -> None:
    bare = orders().model_copy(update={"orders": [orders().orders[0].model_copy(update={"serials": []})]})
    (row,) = [each for each in read(order_page(bare)).all("tr") if words(each) == "Serial"]
    assert within(row, "blank-line")


def test_what_reads_the_pages_here_refuses_a_mistake() -> None:
    with pytest.raises(ParseError):
        read(page("order sheets").replace("</article>", "</section>", 1))


def test_pages_of_one_shape_are_the_same_whenever_they_are_made() -> None:
    assert setup_page(card("farm-kitchen")) == setup_page(card("farm-kitchen"))
