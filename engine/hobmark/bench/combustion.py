"""Carbon monoxide as two numbers with two limits: as measured, and air-free, which is worked out of it.

CO air-free = CO as measured x 20.9 / (20.9 - O2 %). A bare reading is lower than its air-free figure, so that neither
limit stands in for the other.
"""

from __future__ import annotations

from enum import StrEnum

from hobmark.bench.gas import air_free
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.quantities import Unit, read_quantity
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import CombustionSample
from hobmark.knowledge.schema.record_terms import SampledAt

FORMULA = "CO air-free = CO as measured x 20.9 / (20.9 - O2 in percent)"
"""As it is printed beside every sample."""
CO_STEP = "co_test"
"""The step of set_up.yaml whose fields state the limits."""


class Limit(StrEnum):
    """A limit by the field that states it."""

    AIR_FREE = "oven_co"
    OVEN_MEASURED = "oven_co_measured"
    ROOM = "room_co"
    ROOM_GUIDE = "room_co_guide"


SAYS = {
    Limit.AIR_FREE: "air-free: not used until it is mended",
    Limit.OVEN_MEASURED: "as measured at the oven's vent: clean and tune it",
    Limit.ROOM: "in the room: burners off, air, everybody out",
    Limit.ROOM_GUIDE: "in the room, the guide for where people live: find what makes it",
}
"""What passing a limit means."""


def free_of(sample: CombustionSample) -> float | None:
    """ppm as if no air had been drawn in; None without oxygen, or where the sample is air or nearly so."""
    if sample.o2 is None:
        return None
    try:
        return air_free(read_quantity(sample.co).to(Unit.PPM), read_quantity(sample.o2).to(Unit.PERCENT))
    except ValueError:
        return None


def limit_ppm(base: KnowledgeBase, limit: Limit) -> float | None:
    """A limit in ppm as the base states it; None where it does not."""
    step = base.bench.step_of.get(CO_STEP)
    field = next((each for each in step.fields if each.id == limit.value), None) if step is not None else None
    return field.high.to(Unit.PPM) if field is not None and field.high is not None else None


def passed(base: KnowledgeBase, sample: CombustionSample) -> list[Limit]:
    """The limits that a sample passes, each held against the number that it is for.

    Without oxygen the measured figure stands for the air-free one, which is never lower. The oven's limit is taken for
    the top burners too, and where no oxygen was read that of the measured figure with it: an assumption, no source.
    """
    measured = read_quantity(sample.co).to(Unit.PPM)
    free = free_of(sample)
    held = {Limit.AIR_FREE: free if free is not None else measured}
    if sample.at is SampledAt.OVEN_VENT or (sample.at is SampledAt.TOP_BURNERS and free is None):
        held[Limit.OVEN_MEASURED] = measured
    elif sample.at is SampledAt.ROOM:
        held = {Limit.ROOM: measured, Limit.ROOM_GUIDE: measured}
    return [limit for limit, ppm in held.items() if (most := limit_ppm(base, limit)) is not None and ppm > most]


def passed_words(base: KnowledgeBase, limit: Limit) -> str:
    """A limit that was passed, in words."""
    return f"over {limit_ppm(base, limit):.0f} ppm {SAYS[limit]}"


def stops_of(base: KnowledgeBase, sample: CombustionSample) -> list[str]:
    """What a sample stops until it is cleared, in words: past whatever limit, something is put right before it is lit.

    Without oxygen the air-free figure may be past its limit at the oxygen that oven vents have, 15 percent and less.
    """
    if sample.cleared is not None:
        return []
    limits = passed(base, sample)
    said = [passed_words(base, each) for each in limits]
    if Limit.OVEN_MEASURED in limits and free_of(sample) is None and Limit.AIR_FREE not in limits:
        said.append(f"{sample.co} and no oxygen: {passed_words(base, Limit.AIR_FREE)}; that is not ruled out")
    return said


def stops(base: KnowledgeBase, record: BenchRecord) -> list[str]:
    """What samples stop that were not cleared, in words: a later sample takes none of them away."""
    return [said for sample in record.combustion for said in stops_of(base, sample)]
