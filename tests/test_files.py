"""Reading within limits; writing all or nothing."""

from __future__ import annotations

import errno
import io
import os
import stat
from pathlib import Path
from typing import Any, NoReturn

import pytest
from hobmark.files import SIZE_LIMIT, read_text, write_atomically
from hobmark.problems import Refused

posix = pytest.mark.skipif(os.name != "posix", reason="permissions, pipes and links as POSIX has them")


def refused(call: Any, *arguments: Any) -> str:
    with pytest.raises(Refused) as caught:
        call(*arguments)
    (problem,) = caught.value.problems
    assert problem.remedy
    return f"{problem.line}:{problem.column}: {problem.message}"


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    write_atomically(tmp_path / "a.yaml", "¼ in\r\nzwei\n")
    assert read_text(tmp_path / "a.yaml") == "¼ in\r\nzwei\n"


def test_a_byte_order_mark_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"\xef\xbb\xbfa: b")
    assert read_text(tmp_path / "a") == "a: b"


def test_a_file_of_exactly_the_limit_is_read(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x" * SIZE_LIMIT)
    assert len(read_text(tmp_path / "a")) == SIZE_LIMIT


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"x" * (SIZE_LIMIT + 1), "1:1: the file is larger than 5 MiB."),
        (b"a: b\n\xc3\xa4\xff", "2:2: the file is not UTF-8 text."),
        (b"a: b\n  \x00", "2:3: the character \\x00 cannot stand in a text."),
        (b"a\x1b[31m", "1:2: the character \\x1b cannot stand in a text."),
        (b"\xef\xbb\xbf\xff", "1:1: the file is not UTF-8 text."),
        (b"\xed\xa0\x80", "1:1: the file is not UTF-8 text."),
    ],
)
def test_unfit_bytes_are_refused_at_their_place(data: bytes, said: str, tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(data)
    assert refused(read_text, tmp_path / "a") == said


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("", "this is a folder, not a file."),
        ("absent", "there is no such file or folder."),
        ("file/inside", "a part of this path is a file, not a folder."),
        ("n" * 300, "the name is too long."),
        ("nul\0", "this is not a name a file can have."),
        ("half\ud800", "this is not a name a file can have."),
    ],
)
def test_a_path_that_leads_to_no_file_is_refused(name: str, said: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    assert refused(read_text, tmp_path / name) == f"1:1: {said}"


@posix
def test_a_pipe_is_refused_without_waiting_for_its_writer(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert refused(read_text, tmp_path / "pipe") == "1:1: this is not an ordinary file."
    assert refused(write_atomically, tmp_path / "pipe", "x") == "1:1: this is not an ordinary file."


@posix
def test_a_pipe_that_takes_a_files_place_meanwhile_is_refused_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "file").write_text("x")
    before = (tmp_path / "file").stat()
    monkeypatch.setattr(Path, "stat", lambda *_, **__: before)
    assert refused(read_text, tmp_path / "pipe") == "1:1: this is not an ordinary file."


@posix
def test_a_device_is_refused() -> None:
    assert refused(read_text, Path(os.devnull)) == "1:1: this is not an ordinary file."


@posix
def test_a_link_that_leads_out_of_its_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "base").mkdir()
    (tmp_path / "secret").write_text("x")
    (tmp_path / "base" / "link").symlink_to("../secret")
    assert "leads out of its folder" in refused(read_text, tmp_path / "base" / "link", tmp_path / "base")
    assert "leads out" in refused(read_text, tmp_path / "base" / ".." / "secret", tmp_path / "base")


@posix
def test_a_link_that_stays_in_its_folder_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real").write_text("x")
    (tmp_path / "link").symlink_to("real")
    assert read_text(tmp_path / "link", tmp_path) == "x"


@posix
def test_a_link_to_itself_is_refused(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to("loop")
    assert refused(read_text, tmp_path / "loop") == "1:1: this link leads back to itself."
    assert refused(write_atomically, tmp_path / "loop", "x") == "1:1: this link leads back to itself."


def test_an_unreadable_file_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").write_text("x")
    monkeypatch.setattr(os, "open", failing(errno.EACCES))
    assert refused(read_text, tmp_path / "a") == "1:1: access is not permitted."


def failing(number: int) -> Any:
    def fail(*_: Any, **__: Any) -> NoReturn:
        raise OSError(number, os.strerror(number))

    return fail


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (errno.ENOSPC, "the disk is full."),
        (errno.EROFS, "the disk can only be read."),
        (errno.EIO, "the disk reports a fault."),
        (errno.EBUSY, f"the system refuses: {os.strerror(errno.EBUSY)}."),
    ],
)
@pytest.mark.parametrize("step", ["open", "fsync"])
def test_a_failed_write_leaves_the_old_file_and_no_litter(
    step: str, number: int, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a").write_text("old")
    monkeypatch.setattr(os, step, failing(number))
    assert refused(write_atomically, tmp_path / "a", "new") == f"1:1: {said}"
    monkeypatch.undo()
    assert {each.name: each.read_text() for each in tmp_path.iterdir()} == {"a": "old"}


@pytest.mark.parametrize("step", ["write", "flush", "close"])
def test_a_disk_that_fills_while_it_is_written_to_leaves_the_old_file_and_no_litter(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Filling(io.BufferedWriter):
        def close(self) -> None:
            super().close()
            if step == "close":
                full()

    full = failing(errno.ENOSPC)
    monkeypatch.setattr(os, "fdopen", lambda handle, _: Filling(io.FileIO(handle, "wb")))
    if step != "close":
        monkeypatch.setattr(Filling, step, full, raising=False)
    (tmp_path / "a").write_text("old")
    assert refused(write_atomically, tmp_path / "a", "new") == "1:1: the disk is full."
    assert {each.name: each.read_text() for each in tmp_path.iterdir()} == {"a": "old"}


def test_an_interrupted_write_leaves_the_old_file_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: Any) -> NoReturn:
        raise KeyboardInterrupt

    (tmp_path / "a").write_text("old")
    monkeypatch.setattr(Path, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_atomically(tmp_path / "a", "new")
    assert {each.name: each.read_text() for each in tmp_path.iterdir()} == {"a": "old"}


@posix
def test_file_then_replacement_then_folder_reach_the_disk_in_that_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps: list[str] = []
    fsync, replace = os.fsync, Path.replace

    def noted_fsync(handle: int) -> None:
        steps.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        fsync(handle)

    def noted_replace(part: Path, target: Path) -> Path:
        steps.append("hidden part" if part.name.startswith(".") and part.parent == target.parent else "?")
        return replace(part, target)

    monkeypatch.setattr(os, "fsync", noted_fsync)
    monkeypatch.setattr(Path, "replace", noted_replace)
    write_atomically(tmp_path / "a", "new")
    assert steps == ["file", "hidden part", "folder"]


@posix
def test_a_disk_that_cannot_sync_a_folder_is_no_reason_to_fail(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fsync = os.fsync

    def picky(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, "no")
        fsync(handle)

    monkeypatch.setattr(os, "fsync", picky)
    write_atomically(tmp_path / "a", "new")
    assert (tmp_path / "a").read_text() == "new"


@posix
@pytest.mark.parametrize("mode", [0o600, 0o664, 0o777])
def test_a_files_permissions_are_kept(mode: int, tmp_path: Path) -> None:
    (tmp_path / "a").write_text("old")
    (tmp_path / "a").chmod(mode)
    write_atomically(tmp_path / "a", "new")
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == mode


@posix
def test_a_new_file_has_the_permissions_any_new_file_has(tmp_path: Path) -> None:
    (tmp_path / "usual").write_text("x")
    write_atomically(tmp_path / "ours", "x")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "usual").stat().st_mode


@posix
def test_a_link_stays_a_link_and_its_target_is_written(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "link").symlink_to("kept/real")
    write_atomically(tmp_path / "link", "new")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "kept" / "real").read_text() == "new"


def test_a_write_protected_file_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").write_text("old")
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert refused(write_atomically, tmp_path / "a", "new") == "1:1: the file is write-protected."
    assert (tmp_path / "a").read_text() == "old"


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("", "x", "this is a folder, not a file."),
        ("no/such", "x", "there is no such file or folder."),
        ("nul\0", "x", "this is not a name a file can have."),
        ("a", "\ud800", "the text holds \\ud800, which is no character."),
    ],
)
def test_a_write_that_cannot_be_is_refused(name: str, text: str, said: str, tmp_path: Path) -> None:
    assert refused(write_atomically, tmp_path / name, text) == f"1:1: {said}"
