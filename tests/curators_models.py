"""Models as a curator's files have them, for the tests of reading and of complaints; and words that must not leak."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated, Literal

from hobmark.marked_yaml import Node, read_marked
from pydantic import BaseModel, ConfigDict, Field, RootModel, ValidationInfo, field_validator
from pydantic_core import PydanticCustomError

JARGON = {"Input", "input", "Field", "Extra", "instance", "dictionary", "Value", "pydantic", "str", "dict"}


def read(folder: Path, text: str) -> Node:
    (folder / "a.yaml").write_text(text, encoding="utf-8")
    return read_marked(folder / "a.yaml")


class How(StrEnum):
    always = "always"
    often = "often"


class Strict(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Step(Strict):
    from_: str = Field(alias="from")
    value: str


class Became(Strict):
    feature: str
    is_: str = Field(alias="is")


class NotBefore(Strict):
    not_before: str
    of: str


class NotAfter(Strict):
    not_after: str
    of: str


class Remark(Strict):
    remark: str


class Round(Strict):
    kind: Literal["round"]
    across: int


class Square(Strict):
    kind: Literal["square"]
    side: int


class Trait(Strict):
    id: str = Field(pattern="^[a-z0-9-]+$")
    how: How = How.always
    color: Literal["green", "ivory"] = "green"
    of: list[str] | str = "all"
    note: str = ""
    pages: list[str] = Field(default=[], max_length=3)
    values: dict[How, str] = {}
    units: int = Field(default=1, gt=0, le=100)
    share: float = Field(default=0.5, ge=0, lt=1)
    label: str = Field(default="xx", min_length=2, max_length=9)
    invented: bool = True
    made: str = ""
    when: bytes = Field(default=b"", max_length=1)
    run: list[Step | str] = []
    then: list[Became | NotBefore | NotAfter | Remark] = []
    hole: Annotated[Round | Square, Field(discriminator="kind")] | None = None
    step: Step | None = None

    @field_validator("made")
    @classmethod
    def _date(cls, made: str, info: ValidationInfo) -> str:
        if made == "late":
            raise ValueError("'late' is not an EDTF date. Write 1939/1941 (lasting).")
        if made == "custom":
            raise PydanticCustomError("own_kind", "our {what}. Our remedy.", {"what": "words"})
        if made == "context":
            raise ValueError(f"{info.context}. Do so.")
        if made == "assert":
            raise AssertionError("never so")
        return made


class Traits(RootModel[list[Trait]]):
    pass
