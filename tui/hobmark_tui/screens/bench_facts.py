"""The facts of the gas, asked window by window: laid on, regulators, pressure, wanted, height, leak check, clue.

Choices come first, a line is typed only for numbers and names. An empty line takes a fact out again.
"""

from __future__ import annotations

from collections.abc import Generator
from datetime import date
from functools import partial

from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import LeakCheck, RegulatorSeen
from hobmark.knowledge.schema.record_terms import LeakMethod, PressureAt, RegulatorState
from hobmark.knowledge.vocabulary import Gas

from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_telling import Flow, Told, asked_line
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.views import bench_record as put
from hobmark_tui.views.bench_gas import (
    NOT_TOLD,
    OUT,
    at_choices,
    by_choices,
    by_of,
    clue_choices,
    gas_choices,
    method_choices,
    regulator_words,
    state_choices,
    value_choices,
)
from hobmark_tui.views.choices import Choice

CORRECT, ANEW = "correct", "anew"
SEVERAL, NONE_LIT = "several", "none"
TAKES_OUT = "An empty line takes it out."
UNREAD = "Empty where it was not read."
WHAT_LIT = "as front left, oven"


def laid_on(desk: Desk) -> Flow:
    """Which gas comes out of the pipe, how that is known, and its heating value where the supplier told one."""
    known = desk.case.bench.laid_on
    choices = gas_choices(desk.base, Choice(OUT, "not known", "takes it out of the record"))
    gas = yield ChoiceDialog("Which gas is laid on?", choices, current=known.gas if known is not None else OUT)
    if gas is None:
        return
    if gas == OUT:
        yield Told(lambda record: put.with_gas(record, None, None), "gas laid on")
        return
    by = known.by or NOT_TOLD if known is not None and known.gas == gas else NOT_TOLD
    how = yield ChoiceDialog("How is that known? Jets, plate and flames never tell it.", by_choices(), current=by)
    if how is None:
        return
    yield Told(lambda record: put.with_gas(record, Gas(gas), by_of(how)), "gas laid on")
    yield from _line(
        desk,
        "Its heating value, if you have it",
        "As 830 (Btu/ft3, as the meter there measures it) or 1015 standard. Empty: the published figure.",
        put.with_heating_value,
        put.heating_value_text(desk.case.bench),
        "heating value",
    )


def wanted(desk: Desk) -> Flow:
    """Which gas it is to be set for: a plan, no evidence."""
    choices = gas_choices(desk.base, Choice(OUT, "not said", "takes it out of the record"))
    current = desk.case.bench.wanted or OUT
    gas = yield ChoiceDialog(
        "Which gas is wanted? A plan is no evidence, it releases nothing.", choices, current=current
    )
    if gas is not None:
        yield Told(lambda record: put.with_wanted(record, None if gas == OUT else Gas(gas)), "gas wanted")


def height(desk: Desk) -> Flow:
    """How high the house stands."""
    hint = f"Above the sea, as 5000 ft or 1500 m; 0 ft at the sea. {TAKES_OUT}"
    text = desk.case.bench.altitude or ""
    yield from _line(desk, "How high does it stand?", hint, put.with_height, text, "height")


def regulators(desk: Desk) -> Flow:
    """Whose, what was seen of it, and what it says of gas and outlet."""
    base, record = desk.base, desk.case.bench
    fields = {"regulator": "regulator of the range", "house_regulator": "regulator of the house or tank"}
    choices = [Choice(name, words, regulator_words(base, getattr(record, name))) for name, words in fields.items()]
    field = yield ChoiceDialog("Which regulator?", choices)
    if field is None:
        return
    known: RegulatorSeen = getattr(record, field)
    state = yield ChoiceDialog(f"What was seen of the {fields[field]}?", state_choices(), current=known.state)
    if state is None:
        return
    gas, outlet = None, ""
    if state == RegulatorState.FITTED:
        none = Choice(NOT_TOLD, "not read", "no plate, or not to be read")
        gas = yield ChoiceDialog("For which gas, by its plate?", gas_choices(base, none), current=known.gas or NOT_TOLD)
        if gas is None:
            return
        hint = "As it stands on it: 4 in wc, 10 mbar. Empty where it does not say."
        typed = yield asked_line(desk, "Its outlet pressure", hint, partial(_outlet, field), text=known.outlet or "")
        if typed is None:
            return
        outlet = typed
    seen = _seen(state, gas, outlet)
    yield Told(lambda record: put.with_regulator(record, field, seen), fields[field])


def _seen(state: str, gas: str | None, outlet: str) -> RegulatorSeen:
    return RegulatorSeen(
        state=RegulatorState(state),
        gas=Gas(gas) if gas is not None and gas != NOT_TOLD else None,
        outlet=outlet or None,
    )


def _outlet(field: str, record: BenchRecord, typed: str) -> BenchRecord:
    """A regulator with an outlet pressure as it is checked while it is typed."""
    if not typed:
        return record
    put.with_reading(record, PressureAt.MANIFOLD, typed)  # refuses what is no pressure that gas has inside a house
    return put.with_regulator(record, field, _seen(RegulatorState.FITTED, None, typed))


def pressure(desk: Desk) -> Flow:
    """Where it was read, what the gauge showed, and what was lit meanwhile."""
    where = yield ChoiceDialog("Where was the pressure read, with a gauge?", at_choices(desk.case.bench))
    if where is None:
        return
    at = PressureAt(where)
    hint = "With its unit: 4 in wc, 10 mbar. An empty line takes out what was read there."
    title = f"Pressure at the {where}"
    reads = yield asked_line(desk, title, hint, lambda record, typed: put.with_reading(record, at, typed))
    if reads is None:
        return
    if not reads:
        yield Told(lambda record: put.with_reading(record, at, ""), f"pressure at the {where}")
        return
    places = [Choice(each.value, each.words) for each in desk.places]
    choices = [Choice(NONE_LIT, "nothing"), *places, Choice(SEVERAL, "several", "write them")]
    lit = yield ChoiceDialog("What was lit meanwhile?", choices)
    if lit == SEVERAL:
        lit = yield LineDialog("What was lit?", f"Places with commas between, {WHAT_LIT}.", check=_places_refused)
    if lit is not None:
        burned = () if lit == NONE_LIT else put.places_typed(lit)
        yield Told(lambda record: put.with_reading(record, at, reads, burned), f"pressure at the {where}")


def _places_refused(typed: str) -> str | None:
    try:
        return None if put.places_typed(typed) else f"Write the places, {WHAT_LIT}."
    except ValueError as reason:
        return str(reason)


def leak_check(desk: Desk) -> Flow:
    """A leak check anew, or another word in the one that is recorded: that makes no check fresh."""
    known, what = desk.case.bench.leak_check, ANEW
    if known is not None:
        choices = [
            Choice(ANEW, "a new check", "made now, after whatever was opened"),
            Choice(CORRECT, "correct what was written", "the same check; if it is due again it stays so"),
            Choice(OUT, "take it out of the record"),
        ]
        said = yield ChoiceDialog("The leak check", choices)
        if said is None:
            return
        what = said
    if what == OUT:
        yield Told(lambda record: record.model_copy(update={"leak_check": None}), "leak check")
        return
    old = known if what == CORRECT else None
    fields = yield from _leak_fields(desk, old)
    if fields is not None:
        check = put.leak_check_of(fields, opened_since=old is not None and old.opened_since)
        yield Told(lambda record: record.model_copy(update={"leak_check": check}), "leak check")


def _leak_fields(
    desk: Desk, old: LeakCheck | None
) -> Generator[LineDialog | ChoiceDialog, str | None, dict[str, str] | None]:
    """What a leak check showed, window by window; None where one was left."""
    method = yield ChoiceDialog("How was it made?", method_choices(), current=old.method if old is not None else "")
    if method is None:
        return None
    fields = {"method": method, "tight": "yes"}
    what, example = ("Gauge", "As 9 in wc.") if method == LeakMethod.GAUGE else ("What was shown", "In a line.")
    minutes = f"{old.minutes:g}" if old is not None and old.minutes is not None else ""
    asked = {
        "start": (f"{what} at the start", f"{example} {UNREAD}", old.start if old is not None else ""),
        "end": (f"{what} at the end", f"{example} {UNREAD}", old.end if old is not None else ""),
        "minutes": ("How many minutes?", f"As 5. {UNREAD}", minutes),
    }
    for name, (title, hint, text) in asked.items():
        typed = yield LineDialog(title, hint, text=text or "", check=partial(_leak_refused, fields, name), most=60)
        if typed is None:
            return None
        fields[name] = typed
    tight = yield ChoiceDialog("Did it hold?", [Choice("yes", "yes, tight"), Choice("no", "no: it leaks")])
    if tight is None:
        return None
    fields["tight"] = tight
    by = (old.by if old is not None else None) or put.who(desk.case.bench)
    on = (old.date if old is not None else None) or date.today().isoformat()
    for name, title, hint, text in (
        ("by", "By whom?", "Name of the fitter. Without it the check does not count.", by),
        ("date", "On which day?", "As 2026-12-01.", on),
    ):
        typed = yield LineDialog(title, hint, text=text, check=partial(_leak_refused, fields, name), most=80)
        if typed is None:
            return None
        fields[name] = typed
    return fields


def _leak_refused(fields: dict[str, str], name: str, typed: str) -> str | None:
    return put.fields_refused(put.leak_check_of, fields, name, typed)


def clue(desk: Desk) -> Flow:
    """A clue to the gas that the jets may be for; it releases nothing, and can speak against."""
    record = desk.case.bench
    name = yield ChoiceDialog("Which clue to the gas of its jets?", clue_choices(desk.base, record))
    if name is None:
        return
    given = next((each.value for each in record.clues if each.clue == name), "")
    label = next(each.label for each in clue_choices(desk.base, record) if each.id == name)
    value = yield ChoiceDialog(label, value_choices(desk.base, record, name), current=given)
    if value is not None:
        yield Told(lambda record: put.with_clue(record, name, None if value == OUT else value), f"clue: {label}")


def _line(desk: Desk, title: str, hint: str, into: put.Put, text: str, words: str) -> Flow:
    """One line into the record."""
    typed = yield asked_line(desk, title, hint, into, text=text)
    if typed is not None and typed != text:
        yield Told(lambda record: into(record, typed), words)
