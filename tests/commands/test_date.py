"""`hobmark date`: the answer first, what it rests on below, and what is refused."""

from __future__ import annotations

import json
import os
import random
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hobmark.curating.schemas import schema_text
from hobmark.knowledge.root import knowledge_root
from hobmark_tui.__main__ import run

from .conftest import Hobmark
from .terminal import Terminal

PLATE = "BRINDLEMERE RANGE WORKS / CHICAGO 16, ILL. / PAT. 2,108,343 - 2,199,026"

posix = pytest.mark.skipif(os.name != "posix", reason="a terminal as POSIX has it")


def shown(hobmark: Hobmark, *arguments: object) -> Any:
    done = hobmark("date", *arguments, "--format", "json")
    assert (done.code, done.err) in ((0, ""), (1, ""))
    return json.loads(done.out)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (PLATE, "This part was made in 1943 or later."),
        ("PAT. 2,108,343", "This part was made in 1938 or later."),
        ("PAT. JULY 7, 1936", "This part was made in July 1936 or later."),
        ("OMAHA, NB 68102", "This part was made between 1963 and 1969."),
        ("PAT. PEND.", "Nothing here proves a year."),
        ("GREEN ENAMEL", "Nothing here proves a year."),
        ("2,108,343", "If this is a US utility patent number, the part was made in 1938 or later."),
        ("2698500", "If this is a US utility patent number, the part was made in 1954 or later."),
    ],
)
def test_the_first_line_is_the_answer(hobmark: Hobmark, text: str, said: str) -> None:
    done = hobmark("date", text)
    assert (done.code, done.out.split("\n\n")[0].replace("\n", " ").strip()) == (0, said)


def test_each_finding_says_what_it_proves_and_what_not_with_source_and_status(hobmark: Hobmark) -> None:
    out = hobmark("date", "CHICAGO 16, ILLINOIS").out
    assert "CHICAGO 16, ILLINOIS: in 1943 or later, usually until 1963\n  proves: Zone numbers" in out
    assert "\n  does not prove: A latest date." in out
    assert "\n  source: piglix.com (ZIP_code); zip.international/en/united-states [verified]\n" in out


def test_a_contradiction_is_a_warning(hobmark: Hobmark) -> None:
    done = hobmark("date", "OMAHA, NB 68102-1234")
    assert done.code == 1
    assert done.out.startswith("The evidence contradicts itself: '68102-1234' is of 1983 or later, and 'NB' of")


def test_one_contradiction_among_several_texts_is_a_warning(hobmark: Hobmark) -> None:
    assert hobmark("date", "OMAHA, NB 68102-1234", "PAT. PEND.").code == 1


def test_what_is_published_of_the_time_is_told_and_counts_for_nothing(hobmark: Hobmark) -> None:
    report = shown(hobmark, "PAT. 2,317,900")
    assert [hint["id"] for hint in report["hints"]] == [
        *("us_iron_order_1942", "us_stove_makers_1942", "us_stove_rationing_1943")
    ]
    assert (report["not_before"], report["not_after"]) == ("1943", None)


def test_of_a_zone_that_lasted_twenty_years_nothing_is_told_of_its_first(hobmark: Hobmark) -> None:
    assert shown(hobmark, "CHICAGO 16, ILL.")["hints"] == []


def test_a_year_alone_proves_nothing_and_has_its_time_told(hobmark: Hobmark) -> None:
    report = shown(hobmark, "1943")
    assert (report["says"], len(report["hints"])) == ("Nothing here proves a year.", 3)


def test_json_has_the_published_names(hobmark: Hobmark) -> None:
    (finding,) = shown(hobmark, "2,108,343")["evidence"]
    names = ("kind", "reading", "not_before", "not_after", "status")
    assert [finding[name] for name in names] == ["us_patent", "2,108,343", "1938", None, "verified"]
    assert finding["proves"]
    assert finding["source"]


@pytest.mark.parametrize("text", [PLATE, "OMAHA, NB 68102-1234", "1943", "x", "2,317,900"])
def test_json_is_as_the_published_schema_has_it(hobmark: Hobmark, text: str) -> None:
    jsonschema.validate(shown(hobmark, text), json.loads(schema_text("date-output")))


def test_several_texts_give_an_array_in_their_order(hobmark: Hobmark) -> None:
    assert [report["text"] for report in shown(hobmark, "PAT. PEND.", PLATE)] == ["PAT. PEND.", PLATE]


def test_several_texts_stand_apart_each_under_its_own_words(hobmark: Hobmark) -> None:
    out = hobmark("date", "PAT. PEND.", "PAT. 2,108,343").out
    assert out.startswith("'PAT. PEND.'\nNothing here proves a year.\n")
    assert f"\n{'=' * 78}\n\n'PAT. 2,108,343'\nThis part was made in 1938 or later.\n" in out


def test_every_text_is_read_by_itself(hobmark: Hobmark) -> None:
    assert [report["contradiction"] for report in shown(hobmark, "OMAHA, NB", "CHICAGO, IL 60601-1234")] == [None, None]


@pytest.mark.parametrize("columns", [50, 80])
def test_no_line_is_longer_than_the_page(hobmark: Hobmark, monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = hobmark("date", PLATE, "PAT. 2,317,900 RE. 19,123", "312-555-0123 ANSI", "x").out.splitlines()
    assert max(map(len, lines)) <= min(columns, 78)


@pytest.mark.parametrize(
    "text", ["B 12345", "BRINDLEMERE / SERIAL NO. B 12345 / PAT. PEND.", "Ser. B 12345", "X / B 12345"]
)
def test_a_serial_is_read_with_its_maker(hobmark: Hobmark, text: str) -> None:
    finding = shown(hobmark, text, "--maker", "brindlemere", "-k", knowledge_root())["evidence"][0]
    assert (finding["kind"], finding["reading"], finding["status"]) == ("serial", "B 12345", "invented")
    assert text[slice(*finding["place"])] == "B 12345"


def test_a_serial_that_fits_nothing_is_told_what_would(hobmark: Hobmark) -> None:
    (remark,) = shown(hobmark, "?!", "--maker", "brindlemere", "-k", knowledge_root())["remarks"]
    assert remark.startswith("'?!' fits no serial number that is described. Brindlemere: ")


def test_without_a_maker_no_serial_is_read(hobmark: Hobmark) -> None:
    assert shown(hobmark, "B 12345", "-k", knowledge_root())["evidence"] == []


def test_a_maker_there_is_not_is_refused_with_the_nearest(hobmark: Hobmark) -> None:
    done = hobmark("date", "H 41877", "--maker", "brindlemeer")
    assert (done.code, done.out, "Did you mean 'brindlemere'?" in done.err) == (2, "", True)


def test_a_base_without_tables_finds_nothing(hobmark: Hobmark, small: Path) -> None:
    assert shown(hobmark, PLATE, "-k", small)["evidence"] == []


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([], 'no text is given. Write the words in quotes: hobmark date "PAT. 2,108,343'),
        ([""], "a text is empty."),
        (["  \t "], "a text is empty."),
        (["PAT. PEND.", ""], "a text is empty."),
        (["x" * 2001], "a text of 2001 characters is too long. Give at most 2000"),
        (["PAT. \x1b[31m2,108,343"], r"the character \x1b cannot stand in a text."),
        (["PAT. \udc80"], r"the character \udc80 cannot stand in a text."),
        (["PAT. \x00"], r"the character \x00 cannot stand in a text."),
    ],
    ids=["none", "empty", "blank", "one empty", "long", "escape", "byte", "nought"],
)
def test_what_cannot_be_read_is_refused_in_words(hobmark: Hobmark, arguments: list[str], said: str) -> None:
    done = hobmark("date", *arguments)
    assert (done.code, done.out) == (2, "")
    assert said in done.err


@posix
def test_without_a_text_it_is_refused_on_a_terminal_too(cache: Path, tmp_path: Path) -> None:
    with Terminal(cache, tmp_path, "date") as terminal:
        assert "no text is given. Write the words in quotes" in terminal.shown()
        assert terminal.code() == 2


@posix
def test_on_a_narrow_terminal_it_is_folded_to_it(cache: Path, tmp_path: Path) -> None:
    with Terminal(cache, tmp_path, "date", PLATE, size=(50, 24)) as terminal:
        terminal.shown()
        assert max(map(len, terminal.lines)) <= 50
        assert terminal.lines[0] == "This part was made in 1943 or later."


@pytest.mark.parametrize(
    "text",
    [
        "PAT. \u0662\u0661\u0660",
        "PAT. \uff12\uff0c\uff11\uff10\uff18",
        "\uff30\uff21\uff34",
        "\u202e343,801,2",
        "ßßß",
        "💥",
    ],
)
def test_odd_signs_are_no_fault(hobmark: Hobmark, text: str) -> None:
    done = hobmark("date", text)
    assert (done.code, done.err) == (0, "")


@pytest.mark.parametrize("seed", range(60))
def test_whatever_the_bytes_there_is_an_answer_or_a_refusal(hobmark: Hobmark, seed: int) -> None:
    draw = random.Random(seed)
    plate = bytearray(PLATE.encode() * draw.randint(1, 3))
    for _ in range(draw.randint(1, 30)):
        plate[draw.randrange(len(plate))] = draw.randrange(256)
    done = hobmark("date", "--", bytes(plate).decode("utf-8", "surrogateescape"))
    assert (done.code, bool(done.out), bool(done.err)) in ((0, True, False), (1, True, False), (2, False, True))
    assert "fault of the program" not in done.err


@pytest.mark.parametrize("text", ["PAT. \udc80", "", "x" * 3000])
def test_a_refusal_is_json_where_json_was_asked_for(hobmark: Hobmark, text: str) -> None:
    done = hobmark("date", text, "--format", "json")
    assert (done.code, len(json.loads(done.out)["problems"])) == (2, 1)


def test_it_runs_in_an_encoding_that_lacks_the_signs(
    cache: Path, capfdbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOBMARK_CACHE", str(cache))
    with open(1, "w", encoding="ascii", closefd=False) as ascii_only:
        monkeypatch.setattr(sys, "stdout", ascii_only)
        assert run(["date", "BRINDLEMERE®"]) == 0
    assert capfdbinary.readouterr().out.startswith(b"This part was made in 1946 or later.\n")
