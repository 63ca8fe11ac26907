"""Whatever is changed, undone and redone: the file is the case, and undo and redo are each other's way back."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

from hobmark.case import Case, Claims, write_case
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.vocabulary import Gas, Situation
from hobmark_tui.sessions.session import CaseSession
from hypothesis import given, settings
from hypothesis import strategies as st

from ..test_case import cases, lines, sighting, words
from .cases import kept, small_base

Act = Callable[[CaseSession], object]

sights = sighting.map(Observation.model_validate)
places = st.integers(0, 6)
acts: st.SearchStrategy[Act] = st.one_of(
    sights.map(lambda seen: lambda session: session.add(seen)),
    places.map(lambda place: lambda session: session.remove(place)),
    st.tuples(places, sights).map(lambda both: lambda session: session.replace(*both)),
    words.map(lambda label: lambda session: session.retitle(label)),
    st.sampled_from(list(Situation)).map(lambda where: lambda session: session.set_situation(where)),
    st.sampled_from([Claims(), Claims(made="1940"), Claims(maker="finch_works")]).map(
        lambda claims: lambda session: session.set_claims(claims)
    ),
    lines.map(lambda text: lambda session: session.set_note(text)),
    st.sampled_from([BenchRecord(), BenchRecord(wanted=Gas.BOTTLED), BenchRecord(altitude="5000 ft", tag="no")]).map(
        lambda bench: lambda session: session.record(bench)
    ),
    st.just(lambda session: session.undo()),
    st.just(lambda session: session.redo()),
)
several = st.lists(acts, max_size=12)


def opened(folder: str, case: Case) -> CaseSession:
    path = Path(folder) / "case.yaml"
    write_case(path, case)
    return CaseSession.open(path, small_base())


@settings(max_examples=40)
@given(cases, several)
def test_after_every_change_the_file_reads_back_as_the_case(case: Case, done: list[Act]) -> None:
    with tempfile.TemporaryDirectory() as folder, opened(folder, case) as session:
        for act in done:
            act(session)
            assert (session.trouble, kept(session.path)) == (None, session.case)


@settings(max_examples=40)
@given(cases, several)
def test_undo_then_redo_changes_nothing(case: Case, done: list[Act]) -> None:
    with tempfile.TemporaryDirectory() as folder, opened(folder, case) as session:
        for act in done:
            act(session)
        before = session.case
        if session.undo() is not None:
            session.redo()
        assert session.case == before == kept(session.path)


@settings(max_examples=40)
@given(cases, several)
def test_redo_then_undo_changes_nothing(case: Case, done: list[Act]) -> None:
    with tempfile.TemporaryDirectory() as folder, opened(folder, case) as session:
        for act in done:
            act(session)
        session.undo()
        before = session.case
        if session.redo() is not None:
            session.undo()
        assert session.case == before == kept(session.path)


@settings(max_examples=40)
@given(cases, several)
def test_undo_through_everything_ends_at_no_observation_and_redo_at_the_whole(case: Case, done: list[Act]) -> None:
    with tempfile.TemporaryDirectory() as folder, opened(folder, case) as session:
        for act in done:
            act(session)
        while session.can_redo:
            session.redo()
        whole = session.case
        while session.can_undo:
            session.undo()
        assert kept(session.path).observations == ()
        while session.can_redo:
            session.redo()
        assert kept(session.path) == whole
