"""What else a bench record holds, as the sheet shows it: leak check, combustion, dial, what was not done, tag."""

from __future__ import annotations

from hobmark.bench.account import Account
from hobmark.bench.account_facts import leak_lacks
from hobmark.bench.combustion import CO_STEP, FORMULA, Limit, free_of, passed, passed_words
from hobmark.bench.release import LeakFact
from hobmark.bench.settings import Setting, setting_of
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Unit, quantity, read_quantity
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.record_entries import CombustionSample
from hobmark.reports.setup_gas_shape import CoLimitShown, CombustionShown, LeakCheckShown, RecordShown
from hobmark.reports.setup_settings import recorded, shown_setting

AIR_FREE_SOURCE = f"computed: {FORMULA} (hvactoday.com/?p=1030)"
"""What an air-free figure rests on."""
CO_CAUTIONS = ("carbon_monoxide", "oven_limit", "room_air")
"""Ids of the cautions that any figure of carbon monoxide bears."""
_LEAK_SAYS = {
    LeakFact.HOLDS: "holds; due again after every interruption of the gas and whenever a joint is opened",
    LeakFact.LEAKS: "DOES NOT HOLD: gas off",
    LeakFact.DUE_AGAIN: "due again: the gas was interrupted or a joint opened after it",
}


def record_shown(base: KnowledgeBase, account: Account) -> RecordShown:
    """The rest of the record of an account."""
    record, check = account.record, account.record.leak_check
    return RecordShown(
        leak_check=LeakCheckShown(
            method=check.method,
            start=check.start,
            end=check.end,
            minutes=check.minutes,
            tight=check.tight,
            by=check.by,
            date=check.date,
            says=_LEAK_SAYS.get(account.facts.leak_check) or f"does not count: {leak_lacks(base, record)}",
        )
        if check is not None
        else None,
        combustion=[_sample(base, each) for each in record.combustion],
        dial=[f"dial {each.dial}: {each.reads}" for each in record.dial],
        not_done=list(record.not_done),
        tag=record.tag,
    )


def _sample(base: KnowledgeBase, taken: CombustionSample) -> CombustionShown:
    free = free_of(taken)
    computed = (
        Setting(quantity(round(free), Unit.PPM), None, None, AIR_FREE_SOURCE, Mark.COMPUTED, CO_CAUTIONS)
        if free is not None
        else None
    )
    return CombustionShown(
        at=taken.at,
        minutes=taken.minutes,
        measured=recorded(read_quantity(taken.co), CO_CAUTIONS),
        oxygen=recorded(read_quantity(taken.o2), CO_CAUTIONS) if taken.o2 is not None else None,
        air_free=shown_setting(computed) if computed is not None else None,
        over=[passed_words(base, each) for each in passed(base, taken)],
        by=taken.by,
        date=taken.date,
    )


def co_limits(base: KnowledgeBase) -> list[CoLimitShown]:
    """The limits of carbon monoxide, each with the number it is for."""
    step = base.bench.step_of.get(CO_STEP)
    shown = []
    for field in step.fields if step is not None else ():
        setting = setting_of(field, field.said_source, field.mark, field.cautions)
        if field.id in {limit.value for limit in Limit} and setting is not None:
            shown.append(CoLimitShown(id=field.id, says=field.label, setting=shown_setting(setting)))
    return shown
