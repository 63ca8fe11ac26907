"""Bases laid one over the other: `--knowledge` given more than once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from hobmark.knowledge.reading import read_base
from hobmark.problems import Refused

from .small_base import FILES, SmallBase


@pytest.fixture
def above(small: SmallBase, tmp_path: Path) -> Path:
    """A folder with one more maker and nothing else, to lie over the small base."""
    shutil.copytree(small.root / "finch_works", tmp_path / "above" / "wren_works")
    for name in ("maker.yaml", "specimens/sp-1.yaml"):
        path = tmp_path / "above" / "wren_works" / name
        path.write_text(path.read_text(encoding="utf-8").replace("finch_works", "wren_works"), encoding="utf-8")
    return tmp_path / "above"


def refused(*roots: Path) -> str:
    with pytest.raises(Refused) as caught:
        read_base(roots)
    (problem,) = caught.value.problems
    return str(problem)


def test_a_later_folder_adds_its_makers(small: SmallBase, above: Path) -> None:
    assert list(read_base([small.root, above]).makers) == ["finch_works", "wren_works"]


def test_the_common_files_may_come_later_than_the_makers(small: SmallBase, above: Path) -> None:
    assert list(read_base([above, small.root]).makers) == ["wren_works", "finch_works"]


def test_a_later_folder_adds_assemblies_and_features(small: SmallBase, above: Path) -> None:
    (above / "assemblies.yaml").write_text("trim: {label: trim, holds: badge, swapped: often}\n")
    (above / "features.yaml").write_text(
        "badge: {label: Badge, assembly: trim, ask: Is there one?, look: Front., access: photo, values: {a: {}, b: {}}}"
    )
    base = read_base([small.root, above])
    assert ("trim" in base.assemblies, "badge" in base.features, "dial_skirt" in base.features) == (True, True, True)


def test_a_later_wording_stands_in_place_of_the_earlier_as_a_whole(small: SmallBase, above: Path) -> None:
    changed = FILES["wording.yaml"].replace("usually: 0.85", "usually: 0.7") + "stop: {settled: 0.9}\n"
    (above / "wording.yaml").write_text(changed)
    wording = read_base([small.root, above]).wording
    assert (wording.often["usually"], wording.stop.settled) == (0.7, 0.9)


def test_a_wording_that_lacks_a_word_is_not_filled_up_from_the_earlier(small: SmallBase, above: Path) -> None:
    (above / "wording.yaml").write_text(FILES["wording.yaml"].replace("usually: 0.85, ", ""))
    said = "1:1: 'often' has no number for usually. Add it."
    assert refused(small.root, above) == f"{above / 'wording.yaml'}:{said}"


@pytest.mark.parametrize("name", ["assemblies.yaml", "features.yaml", "reference/cautions.yaml"])
def test_an_id_used_in_an_earlier_folder_is_refused_at_its_name(name: str, small: SmallBase, above: Path) -> None:
    first = FILES[name].split("\n")[0].partition(":")[0]
    lines = FILES[name].split("\n")
    entry = "\n".join(lines[: 2 if lines[1].startswith(" ") else 1])
    (above / name).parent.mkdir(exist_ok=True)
    (above / name).write_text(f"# one\n{entry}\n")
    said = f"2:1: duplicate id '{first}', used in an earlier folder. Choose a new one."
    assert refused(small.root, above) == f"{above / name}:{said}"


def test_a_maker_read_already_is_refused_at_its_id(small: SmallBase, above: Path) -> None:
    path = above / "wren_works" / "maker.yaml"
    path.write_text("# one\nlabel: Finch\nid: finch_works\nlife: 1924/1961\n")
    specimen = above / "wren_works" / "specimens" / "sp-1.yaml"
    specimen.write_text(FILES["finch_works/specimens/sp-1.yaml"])
    said = "3:5: the maker 'finch_works' is read already. Name its folder once."
    assert refused(small.root, above) == f"{path}:{said}"


def test_a_makers_folder_alone_is_told_to_name_the_shipped_base_first(above: Path) -> None:
    said = (
        "1:1: there is no wording.yaml, assemblies.yaml, features.yaml here. "
        "Add them, or name the base that comes with hobmark first: --knowledge shipped."
    )
    assert refused(above) == f"{above}:{said}"


def test_a_base_without_a_maker_is_refused(small: SmallBase) -> None:
    shutil.rmtree(small.root / "finch_works")
    assert refused(small.root) == f"{small.root}:1:1: there is no maker here. Add a folder with a maker.yaml."


def test_a_folder_that_is_not_there_is_refused(small: SmallBase, tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    assert refused(small.root, gone) == f"{gone}:1:1: there is no such folder. Give the folder of a knowledge base."


def test_no_folder_at_all_is_refused() -> None:
    assert refused().startswith(".:1:1: there is no wording.yaml")
