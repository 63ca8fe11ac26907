"""A small invented works with the blocks of numbers that a test gives it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from hobmark.dating.serials import SerialReading, density, read_serials
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.looks import Wording
from hobmark.marked_yaml import read_marked, validated
from numpy.typing import NDArray

LIFE = "1924/1961"
YEARS = np.arange(1924, 1962)
WORDING = validated(Wording, read_marked(knowledge_root() / "wording.yaml"), "wording.yaml")
RARELY = 0.02
"""What an outlier has by default, in the wording above."""

Block = Mapping[str, object]


def anchors(*dated: tuple[object, str]) -> list[dict[str, object]]:
    """Anchors of some numbers and dates."""
    return [{"serial": str(serial), "date": date, "sources": ["book"]} for serial, date in dated]


def works(*blocks: Block, name: str = "teal") -> MakerFolder:
    """The works; a block is named by its place unless it has an id."""
    about = {"id": name, "label": f"{name.title()} Works", "short": name.title(), "life": LIFE}
    common = {"found_on": "plates", "sources": ["book"]}
    serials = [common | {"id": f"s{place}"} | dict(block) for place, block in enumerate(blocks, 1)]
    return MakerFolder.model_validate(
        {"maker": about, "serials": serials, "sources": {"book": {"kind": "ledger", "title": "Works ledger"}}}
    )


def base(*folders: MakerFolder) -> KnowledgeBase:
    """A base of these makers and nothing to look at."""
    return KnowledgeBase(
        wording=WORDING, assemblies={}, features={}, makers={folder.maker.id: folder for folder in folders}
    )


def read(text: str, *blocks: Block) -> SerialReading:
    """The one reading of a number, at a works with these blocks."""
    (reading,) = read_serials(text, base(works(*blocks)))
    return reading


def shares(text: str, *blocks: Block) -> NDArray[np.float64]:
    """The density over the works' life."""
    found = density(works(*blocks), text, YEARS, WORDING)
    assert found is not None
    return found


def core(text: str, *blocks: Block) -> dict[int, float]:
    """The years that the line leaves open, with the even spread of outliers taken off again."""
    alone = (shares(text, *blocks) - RARELY / len(YEARS)) / (1 - RARELY)
    return {int(year): round(float(share), 6) for year, share in zip(YEARS, alone, strict=True) if share > 1e-9}
