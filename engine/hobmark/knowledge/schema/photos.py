"""Pictures of a range, as a case names them."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, ConfigDict, Field, model_validator

from hobmark.knowledge.schema.entry import Entry, Text

MOST_PHOTOS = 12
"""Pictures a case may name: more do not go on a report of two pages."""

_PARTED = re.compile(r"[/\\]")
_DRIVE = re.compile(r"[A-Za-z]:")


def _inside(name: str) -> str:
    """A case may come from a stranger: nothing but what lies beside it is ever read for it."""
    if name[0] in "/\\" or _DRIVE.match(name) or ".." in _PARTED.split(name):
        raise ValueError(
            f"the picture '{name[:60]}' leads out of the case's folder. Put it beside the case, and write its name."
        )
    return name


def _or_its_name(schema: dict[str, Any]) -> None:
    whole = dict(schema)
    schema.clear()
    schema["anyOf"] = [{"type": "string"}, whole]


PhotoName = Annotated[str, Field(min_length=1, max_length=255), AfterValidator(_inside)]
"""A picture's file: its way from the case's folder, in that folder or below."""


class Photo(Entry):
    """In a case: a picture and what it shows; the name of the file alone will do."""

    file: PhotoName
    shows: Annotated[Text, Field(max_length=200)] | None = None

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True, json_schema_extra=_or_its_name)

    @model_validator(mode="before")
    @classmethod
    def _from_its_name(cls, given: object) -> object:
        return {"file": given} if isinstance(given, str) else given
