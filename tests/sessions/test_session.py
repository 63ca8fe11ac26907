"""One open case: every change on disk at once, undone and redone, and nobody else's file written over."""

from __future__ import annotations

import os
import threading
from pathlib import Path

import pytest
from hobmark.case import Claims
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_entries import JetRecord
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark.knowledge.vocabulary import Gas, MeasuredOn, Situation
from hobmark_tui.sessions.session import CaseSession

from .cases import LEGS, SHELF, SKIRT, UREA, kept, looks, seen

posix = pytest.mark.skipif(os.name != "posix", reason="links and modes as POSIX has them")


def test_a_case_is_opened_as_it_stands(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        assert (session.path, session.case, session.trouble, session.notice) == (path, kept(path), None, None)


def test_opening_and_closing_a_case_leaves_its_folder_as_it_was(path: Path, base: KnowledgeBase) -> None:
    before = path.read_bytes()
    CaseSession.open(path, base).close()
    assert [each.name for each in path.parent.iterdir()] == [path.name]
    assert path.read_bytes() == before


def test_an_observation_is_on_disk_at_once(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.add(UREA)
        assert looks(kept(path)) == [("base", ("legs",)), ("dial_material", ("urea",))]


def test_an_earlier_observation_of_the_feature_gives_way(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.add(SKIRT)
        assert looks(kept(path)) == [("base", ("skirt",))]


def test_a_measure_is_on_disk_at_once_and_an_earlier_one_of_the_same_thing_gives_way(path: Path) -> None:
    with CaseSession.begin(path.parent) as session:
        for value in ("20 mm", "21 mm"):
            session.measure(MeasureTaken(kind="top_burner", measure="seat_depth", value=value))
        assert "measures:\n  - {kind: top_burner, measure: seat_depth, value: 21 mm}\n" in session.path.read_text()


def test_measures_on_the_range_and_on_the_part_stand_beside_each_other(path: Path) -> None:
    with CaseSession.begin(path.parent) as session:
        for on in MeasuredOn:
            session.measure(MeasureTaken(kind="top_burner", measure="seat_depth", value="20 mm", on=on))
        assert session.path.read_text().count("seat_depth") == len(MeasuredOn)


def test_a_number_that_was_read_is_on_disk_at_once(path: Path) -> None:
    with CaseSession.begin(path.parent) as session:
        session.read_number(NumberRead(kind="valve", number="V-3C"))
        assert "numbers:\n  - {kind: valve, number: V-3C}\n" in session.path.read_text()


def test_a_fact_of_the_gas_is_on_disk_at_once(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.record(BenchRecord(wanted=Gas.BOTTLED))
        assert kept(path).bench.wanted is Gas.BOTTLED


def test_a_fact_of_the_gas_is_undone_and_redone(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.record(BenchRecord(wanted=Gas.BOTTLED))
        session.undo()
        assert kept(path).bench == BenchRecord()
        session.redo()
        assert kept(path).bench.wanted is Gas.BOTTLED


def test_a_record_that_says_nothing_new_is_no_change_to_undo(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.add(UREA)
        session.record(session.case.bench)
        session.undo()
        assert looks(kept(path)) == [("base", ("legs",))]


def test_a_record_with_a_drill_that_the_base_has_not_is_not_taken_down(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.record(BenchRecord(jets=(JetRecord(place=JetPlace.OVEN, found="999"),)))
        assert session.notice is not None
        assert session.notice.startswith("Not taken down: '999' is no drill and no length.")
        assert kept(path).bench == BenchRecord()


def test_a_record_outlives_the_session(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.record(BenchRecord(tag="left rear capped"))
    with CaseSession.open(path, base) as again:
        assert again.case.bench.tag == "left rear capped"


def test_a_number_of_a_part_that_the_base_has_not_is_not_taken_down(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.read_number(NumberRead(kind="valve", number="V-3C"))
        assert session.notice is not None
        assert kept(path).numbers == ()


def test_words_found_on_a_part_gather(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        for serial in ("H 1", "H 2"):
            session.add(Observation.model_validate({"serial": serial, "found_on": "body"}))
        assert [each.serial for each in kept(path).observations] == [None, "H 1", "H 2"]


def test_one_observation_is_taken_away(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.add(UREA)
        session.remove(0)
        assert looks(kept(path)) == [("dial_material", ("urea",))]


def test_one_observation_is_put_in_the_place_of_another(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.add(UREA)
        session.replace(0, SHELF)
        assert looks(kept(path)) == [("high_shelf", ("fixed",)), ("dial_material", ("urea",))]


def test_what_is_put_in_a_place_makes_an_earlier_one_of_its_feature_give_way(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.add(UREA)
        session.replace(1, SKIRT)
        assert looks(kept(path)) == [("base", ("skirt",))]


@pytest.mark.parametrize("index", [1, -1, 99])
def test_an_observation_that_is_no_longer_there_is_told_and_changes_nothing(
    index: int, path: Path, base: KnowledgeBase
) -> None:
    with CaseSession.open(path, base) as session:
        before = session.case
        session.remove(index)
        assert session.notice == "That answer is no longer there."
        assert (session.case, session.can_redo) == (before, False)


def test_label_situation_claims_and_note_are_on_disk_at_once(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.retitle("  blue\n range ")
        session.set_situation(Situation.LISTING)
        session.set_claims(Claims(variant="finch_works/finch_plain", made="1940"))
        session.set_note("by the door\nof the barn ")
        after = kept(path)
    assert (after.label, after.situation, after.claims.made, after.note) == (
        "blue range",
        "listing",
        "1940",
        "by the door\nof the barn",
    )


@pytest.mark.parametrize("blank", [None, "", " \n"])
def test_a_blank_note_takes_the_note_away(blank: str | None, path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.set_note("by the door")
        session.set_note(blank)
        assert kept(path).note is None


@pytest.mark.parametrize(
    ("label", "said"),
    [
        ("", "Not taken down: label is too short. Write at least 1 characters."),
        ("x" * 4001, "Not taken down: label is too long. Write at most 4000 characters."),
        ("\x07", "Not taken down: the character \\x07 in '\\x07' cannot stand in a text. Delete it, then save again."),
    ],
)  # fmt: skip
def test_a_change_that_no_file_could_hold_is_not_made_and_is_told(
    label: str, said: str, path: Path, base: KnowledgeBase
) -> None:
    with CaseSession.open(path, base) as session:
        session.retitle(label)
        assert (session.notice, session.trouble, session.case.label) == (said, None, "green range")
        session.add(UREA)
        assert session.notice is None
        assert kept(path) == session.case


def test_a_claim_that_names_no_variant_of_the_base_is_not_taken_down(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.set_claims(Claims(variant="finch_plane"))
        assert session.notice == "Not taken down: unknown variant 'finch_plane'. Did you mean 'finch_plain'?"
        assert kept(path) == session.case


def test_a_change_that_changes_nothing_is_nothing_to_undo(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        before = path.read_bytes()
        session.add(LEGS)
        session.undo()
        assert looks(session.case) == []
        session.redo()
        assert kept(path) == session.case
        assert path.read_bytes() == before


def test_undo_takes_the_last_change_back_on_disk_too(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        first = session.case
        session.add(SKIRT)
        assert session.undo() == first
        assert kept(path) == first


def test_undo_goes_on_beyond_this_sessions_changes(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.add(UREA)
    with CaseSession.open(path, base) as session:
        session.undo()
        session.undo()
        assert looks(kept(path)) == []
        assert (session.can_undo, session.undo()) == (False, None)


def test_redo_brings_back_what_was_undone_beyond_this_sessions_changes(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        before = session.case
        session.undo()
        assert session.redo() == before
        assert kept(path) == before
        assert (session.can_redo, session.redo()) == (False, None)


def test_a_change_after_an_undo_leaves_nothing_to_redo(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.undo()
        session.add(UREA)
        assert not session.can_redo


def test_undo_takes_a_label_back(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.retitle("blue range")
        session.undo()
        assert kept(path).label == "green range"


def test_changes_from_many_threads_are_all_kept(path: Path, base: KnowledgeBase) -> None:
    serials = [Observation.model_validate({"serial": f"H {number}", "found_on": "body"}) for number in range(20)]
    with CaseSession.open(path, base) as session:
        threads = [threading.Thread(target=session.add, args=(serial,)) for serial in serials]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert {each.serial for each in kept(path).observations} == {None, *(each.serial for each in serials)}


def test_a_note_on_an_answer_takes_its_place(path: Path, base: KnowledgeBase) -> None:
    with CaseSession.open(path, base) as session:
        session.replace(0, seen("base", "legs", note="rusty"))
        assert [each.note for each in kept(path).observations] == ["rusty"]
