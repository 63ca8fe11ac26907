"""The case of a session: read at its beginning, on disk after every answer and not before the first, and taken back."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path

from hobmark.case import Case, case_text, read_case, write_case
from hobmark.files import read_text, refusal
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Situation
from hobmark.problems import Refused

from hobmark_tui.commands.resuming import looks_words, new_case_path
from hobmark_tui.commands.terminal import Screen


@dataclass
class Keeping:
    """A case, the file it is kept in, and what was passed over."""

    path: Path
    screen: Screen
    case: Case = field(init=False)
    unkept: bool = False
    """Whether something was said that is not on disk."""
    is_new: bool = False
    """Whether the file is still to be made."""
    passed: set[str] = field(default_factory=set)
    on_disk: str | None = None
    """The file as this session last read or wrote it."""
    acts: list[Case | str] = field(default_factory=list)
    """What is taken back, last first: the case before an answer, or a look that was passed over."""

    def open(self, base: KnowledgeBase, situation: Situation | None) -> None:
        """Read the case, or begin one; raise Refused where it cannot be read, or its folder not be written."""
        if self.path.exists():
            self.on_disk = read_text(self.path)
            self.case = read_case(self.path, base).case
            self.screen.tell(f"Going on with {self.path} ({looks_words(len(self.case.answered()))}).")
            if any(line.lstrip().startswith("#") for line in read_text(self.path).splitlines()):
                self.screen.tell("The first answer writes the file anew: its comments will not be kept.")
        else:
            if not os.access(self.path.parent, os.W_OK | os.X_OK):
                raise refusal(self.path, "access is not permitted.", "Ask the owner for leave, or go to another place.")
            self.case, self.is_new = Case(hobmark="1", label="a range", situation=situation or Situation.SALE), True
        self.screen.tell(f"Each answer is kept in {self.path}; stop when you like, and go on with it later.")

    def add(self, seen: Observation) -> None:
        """One more observation."""
        self.acts.append(self.case)
        self.keep(self.case.with_observation(seen))

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
        if not self.acts and not self.case.observations:
            return None
        last = self.acts.pop() if self.acts else None
        if isinstance(last, str):
            self.passed.discard(last)
            return last
        gone = self.case.observations[-1]
        self.keep(last or self.case.model_copy(update={"observations": self.case.observations[:-1]}))
        return gone

    def keep(self, case: Case) -> None:
        """Make this the case, on disk too; where the disk refuses, say so and try again with the next answer."""
        self.case, self.unkept = case, True
        try:
            self.write()
        except Refused as refused:
            self.screen.tell(f"{refused} It is not kept yet; the next answer tries again.")

    def write(self) -> None:
        """The case on disk, never over what somebody else has begun or changed meanwhile; raise Refused."""
        if self.is_new and (self.path.exists() or self.path.is_symlink()):
            taken, self.path = self.path, new_case_path(self.path.parent)
            self.screen.tell(f"{taken.name} was begun by another session; this one is kept in {self.path}.")
        elif not self.is_new and self.path.exists() and read_text(self.path) != self.on_disk:
            changed, self.path = self.path, new_case_path(self.path.parent)
            self.screen.tell(f"{changed.name} was changed by somebody else; this session is kept in {self.path}.")
        write_case(self.path, self.case)
        self.on_disk = case_text(self.case)
        self.unkept = self.is_new = False
