"""A disk that is full, only to be read, or gone: the person is told why, and nothing that was said is lost."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.problems import Refused
from hobmark_tui.sessions.session import CaseSession

from ..commands.terminal import environment
from .cases import LEGS, SHELF, UREA, failing, files, full, kept, looks

posix = pytest.mark.skipif(os.name != "posix", reason="limits, modes and links as POSIX has them")
powerless = pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root writes anywhere")

STEPS: dict[str, tuple[Any, str]] = {
    "made": (os, "open"),
    "written": (os, "fdopen"),
    "given its mode": (os, "fchmod"),
    "synced": (os, "fsync"),
    "put in place": (Path, "replace"),
}
"""What is done to the part of a file, one after another, and the call that does it."""


def refuse(patch: pytest.MonkeyPatch, step: str, refusing: Callable[..., Any]) -> None:
    """Let one step of writing a part fail, and no other call."""
    place, name = STEPS[step]
    honest = getattr(place, name)

    def call(first: Any, *others: Any, **more: Any) -> Any:
        is_write = step != "made" or str(first).endswith(".part")
        if step == "written":
            is_write = others == ("wb",)
            if is_write:
                os.close(first)
        return refusing() if is_write else honest(first, *others, **more)

    patch.setattr(place, name, call)


@posix
@pytest.mark.parametrize("step", STEPS)
def test_a_change_the_disk_has_no_room_for_is_told_kept_in_memory_and_written_later(
    step: str, path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.open(path, base) as session:
        before = path.read_bytes()
        with monkeypatch.context() as patch:
            refuse(patch, step, full)
            session.add(UREA)
            assert session.trouble == "green.yaml: the disk is full. Make room, then save again."
            assert (session.unkept, path.read_bytes()) == (True, before)
        session.keep()
        assert (session.trouble, session.unkept, session.path) == (None, False, path)
        assert looks(kept(path)) == [("base", ("legs",)), ("dial_material", ("urea",))]


@posix
def test_a_fault_told_after_the_file_was_put_in_place_is_no_change_by_somebody_else(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.open(path, base) as session:
        with monkeypatch.context() as patch:
            patch.setattr("hobmark.files._sync_folder", failing(errno.EIO))
            session.add(UREA)
            assert session.trouble == (
                "green.yaml: the disk reports a fault. Choose another place, and look after the disk."
            )
        session.add(SHELF)
        assert (session.trouble, session.path, files(path.parent)) == (None, path, ["green.yaml"])
        assert kept(path) == session.case


@posix
def test_the_next_change_writes_what_the_disk_had_no_room_for(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.open(path, base) as session:
        with monkeypatch.context() as patch:
            refuse(patch, "synced", full)
            session.add(UREA)
        session.add(SHELF)
        assert kept(path) == session.case


@posix
def test_an_undo_the_disk_has_no_room_for_is_kept_in_memory_too(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.open(path, base) as session:
        with monkeypatch.context() as patch:
            refuse(patch, "synced", full)
            session.undo()
            assert (session.case.observations, session.trouble is None) == ((), False)
        session.keep()
        assert kept(path).observations == ()


@posix
def test_closing_tries_once_more(path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch) -> None:
    session = CaseSession.open(path, base)
    with monkeypatch.context() as patch:
        refuse(patch, "synced", full)
        session.add(UREA)
    session.close()
    assert kept(path) == session.case


@posix
def test_a_full_disk_that_takes_no_lock_file_lets_a_case_be_looked_at(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("hobmark_tui.sessions.locking.FileLock.acquire", full)
        session = CaseSession.open(path, base)
        assert session.trouble == "green.yaml: the disk is full. Make room, then save again."
        session.add(UREA)
        assert session.unkept
    session.keep()
    assert (session.trouble, kept(path)) == (None, session.case)
    session.close()


@posix
def test_a_begun_case_the_disk_has_no_room_for_gets_its_planned_file_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.begin(tmp_path) as session:
        planned = session.path
        with monkeypatch.context() as patch:
            refuse(patch, "synced", full)
            session.add(UREA)
            assert (session.is_new, files(tmp_path)) == (True, [])
        session.add(SHELF)
        assert (session.path, session.notice, kept(planned)) == (planned, None, session.case)


LIMITED = """
import resource, sys
from pathlib import Path
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.schema.observations import Observation
from hobmark_tui.sessions.session import CaseSession

session = CaseSession.open(Path(sys.argv[1]), read_base([Path(sys.argv[2])]))
soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (300, hard))
for number in range(10):
    session.add(Observation.model_validate({"serial": f"H {number} " + "x" * 60, "found_on": "body"}))
print(session.trouble)
print(len(Path(sys.argv[1]).read_bytes()) <= 300)
resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
session.keep()
print(session.trouble)
session.close()
"""
"""A program that may write no file of more than 300 bytes, and later may again."""


@posix
def test_a_real_limit_of_the_system_on_what_is_written_loses_nothing(path: Path, tmp_path: Path) -> None:
    from ..knowledge.small_base import SmallBase

    SmallBase(tmp_path / "base")
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(LIMITED), str(path), str(tmp_path / "base")],
        env=environment(tmp_path),
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    said = "green.yaml: the disk takes no file of this size. Choose another place."
    assert (done.stdout.splitlines(), done.stderr) == ([said, "True", "None"], "")
    assert len(kept(path).observations) == 11
    assert [each.name for each in path.parent.iterdir()] == ["green.yaml"]


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
