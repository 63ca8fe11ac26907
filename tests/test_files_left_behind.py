"""What killed programs left half-written in a folder: swept up once nobody holds it, and nothing else is."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from hobmark.files import sweep_parts, write_atomically

from .test_files import posix

if os.name == "posix":
    import fcntl

PART = ".hobmark-0123456789abcdef.part"


def left(folder: Path, name: str = PART, *, age: float = 61) -> Path:
    """A file as a killed program leaves it, last written so many seconds ago."""
    (folder / name).write_text("half")
    os.utime(folder / name, (time.time() - age, time.time() - age))
    return folder / name


def test_a_part_that_a_killed_program_left_is_swept_up(tmp_path: Path) -> None:
    part = left(tmp_path)
    sweep_parts(tmp_path)
    assert not part.exists()


@pytest.mark.parametrize("age", [0, 30, -3600])
def test_a_part_of_this_minute_is_let_be(age: float, tmp_path: Path) -> None:
    part = left(tmp_path, age=age)
    sweep_parts(tmp_path)
    assert part.exists()


@posix
def test_an_old_part_that_a_running_program_still_writes_is_let_be(tmp_path: Path) -> None:
    part = left(tmp_path)
    with part.open() as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        sweep_parts(tmp_path)
        assert part.exists()
    sweep_parts(tmp_path)
    assert not part.exists()


@posix
def test_a_part_is_held_while_it_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fsync, seen = os.fsync, list[bool]()

    def swept(handle: int) -> None:
        for part in tmp_path.glob(".hobmark-*"):
            os.utime(part, (0, 0))
            sweep_parts(tmp_path)
            seen.append(part.exists())
        fsync(handle)

    monkeypatch.setattr(os, "fsync", swept)
    write_atomically(tmp_path / "a", "new")
    assert seen == [True]


@pytest.mark.parametrize(
    "name", [".hobmark-notes.part", "hobmark-0123456789abcdef.part", ".hobmark-0123456789ABCDEF.part", f"{PART}.yaml"]
)
def test_a_file_of_another_name_is_never_swept_up(name: str, tmp_path: Path) -> None:
    path = left(tmp_path, name)
    sweep_parts(tmp_path)
    assert path.exists()


@posix
def test_a_link_or_folder_by_the_name_of_a_part_is_never_swept_up(tmp_path: Path) -> None:
    kept = left(tmp_path, "kept")
    (tmp_path / PART).symlink_to(kept)
    (tmp_path / PART.replace("0", "1")).mkdir()
    os.utime(tmp_path / PART.replace("0", "1"), (0, 0))
    sweep_parts(tmp_path)
    assert len(list(tmp_path.iterdir())) == 3


def test_sweeping_a_folder_that_is_not_there_does_nothing(tmp_path: Path) -> None:
    sweep_parts(tmp_path / "absent")
    sweep_parts(Path("nul\0"))
