"""Where the shipped knowledge lies, in a checkout and in an installed wheel."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hobmark.knowledge.root import knowledge_files, knowledge_root, maker_folders, must_hold_knowledge
from hobmark.problems import Refused

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


def test_a_base_depends_on_the_files_it_is_refused_for(small: SmallBase) -> None:
    small.write("finch_works/rules.yml", "")
    assert small.root / "finch_works" / "rules.yml" in knowledge_files([small.root])


def amiss(folder: Path) -> str:
    with pytest.raises(Refused) as caught:
        must_hold_knowledge([folder])
    return str(caught.value).removeprefix(f"{folder}:1:1: ")


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    assert amiss(tmp_path / "no") == "there is no such folder. Give the folder of a knowledge base."


def test_a_file_in_place_of_a_folder_is_refused(small: SmallBase) -> None:
    said = "this is a file, not a folder. Give the folder of a knowledge base."
    assert amiss(small.root / "features.yaml") == said


def test_a_makers_own_folder_is_refused_with_the_one_above_it(small: SmallBase) -> None:
    said = f"this is a maker's own folder. Name the folder above it: --knowledge {small.root}."
    assert amiss(small.root / "finch_works") == said


def test_a_makers_own_folder_without_a_maker_file_is_known_by_its_others(small: SmallBase) -> None:
    (small.root / "finch_works" / "maker.yaml").unlink()
    assert amiss(small.root / "finch_works").startswith("this is a maker's own folder. Name the folder above it")


def test_a_folder_that_adds_nothing_is_refused(small: SmallBase) -> None:
    small.write("notes/readme.txt", "")
    said = "nothing in this folder is read: it holds no folder with a maker.yaml. Name the folder above a maker's own,"
    assert amiss(small.root / "notes").startswith(said)


@pytest.mark.parametrize("name", ["features.yaml", "finch_works/maker.yaml", "reference/cautions.yaml"])
def test_a_folder_that_adds_one_thing_is_taken(name: str, tmp_path: Path) -> None:
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).touch()
    must_hold_knowledge([tmp_path])


def test_a_base_depends_on_no_case(small: SmallBase) -> None:
    small.write("finch_works/cases/one.yaml", "hobmark: 1\n")
    assert not any("cases" in path.parts for path in knowledge_files([small.root]))


def test_a_folder_that_may_not_be_looked_into_is_told_with_its_path(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    base = SmallBase(tmp_path / "base")
    base.read()
    scan = os.scandir

    def scanned(folder: Path) -> Iterator[os.DirEntry[str]]:
        if Path(folder).name == "finch_works":
            raise PermissionError(errno.EACCES, "Permission denied")
        return scan(folder)

    monkeypatch.setattr(os, "scandir", scanned)
    with pytest.raises(Refused, match=r"finch_works:1:1: access is not permitted\. Ask the owner"):
        base.read()


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="needs leave to become somebody else")
def test_a_folder_that_is_listed_and_may_not_be_searched_is_told(tmp_path: Path) -> None:
    base = SmallBase(tmp_path / "base")
    base.read()
    (base.root / "finch_works").chmod(0o744)
    for folder in (tmp_path, *tmp_path.parents):
        if folder.stat().st_mode & 0o001 == 0:  # of those that pytest made
            folder.chmod(0o755)
    os.seteuid(65534)
    try:
        with pytest.raises(Refused, match=r"finch_works:1:1: access is not permitted"):
            must_hold_knowledge([base.root])
    finally:
        os.seteuid(0)
