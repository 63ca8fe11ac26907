"""A case from another program: a named pipe, standard input, process substitution; within the limits of a file."""

from __future__ import annotations

import os
import subprocess
import threading
import time
from contextlib import suppress
from pathlib import Path

import pytest
from hobmark import pipes
from hobmark.files import SIZE_LIMIT, read_text
from hobmark.problems import Refused

from tests.commands.small_base import write_small_base
from tests.commands.terminal import PATIENCE, command, environment

pytestmark = pytest.mark.skipif(os.name != "posix", reason="named pipes are POSIX")
CASE = "hobmark: 1\nlabel: from a pipe\nobservations: [{feature: legs, is: curved}]\n"


@pytest.fixture
def pipe(tmp_path: Path) -> Path:
    os.mkfifo(tmp_path / "pipe.yaml")
    return tmp_path / "pipe.yaml"


def later(path: Path, *pieces: bytes, after: float = 0.0) -> threading.Thread:
    """Another program that writes into a pipe, piece by piece, and may begin late."""

    def write() -> None:
        time.sleep(after)
        with suppress(BrokenPipeError), path.open("wb", buffering=0) as file:
            for piece in pieces:
                file.write(piece)
                time.sleep(0.02)

    thread = threading.Thread(target=write, daemon=True)
    thread.start()
    return thread


def test_a_named_pipe_is_read_to_its_end(pipe: Path) -> None:
    later(pipe, b"half, ", b"and half")
    assert read_text(pipe, pipes=True) == "half, and half"


def test_one_that_nobody_writes_to_yet_is_waited_for(pipe: Path) -> None:
    later(pipe, b"late", after=0.3)
    assert read_text(pipe, pipes=True) == "late"


def test_one_that_nobody_writes_to_is_given_up_in_words(pipe: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipes, "PATIENCE", 0.2)
    with pytest.raises(Refused, match="nothing came through it for a minute"):
        read_text(pipe, pipes=True)


def test_one_that_never_ends_is_read_no_further_than_a_file(pipe: Path) -> None:
    later(pipe, *[b"x" * 1024 * 1024] * (SIZE_LIMIT // 1024**2 + 2))
    with pytest.raises(Refused, match="larger than 5 MiB"):
        read_text(pipe, pipes=True)


def test_a_device_without_end_is_refused_by_its_size() -> None:
    with pytest.raises(Refused, match="larger than 5 MiB"):
        read_text(Path("/dev/zero"), pipes=True)


def test_where_a_file_is_kept_a_pipe_is_none(pipe: Path) -> None:
    with pytest.raises(Refused, match="not an ordinary file"):
        read_text(pipe)


@pytest.fixture
def small(tmp_path: Path) -> Path:
    (tmp_path / "base").mkdir()
    return write_small_base(tmp_path / "base")


def shell(line: str, tmp_path: Path, small: Path) -> subprocess.CompletedProcess[str]:
    """Run a line of bash in which `identify` stands for the program."""
    program = " ".join(f"'{word}'" for word in command("identify", "-k", small))
    return subprocess.run(
        ["bash", "-c", line.replace("identify", program)],
        cwd=tmp_path,
        env=environment(tmp_path / "cache"),
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=False,
    )


@pytest.mark.parametrize(
    "line", ["identify /dev/stdin < case.yaml", "cat case.yaml | identify /dev/stdin", "identify <(cat case.yaml)"]
)
def test_a_case_comes_from_wherever_the_shell_takes_it(line: str, tmp_path: Path, small: Path) -> None:
    (tmp_path / "case.yaml").write_text(CASE, encoding="utf-8")
    done = shell(line, tmp_path, small)
    assert (done.returncode, done.stderr, done.stdout.partition(" (")[0]) == (0, "", "from a pipe")


def test_a_program_that_writes_nothing_is_no_case_and_is_not_waited_for(tmp_path: Path, small: Path) -> None:
    began = time.monotonic()
    assert "'hobmark' is missing" in shell("identify <(true)", tmp_path, small).stderr
    assert time.monotonic() - began < pipes.PATIENCE / 2
