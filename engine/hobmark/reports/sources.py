"""The sources that a report or an order sheet cites, by their titles."""

from __future__ import annotations

from collections.abc import Iterable

from hobmark.knowledge.base import KnowledgeBase
from hobmark.reports.identify import Shape


class SourceTitle(Shape):
    """A source that is cited: its maker and its name, as `maker/source`, and its title."""

    id: str
    title: str
    invented: bool


def source_titles(base: KnowledgeBase, cited: Iterable[tuple[str, str]]) -> list[SourceTitle]:
    """The titles of what is cited, as (maker, source or source:page), each once; what the base has not is left out."""
    titles: dict[str, SourceTitle] = {}
    for maker, place in cited:
        source = place.partition(":")[0]
        known = base.makers[maker].sources.get(source) if maker in base.makers else None
        if known is not None:
            name = f"{maker}/{source}"
            titles.setdefault(name, SourceTitle(id=name, title=known.title, invented=known.invented))
    return list(titles.values())
