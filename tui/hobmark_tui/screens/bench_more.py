"""The rest of the record: samples of carbon monoxide, marks of the dial, what was not done, the tag."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from datetime import date
from functools import partial

from hobmark.knowledge.schema.record import BenchRecord

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_telling import Flow, Told, asked_line
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.views import bench_record as put
from hobmark_tui.views.bench_gas import sampled_choices
from hobmark_tui.views.choices import Choice

SAMPLES, DIAL, NOT_DONE, TAG = "combustion", "dial", "not_done", "tag"
NEW = "new"


def more(desk: Desk) -> Flow:
    """Which part of the record, then what is said."""
    record = desk.case.bench
    choices = [
        Choice(SAMPLES, "CO sample", f"{len(record.combustion)} recorded"),
        Choice(DIAL, "mark of the oven dial", f"{len(record.dial)} recorded"),
        Choice(NOT_DONE, "what was not done", "; ".join(record.not_done)),
        Choice(TAG, "tag on the manifold", record.tag or ""),
    ]
    what = yield ChoiceDialog("What else is recorded?", choices)
    if what == TAG:
        hint = "What the next one must know. An empty line takes it out."
        typed = yield asked_line(desk, "Tag on the manifold", hint, put.with_tag, text=record.tag or "", most=400)
        if typed is not None:
            yield Told(lambda record: put.with_tag(record, typed), "tag")
    elif what is not None:
        yield from _entry(desk, what)


def _entry(desk: Desk, field: str) -> Flow:
    """One more entry of a list; where there are some already, one of them may be taken out."""
    record = desk.case.bench
    words = {
        SAMPLES: [f"{each.at.value.replace('_', ' ')}, {each.co}" for each in record.combustion],
        DIAL: [f"dial {each.dial}, reads {each.reads}" for each in record.dial],
        NOT_DONE: list(record.not_done),
    }[field]
    what = yield from _which(words)
    if what is None:
        return
    if what != NEW:
        place = int(what)
        yield Told(lambda record: put.without(record, field, place), f"taken out: {words[place]}")
    elif field == SAMPLES:
        yield from _sample(desk)
    elif field == DIAL:
        yield from _dial(desk)
    else:
        typed = yield asked_line(desk, "What was not done?", "And why, in a line.", put.with_not_done, most=400)
        if typed:
            yield Told(lambda record: put.with_not_done(record, typed), "not done")


def _which(words: Sequence[str]) -> Generator[ChoiceDialog, str | None, str | None]:
    """A new entry or the number of one to take out; None where the window was left."""
    if not words:
        return NEW
    old = [Choice(str(place), f"take out: {each}") for place, each in enumerate(words)]
    return (yield ChoiceDialog("A new one, or take one out?", [Choice(NEW, "a new one"), *old]))


def _sample(desk: Desk) -> Flow:
    """Where, what the meter showed, and by whom; air-free is worked out from it."""
    at = yield ChoiceDialog("Where was it sampled?", sampled_choices())
    if at is None:
        return
    record = desk.case.bench
    fields = {"at": at, "co": "0"}
    for name, title, hint, text in (
        ("co", "CO as measured", "In ppm, as the meter shows it: 120.", ""),
        ("o2", "Oxygen of the same sample", "In percent, as 9. Empty where it was not measured.", ""),
        ("minutes", "How many minutes after lighting?", "As 15. Empty where it was not timed.", ""),
        ("by", "By whom?", "Name.", put.who(record)),
        ("date", "On which day?", "As 2026-12-01.", date.today().isoformat()),
    ):
        typed = yield LineDialog(title, hint, text=text, check=partial(_sample_refused, fields, name), most=80)
        if typed is None:
            return
        fields[name] = typed
    taken = put.sample_of(fields)

    def added(record: BenchRecord) -> BenchRecord:
        return record.model_copy(update={"combustion": (*record.combustion, taken)})

    yield Told(added, "CO sample")


def _sample_refused(fields: dict[str, str], name: str, typed: str) -> str | None:
    return put.fields_refused(put.sample_of, fields, name, typed)


def _dial(desk: Desk) -> Flow:
    """A mark of the dial, and what a thermometer in the middle of the oven shows at it."""
    hint = "As 350 F or 180 C."
    dial = yield asked_line(
        desk, "Which mark of the dial?", hint, lambda record, typed: put.with_dial(record, typed, typed)
    )
    if dial is None:
        return
    title = f"At {dial} a thermometer in the middle, door closed, shows"
    reads = yield asked_line(desk, title, hint, lambda record, typed: put.with_dial(record, dial, typed))
    if reads is not None:
        yield Told(lambda record: put.with_dial(record, dial, reads), f"mark of the dial, {dial}")
