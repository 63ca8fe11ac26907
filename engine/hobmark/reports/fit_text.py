"""What `fit` finds as plain text, folded to the width of the page; and the order sheet to send to a supplier."""

from __future__ import annotations

from collections.abc import Sequence

from hobmark.bench.fit import REFUSALS
from hobmark.knowledge.vocabulary import FitVerdict, Hand
from hobmark.reports.fit import Asked, FitFinding, FitLook, FitPlace, FitReport, FitStep, OrderAsk, OrderSheet
from hobmark.reports.identify import CautionLine
from hobmark.reports.page import WIDTH, Line, folded, seconds_words, wrapped
from hobmark.reports.text import STATUS
from hobmark.reports.words import MEASURED_AT, TOLD, percent

MOST_NEXT, MOST_DONORS, MOST_PLACES = 2, 4, 5
"""Lines of each that are printed; JSON has all."""
MOST_WHOLE = 2
"""Of several parts, the likeliest that are told of in full; the others have a line each."""
BLANK = "______"
ASK_FIRST = "ASK FIRST"
"""Before a blank without which nothing is ordered."""
VERDICTS = {
    FitVerdict.EXACT: "EXACT",
    FitVerdict.SUPERSEDED: "FITS, SUPERSEDES",
    FitVerdict.INTERCHANGES: "INTERCHANGES",
    FitVerdict.MODIFIED: "FITS WITH MODIFICATION",
    FitVerdict.UNPROVEN: "UNPROVEN",
    FitVerdict.DOES_NOT_FIT: "DOES NOT FIT",
    FitVerdict.PROHIBITED: "PROHIBITED",
}
"""Verdicts as they are printed."""


def fit_text(report: FitReport, width: int = WIDTH) -> str:
    """The whole report: what stops everything, the range, each part that was asked for, the cautions of all of them."""
    told = "" if report.range_probability >= TOLD else "what it is cannot be told yet; likeliest: "
    head = f"{report.label} ({told}{report.range}, {percent(report.range_probability)})"
    blocks = [wrapped(report.stop or "", "", "  ", width), wrapped(head, "", "  ", width)]
    for asked in report.asked:
        blocks += _asked(asked, width)
    cautions = [caution for asked in report.asked for finding in asked.parts for caution in finding.cautions]
    blocks.append(folded(caution_lines(cautions), width))
    blocks += [order_text(order, width) for order in report.orders]
    blocks += [wrapped(f"No order sheet for {each}", "", "  ", width) for each in report.not_ordered]
    blocks += [wrapped(report.demonstration, width=width)] if report.demonstration else []
    return "\n\n".join(block for block in blocks if block) + "\n"


def _asked(asked: Asked, width: int) -> list[str]:
    whole = [part for place, part in enumerate(asked.parts) if place == 0 or part.verdict not in REFUSALS][:MOST_WHOLE]
    blocks = []
    if len(asked.parts) > 1:
        blocks.append(
            folded([Line(f"{asked.name.replace('_', ' ')}: {len(asked.parts)} parts"), *_lines(asked)], width)
        )
    blocks += [folded(part_lines(finding), width) for finding in whole]
    return blocks


def _lines(asked: Asked) -> list[Line]:
    return [
        Line(f"{percent(each.probability):>4}  {VERDICTS[each.verdict]}: {_name(each)}", "  ", " " * 8)
        for each in asked.parts
    ]


def _name(finding: FitFinding) -> str:
    numbers = f" ({', '.join(finding.numbers)})" if finding.numbers else ""
    return f"{finding.part}, {finding.label}{numbers}"


def part_lines(finding: FitFinding) -> list[Line]:
    """One part: verdict, both answers, checks, what to find out, and where it comes from."""
    return [*verdict_lines(finding), *proof_lines(finding), *_settle(finding), *ground_lines(finding)]


def verdict_lines(finding: FitFinding) -> list[Line]:
    """The verdict, what speaks against it, and both answers."""
    lines = [Line(f"{VERDICTS[finding.verdict]}: {_name(finding)}", "", "  "), Line(finding.says, "  ", "  ")]
    lines += [Line(f"But: {each}", "  ", "    ") for each in finding.against]
    lines += [Line(f"Left alone. {finding.left_alone}", "  ", "    ")] if finding.left_alone else []
    return [
        *lines,
        Line(f"{percent(finding.works.probability):>4}  for what left the works", "  ", " " * 8),
        Line(f"{percent(finding.now.probability):>4}  for what is on it now", "  ", " " * 8),
    ]


def proof_lines(finding: FitFinding) -> list[Line]:
    """What it may be, what could forbid the part, and every check with what was found."""
    return [*_places(finding.places), *_section("First find out", finding.find_out), *_checks(finding)]


def ground_lines(finding: FitFinding) -> list[Line]:
    """What is done with the part, what must not be, donors, and the papers behind it all."""
    refused = finding.verdict in REFUSALS
    lines = _section("Test once it is on", [finding.test_after] if finding.test_after and not refused else [])
    lines += _section("Modification", [finding.modification] if finding.modification else [])
    lines += _section("Replacing numbers", finding.chain)
    lines += _section("Must not", [f"{each.says}: {each.because} {_of(each.sources)}" for each in finding.must_not])
    lines += _section("Remarks", [*finding.remarks, *([finding.note] if finding.note else [])])
    return [*lines, *([] if refused else _donors(finding)), *_trace(finding.trace)]


def _section(heading: str, entries: Sequence[str]) -> list[Line]:
    return [Line(heading, "  "), *(Line(entry, "    ", "      ") for entry in entries)] if entries else []


def _of(sources: Sequence[str]) -> str:
    return f"[{', '.join(sources)}]"


def _places(places: Sequence[FitPlace]) -> list[Line]:
    shown = sorted(places, key=lambda place: -max(place.now, place.works))[:MOST_PLACES]
    lines = [] if len(places) < 2 else [Line("What it may be, and what papers say of the part there", "  ", "    ")]
    for place in shown if lines else ():
        years = str(place.first) if place.first == place.last else f"{place.first}-{place.last}"
        lines.append(Line(f"{percent(place.now):>4}  {place.label} {years}: {place.says}", "    ", " " * 10))
    return lines


def _checks(finding: FitFinding) -> list[Line]:
    lines = [Line("Checks", "  ")] if finding.checks else []
    for check in finding.checks:
        where = MEASURED_AT[check.on]
        mark = {True: "[ok]", False: "[NO]", None: "[  ]"}[check.meets]
        found = f", measured {check.found}" if check.found is not None else ""
        lines.append(Line(f"{mark} {check.label} {where}: {check.wanted}{found} {_of(check.sources)}", "    ", " " * 9))
        if check.found is None:
            lines.append(Line(check.how, " " * 9, " " * 9))
    return lines


def _settle(finding: FitFinding) -> list[Line]:
    lines: list[Line] = []
    if finding.settle:
        heading = (
            "The two measures that would settle most" if len(finding.settle) == 2 else "What is still to be measured"
        )
        lines += [Line(heading, "  "), *(line for look in finding.settle for line in look_lines(look))]
    needed = [look for look in finding.next if look.needed and look.errand == "look"]
    others = [look for look in finding.next if look not in needed and look.errand != "measure"][:MOST_NEXT]
    if needed or others:
        lines += [Line("Then look", "  "), *(line for look in (*needed, *others) for line in look_lines(look))]
    return lines


def look_lines(look: FitLook) -> list[Line]:
    """One thing to find out: what is asked, in which time and for how much, and how it is done."""
    bits = f", {look.bits:.2f} bit" if look.bits >= 0.005 else ""
    away = "" if look.here else "; not from here"
    return [
        Line(f"{look.ask} ({seconds_words(look.seconds)}{bits}{away})", "    ", " " * 6),
        Line(look.how, " " * 6, " " * 6),
    ]


def _donors(finding: FitFinding) -> list[Line]:
    entries = []
    for donor in finding.donors[:MOST_DONORS]:
        years = str(donor.first) if donor.first == donor.last else f"{donor.first}-{donor.last}"
        other = "" if donor.part == finding.part else f", with {donor.part}"
        count = f", about {float(f'{donor.ranges:.2g}'):,.0f} made" if donor.ranges else ""
        entries.append(f"{donor.label} {years}{other}{count} {_of(donor.sources)}")
    return _section("Donors to look for", entries)


def _trace(steps: Sequence[FitStep]) -> list[Line]:
    entries = []
    for step in steps:
        where = f" ({', '.join(step.holds_for)})" if step.holds_for else ""
        used = f"{' + '.join(step.from_)} -> " if step.from_ else ""
        entries.append(f"{step.kind} {step.id}: {used}{'; '.join(step.gives)}{where} {_of(step.sources)}")
    return _section("Why", entries)


def caution_lines(cautions: Sequence[CautionLine]) -> list[Line]:
    """Each caution once."""
    lines = {f"{caution.short} ({STATUS.get(caution.status, caution.status)})": None for caution in cautions}
    head = [Line("Caution. Local codes and a licensed fitter come first.", "", "  ")]
    return [*head, *(Line(text, "  - ", "    ") for text in lines)]


def order_text(order: OrderSheet, width: int = WIDTH) -> str:
    """The order sheet: what is known filled in, the rest left blank for pen or keyboard."""
    hand = "either" if order.hand is Hand.EITHER else f"{order.hand.value}, facing the range"
    model = f"{BLANK} (not known yet)"
    if order.model is not None and order.model_probability is not None:
        model = f"{order.model}, {order.years} ({percent(order.model_probability)}; not proven)"
    lines = [
        *([Line(order.stop, "", "  ")] if order.stop else []),
        Line("ORDER SHEET"),
        Line("Date ____________", "  "),
        Line("From, and where to answer ______________________________", "  "),
        *([Line(order.for_gas, "  ", "  ")] if order.for_gas else []),
        *([Line(f"New material only. {order.left_alone}", "  ", "  ")] if order.left_alone else []),
        Line(f"Part        {order.quantity or BLANK} x {order.label} ({order.part})", "  ", " " * 14),
        Line(f"New number  {', '.join(order.numbers) or BLANK}", "  ", " " * 14),
        Line(f"Old number  {_old_number(order)}", "  ", " " * 14),
        Line(f"Hand        {hand}", "  ", " " * 14),
        Line(f"Maker       {order.maker or BLANK}", "  ", " " * 14),
        Line(f"Model       {model}", "  ", " " * 14),
        Line(f"Serial      {', '.join(order.serials) or BLANK}", "  ", " " * 14),
        Line(f"Year guess  {order.years or BLANK}", "  ", " " * 14),
        Line(f"Standing    {order.standing}", "  ", " " * 14),
        Line("Asked", "  "),
        *(Line(_asked_of_it(ask), "    ", " " * 6) for ask in order.asks),
        Line("Dimensions (papers ask / measured)", "  "),
    ]
    for row in order.dimensions:
        wanted = f"{row.wanted} {_of(row.sources)}" if row.wanted is not None else "not given"
        left = BLANK if row.asked else "not measured: left alone"
        lines.append(Line(f"{row.label}: {wanted} / {row.found or left}", "    ", " " * 6))
        lines += [Line(row.how, " " * 6, " " * 6)] if row.asked else []
    lines += [Line("Pictures enclosed", "  "), *(Line(f"[ ] {each}", "    ", " " * 8) for each in order.pictures)]
    lines += [Line(order.exchange, "  ", "  ")] if order.exchange else []
    lines += [
        Line(f"Must not: {each.says}. {each.because} {_of(each.sources)}", "  ", "    ") for each in order.must_not
    ]
    lines += [Line(f"Test once it is on: {order.test_after}", "  ", "    ")] if order.test_after else []
    lines += [Line(order.note, "  ", "  ")] if order.note else []
    lines += [Line("Sources", "  ")] if order.sources else []
    for source in order.sources:
        lines.append(Line(f"{source.id}: {source.title}{' [invented]' if source.invented else ''}", "    ", " " * 6))
    return folded([*lines, *caution_lines(order.cautions)], width)


def _old_number(order: OrderSheet) -> str:
    if order.left_alone is not None and not order.number_on_old:
        return "not read: left alone"
    return f"{', '.join(order.number_on_old) or BLANK} (as it stands on the old part)"


def _asked_of_it(ask: OrderAsk) -> str:
    """One thing that is asked, filled in with its grounds, or a blank with its unit."""
    if ask.value is not None:
        return f"{ask.label}: {ask.value}{f' [{ask.source}]' if ask.source else ''}"
    unit = f" {ask.unit}" if ask.unit else ""
    return f"{ask.label}: {f'{ASK_FIRST} ' if ask.first else ''}{BLANK}{unit}"
