from __future__ import annotations

import pytest

from .refresh_examples import DOCUMENTS, ROOT, Printed, happened, printed, trimmed

PRINTED = [
    pytest.param(command, id=f"{path.relative_to(ROOT)}: {command.command}")
    for path in DOCUMENTS
    for command in printed(path.read_text(encoding="utf-8"))
]
REMEDY = "Run `python tests/refresh_examples.py`, and read what it changed."


@pytest.fixture(scope="module", autouse=True)
def _a_cache_of_its_own(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("HOBMARK_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.mark.parametrize("command", PRINTED)
def test_a_printed_command_does_what_is_printed(command: Printed):
    ran = happened(command)
    assert ran.exits == command.exits, REMEDY
    assert ran.output == command.output, REMEDY


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_document_with_examples_prints_a_command(path):
    assert any(printed(path.read_text(encoding="utf-8")))


def test_every_case_of_the_examples_is_run_by_a_printed_command():
    said = "\n".join(path.read_text(encoding="utf-8") for path in DOCUMENTS)
    cases = [path for path in (ROOT / "examples").rglob("*.yaml") if "hobmark: 1" in path.read_text(encoding="utf-8")]
    assert len(cases) >= 4
    assert [path for path in cases if str(path.relative_to(ROOT)) not in said] == []


def test_paragraphs_that_are_left_out_leave_dots():
    assert trimmed("one\n\ntwo\nmore\n\nthree\n", "shown", ["tw"]) == "...\n\ntwo\nmore\n\n...\n"


def test_a_heading_goes_before_a_paragraph_that_only_begins_so():
    assert trimmed("The claim is old.\n\nThe claim\nfalse\n", "shown", ["The claim"]) == "...\n\nThe claim\nfalse\n"


def test_lines_can_be_counted_from_the_end():
    assert trimmed("one\ntwo\nthree\n", "lines", ["last"]) == "...\nthree\n"


def test_a_paragraph_that_is_gone_is_told():
    with pytest.raises(ValueError, match="'four'"):
        trimmed("one\n\ntwo\n", "shown", ["four"])
