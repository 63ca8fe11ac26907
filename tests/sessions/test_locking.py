"""One program a case: who is refused, who is not, and what is left behind."""

from __future__ import annotations

import errno
import os
import platform
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hobmark.knowledge.base import KnowledgeBase
from hobmark.problems import Refused
from hobmark_tui.sessions.locking import CaseLock, InUse, lock_path
from hobmark_tui.sessions.session import CaseSession

from ..commands.terminal import environment
from .cases import UREA, failing, kept

posix = pytest.mark.skipif(os.name != "posix", reason="signals, links and modes as POSIX has them")

HOLDING = """
import sys
from pathlib import Path
from hobmark_tui.sessions.locking import CaseLock

lock = CaseLock.take(Path(sys.argv[1]))
print("held", flush=True)
sys.stdin.readline()
lock.release()
"""
Holder = subprocess.Popen[str]


@pytest.fixture
def holder(path: Path, tmp_path: Path) -> Iterator[Holder]:
    """Another program that has the case open."""
    held = subprocess.Popen(
        [sys.executable, "-c", HOLDING, str(path)],
        env=environment(tmp_path),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert held.stdout is not None
    assert held.stdout.readline() == "held\n"
    with held:
        yield held
        held.kill()


def test_a_case_that_another_program_has_open_is_refused_with_what_to_do(
    holder: Holder, path: Path, base: KnowledgeBase
) -> None:
    with pytest.raises(InUse) as caught:
        CaseSession.open(path, base)
    who = f" (process {holder.pid})" if os.name == "posix" else ""
    assert str(caught.value) == (
        f"{path}:1:1: this case is open in another program{who}. Close it there first, or go on with a copy of it."
    )


def test_a_case_is_free_once_the_other_program_lets_it_go(holder: Holder, path: Path, base: KnowledgeBase) -> None:
    holder.communicate("\n")
    CaseSession.open(path, base).close()
    assert [each.name for each in path.parent.iterdir()] == [path.name]


@posix
def test_a_program_that_was_killed_holds_nobody_off_although_its_lock_file_lies_there(
    holder: Holder, path: Path, base: KnowledgeBase
) -> None:
    holder.send_signal(signal.SIGKILL)
    holder.wait()
    assert lock_path(path).exists()
    with CaseSession.open(path, base) as session:
        session.add(UREA)
        assert kept(path) == session.case
    assert [each.name for each in path.parent.iterdir()] == [path.name]


@posix
@pytest.mark.parametrize("text", ["", "no number\n", "12345678901234567890 x\n", "1\n", "\udcff"])
def test_a_lock_file_of_any_content_that_nobody_holds_lets_the_case_be_opened(
    text: str, path: Path, base: KnowledgeBase
) -> None:
    lock_path(path).write_bytes(text.encode("utf-8", "surrogateescape"))
    CaseSession.open(path, base).close()


@posix
@pytest.mark.parametrize("text", ["", "nobody\n", "\udcff"])
def test_a_holder_that_says_nothing_of_use_is_another_program(text: str, path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base):
        lock_path(path).write_bytes(text.encode("utf-8", "surrogateescape"))
        with pytest.raises(InUse, match=r"this case is open in another program\. Close"):
            CaseSession.open(path, base)


@posix
def test_a_holder_on_another_machine_is_named_with_it(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base):
        lock_path(path).write_text(f"77 not-{platform.node()}\n")
        with pytest.raises(InUse, match=rf"in another program \(process 77 on not-{platform.node()}\)\."):
            CaseSession.open(path, base)


@posix
def test_a_case_that_this_program_has_open_already_is_refused_in_so_many_words(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base), pytest.raises(InUse, match=r"this case is open in this program already\."):
        CaseSession.open(path, base)


@posix
def test_a_case_reached_by_two_names_has_one_lock(path: Path, base: KnowledgeBase, tmp_path: Path) -> None:
    (tmp_path / "link.yaml").symlink_to(path)
    with CaseSession.open(path, base), pytest.raises(InUse):
        CaseSession.open(tmp_path / "link.yaml", base)


def test_the_lock_lies_beside_the_case_hidden(path: Path) -> None:
    assert lock_path(path).name == ".green.yaml.lock"


def test_a_name_too_long_for_a_lock_of_its_own_gets_a_short_one(path: Path, base: KnowledgeBase) -> None:
    named = path.rename(path.with_name("n" * 250 + ".yaml"))
    with CaseSession.open(named, base), pytest.raises(InUse):
        CaseSession.open(named, base)


@pytest.mark.parametrize("number", [errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP])
def test_a_disk_without_locks_opens_the_case_and_says_what_it_cannot_do(
    number: int, path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hobmark_tui.sessions.locking.FileLock.acquire", failing(number))
    with CaseSession.open(path, base) as session:
        assert session.notice == "This disk knows no locks: open the case in one program only."
        session.add(UREA)
        assert (session.trouble, session.notice, kept(path)) == (None, None, session.case)


def test_two_programs_on_a_disk_without_locks_still_overwrite_nothing(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hobmark_tui.sessions.locking.FileLock.acquire", failing(errno.ENOLCK))
    with CaseSession.open(path, base) as first, CaseSession.open(path, base) as second:
        first.add(UREA)
        second.undo()
        assert (kept(first.path), kept(second.path)) == (first.case, second.case)
        assert "was changed by somebody else" in (second.notice or "")


@posix
def test_a_lock_file_that_is_somebody_elses_opens_the_case_and_says_so(
    path: Path, base: KnowledgeBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    lock_path(path).touch()
    monkeypatch.setattr("hobmark_tui.sessions.locking.FileLock.acquire", failing(errno.EACCES))
    with CaseSession.open(path, base) as session:
        assert session.notice == (
            ".green.yaml.lock is not ours to open: make sure that no other program has the case open."
        )
        assert session.trouble is None


@posix
@pytest.mark.parametrize("kind", ["link", "folder"])
def test_a_lock_file_that_is_no_file_lets_the_case_only_be_looked_at_and_is_let_be(
    kind: str, path: Path, base: KnowledgeBase, tmp_path: Path
) -> None:
    victim = tmp_path / "victim"
    victim.write_text("dear")
    if kind == "link":
        lock_path(path).symlink_to(victim)
    else:
        lock_path(path).mkdir()
    with CaseSession.open(path, base) as session:
        assert session.trouble == (
            "green.yaml: its lock .green.yaml.lock is no ordinary file. Delete that, then try again."
        )
    assert (victim.read_text(), os.path.lexists(lock_path(path))) == ("dear", True)


@posix
def test_a_lock_let_go_leaves_another_programs_lock_file_alone(path: Path) -> None:
    first = CaseLock.take(path)
    lock_path(path).unlink()
    second = CaseLock.take(path)
    first.release()
    with pytest.raises(InUse):
        CaseLock.take(path)
    second.release()
    assert not lock_path(path).exists()


def test_a_lock_is_let_go_twice_without_harm(path: Path) -> None:
    lock = CaseLock.take(path)
    lock.release()
    lock.release()
    CaseLock.take(path).release()


def test_no_folder_is_made_for_a_lock(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="its folder is gone"):
        CaseLock.take(tmp_path / "absent" / "green.yaml")
    assert list(tmp_path.iterdir()) == []
