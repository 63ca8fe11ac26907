"""Whether a case could be read again once written, told before it is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from hobmark.case import Case, must_read_back
from hobmark.case_names import name_faults
from hobmark.knowledge.base import KnowledgeBase
from hobmark.problems import Problem, Refused, worded
from pydantic import ValidationError


def one_line(text: str) -> str:
    """Text in one line, without the blanks about it."""
    return " ".join(text.split())


def words(refused: Refused) -> str:
    """What is wrong and what to do, without the place."""
    return " ".join(f"{each.message} {each.remedy}".rstrip() for each in refused.problems)


def unfit(path: Path, case: Case, base: KnowledgeBase | None) -> Refused | None:
    """Why a case could not be read again from the path; None where it could.

    Names are held against a base where there is one. A case made by `model_copy` was validated by nobody.
    """
    try:
        must_read_back(path, case)
    except Refused as refused:
        return refused
    problems = tuple(Problem(str(path), 1, 1, *said) for said in _faults(case, base))
    return Refused(problems) if problems else None


def _faults(case: Case, base: KnowledgeBase | None) -> Iterator[tuple[str, str]]:
    try:
        Case.model_validate(case.model_dump(mode="json", by_alias=True, exclude_defaults=True))
    except ValidationError as wrong:
        for error in wrong.errors(include_url=False):
            name = next((step for step in reversed(error["loc"]) if isinstance(step, str)), "case")
            yield worded(error["type"], name, error["input"], error.get("ctx", {}), ())
    if base is not None:
        for _, message, remedy in name_faults(case, base):
            yield message, remedy
