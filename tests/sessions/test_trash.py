"""The trash of one sitting: what is brought back next, and that each step says what it has done."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.case import Case, write_case
from hobmark.problems import Refused
from hobmark_tui.sessions.library import CaseLibrary
from hobmark_tui.sessions.locking import CaseLock
from hobmark_tui.sessions.trash import NOTHING_DELETED, Trash

from .cases import files


@pytest.fixture
def trash(tmp_path: Path) -> Trash:
    for name in ("green", "ivory"):
        write_case(tmp_path / f"{name}.yaml", Case(hobmark="1", label=f"{name} range"))
    return Trash(CaseLibrary(tmp_path))


def delete(trash: Trash, name: str) -> str:
    return trash.delete(trash.library.folder / f"{name}.yaml", f"{name} range").says


def test_a_delete_names_what_u_brings_back(trash: Trash) -> None:
    assert delete(trash, "green") == 'Moved to the trash folder: "green range". u brings it back.'


def test_the_last_comes_back_first_and_the_one_before_is_named(trash: Trash) -> None:
    delete(trash, "green")
    delete(trash, "ivory")
    done = trash.restore_last()
    assert done.says == 'Brought back: "ivory range". u brings back "green range".'
    assert done.path == trash.library.folder / "ivory.yaml"


def test_a_delete_that_is_refused_leaves_nothing_to_bring_back(trash: Trash) -> None:
    trash.library.trash.write_text("a file", encoding="utf-8")
    with pytest.raises(Refused):
        delete(trash, "green")
    assert trash.is_empty


def test_what_cannot_be_brought_back_now_can_be_later(trash: Trash) -> None:
    delete(trash, "green")
    lock = CaseLock.take(trash.library.trash / "green.yaml")
    with pytest.raises(Refused):
        trash.restore_last()
    lock.release()
    assert trash.restore_last().path == trash.library.folder / "green.yaml"


def test_what_somebody_took_out_of_the_folder_bars_the_way_no_longer(trash: Trash) -> None:
    delete(trash, "green")
    delete(trash, "ivory")
    (trash.library.trash / "ivory.yaml").unlink()
    with pytest.raises(Refused):
        trash.restore_last()
    assert trash.restore_last().path == trash.library.folder / "green.yaml"


def test_once_more_than_was_deleted_says_so(trash: Trash) -> None:
    assert trash.restore_last().says == NOTHING_DELETED
    assert "green.yaml" in files(trash.library.folder)
