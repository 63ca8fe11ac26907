"""`hobmark fit`: exit codes, JSON, order sheets, and what is refused; on the shipped base."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import pytest
from hobmark.curating.schemas import schema_text

from .conftest import Hobmark

TOP = Path(__file__).parents[2]
FARM = TOP / "examples" / "house-call" / "farm-kitchen.yaml"
KNOWLEDGE = TOP / "knowledge"


@pytest.mark.parametrize(
    ("parts", "code"),
    [(["W 402"], 0), (["grate"], 0), (["JH-1"], 1), (["W 402", "JH-1"], 1), (["jet_hood"], 0)],
    ids=["a part", "a kind", "prohibited", "one of two", "a kind with some prohibited"],
)
def test_the_exit_code_warns_of_a_part_that_does_not_fit(parts: list[str], code: int, hobmark: Hobmark) -> None:
    assert hobmark("fit", FARM, *parts).code == code


def test_an_unknown_part_is_refused_with_the_closest(hobmark: Hobmark) -> None:
    done = hobmark("fit", FARM, "top_burnr")
    assert (done.code, done.out) == (2, "")
    assert "Did you mean 'top_burner'?" in done.err


def test_a_kind_of_which_the_base_knows_no_part_is_told_so(hobmark: Hobmark, tmp_path: Path) -> None:
    base = tmp_path / "base"
    shutil.copytree(KNOWLEDGE, base)
    for file in (*base.glob("*/parts.yaml"), *base.glob("*/fit_rules.yaml")):
        file.unlink()
    done = hobmark("fit", FARM, "grate", "--knowledge", base)
    assert (done.code, done.out) == (2, "")
    assert "no such part is known: the makers of this base have no grate in parts.yaml." in done.err


def test_a_case_that_is_not_there_is_refused(hobmark: Hobmark, tmp_path: Path) -> None:
    assert hobmark("fit", tmp_path / "none.yaml", "grate").code == 2


def test_without_a_part_it_is_a_mistake_of_usage(hobmark: Hobmark) -> None:
    assert hobmark("fit", FARM).code == 2


def test_the_help_says_that_a_file_is_for_order_sheets(hobmark: Hobmark) -> None:
    assert "With --order: write the sheets to a file." in " ".join(hobmark("fit", "--help").out.split())


def test_the_json_is_as_its_schema_says(hobmark: Hobmark) -> None:
    done = hobmark("fit", FARM, "valve", "JH-1", "--order", "--format", "json")
    jsonschema.validate(json.loads(done.out), json.loads(schema_text("fit-output")))


def test_the_json_names_verdict_and_both_answers(hobmark: Hobmark) -> None:
    (asked,) = json.loads(hobmark("fit", FARM, "W 402", "--format", "json").out)["asked"]
    (part,) = asked["parts"]
    assert (part["verdict"], part["class"], part["confirmed"]) == ("unproven", "measured", False)
    assert part["works"]["probability"] > 0.9


def test_an_order_sheet_is_printed_where_one_is_asked_for(hobmark: Hobmark) -> None:
    assert "ORDER SHEET" not in hobmark("fit", FARM, "grate").out
    assert "ORDER SHEET" in hobmark("fit", FARM, "grate", "--order").out


def test_no_order_sheet_is_printed_for_what_must_not_be_put_there(hobmark: Hobmark) -> None:
    out = hobmark("fit", FARM, "JH-1", "--order").out
    assert ("ORDER SHEET" in out, "No order sheet for bm-p-jh1" in out) == (False, True)


@pytest.mark.parametrize("option", [("--place", "front_left"), ("--hand", "left"), ("--quantity", "2")])
def test_place_hand_and_quantity_are_for_order_sheets(option: tuple[str, str], hobmark: Hobmark) -> None:
    done = hobmark("fit", FARM, "grate", *option)
    assert (done.code, f"{option[0]} is for order sheets." in done.err) == (2, True)


def test_place_and_quantity_go_onto_the_sheet(hobmark: Hobmark) -> None:
    out = hobmark("fit", FARM, "grate", "--order", "--place", "rear_left", "--quantity", "4", "--format", "json").out
    (sheet,) = json.loads(out)["orders"]
    asks = {ask["id"]: ask["value"] for ask in sheet["asks"]}
    assert (sheet["quantity"], asks["place"], asks["quantity"]) == (4, "rear left", "4")


def test_a_place_that_no_range_has_is_a_mistake_of_usage(hobmark: Hobmark) -> None:
    assert hobmark("fit", FARM, "grate", "--order", "--place", "upstairs").code == 2


def test_universal_is_a_hand_that_may_be_told(hobmark: Hobmark) -> None:
    out = hobmark("fit", FARM, "latch", "--order", "--hand", "universal", "--format", "json").out
    (sheet,) = json.loads(out)["orders"]
    assert {"universal"} == {ask["value"] for ask in sheet["asks"] if ask["id"] == "hand"}
