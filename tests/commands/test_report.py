"""`hobmark report`, and the sheets of `setup` and `fit` as files: endings, exit codes, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from hobmark.curating.schemas import schema_text
from PIL import Image

from .conftest import Hobmark

EXAMPLES = Path(__file__).parents[2] / "examples"
SALE = EXAMPLES / "sale" / "green-range.yaml"
FARM = EXAMPLES / "house-call" / "farm-kitchen.yaml"
BURNER = EXAMPLES / "parts-by-mail" / "cracked-burner.yaml"
WRITING = {
    "report": ("report", SALE),
    "setup": ("setup", FARM),
    "fit": ("fit", BURNER, "top_burner", "--order"),
}
"""Every command that writes a page."""
BEGINS = {".html": "<!DOCTYPE html>", ".json": "{"}
EVERY = pytest.mark.parametrize("arguments", WRITING.values(), ids=WRITING)


def with_photo(folder: Path, name: str) -> Path:
    path = folder / "case.yaml"
    path.write_text(SALE.read_text(encoding="utf-8").replace("observations:", f"photos: [{name}]\nobservations:"))
    return path


@EVERY
@pytest.mark.parametrize("ending", [".html", ".txt", ".json", ".HTML"])
def test_the_ending_tells_what_is_written(
    arguments: tuple[object, ...], ending: str, hobmark: Hobmark, tmp_path: Path
) -> None:
    done = hobmark(*arguments, "-o", path := tmp_path / f"sheet{ending}")
    assert (done.code, done.out, done.err) == (0, f"{path}\n", "")
    assert path.read_text(encoding="utf-8").startswith(BEGINS.get(ending.lower(), ""))


@EVERY
def test_a_file_replaces_the_one_that_was_there(
    arguments: tuple[object, ...], hobmark: Hobmark, tmp_path: Path
) -> None:
    (tmp_path / "sheet.html").write_text("old " * 100_000)
    hobmark(*arguments, "-o", tmp_path / "sheet.html")
    assert (tmp_path / "sheet.html").read_text(encoding="utf-8").endswith("</html>\n")


@EVERY
@pytest.mark.parametrize("name", ["sheet.pdf", "sheet", "case.yaml", ".html"])
def test_a_name_that_does_not_tell_what_to_write_is_refused(
    name: str, arguments: tuple[object, ...], hobmark: Hobmark, tmp_path: Path
) -> None:
    done = hobmark(*arguments, "-o", tmp_path / name)
    assert (done.code, done.out) == (2, "")
    assert "the ending of the name does not tell what to write" in done.err
    assert list(tmp_path.iterdir()) == []


@EVERY
def test_a_folder_that_is_not_there_is_refused(arguments: tuple[object, ...], hobmark: Hobmark, tmp_path: Path) -> None:
    done = hobmark(*arguments, "-o", tmp_path / "none" / "sheet.html")
    assert (done.code, done.out) == (2, "")
    assert "there is no such file or folder." in done.err


@EVERY
def test_the_text_in_a_file_is_that_of_a_page(arguments: tuple[object, ...], hobmark: Hobmark, tmp_path: Path) -> None:
    hobmark(*arguments, "-o", tmp_path / "sheet.txt")
    assert max(map(len, (tmp_path / "sheet.txt").read_text(encoding="utf-8").splitlines())) <= 78


@pytest.mark.parametrize("output", [(), ("-o", "-")], ids=["no file", "a dash"])
def test_without_a_file_the_report_is_written_as_text(output: tuple[str, ...], hobmark: Hobmark) -> None:
    done = hobmark("report", SALE, *output)
    assert (done.code, done.out) == (0, hobmark("identify", SALE).out)


def test_the_json_of_a_report_is_as_its_schema_says(hobmark: Hobmark, tmp_path: Path) -> None:
    Image.new("RGB", (30, 20)).save(tmp_path / "front.jpg")
    done = hobmark("report", with_photo(tmp_path, "{file: front.jpg, shows: the front}"), "--format", "json")
    found = json.loads(done.out)
    jsonschema.validate(found, json.loads(schema_text("report-output")))
    assert [(each["file"], each["width"]) for each in found["photos"]] == [("front.jpg", 30)]


def test_the_pictures_of_a_case_are_in_its_page(hobmark: Hobmark, tmp_path: Path) -> None:
    Image.new("RGB", (30, 20)).save(tmp_path / "front.jpg")
    hobmark("report", with_photo(tmp_path, "front.jpg"), "-o", tmp_path / "report.html")
    assert '<img src="data:image/jpeg;base64,' in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_the_pictures_of_a_case_are_named_in_its_text(hobmark: Hobmark, tmp_path: Path) -> None:
    Image.new("RGB", (30, 20)).save(tmp_path / "front.jpg")
    done = hobmark("report", with_photo(tmp_path, "{file: front.jpg, shows: the front}"))
    assert done.out.endswith("Pictures\n  front.jpg: the front\n")


@pytest.mark.parametrize("ending", [".html", ".txt", ".json"])
def test_a_picture_that_is_missing_is_refused_and_nothing_is_written(
    ending: str, hobmark: Hobmark, tmp_path: Path
) -> None:
    case = with_photo(tmp_path, "none.jpg")
    done = hobmark("report", case, "-o", tmp_path / f"report{ending}")
    place = case.read_text(encoding="utf-8").splitlines().index("photos: [none.jpg]") + 1
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith(f"{case}:{place}:10: none.jpg: there is no such file or folder.")
    assert not (tmp_path / f"report{ending}").exists()


def test_a_case_whose_pictures_are_elsewhere_is_identified_all_the_same(hobmark: Hobmark, tmp_path: Path) -> None:
    assert hobmark("identify", with_photo(tmp_path, "none.jpg")).code == 0


def test_the_exit_code_warns_of_a_claim_that_is_contradicted(hobmark: Hobmark, tmp_path: Path) -> None:
    case = EXAMPLES / "listing" / "with-the-badge.yaml"
    assert hobmark("report", case, "-o", tmp_path / "report.html").code == 1


def test_a_goal_that_the_case_has_not_is_refused(hobmark: Hobmark) -> None:
    assert hobmark("report", SALE, "--goal", "claim").code == 2


def test_without_a_case_it_is_a_mistake_of_usage(hobmark: Hobmark) -> None:
    assert hobmark("report").code == 2


def test_a_file_of_fit_is_for_order_sheets(hobmark: Hobmark, tmp_path: Path) -> None:
    done = hobmark("fit", BURNER, "top_burner", "-o", tmp_path / "order.html")
    assert (done.code, done.out) == (2, "")
    assert "Add --order, or leave --output away." in done.err


def test_no_file_is_written_where_no_order_sheet_is_made(hobmark: Hobmark, tmp_path: Path) -> None:
    done = hobmark("fit", FARM, "bm-p-jh1", "--order", "-o", tmp_path / "order.html")
    assert (done.code, done.out) == (1, "")
    assert "No order sheet for bm-p-jh1 (jet hood, fixed): Must not be put there." in done.err
    assert list(tmp_path.iterdir()) == []


def test_what_is_left_out_of_a_file_of_order_sheets_is_told(hobmark: Hobmark, tmp_path: Path) -> None:
    done = hobmark("fit", FARM, "grate", "bm-p-jh1", "--order", "-o", tmp_path / "order.html")
    assert (done.code, (tmp_path / "order.html").exists()) == (1, True)
    assert "No order sheet for bm-p-jh1" in done.err


def test_a_symptom_that_stops_everything_warns_when_written_to_a_file_too(hobmark: Hobmark, tmp_path: Path) -> None:
    done = hobmark("setup", FARM, "--symptom", "smell_of_gas", "-o", tmp_path / "sheet.html")
    assert (done.code, "STOP" in (tmp_path / "sheet.html").read_text(encoding="utf-8")) == (1, True)


@EVERY
def test_no_paper_is_written_over_the_case_itself(
    arguments: tuple[object, ...], hobmark: Hobmark, tmp_path: Path
) -> None:
    command, shipped, *rest = arguments
    case = tmp_path / "case.txt"
    case.write_bytes(Path(str(shipped)).read_bytes())
    done = hobmark(command, case, *rest, "-o", case)
    assert (done.code, "over the case itself" in done.err) == (2, True)
    assert case.read_bytes() == Path(str(shipped)).read_bytes()
