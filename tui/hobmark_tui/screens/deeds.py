"""What a key does to a case, with words for what it has done."""

from __future__ import annotations

from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation

from hobmark_tui.sessions.session import CaseSession
from hobmark_tui.views.told import ToldView, redone_view, taken_view, undone_view


def add(base: KnowledgeBase, session: CaseSession, seen: Observation) -> ToldView:
    """Keep an observation."""
    before = session.case
    session.add(seen)
    return taken_view(base, before, session.case, seen, unkept=session.unkept)


def undo(base: KnowledgeBase, session: CaseSession) -> ToldView:
    """Take back the last change."""
    before = session.case
    session.undo()
    return undone_view(base, before, session.case)


def redo(base: KnowledgeBase, session: CaseSession) -> ToldView:
    """Do again what was taken back."""
    before = session.case
    session.redo()
    return redone_view(base, before, session.case, unkept=session.unkept)
