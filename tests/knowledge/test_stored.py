"""Entries that are typed when they are first asked for."""

from __future__ import annotations

import pytest
from hobmark.knowledge.base import KnowledgeBase, MakerFolder, StoredMakerShelf
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.entry import TRUSTED
from hobmark.knowledge.schema.shelf import MakerShelf
from pydantic import ValidationError

WRONG = {"parts": [{"id": "p-1", "label": "grate"}]}


@pytest.fixture(scope="module")
def shipped() -> KnowledgeBase:
    return read_base([knowledge_root()])


def again(base: KnowledgeBase) -> KnowledgeBase:
    written = base.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    return KnowledgeBase.model_validate(written, context={TRUSTED: True})


def test_what_was_read_back_is_what_was_written(shipped: KnowledgeBase) -> None:
    assert again(shipped).makers["brindlemere"].parts == shipped.makers["brindlemere"].parts


def test_a_base_that_was_read_back_and_not_asked_is_written_alike(shipped: KnowledgeBase) -> None:
    assert again(shipped).model_dump(mode="json") == shipped.model_dump(mode="json")


def test_what_is_read_back_is_typed_once(shipped: KnowledgeBase) -> None:
    folder = again(shipped).makers["brindlemere"]
    assert folder.parts is folder.parts


def test_what_nobody_checked_is_typed_at_once() -> None:
    with pytest.raises(ValidationError):
        MakerFolder.model_validate({"maker": {"id": "m", "label": "M", "life": "1930/1940"}, "shelf": WRONG})


def test_a_maker_without_parts_has_none() -> None:
    folder = MakerFolder.model_validate({"maker": {"id": "m", "label": "M", "life": "1930/1940"}})
    assert (folder.parts, folder.fit_rules, folder.setup) == ((), (), ())


def test_fields_and_the_entry_made_of_them_are_equal() -> None:
    assert StoredMakerShelf({}) == StoredMakerShelf(MakerShelf())
