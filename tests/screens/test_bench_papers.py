"""Papers written from the bench: next to the case, opened where there is a browser; nothing is lost on a full disk."""

from __future__ import annotations

import os

import pytest
from hobmark_tui.screens import bench_papers

from tests.sessions.cases import full

from .conftest import At


@pytest.mark.parametrize(("paper", "ending"), [(0, "report"), (1, "set-up"), (2, "set-up-whole")])
async def test_a_paper_is_written_next_to_the_case_and_its_path_said(
    bench: At, monkeypatch: pytest.MonkeyPatch, paper: int, ending: str
) -> None:
    monkeypatch.setattr(bench_papers, "has_browser", lambda: False)
    async with bench("o", *["down"] * paper, "enter", "enter") as driven:
        assert driven.path is not None
        path = driven.path.with_name(f"case-{ending}.html")
        assert driven.label("written") == f"Written: {path}"
        assert path.read_text(encoding="utf-8").startswith("<!")


async def test_an_order_sheet_is_written_for_the_part_on_the_page(bench: At, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bench_papers, "has_browser", lambda: False)
    async with bench("p") as driven:
        await driven.find("w601")
        await driven.press("o", "down", "down", "down", "enter", "enter")
        assert driven.path is not None
        assert "heat wheel" in driven.path.with_name("case-order.html").read_text(encoding="utf-8")


async def test_a_paper_is_opened_where_there_is_a_browser(bench: At, monkeypatch: pytest.MonkeyPatch) -> None:
    shown: list[str] = []
    monkeypatch.setattr(bench_papers, "has_browser", lambda: True)
    async with bench("o", "enter") as driven:
        monkeypatch.setattr(driven.app, "open_url", shown.append)
        await driven.press("enter")
        assert driven.path is not None
        assert shown == [driven.path.with_name("case-report.html").as_uri()]


async def test_a_file_that_is_there_is_not_replaced_unasked(bench: At, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bench_papers, "has_browser", lambda: False)
    async with bench() as driven:
        assert driven.path is not None
        there = driven.path.with_name("case-report.html")
        there.write_text("mine", encoding="utf-8")
        await driven.press("o", "enter", "enter", "escape")
        assert there.read_text(encoding="utf-8") == "mine"


async def test_a_paper_is_never_written_over_the_case(bench: At) -> None:
    async with bench("o", "enter") as driven:
        await driven.type("case.yaml")
        assert "does not tell what to write" in driven.label("refused")


async def test_a_folder_that_takes_no_paper_is_told_and_nothing_is_lost(bench: At) -> None:
    async with bench("6", "2", "o", "enter") as driven:
        await driven.type("no/such/folder/report.html")
        assert driven.label("written").startswith("Not written: ")
        assert "✓ is it this: pilot is out, with the gas on: no" in driven.text()


async def test_a_paper_on_a_full_disk_is_told_and_none_is_left_by_halves(
    bench: At, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with bench("o", "enter") as driven:
        with monkeypatch.context() as patched:
            patched.setattr(os, "fsync", full)
            await driven.press("enter")
        assert "the disk is full." in driven.label("written")
        assert driven.path is not None
        assert [each.name for each in driven.path.parent.glob("*.html*")] == []


async def test_a_measure_on_a_full_disk_is_told_and_stays_until_it_can_be_kept(
    bench: At, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with bench("p") as driven:
        await driven.find("w601")
        with monkeypatch.context() as patched:
            patched.setattr(os, "fsync", full)
            await driven.press("1", "enter")
            assert driven.label("trouble").startswith("Not kept on disk: ")
            assert "pilot port on the range: absent" in " ".join(driven.numbered()).replace("\N{NO-BREAK SPACE}", " ")
        await driven.press("q", "q", "y")
        assert driven.file()["measures"] == [{"kind": "thermostat", "measure": "pilot_port", "value": "absent"}]
