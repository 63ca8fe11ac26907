"""The folder of a person's cases: what is listed, and what becomes of a case that is copied, renamed or deleted."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from hobmark.case import Case, write_case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.problems import Refused
from hobmark_tui.sessions.library import CaseLibrary, default_folder
from hobmark_tui.sessions.locking import InUse, lock_path
from hobmark_tui.sessions.session import CaseSession

from .cases import LEGS, UREA, failing, files, full, kept

posix = pytest.mark.skipif(os.name != "posix", reason="links as POSIX has them")


@pytest.fixture
def library(tmp_path: Path) -> CaseLibrary:
    (tmp_path / "cases").mkdir()
    return CaseLibrary(tmp_path / "cases")


def case_in(library: CaseLibrary, name: str, label: str = "green range", *, age: int = 0) -> Path:
    path = library.folder / name
    write_case(path, Case(hobmark="1", label=label, observations=(LEGS, UREA)))
    os.utime(path, (1_700_000_000 - age, 1_700_000_000 - age))
    return path


def test_a_case_is_listed_with_what_stands_in_it(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    (entry,) = library.entries()
    assert (entry.path, entry.label, entry.situation, entry.looks, entry.problem) == (
        path,
        "green range",
        "sale",
        2,
        None,
    )
    assert (entry.touched.timestamp(), entry.touched.utcoffset() is None) == (1_700_000_000, False)


def test_the_case_touched_last_is_listed_first(library: CaseLibrary) -> None:
    for name, age in (("b.yaml", 5), ("a.yaml", 9), ("c.yaml", 1)):
        case_in(library, name, age=age)
    assert [entry.path.name for entry in library.entries()] == ["c.yaml", "b.yaml", "a.yaml"]


@pytest.mark.parametrize("text", ["hobmark: 2\n", "", "\0", "a: [", "hobmark: 1\nobservations: [{feature: base}]\n"])
def test_a_file_that_cannot_be_read_is_listed_with_its_problem(text: str, library: CaseLibrary) -> None:
    (library.folder / "bad one.yaml").write_text(text)
    (entry,) = library.entries()
    assert (entry.label, entry.looks) == ("bad one", 0)
    assert entry.problem is not None
    assert entry.problem.startswith(f"{library.folder}/bad one.yaml:")


@posix
def test_a_link_that_leads_nowhere_is_listed_with_its_problem(library: CaseLibrary) -> None:
    (library.folder / "a.yaml").symlink_to("absent")
    (entry,) = library.entries()
    assert "there is no such file or folder" in (entry.problem or "")


@pytest.mark.parametrize("name", ["a.yaml", "absent.yaml"])
def test_a_file_of_the_folder_is_listed_by_whatever_way_it_was_reached(name: str, library: CaseLibrary) -> None:
    assert library.listed_as(library.folder / ".." / "cases" / name) == library.folder / name


@pytest.mark.parametrize("name", ["../a.yaml", ".a.yaml", "a.txt", "trash/a.yaml"])
def test_a_file_that_no_list_shows_is_listed_as_nothing(name: str, library: CaseLibrary) -> None:
    assert library.listed_as(library.folder / name) is None


@pytest.mark.parametrize("name", [".hidden.yaml", "notes.txt", ".a.yaml.lock", "a.yaml~"])
def test_what_is_no_case_is_not_listed(name: str, library: CaseLibrary) -> None:
    (library.folder / name).write_text("x")
    assert library.entries() == []


def test_a_folder_by_the_name_of_a_case_is_not_listed(library: CaseLibrary) -> None:
    (library.folder / "a.yaml").mkdir()
    assert library.entries() == []


def test_a_case_that_changed_is_listed_as_it_is_now(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    library.entries()
    write_case(path, Case(hobmark="1", label="blue range"))
    assert [entry.label for entry in library.entries()] == ["blue range"]


def test_a_case_that_stayed_as_it_was_is_not_read_again(library: CaseLibrary, monkeypatch: pytest.MonkeyPatch) -> None:
    case_in(library, "a.yaml")
    first = library.entries()
    monkeypatch.setattr("hobmark_tui.sessions.library.read_marked", failing(errno.EIO))
    assert library.entries() == first


def test_listing_sweeps_up_what_a_killed_program_left(library: CaseLibrary) -> None:
    part = library.folder / ".hobmark-0123456789abcdef.part"
    part.write_text("half")
    os.utime(part, (0, 0))
    library.entries()
    assert not part.exists()


@pytest.mark.parametrize(
    ("name", "said"), [("absent", "there is no such file or folder"), ("file", "this is a file, not a folder")]
)
def test_a_folder_that_is_none_is_refused_with_what_to_do(name: str, said: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(Refused, match=said) as caught:
        CaseLibrary(tmp_path / name).entries()
    assert caught.value.problems[0].remedy


def test_a_folder_that_cannot_be_listed_is_refused(library: CaseLibrary, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "iterdir", failing(errno.EACCES))
    with pytest.raises(Refused, match="access is not permitted"):
        library.entries()


def test_a_new_case_of_a_name_is_kept_at_once(library: CaseLibrary) -> None:
    with library.new("green range") as session:
        assert [entry.label for entry in library.entries()] == ["green range"]
        assert not session.can_undo


def test_a_new_case_without_a_name_is_made_with_its_first_change(library: CaseLibrary) -> None:
    with library.new() as session:
        assert library.entries() == []
        session.add(UREA)
        assert [entry.looks for entry in library.entries()] == [1]


def test_a_new_case_in_a_folder_that_takes_none_is_refused(
    library: CaseLibrary, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(Refused, match="access is not permitted"):
        library.new("green range")


def test_a_new_case_the_disk_has_no_room_for_is_refused_and_leaves_nothing(
    library: CaseLibrary, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Refused, match="the disk is full"):
        library.new("green range")
    assert list(library.folder.iterdir()) == []


@pytest.mark.parametrize("label", ["x" * 4001, "a\x07b"])
def test_a_label_that_no_file_could_hold_is_refused(label: str, library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    with pytest.raises(Refused):
        library.rename(path, label)
    with pytest.raises(Refused):
        library.new(label)
    assert kept(path).label == "green range"


def test_a_copy_is_a_case_of_its_own_called_so(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    copy = library.duplicate(path)
    assert (kept(copy).label, kept(copy).observations) == ("green range (copy)", kept(path).observations)
    assert (kept(path).label, len(files(library.folder))) == ("green range", 2)


def test_a_copy_of_a_case_with_the_longest_label_reads(library: CaseLibrary) -> None:
    copy = library.duplicate(case_in(library, "a.yaml", "x" * 4000))
    assert kept(copy).label == "x" * 3993 + " (copy)"


def test_a_case_that_is_open_can_be_copied(library: CaseLibrary, base: KnowledgeBase) -> None:
    path = case_in(library, "a.yaml")
    with CaseSession.open(path, base):
        assert kept(library.duplicate(path)).observations == kept(path).observations


def test_a_case_that_cannot_be_read_is_not_copied(library: CaseLibrary) -> None:
    (library.folder / "a.yaml").write_text("hobmark: 2\n")
    with pytest.raises(Refused, match="unknown word '2'"):
        library.duplicate(library.folder / "a.yaml")
    assert files(library.folder) == ["a.yaml"]


def test_a_renamed_case_has_another_label_in_the_same_file(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    library.rename(path, " blue\nrange ")
    assert (kept(path).label, files(library.folder)) == ("blue range", ["a.yaml"])


def test_a_deleted_case_lies_in_the_trash_whole(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    before = path.read_bytes()
    gone = library.delete(path)
    assert (gone, gone.read_bytes()) == (library.folder / "trash" / "a.yaml", before)
    assert (library.entries(), [entry.path for entry in library.trashed()]) == ([], [gone])
    assert not lock_path(path).exists()


def test_a_case_in_the_trash_is_never_put_over_by_another_of_its_name(library: CaseLibrary) -> None:
    gone = [library.delete(case_in(library, "a.yaml", label)) for label in ("one", "two", "three")]
    assert [path.name for path in gone] == ["a.yaml", "a-2.yaml", "a-3.yaml"]
    assert [kept(path).label for path in gone] == ["one", "two", "three"]


def test_a_case_taken_out_of_the_trash_is_where_it_was(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    before = path.read_bytes()
    assert library.restore(library.delete(path)) == path
    assert (path.read_bytes(), library.trashed()) == (before, [])


def test_a_case_taken_out_of_the_trash_leaves_a_newer_one_of_its_name_alone(library: CaseLibrary) -> None:
    gone = library.delete(case_in(library, "a.yaml", "old"))
    path = case_in(library, "a.yaml", "new")
    back = library.restore(gone)
    assert (back.name, kept(back).label, kept(path).label) == ("a-2.yaml", "old", "new")


def test_a_file_that_cannot_be_read_can_still_be_deleted(library: CaseLibrary) -> None:
    (library.folder / "a.yaml").write_text("hobmark: 2\n")
    assert library.delete(library.folder / "a.yaml").read_text() == "hobmark: 2\n"


@posix
def test_a_deleted_link_still_leads_where_it_led(library: CaseLibrary, tmp_path: Path) -> None:
    write_case(tmp_path / "real.yaml", Case(hobmark="1", label="far away"))
    (library.folder / "a.yaml").symlink_to("../real.yaml")
    gone = library.delete(library.folder / "a.yaml")
    assert (kept(gone).label, kept(tmp_path / "real.yaml").label) == ("far away", "far away")
    assert kept(library.restore(gone)).label == "far away"


def test_a_renamed_case_keeps_its_comments(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    path.write_text(f"# bought in May\n{path.read_text()}")
    library.rename(path, "blue range")
    assert path.read_text().startswith("# bought in May\nhobmark: 1\nlabel: blue range\n")


def test_a_case_that_is_open_is_neither_renamed_nor_deleted(library: CaseLibrary, base: KnowledgeBase) -> None:
    path = case_in(library, "a.yaml")
    with CaseSession.open(path, base):
        with pytest.raises(InUse):
            library.rename(path, "blue range")
        with pytest.raises(InUse):
            library.delete(path)
    assert kept(path).label == "green range"


def test_a_case_that_is_gone_is_refused(library: CaseLibrary) -> None:
    with pytest.raises(Refused, match="there is no such file or folder"):
        library.delete(library.folder / "absent.yaml")
    assert list(library.folder.iterdir()) == []


def test_a_case_the_system_will_not_move_stays_where_it_is(
    library: CaseLibrary, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = case_in(library, "a.yaml")
    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(Refused, match="the disk is full"):
        library.delete(path)
    assert (files(library.folder), files(library.trash)) == (["a.yaml", "trash"], [])


def test_a_trash_that_is_a_file_is_refused(library: CaseLibrary) -> None:
    path = case_in(library, "a.yaml")
    library.trash.write_text("x")
    with pytest.raises(Refused):
        library.delete(path)
    assert path.exists()


def test_the_folder_named_by_the_person_is_used_and_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOBMARK_CASES", str(tmp_path / "mine"))
    assert default_folder() == tmp_path / "mine"
    assert CaseLibrary(default_folder()).entries() == []


def test_a_folder_named_in_a_place_that_is_not_there_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOBMARK_CASES", str(tmp_path / "mispselt" / "mine"))
    with pytest.raises(Refused, match="there is no such file or folder"):
        default_folder()


def test_a_file_named_as_the_folder_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "mine").write_text("x")
    monkeypatch.setenv("HOBMARK_CASES", str(tmp_path / "mine"))
    with pytest.raises(Refused, match="this is a file, not a folder"):
        default_folder()


def test_where_none_is_named_the_systems_place_for_a_persons_data_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("HOBMARK_CASES", raising=False)
    monkeypatch.setattr("platformdirs.user_data_path", lambda name: tmp_path / "data" / name)
    assert default_folder() == tmp_path / "data" / "hobmark" / "cases"
    assert default_folder().is_dir()


@pytest.mark.parametrize("touched", [-(10**11), 10**12])
def test_a_file_of_a_time_that_no_calendar_has_is_listed_with_the_others(library: CaseLibrary, touched: int) -> None:
    path, other = case_in(library, "a.yaml"), case_in(library, "b.yaml")
    try:
        os.utime(path, (touched, touched))
    except OSError:
        pytest.skip("this disk holds no such time")
    assert {each.path for each in library.entries()} == {path, other}


def test_a_case_that_may_not_be_looked_at_is_listed_with_the_reason(
    library: CaseLibrary, monkeypatch: pytest.MonkeyPatch
) -> None:
    case_in(library, "a.yaml")
    monkeypatch.setattr(Path, "is_dir", lambda path: failing(errno.EACCES)() if path.suffix == ".yaml" else True)
    (entry,) = library.entries()
    assert "access is not permitted" in (entry.problem or "")
