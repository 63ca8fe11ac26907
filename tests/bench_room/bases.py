"""What the bench's tests share: the shipped base, compiled once, and cases said in a line."""

from __future__ import annotations

from functools import cache

from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.examination import Compiled, Examination, compile_base


@cache
def compiled() -> Compiled:
    return compile_base(read_base([knowledge_root()]))


def base() -> KnowledgeBase:
    return compiled().base


def seen(**values: str) -> tuple[Observation, ...]:
    """Observations, as feature=value."""
    return tuple(Observation.model_validate({"feature": feature, "is": value}) for feature, value in values.items())


def examined(*more: Observation, **values: str) -> Examination:
    """An examination of a range of which these looks were taken."""
    return Examination(compiled(), Case(hobmark="1", observations=(*seen(**values), *more)))
