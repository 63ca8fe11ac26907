"""How the screen is started, and that nothing else waits for it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import hobmark
import pytest

from tests.commands.terminal import environment, ran, warmed

TOP = Path(hobmark.__file__).parents[2]


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory, small_root: Path) -> Path:
    return warmed(tmp_path_factory.mktemp("cache"), small_root)


def test_without_a_terminal_hobmark_alone_shows_the_help(cache: Path, tmp_path: Path) -> None:
    done = ran(cache, tmp_path)
    assert done.returncode == 2
    assert "Usage:" in done.stderr


def test_without_a_terminal_examine_is_refused_with_a_remedy(cache: Path, tmp_path: Path) -> None:
    done = ran(cache, tmp_path, "examine")
    assert done.returncode == 2
    assert "the full screen needs a terminal." in done.stderr
    assert "hobmark identify CASE" in done.stderr


def test_no_other_command_loads_the_screen(cache: Path, tmp_path: Path, small_root: Path) -> None:
    (tmp_path / "case.yaml").write_text("hobmark: 1\nobservations: []\n", encoding="utf-8")
    program = (
        "import sys; from hobmark_tui.__main__ import run; "
        f"run(['identify', 'case.yaml', '-k', {str(small_root)!r}]); "
        "print('loaded', 'textual' in sys.modules, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path,
        env=environment(cache),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr.strip() == "loaded False"


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_on_a_terminal_hobmark_alone_shows_the_cases_and_q_leaves(cache: Path, tmp_path: Path) -> None:
    import pty

    main, other = pty.openpty()
    home = tmp_path / "cases"
    process = subprocess.Popen(
        [sys.executable, "-m", "hobmark_tui"],
        env=environment(cache, HOBMARK_CASES=str(home), TERM="xterm-256color", COLUMNS="80", LINES="24"),
        stdin=other,
        stdout=other,
        stderr=other,
        cwd=tmp_path,
    )
    os.close(other)
    seen = b""
    while b"Open a shipped example" not in seen:
        seen += os.read(main, 65536)
    os.write(main, b"q")
    while True:
        try:
            if not os.read(main, 65536):
                break
        except OSError:  # the terminal is gone with the program
            break
    assert process.wait(30) == 0
    assert home.is_dir()
    os.close(main)
