"""The case of a session of questions: one CaseSession, and the looks that were passed over."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from hobmark.case import Case
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Situation

from hobmark_tui.commands.resuming import looks_words
from hobmark_tui.commands.terminal import Screen
from hobmark_tui.sessions.session import CaseSession


@dataclass
class Keeping:
    """A case, the file it is kept in, and what was passed over."""

    named: Path
    """The case to go on with, or one that is still to be made."""
    screen: Screen
    session: CaseSession = field(init=False)
    passed: set[str] = field(default_factory=set)
    acts: list[str | None] = field(default_factory=list)
    """What is taken back, last first: a look that was passed over, or None for a change of the case."""

    def open(self, base: KnowledgeBase, situation: Situation | None) -> None:
        """Open the case, or begin one; raise Refused where it cannot be read, is open elsewhere, or cannot be made."""
        if self.named.exists():
            self.session = CaseSession.open(self.named, base)
            self.screen.tell(f"Going on with {self.path} ({looks_words(len(self.case.answered()))}).")
        else:
            self.session = CaseSession.begin(self.named.parent, situation=situation or Situation.SALE, base=base)
        if self.session.notice is not None:
            self.screen.tell(self.session.notice)
        if self.session.trouble is not None:
            self.screen.tell(self.session.trouble)
        else:
            self.screen.tell(f"Each answer is kept in {self.path}; stop when you like, and go on with it later.")

    @property
    def path(self) -> Path:
        """The file it is kept in."""
        return self.session.path

    @property
    def case(self) -> Case:
        """The case as it stands."""
        return self.session.case

    def add(self, seen: Observation) -> None:
        """One more observation."""
        before = self.case
        self.session.add(seen)
        if self.case is not before:
            self.acts.append(None)
        self.tell()

    def pass_over(self, look: str) -> None:
        """Do not offer a look again."""
        self.passed.add(look)
        self.acts.append(look)

    @property
    def with_passed(self) -> Case:
        """The case as if the looks passed over could not be had."""
        unseen = [
            Observation.model_validate({"feature": feature, "unseen": True})
            for feature in sorted(self.passed - self.case.answered())
        ]
        return self.case.model_copy(update={"observations": (*self.case.observations, *unseen)})

    def take_back(self) -> Observation | str | None:
        """Undo the last answer or pass and return it, a pass as the look's id; None where there is nothing to undo."""
        last = self.acts.pop() if self.acts else None
        if last is not None:
            self.passed.discard(last)
            return last
        if not self.session.can_undo:
            return None
        gone = self.case.observations[-1]
        self.session.undo()
        self.tell()
        return gone

    def tell(self) -> None:
        """Say what the last change came to, where it is not simply on disk."""
        if self.session.notice is not None:
            self.screen.tell(self.session.notice)
        if self.session.trouble is not None:
            self.screen.tell(f"{self.session.trouble} It is not kept yet; the next answer tries again.")

    def close(self) -> None:
        """Let the case go; raise Refused where an answer could not be kept."""
        self.session.close()
        if self.session.unkept and self.session.refused is not None:
            raise self.session.refused
