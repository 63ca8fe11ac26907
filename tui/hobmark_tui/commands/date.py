"""`hobmark date`: what words on a plate, a patent number or a serial prove of the year, and what they do not."""

from __future__ import annotations

from typing import Annotated

import typer
from hobmark.files import UNWANTED
from hobmark.problems import shown
from hobmark.reasoning.cache import load_compiled

from hobmark_tui.commands.common import Format, FormatOption, Knowledge, knowledge_roots, say, say_json, usage
from hobmark_tui.commands.terminal import page_width
from hobmark_tui.exits import ExitCode

MOST_CHARACTERS = 2000
"""Longest text that is read; no plate holds more."""


def date(
    texts: Annotated[
        list[str] | None,
        typer.Argument(metavar="TEXT", help="Words as they stand, in quotes; ? for an unreadable sign."),
    ] = None,
    maker: Annotated[
        str | None, typer.Option(metavar="NAME", help="Also read each TEXT as a serial number of this maker.")
    ] = None,
    knowledge: Knowledge = None,
    format_: FormatOption = Format.TEXT,
) -> int:
    """Tell what the words of a plate, a patent number or a serial prove of the year, with source and status.

    Lines part at `/`. Each TEXT is read by itself, and dates the part it stands on. Exit code 1 tells that the
    evidence of a TEXT contradicts itself.
    """
    if not texts:
        raise usage("no text is given.", 'Write the words in quotes: hobmark date "PAT. 2,108,343 / CHICAGO 16, ILL."')
    for text in texts:
        _must_be_readable(text)
    from hobmark.reports.dating import date_text, dated  # no other command needs it

    base = load_compiled(knowledge_roots(knowledge)).base
    reports = [dated(text, base, maker) for text in texts]
    if format_ is Format.JSON:
        say_json(reports[0] if len(reports) == 1 else list(reports))
    else:
        width = page_width()
        say(f"\n{'=' * width}\n\n".join(date_text(report, width, titled=len(reports) > 1) for report in reports))
    return ExitCode.WARNING if any(report.contradiction for report in reports) else ExitCode.DONE


def _must_be_readable(text: str) -> None:
    if not text.strip():
        raise usage("a text is empty.", "Write the words as they stand, in quotes.")
    if len(text) > MOST_CHARACTERS:
        raise usage(
            f"a text of {len(text)} characters is too long.", f"Give at most {MOST_CHARACTERS}: one plate, or one page."
        )
    if bad := UNWANTED.search(text):
        raise usage(f"the character {shown(bad[0])} cannot stand in a text.", "Leave it out, or write ? in its place.")
