"""A report, a set-up sheet or an order sheet as a file: a page, plain text or JSON, by the ending of its name."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import TypeVar

from hobmark.files import refusal, write_atomically
from hobmark.problems import plain
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit import FitReport
from hobmark.reports.fit_text import order_text
from hobmark.reports.html import order_page, report_page, setup_page
from hobmark.reports.identify import Shape
from hobmark.reports.page import wrapped
from hobmark.reports.photos import photos_of
from hobmark.reports.range_report import RangeReport, range_report, report_text
from hobmark.reports.setup_shape import SetupReport
from hobmark.reports.setup_text import setup_text

S = TypeVar("S", bound=Shape)


class Ending(StrEnum):
    """The ending of a file's name, which tells what is written."""

    PAGE = ".html"
    TEXT = ".txt"
    JSON = ".json"


def ending_of(path: Path) -> Ending:
    """What a file of this name is written as; Refused where its ending does not tell."""
    try:
        return Ending(path.suffix.lower())
    except ValueError:
        message = f"the ending of the name does not tell what to write: {', '.join(Ending)}."
        raise refusal(path, message, "End it in .html for a page to print.") from None


def report_of(examination: Examination, case: Path) -> RangeReport:
    """The report of the case in the file `case`, with its pictures; Refused where one of them cannot be shown."""
    return range_report(examination, str(case), photos_of(case, examination.case))


def write_report(examination: Examination, case: Path, path: Path) -> RangeReport:
    """Write the report of the case in the file `case` whole or not at all, and return it.

    Raises Refused where that cannot be done, and where a picture of the case cannot be shown.
    """
    ending_of(path)  # before any work is done
    report = report_of(examination, case)
    _write(report, path, page=report_page, text=report_text)
    return report


def write_setup(report: SetupReport, path: Path, *, whole: bool = False) -> None:
    """Write a set-up card likewise; `whole` with every step in full and the sources."""
    _write(report, path, page=partial(setup_page, whole=whole), text=partial(setup_text, whole=whole))


def write_order(report: FitReport, path: Path) -> None:
    """Write the order sheets of a fit report likewise; in JSON the whole of it. Refused too where it has none."""
    if not report.orders:
        raise refusal(path, f"no order sheet for {'; '.join(report.not_ordered)}", "Ask for another part.")
    _write(report, path, page=order_page, text=orders_text)


def orders_text(report: FitReport) -> str:
    """The order sheets of a fit report as plain text, and what no order sheet is made for."""
    blocks = [order_text(order) for order in report.orders]
    blocks += [wrapped(f"No order sheet for {each}") for each in report.not_ordered]
    return "\n\n\n".join([*blocks, *([wrapped(report.demonstration)] if report.demonstration else [])]) + "\n"


def _write(report: S, path: Path, *, page: Callable[[S], str], text: Callable[[S], str]) -> None:
    ending = ending_of(path)
    if ending is Ending.PAGE:
        write_atomically(path, page(report))
    elif ending is Ending.TEXT:
        write_atomically(path, plain(text(report)))
    else:
        write_atomically(path, report.model_dump_json(by_alias=True, indent=2) + "\n")
