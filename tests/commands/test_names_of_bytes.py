"""A file whose name is bytes that are no UTF-8 is a file like any other: its name is shown with those bytes escaped."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path

import pytest
from hobmark.problems import spelt, visible
from hobmark_tui.exits import ExitCode

from .conftest import Hobmark

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="names are bytes on Linux; others hold them to be text")
NAME = os.fsdecode(b"caf\xe9.yaml")
SPELT = "caf\\udce9.yaml"
COMMANDS = pytest.mark.parametrize("command", ["identify", "report", "setup", "fit"])


def case(folder: Path, text: str = "hobmark: 1\nlabel: green\nobservations: []\n") -> Path:
    (folder / NAME).write_text(text, encoding="utf-8")
    return folder / NAME


def asked(command: str, path: Path) -> list[object]:
    return [command, path, *(["top_burner"] if command == "fit" else [])]


@COMMANDS
def test_json_of_it_is_written_and_names_it(hobmark: Hobmark, tmp_path: Path, command: str) -> None:
    done = hobmark(*asked(command, case(tmp_path)), "--format", "json")
    assert (done.code, done.err) == (ExitCode.DONE, "")
    assert json.loads(done.out)["case"] == f"{tmp_path}/{SPELT}"


@COMMANDS
def test_text_of_it_is_written(hobmark: Hobmark, tmp_path: Path, command: str) -> None:
    done = hobmark(*asked(command, case(tmp_path)))
    assert (done.code, done.err) == (ExitCode.DONE, "")


@pytest.mark.parametrize("command", ["report", "setup"])
@pytest.mark.parametrize("ending", ["json", "txt", "html"])
def test_a_file_is_written_of_it(hobmark: Hobmark, tmp_path: Path, command: str, ending: str) -> None:
    path = tmp_path / os.fsdecode(b"r\xe9sum\xe9." + ending.encode())
    assert hobmark(command, case(tmp_path), "-o", path).code == ExitCode.DONE
    assert path.read_text(encoding="utf-8")


@COMMANDS
def test_what_refuses_it_names_it_in_json_too(hobmark: Hobmark, tmp_path: Path, command: str) -> None:
    done = hobmark(*asked(command, case(tmp_path, "hobmark: [")), "--format", "json")
    assert done.code == ExitCode.REFUSED
    assert json.loads(done.out)["problems"][0]["path"] == f"{tmp_path}/{SPELT}"
    assert done.err.startswith(f"{tmp_path}/{SPELT}:")


@pytest.mark.parametrize("text", ["a\udce9", "a\udc80\udcff", "plain", "caf\u00e9 \U0001f47b"])
def test_a_name_is_spelt_as_messages_show_it(text: str) -> None:
    assert spelt(text) == "".join(map(visible, text))
