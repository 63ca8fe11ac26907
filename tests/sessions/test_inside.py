"""Where a visitor stays: a name that leads out of the folder of cases is refused, whatever it is."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hobmark.problems import Refused
from hobmark_tui.sessions.inside import OUTSIDE
from hobmark_tui.sessions.library import CaseLibrary
from hobmark_tui.views.bench_papers import path_refused

CASE = "hobmark: 1\nlabel: {}\nsituation: sale\nobservations: []\n"
posix = pytest.mark.skipif(os.name != "posix", reason="links need leave elsewhere")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "cases").mkdir()
    (tmp_path / "secret.html").write_text("the owner's", encoding="utf-8")
    return tmp_path / "cases"


@pytest.mark.parametrize(
    "name",
    [
        "../secret.html",
        "/etc/report.html",
        "~/report.html",
        "trash/report.html",
        "..\\report.html",
        "C:report.html",
        ".report.html",
        "~root.html",
        "no/such/folder/report.html",
    ],
)
def test_a_paper_of_a_visitor_is_a_file_beside_the_case_and_nothing_else(folder: Path, name: str) -> None:
    assert path_refused(folder / "case.yaml", name, within=folder) == OUTSIDE


@posix
def test_no_link_leads_a_paper_out(folder: Path) -> None:
    (folder / "report.html").symlink_to("../secret.html")
    assert path_refused(folder / "case.yaml", "report.html", within=folder) == OUTSIDE


@pytest.mark.parametrize("name", ["report.html", "green range.txt", "½.json"])
def test_a_plain_name_is_taken(folder: Path, name: str) -> None:
    assert path_refused(folder / "case.yaml", name, within=folder) is None


def test_the_owner_may_name_any_folder(folder: Path) -> None:
    assert path_refused(folder / "case.yaml", str(folder.parent / "new.html")) is None


@pytest.fixture
def led_out(folder: Path) -> CaseLibrary:
    """A visitor's library with a link in it that leads to a case elsewhere."""
    (folder.parent / "elsewhere.yaml").write_text(CASE.format("not for visitors"), encoding="utf-8")
    (folder / "link.yaml").symlink_to("../elsewhere.yaml")
    return CaseLibrary(folder, stays_inside=True)


@posix
def test_the_list_tells_nothing_of_what_a_link_leads_to(led_out: CaseLibrary) -> None:
    (entry,) = led_out.entries()
    assert entry.label == "link"
    assert "leads out of the folder of cases" in (entry.problem or "")


@posix
def test_a_visitor_renames_nothing_beyond_a_link(led_out: CaseLibrary) -> None:
    with pytest.raises(Refused, match="leads out of the folder"):
        led_out.rename(led_out.folder / "link.yaml", "mine")
    assert "not for visitors" in (led_out.folder.parent / "elsewhere.yaml").read_text(encoding="utf-8")


@posix
def test_a_visitor_copies_nothing_from_beyond_a_link(led_out: CaseLibrary) -> None:
    with pytest.raises(Refused, match="leads out of the folder"):
        led_out.duplicate(led_out.folder / "link.yaml")


@posix
def test_the_owner_follows_a_link_of_his_own(led_out: CaseLibrary) -> None:
    (entry,) = CaseLibrary(led_out.folder).entries()
    assert (entry.label, entry.problem) == ("not for visitors", None)
