"""A folder that is gone, a case that may only be read, a place where none can be kept: told, and nothing is lost."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.problems import Refused
from hobmark_tui.sessions.session import CaseSession

from .cases import LEGS, SHELF, UREA, files, full, kept, looks
from .test_disk_refuses import posix, powerless, refuse


def test_a_folder_that_was_removed_is_told_and_the_case_is_written_once_it_is_back(
    path: Path, base: KnowledgeBase
) -> None:
    with CaseSession.open(path, base) as session:
        shutil.rmtree(path.parent)
        session.add(UREA)
        assert session.trouble == "green.yaml: its folder is gone. Put the folder back, or choose another place."
        assert not path.parent.exists()
        path.parent.mkdir()
        session.keep()
        assert (session.trouble, kept(path)) == (None, session.case)


def test_a_folder_that_came_back_is_locked_again(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        shutil.rmtree(path.parent)
        path.parent.mkdir()
        session.add(UREA)
        with pytest.raises(Refused, match="this case is open"):
            CaseSession.open(path, base)


def test_a_file_replaced_by_a_folder_is_told_and_written_once_it_is_gone(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        path.unlink()
        path.mkdir()
        session.add(UREA)
        assert session.trouble == "green.yaml: this is a folder, not a file. Name a file inside it."
        path.rmdir()
        session.keep()
        assert kept(path) == session.case


@pytest.mark.parametrize(("denied", "name"), [("green.yaml", "it"), ("cases", "its folder")])
def test_a_case_that_may_only_be_read_is_opened_to_look_at_and_says_so(
    denied: str, name: str, path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    access = os.access
    monkeypatch.setattr(os, "access", lambda place, mode: Path(place).name != denied and access(place, mode))
    with CaseSession.open(path, base) as session:
        assert looks(session.case) == [("base", ("legs",))]
        assert session.trouble == (
            f"green.yaml: answers cannot be kept here, as {name} may only be read. "
            "Ask the owner for leave, or go on with a copy of it."
        )
        assert not session.unkept
        assert [each.name for each in path.parent.iterdir()] == ["green.yaml"]


@powerless
def test_a_case_in_a_folder_that_may_only_be_read_keeps_its_answers_in_memory(path: Path, base: KnowledgeBase) -> None:
    path.parent.chmod(0o500)
    session = CaseSession.open(path, base)
    assert "its folder may only be read" in (session.trouble or "")
    session.add(UREA)
    assert (session.trouble is None, session.unkept) == (False, True)
    path.parent.chmod(0o700)
    session.keep()
    assert (session.trouble, kept(path)) == (None, session.case)
    session.close()


@powerless
def test_a_file_made_read_only_under_a_session_is_told_and_written_once_it_may_be(
    path: Path, base: KnowledgeBase
) -> None:
    with CaseSession.open(path, base) as session:
        path.chmod(0o400)
        session.add(UREA)
        assert session.trouble == (
            "green.yaml: the file is write-protected. Lift the protection, or choose another name."
        )
        path.chmod(0o600)
        session.keep()
        assert kept(path) == session.case


def test_looking_again_finds_that_a_case_may_be_written_now(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(os, "access", lambda *_: False)
        session = CaseSession.open(path, base)
    before = path.read_bytes()
    session.keep()
    assert (session.trouble, path.read_bytes()) == (None, before)
    with pytest.raises(Refused, match="this case is open"):
        CaseSession.open(path, base)
    session.close()


def test_a_case_looked_at_that_another_program_opened_meanwhile_is_not_written(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(os, "access", lambda *_: False)
        looking = CaseSession.open(path, base)
    with CaseSession.open(path, base) as writing:
        looking.add(UREA)
        assert "this case is open" in (looking.trouble or "")
        writing.add(SHELF)
        assert kept(path) == writing.case
    looking.close()


@pytest.mark.parametrize("place", ["absent", "file"])
def test_a_case_is_not_begun_where_there_is_no_folder(place: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(Refused, match=r"there is no such folder\. Make it, or choose another place\."):
        CaseSession.begin(tmp_path / place)


def test_a_case_is_not_begun_where_none_can_be_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(Refused, match="access is not permitted"):
        CaseSession.begin(tmp_path)


@posix
def test_a_case_this_disk_refuses_goes_on_in_another_folder(
    path: Path, base: KnowledgeBase, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.open(path, base) as session:
        before = path.read_bytes()
        with monkeypatch.context() as patch:
            refuse(patch, "synced", full)
            session.add(UREA)
        session.keep_in(tmp_path)
        assert (session.trouble, session.path.parent, kept(session.path)) == (None, tmp_path, session.case)
        assert path.read_bytes() == before
        CaseSession.open(path, base).close()


@posix
def test_a_case_stays_where_it_is_when_the_other_folder_refuses_too(
    path: Path, base: KnowledgeBase, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.open(path, base) as session:
        with monkeypatch.context() as patch:
            refuse(patch, "synced", full)
            session.add(LEGS)
            session.add(UREA)
            session.keep_in(tmp_path)
            assert (session.path, session.unkept) == (path, True)
            session.keep_in(tmp_path / "absent")
            assert "there is no such folder" in (session.trouble or "")
        session.keep()
        assert (session.trouble, kept(path)) == (None, session.case)
    assert files(tmp_path) == ["cases"]
