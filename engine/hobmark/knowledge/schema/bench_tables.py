"""The bench tables of a base, put together."""

from __future__ import annotations

from functools import cached_property

from pydantic import Field

from hobmark.knowledge.schema.bench import Drill, FuelTable, GasRow
from hobmark.knowledge.schema.entry import Entry
from hobmark.knowledge.schema.faults import FaultTable
from hobmark.knowledge.schema.looks import Caution
from hobmark.knowledge.schema.setting_up import Step
from hobmark.knowledge.vocabulary import Gas


class BenchTables(Entry):
    """What reference/ says of gas, jets, hazards, setting up and faults; empty where a base says nothing."""

    gases: dict[Gas, GasRow] = Field(default_factory=dict)
    drills: tuple[Drill, ...] = ()
    fuel: FuelTable | None = None
    hazards: dict[str, Caution] = Field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    faults: FaultTable = Field(default_factory=FaultTable)

    @cached_property
    def step_of(self) -> dict[str, Step]:
        """Step id -> step."""
        return {step.id: step for step in self.steps}
