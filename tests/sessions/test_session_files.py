"""Whose file a session writes: one it begins, one it was given, and never one that somebody else changed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hobmark.files import write_atomically
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Situation
from hobmark.problems import Refused
from hobmark_tui.sessions.session import CaseSession

from .cases import LEGS, UREA, files, kept, looks
from .test_session import posix


def test_a_begun_case_has_no_file_until_the_first_change(tmp_path: Path) -> None:
    with CaseSession.begin(tmp_path, "green range", Situation.BENCH) as session:
        assert list(tmp_path.iterdir()) == []
        session.add(UREA)
        assert files(tmp_path) == [session.path.name]
        assert (kept(session.path).label, kept(session.path).situation) == ("green range", "bench")


def test_a_begun_case_that_is_closed_unchanged_leaves_nothing(tmp_path: Path) -> None:
    CaseSession.begin(tmp_path).close()
    assert list(tmp_path.iterdir()) == []


def test_a_begun_case_without_a_name_is_called_a_range(tmp_path: Path) -> None:
    assert CaseSession.begin(tmp_path, " ").case.label == "a range"


def test_a_name_that_somebody_else_took_meanwhile_is_left_to_them(tmp_path: Path) -> None:
    with CaseSession.begin(tmp_path) as session:
        planned = session.path
        planned.write_text("theirs")
        session.add(UREA)
        assert planned.read_text() == "theirs"
        assert session.notice == f"{planned.name} was begun by another session; this one is kept in {session.path}."
        assert kept(session.path) == session.case


def test_two_sessions_begun_at_once_keep_a_file_each(tmp_path: Path) -> None:
    with CaseSession.begin(tmp_path) as first, CaseSession.begin(tmp_path) as second:
        first.add(UREA)
        second.add(LEGS)
        assert (looks(kept(first.path)), looks(kept(second.path))) == (looks(first.case), looks(second.case))
        assert first.path != second.path


def test_a_name_that_another_session_is_just_writing_to_is_left_to_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with CaseSession.begin(tmp_path) as first, CaseSession.begin(tmp_path) as second:

        def meanwhile(path: Path, text: str) -> None:
            monkeypatch.undo()
            second.add(LEGS)
            write_atomically(path, text)

        monkeypatch.setattr("hobmark_tui.sessions.own_file.write_atomically", meanwhile)
        first.add(UREA)
        assert second.path.name == first.path.name.replace(".yaml", "-2.yaml")
        assert (looks(kept(first.path)), looks(kept(second.path))) == (looks(first.case), looks(second.case))


def test_a_file_that_somebody_else_changed_is_left_to_them(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        theirs = path.read_text().replace("legs", "skirt")
        path.write_text(theirs)
        session.add(UREA)
        assert path.read_text() == theirs
        assert session.notice == f"green.yaml was changed by somebody else; this session is kept in {session.path}."
        assert looks(kept(session.path)) == [("base", ("legs",)), ("dial_material", ("urea",))]


def test_a_file_that_was_left_to_somebody_else_can_be_opened_again(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        path.write_text(path.read_text() + "note: theirs\n")
        session.add(UREA)
        with CaseSession.open(path, base) as theirs:
            assert theirs.case.note == "theirs"


def test_a_file_that_was_deleted_is_written_again(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        path.unlink()
        session.add(UREA)
        assert kept(path) == session.case


COMMENTED = """# my own words
hobmark: 1
label: green range  # of my aunt
observations:
  # seen by daylight
  - {feature: base, is: legs}  # rust there
"""


def test_comments_stay_where_they_were_when_a_look_is_answered(path: Path, base: KnowledgeBase) -> None:
    path.write_text(COMMENTED)
    with CaseSession.open(path, base) as session:
        session.add(UREA)
        assert session.notice is None
        assert path.read_text().startswith(COMMENTED.replace("observations", "situation: sale\nobservations"))
        assert kept(path) == session.case


def test_the_comment_of_an_answer_that_is_taken_back_stands_at_the_head_and_returns_with_it(
    path: Path, base: KnowledgeBase
) -> None:
    path.write_text(COMMENTED)
    with CaseSession.open(path, base) as session:
        session.remove(0)
        assert path.read_text().startswith("# rust there\n")
        session.undo()
        assert "is: legs}  # rust there" in path.read_text()


def test_a_case_that_cannot_be_read_is_refused_and_not_locked(path: Path, base: KnowledgeBase) -> None:
    path.write_text("hobmark: 1\nobservations: [{feature: base, is: lges}]\n")
    with pytest.raises(Refused, match=r"green\.yaml:2:36: unknown value 'lges'"):
        CaseSession.open(path, base)
    assert [each.name for each in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize("name", ["absent.yaml", "absent/green.yaml", ".", "nul\0.yaml"])
def test_what_is_no_file_is_refused_and_nothing_is_made(name: str, path: Path, base: KnowledgeBase) -> None:
    with pytest.raises(Refused):
        CaseSession.open(path.parent / name, base)
    assert [each.name for each in path.parent.iterdir()] == [path.name]


@posix
def test_a_case_reached_by_a_link_is_written_where_it_leads(path: Path, base: KnowledgeBase, tmp_path: Path) -> None:
    (tmp_path / "link.yaml").symlink_to(path)
    with CaseSession.open(tmp_path / "link.yaml", base) as session:
        session.add(UREA)
        assert (tmp_path / "link.yaml").is_symlink()
        assert kept(path) == session.case


@pytest.mark.parametrize(
    "name", ["green range.yaml", "Küche №1 🍳.yaml", "a'b\"c$d&e.yaml", "-n.yaml", "e\u0301.yaml", "\udcff.yaml"]
)
def test_a_case_of_any_name_is_opened_changed_and_let_go(name: str, path: Path, base: KnowledgeBase) -> None:
    named = path.rename(path.with_name(name))
    with CaseSession.open(named, base) as session:
        session.add(UREA)
        assert kept(named) == session.case
    assert [each.name for each in named.parent.iterdir()] == [name]


def test_opening_a_case_sweeps_up_what_a_killed_program_left_beside_it(path: Path, base: KnowledgeBase) -> None:
    part = path.with_name(".hobmark-0123456789abcdef.part")
    part.write_text("half")
    os.utime(part, (0, 0))
    with CaseSession.open(path, base):
        assert not part.exists()


def test_what_the_base_does_not_know_is_told_and_outlives_every_answer(path: Path, base: KnowledgeBase) -> None:
    path.write_text("hobmark: 1\nobservations: [{feature: of_another_base, is: so}]\n")
    with CaseSession.open(path, base) as session:
        assert session.notice is not None
        assert "does not know it: feature of_another_base. It stays in the file." in session.notice
        session.add(Observation.model_validate({"feature": "base", "is": "legs"}))
        session.undo()
        session.redo()
    assert "- {feature: of_another_base, is: so}" in path.read_text()
    assert "- {feature: base, is: legs}" in path.read_text()
