"""The shipped parts and fit rules: called by their maker, each once, each with papers, of many kinds."""

from __future__ import annotations

import re

from .test_knowledge_is_tidy import each_maker, listed, shipped


@each_maker
def test_parts_and_fit_rules_are_called_by_maker_and_stand_once(maker: str) -> None:
    short = {"brindlemere": "bm", "wexcombe": "wx"}[maker]
    parts, rules = listed(maker, "parts"), listed(maker, "fit_rules")
    assert not [name for name in parts if not re.fullmatch(rf"{short}-p-[a-z]{{2}}\d", name)]
    assert not [name for name in rules if not re.fullmatch(rf"{short}-f\d{{2}}", name)]
    assert (len(set(parts)), rules) == (len(parts), sorted(set(rules)))


@each_maker
def test_every_part_and_fit_rule_cites_papers_that_stand(maker: str) -> None:
    folder = shipped().makers[maker]
    cited = {source.partition(":")[0] for entry in (*folder.parts, *folder.fit_rules) for source in entry.sources}
    assert cited <= set(folder.sources)
    assert all(entry.sources for entry in (*folder.parts, *folder.fit_rules))


def test_there_are_parts_of_many_kinds() -> None:
    parts = [part for folder in shipped().makers.values() for part in folder.parts]
    assert len(parts) >= 90
    assert len({part.kind for part in parts}) >= 20


def test_every_kind_of_part_has_a_part() -> None:
    assert set(shipped().kinds) == {part.kind for folder in shipped().makers.values() for part in folder.parts}
