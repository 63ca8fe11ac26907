"""Where the shipped knowledge lies, in a checkout and in an installed wheel."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.knowledge.root import knowledge_files, knowledge_root, maker_folders

from .small_base import FILES, SmallBase


def base_at(folder: Path) -> Path:
    folder.mkdir(parents=True)
    (folder / "features.yaml").touch()
    return folder


def test_in_a_checkout_it_is_the_top_level_folder(tmp_path: Path) -> None:
    base = base_at(tmp_path / "knowledge")
    package = tmp_path / "engine" / "hobmark"
    package.mkdir(parents=True)
    assert knowledge_root(package) == base


def test_in_an_installed_wheel_it_is_inside_the_package(tmp_path: Path) -> None:
    package = tmp_path / "site-packages" / "hobmark"
    base = base_at(package / "shipped")
    assert knowledge_root(package) == base


def test_the_wheels_own_goes_before_a_folder_that_happens_to_lie_beside(tmp_path: Path) -> None:
    base_at(tmp_path / "lib" / "knowledge")
    package = tmp_path / "lib" / "site-packages" / "hobmark"
    base = base_at(package / "shipped")
    assert knowledge_root(package) == base


def test_an_installation_without_knowledge_says_so(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match=r"no knowledge base beside .* Install hobmark again\."):
        knowledge_root(tmp_path / "site-packages" / "hobmark")


def test_the_running_hobmark_has_knowledge() -> None:
    assert (knowledge_root() / "features.yaml").is_file()


def test_makers_are_the_folders_with_a_maker_file(small: SmallBase) -> None:
    small.write("wren_works/maker.yaml", "")
    small.write("reference/models.yaml", "")
    assert [folder.name for folder in maker_folders(small.root)] == ["finch_works", "wren_works"]


def test_a_base_depends_on_every_file_it_is_read_from(small: SmallBase) -> None:
    assert {str(path.relative_to(small.root)) for path in knowledge_files([small.root])} == set(FILES)


def test_a_base_depends_on_no_case(small: SmallBase) -> None:
    small.write("finch_works/cases/one.yaml", "hobmark: 1\n")
    assert not any("cases" in path.parts for path in knowledge_files([small.root]))
