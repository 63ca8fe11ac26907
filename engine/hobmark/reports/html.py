"""Report, set-up card and order sheets as one page each, without script and without network; made to be printed.

The templates in `pages/` lay out the same frozen values that text and JSON are made of. Whatever they put out goes
through `harmless` and is escaped: no text of a case or of a knowledge base is taken for markup.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from hobmark.bench.combustion import FORMULA
from hobmark.problems import plain
from hobmark.reports.fit import FitReport
from hobmark.reports.html_card import Layout, Sides, card_of, laid_out
from hobmark.reports.html_charts import strips, year_chart
from hobmark.reports.one_range import HEADING, detail_lines
from hobmark.reports.page import Line, seconds_words
from hobmark.reports.range_report import RangeReport
from hobmark.reports.setup_letters import pointers_of
from hobmark.reports.setup_shape import ChoiceShown, FieldShown, SetupReport
from hobmark.reports.setup_steps_text import WHO
from hobmark.reports.setup_symptom_text import CAUSES, NONE_LEFT, bearing_on
from hobmark.reports.setup_text import FIRST_ACTS, ROOM, STOP_FIRST
from hobmark.reports.text import (
    DECIBANS,
    STATUS,
    change_lines,
    circumstances,
    comparison_heading,
    date_lines,
    next_lines,
    not_weighed_lines,
    ranking_shown,
    rule_lines,
    verdict_lines,
    weights,
)
from hobmark.reports.words import TOLD, percent, shortened

if TYPE_CHECKING:
    from jinja2 import Environment


Link = tuple[str, str]
"""A part of a page: the name that it goes by, and the words for it."""
CAUTIONS: Link = ("cautions", "Cautions")
SOURCES: Link = ("sources", "Sources")
"""Parts that report and set-up card have alike."""
RUNNING = 80
"""Characters of a title that stand at the foot of every sheet of paper."""


@dataclass(frozen=True, slots=True)
class Item:
    """A paragraph, and those that were set further in below it."""

    says: str
    below: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """A heading and what stands under it."""

    heading: str
    items: tuple[Item, ...]


def report_page(report: RangeReport) -> str:
    """The report of a range: name, years, what is its own, pictures, reasons, what to look at, cautions."""
    why = [*_blocks(date_lines(report)), *_blocks(rule_lines(report))]
    ahead = [*_blocks(next_lines(report)), *_blocks(change_lines(report))]
    return _page(
        "report.html.j2",
        f"Range report: {report.label}",
        parts=_parts_of_report(report, why, ahead),
        found=report,
        head=circumstances(report),
        verdict=verdict_lines(report)[0].text,
        ranking=ranking_shown(report),
        told=report.ranking[0].probability >= TOLD,
        chart=year_chart(report),
        strips=strips(report),
        one_range=HEADING,
        doubts=_items(detail_lines(report)),
        reasons_heading=comparison_heading(report.comparison) if report.comparison is not None else "",
        weights=weights(report.comparison) if report.comparison is not None else [],
        decibans=DECIBANS.strip("()"),
        why=why,
        not_weighed=[line.text for line in not_weighed_lines(report)],
        ahead=ahead,
    )


def _parts_of_report(report: RangeReport, why: Sequence[Block], ahead: Sequence[Block]) -> list[Link]:
    """The parts that a report has, in their order."""
    return [
        *([("pictures", "Pictures")] if report.photos else []),
        ("years", "When it was made"),
        *([("one-range", HEADING)] if report.assemblies else []),
        *([("reasons", "Why this one")] if report.comparison is not None else []),
        *((f"grounds-{n}", block.heading) for n, block in enumerate(why, 1)),
        *((f"ahead-{n}", block.heading) for n, block in enumerate(ahead, 1)),
        CAUTIONS,
        *([SOURCES] if report.sources else []),
    ]


def setup_page(report: SetupReport, *, whole: bool = False) -> str:
    """The set-up card, both sides of one sheet; with `whole` the appendix behind it: every step in full, sources.

    Where a symptom stops everything there is no card: what is done at once, and the cautions.
    """
    symptom = report.symptom
    stops = symptom is not None and symptom.stop
    first = bearing_on(symptom) if symptom is not None else []
    shown: dict[str, object] = {
        "parts": _parts_of_card(report, whole=whole),
        "sheet": report,
        "card": card_of(report),
        "whole": whole,
        "who": WHO,
        "most_causes": CAUSES,
        "none_left": NONE_LEFT,
        "stop_first": STOP_FIRST,
        "first_acts": FIRST_ACTS,
        "formula": FORMULA,
        "room": ROOM,
    }

    def afresh() -> dict[str, object]:
        """Sources are numbered as they are first spoken of, so that every layout begins anew."""
        return {**shown, "pointers": pointers_of(report.cautions, first)}

    title = f"Set-up card: {report.label}"
    if stops:
        return _page("setup.html.j2", title, **afresh())
    layout = laid_out(lambda layout: _sides(layout, afresh()))
    shown = afresh()
    return _page("setup.html.j2", title, **shown, layout=layout, sides=_sides(layout, shown))


def _sides(layout: Layout, shown: Mapping[str, object]) -> Sides:
    front, back, tag, tag_back = (
        _pages().get_template(f"setup_{name}.html.j2").render(shown, layout=layout)
        for name in ("front", "back", "tag", "tag_back")
    )
    return Sides(front, back, tag, tag_back)


def _parts_of_card(report: SetupReport, *, whole: bool) -> list[Link]:
    """The parts that a card has, and with `whole` its appendix, in their order."""
    card = [
        ("release", "Release"),
        ("gas", "Gas"),
        ("jets", "Jets"),
        ("leak-check", "Leak check"),
        ("dial", "Oven dial"),
        ("combustion", "Combustion"),
        *([("symptom", "Symptom")] if report.symptom is not None else []),
        CAUTIONS,
        SOURCES,
        ("tag", "Tag"),
    ]
    if not whole:
        return card
    return [
        *card,
        ("clues", "Which gas"),
        *([("jets-reckoned", "Jets reckoned")] if report.jets or report.no_jets else []),
        *((f"part-{section.id}", section.label) for section in report.sections),
        ("cautions-in-full", "Cautions in full"),
        ("more-sources", "More sources"),
    ]


def order_page(report: FitReport) -> str:
    """The order sheets, each on a page of its own."""
    return _page(
        "order.html.j2",
        f"Order sheet: {report.label}",
        parts=[(f"order-{n}", f"{order.label} ({order.part})") for n, order in enumerate(report.orders, 1)],
        report=report,
    )


def harmless(value: object) -> object:
    """What a template puts out: characters that are not seen or turn the line as their escapes, blanks as blanks.

    Right-to-left words stay as they are; a template isolates them.
    """
    if value is None:
        raise TypeError("a template puts out what is not there")
    if not isinstance(value, str) or hasattr(value, "__html__"):  # what is markup has been through here piece by piece
        return value
    return plain(value.replace("\n", " "))


def in_css(text: str) -> str:
    """A text, cut to what the foot of a sheet has room for, as it stands between the quotes of a style sheet.

    All but letters and figures of ASCII are escaped, so that no text ends the quotes or the sheet; blanks too, since a
    browser swallows the one behind an escape.
    """
    seen = shortened(str(harmless(text)), RUNNING)
    return "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in seen)


@cache
def _pages() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # only who wants a page waits for it

    pages = Environment(
        loader=PackageLoader("hobmark.reports", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=harmless,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    pages.filters["percent"] = percent
    pages.filters["seconds"] = seconds_words
    pages.filters["told"] = _told
    pages.filters["in_css"] = in_css
    pages.filters["in_words"] = _in_words
    pages.globals["status"] = STATUS
    return pages


def _told(field: FieldShown) -> list[ChoiceShown]:
    """The choices of a line that say something."""
    return [each for each in field.choices if each.setting is not None or each.says]


def _in_words(name: object) -> str:
    """A name of a vocabulary as it is read."""
    return str(getattr(name, "value", name)).replace("_", " ")


def _page(template: str, title: str, **shown: object) -> str:
    return _pages().get_template(template).render(shown, title=title)


def _items(lines: Iterable[Line]) -> tuple[Item, ...]:
    """Paragraphs by their indent: one that is set further in than the first belongs to the one above it."""
    items: list[tuple[str, list[str]]] = []
    outermost: int | None = None
    for line in lines:
        indent = len(line.first)
        outermost = indent if outermost is None else outermost
        if indent > outermost and items:
            items[-1][1].append(line.text)
        else:
            items.append((line.text, []))
    return tuple(Item(says, tuple(below)) for says, below in items)


def _blocks(lines: list[Line]) -> tuple[Block, ...]:
    """A block of a plain report: its heading, and its paragraphs; none where it is empty."""
    return (Block(lines[0].text, _items(lines[1:])),) if lines else ()
