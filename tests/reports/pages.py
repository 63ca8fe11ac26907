"""What the tests of the pages share: shipped cases as reports and as pages, and a page read by a strict HTML parser."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from typing import TypeVar
from xml.etree.ElementTree import Element

import html5lib
from hobmark.case import Case, read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Examination, claim_of
from hobmark.reports.fit import FitReport
from hobmark.reports.fit_findings import fit_report
from hobmark.reports.html import order_page, report_page, setup_page
from hobmark.reports.range_report import PhotoShown, RangeReport, range_report
from hobmark.reports.setup import set_up
from hobmark.reports.setup_shape import SetupReport
from pydantic import BaseModel

EXAMPLES = Path(__file__).parents[2] / "examples"
CASES = {
    path.stem: path
    for path in (
        EXAMPLES / "sale" / "green-range.yaml",
        EXAMPLES / "house-call" / "farm-kitchen.yaml",
        EXAMPLES / "one-range" / "married-top.yaml",
        EXAMPLES / "parts-by-mail" / "cracked-burner.yaml",
        EXAMPLES / "listing" / "with-the-badge.yaml",
    )
}
"""Shipped cases that between them have a claim, a marriage, a serial, a doubt, measures and numbers."""
BENCH = {
    "farm-kitchen": CASES["farm-kitchen"],
    **{path.stem: path for path in sorted(Path(__file__).parent.glob("*.yaml"))},
}
"""Cases for the card: one with a bare record, one of which nothing is known, and one with all that a card may hold."""
DOT = "data:image/jpeg;base64,/9j/"
"""What stands for a picture where no picture is looked at."""
CARDS = {**CASES, **BENCH}
SYMPTOM = "one_burner_dead"
INLINE = frozenset({"a", "b", "bdi", "span"})
"""Elements that part no words."""
KEPT = frozenset({"id", "kind", "goal", "situation", "cautions", "picture"})
"""Fields whose texts are no free words: names that the pages go by, and the words of a vocabulary."""
M = TypeVar("M", bound=BaseModel)


@cache
def examination(name: str) -> Examination:
    compiled = load_compiled([knowledge_root()])
    case: Case = read_case(CARDS[name], compiled.base).case
    return Examination(compiled, case, claim=claim_of(compiled.base, case))


@cache
def report(name: str) -> RangeReport:
    photos = [PhotoShown(file="front.jpg", shows="the front", width=40, height=30, picture=DOT)]
    return range_report(examination(name), name, photos)


@cache
def card(name: str, symptom: str | None = None) -> SetupReport:
    return set_up(examination(name), name, symptom=symptom)


@cache
def orders() -> FitReport:
    return fit_report(examination("cracked-burner"), "cracked-burner", ["top_burner", "valve", "grate"], order=True)


PAGES = {
    **{f"report of {name}": (lambda name=name: report_page(report(name))) for name in CASES},
    **{f"card of {name}": (lambda name=name: setup_page(card(name))) for name in CARDS},
    **{f"whole card of {name}": (lambda name=name: setup_page(card(name), whole=True)) for name in BENCH},
    **{f"card of {name} with a symptom": (lambda name=name: setup_page(card(name, SYMPTOM))) for name in BENCH},
    "page that stops": lambda: setup_page(card("farm-kitchen", "smell_of_gas")),
    "order sheets": lambda: order_page(orders()),
}
"""Every page by what it is."""


@cache
def page(name: str) -> str:
    return PAGES[name]()


@dataclass(frozen=True)
class Read:
    """A page as a strict parser reads it; it raises at the first mistake."""

    root: Element

    def all(self, tag: str = "*", of: str | None = None) -> list[Element]:
        found = self.root.iter() if tag == "*" else self.root.iter(tag)
        return [each for each in found if isinstance(each.tag, str) and (of is None or of in classes(each))]

    def text(self) -> str:
        body = self.root.find("body")
        assert body is not None
        return words(body)

    def shape(self) -> Counter[tuple[str, tuple[str, ...]]]:
        """How often each element stands, with the names of its attributes."""
        return Counter((each.tag, tuple(sorted(each.attrib))) for each in self.all())


def read(text: str) -> Read:
    return Read(html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text))


@cache
def page_read(name: str) -> Read:
    return read(page(name))


def part(name: str, id: str) -> Element:
    (found,) = [each for each in page_read(name).all("section") if each.get("id") == id]
    return found


def classes(element: Element) -> Sequence[str]:
    return element.get("class", "").split()


def words(element: Element) -> str:
    """The text of an element as it is read: cells and paragraphs apart, however the markup is folded."""
    return " ".join("".join(_pieces(element)).split())


def _pieces(element: Element) -> Iterator[str]:
    yield element.text or ""
    for each in element:
        yield from _pieces(each) if isinstance(each.tag, str) else ()
        yield "" if each.tag in INLINE else " "
        yield each.tail or ""


def within(element: Element, of: str) -> list[Element]:
    return [each for each in element.iter() if of in classes(each)]


def reworded(shape: M, text: str) -> M:
    """The same with every free text in it, at any depth, replaced."""
    told = {name: _reworded(name, getattr(shape, name), text) for name in type(shape).model_fields}
    return shape.model_copy(update=told)


def _reworded(name: str, value: object, text: str) -> object:
    if isinstance(value, BaseModel):
        return reworded(value, text)
    if isinstance(value, list):
        return [_reworded(name, each, text) for each in value]
    if isinstance(value, dict):
        return {key: _reworded(name, each, text) for key, each in value.items()}
    if not isinstance(value, str) or isinstance(value, Enum) or not value or name in KEPT:
        return value
    return text


def found(shape: BaseModel, kind: type[M]) -> Iterator[M]:
    """Every part of a kind, at any depth."""
    if isinstance(shape, kind):
        yield shape
    for name in type(shape).model_fields:
        for each in _listed(getattr(shape, name)):
            yield from found(each, kind)


def _listed(value: object) -> Iterator[BaseModel]:
    if isinstance(value, BaseModel):
        yield value
    elif isinstance(value, list | dict):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _listed(each)
