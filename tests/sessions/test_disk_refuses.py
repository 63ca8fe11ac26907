"""A disk that is full, only to be read, or gone: the person is told why, and nothing that was said is lost."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark_tui.sessions.session import CaseSession

from ..commands.terminal import environment
from .cases import SHELF, UREA, failing, files, full, kept, looks

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
