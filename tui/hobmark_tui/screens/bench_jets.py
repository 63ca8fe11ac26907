"""The jets, place by place: after each thing that is told the list of places is there again, for the next one."""

from __future__ import annotations

from functools import partial

from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_terms import JetPlace

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_telling import Flow, Told, asked_line
from hobmark_tui.screens.dialogs import ChoiceDialog
from hobmark_tui.views import bench_record as put
from hobmark_tui.views.bench_gas import OUT, gas_choices
from hobmark_tui.views.bench_jets import (
    FOUND,
    HEAT,
    HOOD,
    LEFT,
    MARK,
    OTHER,
    TOP_HEAT,
    USE,
    corner_heat,
    hood_choices,
    jet_choices,
    mark_choices,
    other_choices,
    place_choices,
)
from hobmark_tui.views.choices import Choice

SIZE = "The drill that just enters, as 54 or 3/64 in, or the bore, as 1.4 mm. Never ream. An empty line takes it out."
CAPPED = "Name, licence and date of the fitter who capped and labelled it, as B. Reed, fitter, 2026-12-01."
HEAT_HINT = "By plate or paper, at sea level: 9000 (Btu/h) or 2.6 kW. An empty line takes it out."


def jets(desk: Desk) -> Flow:
    """Place after place, until the list is left."""
    at: str | None = ""
    while True:
        base, record, places = desk.base, desk.case.bench, desk.places
        title = "Which jet, as you face the range? Shut-off closed; a licensed fitter gauges."
        at = yield ChoiceDialog(title, place_choices(base, record, places), current=at or "")
        if at == OTHER:
            at = yield ChoiceDialog("Which place?", other_choices(places))
        elif at is None:
            return
        if at == TOP_HEAT:
            yield from _heat(desk, put.with_corners, "each top burner", corner_heat(record))
        elif at is not None:
            yield from _jet(desk, JetPlace(at))


def _jet(desk: Desk, place: JetPlace) -> Flow:
    """One thing told of one jet."""
    jet = desk.case.bench.jet_at(place)
    told = yield ChoiceDialog(f"Jet at {place.words}", jet_choices(desk.base, jet))
    if told in (FOUND, LEFT):
        yield from _size(desk, place, left=told == LEFT)
    elif told == HOOD:
        hood = yield ChoiceDialog("Which hood?", hood_choices(), current=jet.hood or OUT)
        if hood is not None:
            kept = None if hood == OUT else hood
            yield Told(lambda record: put.with_hood(record, place, kept), f"hood at {place.words}")
    elif told == MARK:
        yield from _mark(desk, place)
    elif told == HEAT:
        yield from _heat(
            desk, lambda record, typed: put.with_heat(record, (place,), typed), place.words, jet.heat or ""
        )
    elif told == USE:
        yield from _use(desk, place)


def _use(desk: Desk, place: JetPlace) -> Flow:
    """Out of use by somebody's name, or back in use."""
    if desk.case.bench.jet_at(place).out_of_use is not None:
        yield Told(lambda record: put.in_use(record, place), f"back in use, {place.words}")
        return

    def into(record: BenchRecord, typed: str) -> BenchRecord:
        return put.out_of_use(record, place, typed)

    who = yield asked_line(desk, f"Capped and labelled, {place.words}: by whom and when?", CAPPED, into, most=200)
    if who:
        yield Told(lambda record: into(record, who), f"out of use, {place.words}")


def _size(desk: Desk, place: JetPlace, *, left: bool) -> Flow:
    jet = desk.case.bench.jet_at(place)
    text = (jet.left if left else jet.found) or ""
    when = "as left" if left else "as found"

    def into(record: BenchRecord, typed: str) -> BenchRecord:
        return put.with_size(record, desk.base, place, typed, left=left)

    typed = yield asked_line(desk, f"Jet at {place.words}, {when}", SIZE, into, text=text, most=40)
    if typed is not None and typed != text:
        yield Told(lambda record: into(record, typed), f"jet at {place.words}, {when}")


def _mark(desk: Desk, place: JetPlace) -> Flow:
    jet = desk.case.bench.jet_at(place)
    none = Choice(OUT, "no mark", "nothing to read; takes it out of the record")
    gas = yield ChoiceDialog("For which gas is it marked?", gas_choices(desk.base, none), current=jet.gas or OUT)
    if gas is None:
        return
    by = "" if gas == OUT else (yield ChoiceDialog("By what?", mark_choices(), current=jet.by or ""))
    if by is not None:
        marked = None if gas == OUT else gas
        yield Told(lambda record: put.with_mark(record, place, marked, by), f"mark at {place.words}")


def _heat(desk: Desk, into: put.Put, what: str, text: str) -> Flow:
    typed = yield asked_line(desk, f"What is {what} to give?", HEAT_HINT, into, text=text)
    if typed is not None and typed != text:
        yield Told(partial(_typed, into, typed), f"heat to be given, {what}")


def _typed(into: put.Put, typed: str, record: BenchRecord) -> BenchRecord:
    return into(record, typed)
