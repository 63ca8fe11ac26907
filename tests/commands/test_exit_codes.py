"""What the exit code tells: 0 done, 1 done with a warning, 2 bad input or usage, 3 a fault of the program's own."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest
from hobmark_tui.commands import identify
from hobmark_tui.exits import ExitCode

from .conftest import Hobmark
from .terminal import PATIENCE, command, environment, ran

posix = pytest.mark.skipif(os.name != "posix", reason="devices, pipes and closed handles as POSIX has them")


def case(folder: Path, more: str = "", name: str = "case.yaml") -> Path:
    (folder / name).write_text(f"hobmark: 1\nobservations: [{{feature: legs, is: curved}}]\n{more}", encoding="utf-8")
    return folder / name


@pytest.mark.parametrize("arguments", [["--help"], ["-h"], ["--version"], ["identify", "--help"], ["knowledge", "-h"]])
def test_help_and_version_are_done(hobmark: Hobmark, arguments: list[str]) -> None:
    done = hobmark(*arguments)
    assert (done.code, done.err) == (ExitCode.DONE, "")
    assert done.out


def test_a_ranked_case_is_done(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    assert hobmark("identify", "-k", small, case(tmp_path)).code == ExitCode.DONE


def test_a_claim_that_holds_is_done(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    path = case(tmp_path, "claims: {variant: wren}\n")
    assert hobmark("identify", "-k", small, path).code == ExitCode.DONE


def test_a_claim_contradicted_is_a_warning(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    path = case(tmp_path, "claims: {variant: finch, made: '1946'}\n")
    assert hobmark("identify", "-k", small, path).code == ExitCode.WARNING


def test_one_claim_contradicted_among_several_cases_is_a_warning(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    bad = case(tmp_path, "claims: {variant: finch, made: '1946'}\n", "bad.yaml")
    assert hobmark("identify", "-k", small, bad, case(tmp_path)).code == ExitCode.WARNING


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["nosuch"],
        ["--nosuch"],
        ["identify", "--nosuch"],
        ["identify", "--next", "many"],
        ["identify", "--next", "-1"],
        ["identify", "--goal", "price"],
        ["identify", "--situation", "moon"],
        ["identify", "--format", "xml"],
        ["identify", "--knowledge"],
        ["identify"],
        ["identify", "--ask"],
        ["identify", "--ask", "one.yaml", "two.yaml"],
        ["identify", "--goal", "claim"],
        ["identify", "--knowledge", "nosuch", "case.yaml"],
        ["knowledge"],
        ["knowledge", "nosuch"],
        ["knowledge", "check", "--knowledge", "nosuch"],
        ["knowledge", "check", "--idle", "--ranges", "1"],
        ["knowledge", "schema", "--name", "nosuch"],
    ],
)
def test_bad_usage_is_refused_in_words_on_standard_error(
    hobmark: Hobmark, arguments: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = hobmark(*arguments)
    assert (done.code, done.out) == (ExitCode.REFUSED, "")
    assert done.err
    assert "fault of the program" not in done.err


@pytest.mark.parametrize("asked", [["--format", "json"], ["-f", "json"], ["--format=json"], ["-fjson"]], ids=" ".join)
def test_a_refusal_is_json_too_where_json_was_asked_for(
    hobmark: Hobmark, small: Path, tmp_path: Path, asked: list[str]
) -> None:
    path = case(tmp_path, "claims: {vraiant: wren}\n")
    amiss, remedy = "unknown field 'vraiant'.", "Did you mean 'variant'?"
    done = hobmark("identify", "-k", small, path, *asked)
    assert (done.code, done.err) == (ExitCode.REFUSED, f"{path}:3:10: {amiss} {remedy}\n")
    (problem,) = json.loads(done.out)["problems"]
    assert problem == {
        "path": str(path),
        "line": 3,
        "column": 10,
        "message": amiss,
        "remedy": remedy,
    }


def test_bad_usage_is_json_too_where_json_was_asked_for(hobmark: Hobmark) -> None:
    done = hobmark("identify", "--ask", "--format", "json")
    assert (done.code, json.loads(done.out)["version"]) == (ExitCode.REFUSED, 1)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device here")
def test_a_refusal_as_json_that_nobody_can_read_is_a_refusal_still(cache: Path, small: Path) -> None:
    done = shell(cache, '"$@" >/dev/full', "identify", "-k", small, "nosuch.yaml", "-f", "json")
    assert (done.returncode, "there is no such file" in done.stderr) == (ExitCode.REFUSED, True)


def test_a_case_there_is_not_is_refused(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    done = hobmark("identify", "-k", small, tmp_path / "nosuch.yaml")
    assert (done.code, done.out, "there is no such file" in done.err) == (ExitCode.REFUSED, "", True)


@pytest.mark.parametrize(("command", "part"), [("identify", []), ("report", []), ("setup", []), ("fit", ["W601"])])
def test_what_the_base_does_not_know_is_told_by_every_command_and_the_rest_is_worked_on(
    hobmark: Hobmark, tmp_path: Path, command: str, part: list[str]
) -> None:
    path = tmp_path / "case.yaml"
    path.write_text("hobmark: 1\nobservations: [{feature: of_another_base, is: so}]\n", encoding="utf-8")
    done = hobmark(command, path, *part)
    assert done.code == ExitCode.DONE
    assert done.out
    assert f"{path}:2:26: unknown feature 'of_another_base'. Set aside; it stays in the file.\n" in done.err


def test_a_case_with_problems_is_refused_at_their_lines(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    path = case(tmp_path, "claims: {vraiant: wren}\n")
    done = hobmark("identify", "-k", small, path)
    assert (done.code, done.out) == (ExitCode.REFUSED, "")
    assert done.err == f"{path}:3:10: unknown field 'vraiant'. Did you mean 'variant'?\n"


@pytest.mark.parametrize(
    "fault", [ZeroDivisionError("by nought"), RecursionError("deep"), MemoryError(), KeyError("x")]
)
def test_a_fault_of_the_programs_own_is_told_without_a_traceback(
    hobmark: Hobmark, fault: Exception, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def faulty(_: object) -> object:
        raise fault

    monkeypatch.setattr(identify, "load_compiled", faulty)
    done = hobmark("identify", case(tmp_path))
    assert done.code == ExitCode.INTERNAL
    assert done.err.startswith(f"hobmark: a fault of the program's own ({type(fault).__name__}")
    assert "Traceback" not in done.err


def test_ctrl_c_ends_a_command_as_refused_without_a_word(
    hobmark: Hobmark, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(_: object) -> object:
        raise KeyboardInterrupt

    monkeypatch.setattr(identify, "load_compiled", interrupted)
    done = hobmark("identify", case(tmp_path))
    assert (done.code, done.out, done.err) == (ExitCode.REFUSED, "", "")


def shell(cache: Path, line: str, *words: object) -> subprocess.CompletedProcess[str]:
    """A line of shell with the program's command line as its arguments."""
    return subprocess.run(
        ["/bin/sh", "-c", line, "sh", *command(*words)],
        env=environment(cache),
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=False,
    )


@posix
@pytest.mark.parametrize("copies", [1, 12], ids=["less than a pipe holds", "more than a pipe holds"])
def test_a_reader_that_goes_away_is_no_fault(cache: Path, small: Path, tmp_path: Path, copies: int) -> None:
    done = shell(cache, '{ "$@"; echo "$?" >&2; } | true', "identify", "-k", small, *[case(tmp_path)] * copies)
    assert done.stderr == "0\n"


@posix
def test_a_reader_of_help_that_goes_away_is_no_fault(cache: Path) -> None:
    assert shell(cache, '{ "$@"; echo "$?" >&2; } | true', "--help").stderr == "0\n"


@posix
@pytest.mark.parametrize("closed", [">&-", ">&- 2>&-", "<&- >&- 2>&-"])
def test_closed_handles_are_no_fault(cache: Path, small: Path, tmp_path: Path, closed: str) -> None:
    done = shell(cache, f'"$@" {closed}', "identify", "-k", small, case(tmp_path))
    assert (done.returncode, done.stderr) == (ExitCode.DONE, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device here")
def test_a_full_disk_is_refused_in_words(cache: Path, small: Path, tmp_path: Path) -> None:
    done = shell(cache, '"$@" >/dev/full', "identify", "-k", small, case(tmp_path))
    assert (done.returncode, done.stderr) == (2, "hobmark: the system refuses: No space left on device.\n")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device here")
@pytest.mark.parametrize("word", ["nosuch.yaml", "--nosuch"])
def test_a_refusal_that_nobody_can_read_is_a_refusal_still(cache: Path, small: Path, word: str) -> None:
    assert shell(cache, '"$@" 2>/dev/full', "identify", "-k", small, word).returncode == ExitCode.REFUSED


def test_an_output_that_knows_ascii_only_gets_the_rest_escaped(cache: Path, small: Path, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text("hobmark: 1\nlabel: café \U0001f47b\n", encoding="utf-8")
    done = ran(cache, tmp_path, "identify", "-k", small, path, PYTHONIOENCODING="ascii")
    assert done.returncode == ExitCode.DONE
    assert done.stdout.startswith("caf\\xe9 \\U0001f47b (at a sale")


@pytest.mark.parametrize("code", ExitCode)
def test_every_exit_code_is_one_of_four(code: ExitCode) -> None:
    assert 0 <= code <= 3
