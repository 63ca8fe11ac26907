"""The set-up card as plain text, folded to a page: what stops, release, the five facts, a row for each place, records.

It is what is carried; `whole` adds the steps in full and the sources. Each caution stands once, under a letter.
"""

from __future__ import annotations

from hobmark.bench.combustion import FORMULA
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.reports.page import WIDTH, Line, folded
from hobmark.reports.setup_gas_shape import CombustionShown, GasShown, LackShown, PlaceShown, RecordShown, ReleaseShown
from hobmark.reports.setup_letters import Pointers, once, pointers_of
from hobmark.reports.setup_shape import SetupReport, StepShown
from hobmark.reports.setup_steps_text import appendix
from hobmark.reports.setup_symptom_text import bearing_on, stop_lines, symptom_lines
from hobmark.reports.words import percent

ROOM = "......"
"""Room to write in."""
NARROW = 70
"""Columns below which the table of places is told place by place."""
STOP_FIRST = "No flame, no switch; everybody out; call the supplier or the fire brigade from outside."
FIRST_ACTS = (
    "First acts: close the range's own shut-off (a knob at off does not stop the gas of a pilot that is out), then air "
    "the room. Order of cure: jet, pressure, cleaning, and air last."
)
"""What is done before anything is touched, and the order of what is put right; common practice, no source."""


def setup_text(report: SetupReport, width: int = WIDTH, *, whole: bool = False) -> str:
    """The card; with `whole` the steps in full and every source behind it."""
    symptom = report.symptom
    bearing = bearing_on(symptom) if symptom is not None else []
    pointers = pointers_of(report.cautions, bearing)
    if symptom is not None and symptom.stop:
        blocks = [stop_lines(symptom, pointers), pointers.in_full(bearing), pointers.sources()]
    else:
        blocks = [
            _head(report),
            _stop_list(report),
            _release(report.release, pointers),
            [_box(step) for section in report.sections for step in section.steps if step.box],
            _by_rules(report, pointers),
            symptom_lines(symptom, pointers) if symptom is not None else [],
            _gas(report.gas, report, pointers),
            _places(report.gas, pointers, width),
            _leak(report.record, pointers),
            _combustion(report, pointers),
            _tag(report.record, f"{report.label}: {report.release.tag}"),
            _cautions(pointers, whole=whole),
            *(appendix(report, pointers) if whole else []),
            pointers.sources(),
        ]
    blocks.append([Line(report.demonstration)] if report.demonstration else [])
    return "\n\n".join(folded(block, width) for block in blocks if block) + "\n"


def _by_rules(report: SetupReport, pointers: Pointers) -> list[Line]:
    return [
        Line(f"!! {each.says} ({each.status}, {pointers.number(each.source)})", "", "   ") for each in report.by_rules
    ]


def _head(report: SetupReport) -> list[Line]:
    ranges = "; ".join(f"{each.label} {percent(each.chance)}" for each in report.ranges)
    unsettled = "" if report.settled else " (not settled: where it differs between these, all is given)"
    return [
        Line(f"Set-up card: {report.label}"),
        Line(report.first),
        Line(f"Range: {ranges}{unsettled}", "", "  "),
        Line("Date [..........]  Fitter, licence [....................]  Place [..............]"),
    ]


def _stop_list(report: SetupReport) -> list[Line]:
    return [
        Line(f"STOP at: {'; '.join(report.stop_list)}. {STOP_FIRST}", "", "  "),
        Line(f"{FIRST_ACTS} [common practice, no source]", "", "  "),
    ]


def _release(release: ReleaseShown, pointers: Pointers) -> list[Line]:
    lines = [Line(f"RELEASE: {release.says} {pointers.point(['gas_leak', 'wrong_gas'])}", "", "  ")]
    lines += [Line(f"!! stopped: {_lack(each)}", "  ", "     ") for each in release.stopped_by]
    return lines + [Line(f"- missing: {_lack(each)}", "  ", "    ") for each in release.missing]


def _lack(each: LackShown) -> str:
    return f"{each.says} {each.how}"


def _gas(gas: GasShown, report: SetupReport, pointers: Pointers) -> list[Line]:
    """The five facts, one a line."""
    told = [
        ("laid on", gas.laid_on.says),
        ("set for", f"{gas.set_for}; {gas.gauged}"),
        ("regulator", f"{gas.regulator.says}; {gas.house_regulator.says}"),
        ("pressure", _pressures(gas)),
        ("wanted", gas.wanted_says),
        ("height", report.altitude or "not told; reckoned at sea level"),
    ]
    if gas.laid_on.heating_value is not None:
        told.insert(1, ("heating value", f"{gas.laid_on.heating_value.text} [{gas.laid_on.heating_value.mark.value}]"))
    lines = [Line(f"GAS {pointers.point(gas.cautions)}", "", "  ")]
    lines += [Line(f"{label}: {says}", "  ", "    ") for label, says in told]
    return lines + [Line(f"!! {each}", "  ", "     ") for each in gas.contradictions]


def _pressures(gas: GasShown) -> str:
    read = [
        f"{each.reads.text} at the {each.at.value}, {_lit(each.lit)}{_outside(each.inside)} [{each.reads.mark.value}]"
        for each in gas.pressures
    ]
    return "; ".join([*read, gas.pressure_says])


def _lit(lit: list[JetPlace] | None) -> str:
    if lit is None:
        return "what was lit not told"
    return f"{', '.join(place.words for place in lit)} alight" if lit else "nothing lit"


def _outside(inside: bool | None) -> str:
    return ", OUTSIDE its band" if inside is False else ""


def _places(gas: GasShown, pointers: Pointers, width: int) -> list[Line]:
    """A row for each burner and pilot; what its figures rest on stands below, once."""
    reckoned = f" on {gas.reckoned_label}" if gas.reckoned_label is not None else ""
    lines = [
        Line(f"JETS, each at its place; jet for it{reckoned}, to compare, never to drill or ream", "", "  "),
        *(_wide(gas.places) if width >= NARROW else [_narrow(each) for each in gas.places]),
    ]
    lines += [Line(f"{each.label}: {said}", "  ", "    ") for each in gas.places if (said := _beside(each))]
    lines += [Line(f"!! {each.label}: {each.warning}", "  ", "     ") for each in gas.places if each.warning]
    figures = [each for place in gas.places for each in (place.heat, place.share) if each is not None]
    on = ", ".join(dict.fromkeys(pointers.grounds(each.mark, each.source) for each in figures))
    pointed = pointers.point(once(each.cautions for each in figures)) if figures else ""
    return [*lines, *([Line(f"heat in Btu/h, gives in times of that {on} {pointed}", "  ", "    ")] if figures else [])]


OPEN_SEAT = {"universal": ", its seat not told: what it gives holds only if the gas goes through that bore"}
"""What is said of a hood with two seats of which nobody told how it stands."""
COLUMNS = (14, 13, 9, 12, 10, 7, 11)
"""Widths of the table of places."""


def _wide(places: list[PlaceShown]) -> list[Line]:
    heads = ("place", "set for", "to give", "found", "left", "gives", "jet for it")
    return [Line(_row(heads), "  "), *(Line(_row(_cells(each)), "  ", "    ") for each in places)]


def _row(cells: tuple[str, ...]) -> str:
    # a no-break space keeps a column where folding would close it up
    return "\N{NO-BREAK SPACE}".join(
        f"{cell:<{wide - 1}}".replace(" ", "\N{NO-BREAK SPACE}") for cell, wide in zip(cells, COLUMNS, strict=True)
    ).rstrip("\N{NO-BREAK SPACE}")


def _cells(each: PlaceShown) -> tuple[str, ...]:
    return (
        each.label,
        "out of use" if each.out_of_use else each.set_for.value if each.set_for is not None else "not known",
        f"{each.heat.aim:,.0f}" if each.heat is not None and each.heat.aim is not None else ROOM,
        each.found or ("" if each.left else "not gauged"),
        each.left or ROOM,
        f"{each.share.aim:.2f}" if each.share is not None and each.share.aim is not None else "",
        each.drill or "",
    )


def _beside(each: PlaceShown) -> str:
    """What was noted of a place: its hood and seat, flame, shutter, and a note."""
    seat = f", {each.seat.value.replace('_', ' ')}" if each.seat is not None else ""
    told = [f"{each.hood} hood{seat or OPEN_SEAT.get(each.hood, '')}"] if each.hood is not None else []
    told += [f"{name}: {text}" for name, text in (("flame", each.flame), ("shutter", each.shutter)) if text]
    return "; ".join([*told, *([each.note] if each.note else [])])


def _narrow(each: PlaceShown) -> Line:
    label, set_for, heat, found, left, gives, drill = _cells(each)
    gave = f", gives {gives} times" if gives else ""
    told = f"{label}: set for {set_for}; to give {heat}; found {found}{gave}; jet for it {drill or ROOM}; left {left}"
    return Line(told, "  ", "    ")


def _leak(record: RecordShown, pointers: Pointers) -> list[Line]:
    check = record.leak_check
    lines = [
        Line(
            "LEAK CHECK by the fitter and the local code, without a flame, before anything is lit "
            f"{pointers.point(['gas_leak'])}",
            "",
            "  ",
        )
    ]
    if check is not None:
        minutes = f"{check.minutes:g} min" if check.minutes is not None else "minutes not told"
        told = f"{check.method.value}: {check.start or ROOM} to {check.end or ROOM}, {minutes}"
        lines.append(Line(f"{told}, by {check.by or ROOM}, {check.date or ROOM}: {check.says}", "  ", "    "))
    blank = "method [........] start [.......] end [.......] minutes [....] by [..........] date [.......]"
    lines.append(Line(blank, "  ", "    "))
    lines.append(Line("pressure at the manifold [........] in. w.c., alight [................]", "  ", "    "))
    return lines


def _combustion(report: SetupReport, pointers: Pointers) -> list[Line]:
    record = report.record
    lines = [Line(f"COMBUSTION: {FORMULA} {pointers.point(['carbon_monoxide'])}", "", "  ")]
    for limit in report.co_limits:
        told = f"{limit.says}: {limit.setting.text} {pointers.grounds(limit.setting.mark, limit.setting.source)}"
        lines.append(Line(f"{told} {pointers.point(limit.setting.cautions)}", "  ", "    "))
    lines += [Line(_sample(each), "  ", "    ") for each in record.combustion]
    lines += [Line(f"!! {over}", "  ", "     ") for each in record.combustion for over in each.over]
    lines.append(
        Line(
            "place [........] minutes lit [....] CO [....] ppm O2 [....] % air-free [....] ppm by [......]",
            "  ",
            "    ",
        )
    )
    dial = "; ".join(record.dial) if record.dial else "mark [....] reads [....]  mark [....] reads [....]"
    lines.append(Line(f"OVEN DIAL, thermometer in the middle, door closed: {dial}", "", "  "))
    return lines


def _sample(each: CombustionShown) -> str:
    minutes = f", {each.minutes:g} min after lighting" if each.minutes is not None else ""
    oxygen = f", oxygen {each.oxygen.text}" if each.oxygen is not None else ", oxygen not measured"
    free = f", air-free {each.air_free.text} [computed]" if each.air_free is not None else ""
    return f"{each.at.value.replace('_', ' ')}{minutes}: {each.measured.text} as measured{oxygen}{free}"


def _tag(record: RecordShown, release: str) -> list[Line]:
    lines = [Line("TAG, to cut off and leave on the manifold", "", "  "), Line(release, "  ", "    ")]
    lines += [Line(f"not done: {each}", "  ", "    ") for each in record.not_done]
    lines += [Line(f"tag: {record.tag}", "  ", "    ")] if record.tag else []
    blank = (
        "gas [........] jets left [..............] pressure [......] leak check [......] CO [......] not done [......]"
    )
    return [*lines, Line(blank, "  ", "    ")]


def _cautions(pointers: Pointers, *, whole: bool) -> list[Line]:
    if whole:
        return [Line("CAUTIONS, pointed at by their letters: ! A"), *pointers.in_full(pointers.letters)]
    return [Line("CAUTIONS, pointed at by their letters: ! A"), *pointers.in_short(pointers.letters)]


def _box(step: StepShown) -> Line:
    """What is printed large, and of which ranges it holds where that is not settled."""
    only = f" only with {step.only_if} ({percent(step.chance)})" if step.only_if is not None else ""
    return Line(f"*** {step.box} ***{only}", "", "  ")
