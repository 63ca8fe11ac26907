"""Entries that most commands never ask for: as a compiled base is read back they stay as they are until asked for.

Typing the parts and the bench's tables takes as long as all else of a start together.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Generic, TypeVar

from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from hobmark.knowledge.schema.entry import TRUSTED, Entry

E = TypeVar("E", bound=Entry)


class Stored(Generic[E]):
    """One entry, or the fields it is to be made of; `E` is named by the subclass, and imported when it is needed."""

    def __init__(self, content: E | Mapping[str, object]) -> None:
        """Keep an entry, or the fields of one that was checked before."""
        self._content: E | Mapping[str, object] = content

    @classmethod
    def model(cls) -> type[E]:
        """The model of the entry."""
        raise NotImplementedError

    @property
    def entry(self) -> E:
        """The entry, typed on the first asking."""
        if isinstance(self._content, Mapping):
            self._content = self.model().model_validate(self._content, context={TRUSTED: True})
        return self._content

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and isinstance(other, Stored) and self.fields() == other.fields()

    __hash__ = None  # type: ignore[assignment]  # it holds what may be a plain dict

    def fields(self) -> dict[str, Any]:
        """The entry as JSON would have it."""
        if isinstance(self._content, Mapping):
            return dict(self._content)
        return self._content.model_dump(mode="json", by_alias=True, exclude_defaults=True)

    @classmethod
    def _of(cls, content: Any, info: ValidationInfo) -> Stored[E]:
        if isinstance(content, cls):
            return content
        if isinstance(content, Mapping) and info.context and info.context.get(TRUSTED):
            return cls(content)
        return cls(cls.model().model_validate(content))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            cls._of, serialization=core_schema.plain_serializer_function_ser_schema(lambda stored: stored.fields())
        )
