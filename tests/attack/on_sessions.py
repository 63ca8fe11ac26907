"""Sessions killed, out of disk, or with somebody else's hand in their file: what was answered is never lost."""

from __future__ import annotations

import random
from pathlib import Path

from hobmark.case import read_case
from hobmark.files import PART
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.schema.observations import Observation
from hobmark_tui.sessions import own_file
from hobmark_tui.sessions.session import CaseSession

from tests.attack.attacks import must
from tests.commands.small_base import write_small_base
from tests.commands.terminal import warmed
from tests.sessions.cases import full
from tests.test_killed_sessions import NAME, after, changed_until_killed, changes, kept, killed, legs

LAST = Observation.model_validate({"feature": "legs", "is": "recess", "note": "the last word"})


def _folder(above: Path, seed: int, *names: str) -> Path:
    folder = above / f"{seed}"
    for name in ("", *names):
        (folder / name).mkdir()
    return folder


class KilledAtPrompts:
    """A session of questions, killed around an answer: the case lacks at most that one."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.small = folder, write_small_base(folder)
        (folder / "cache").mkdir()
        self.cache, self.base = warmed(folder / "cache", self.small), read_base([self.small])

    def __call__(self, seed: int) -> None:
        found = killed(self.cache, self.small, self.base, _folder(self.folder, seed), seed)
        others = found.before.without_feature("legs").observations
        must(found.after.without_feature("legs").observations == others, "another answer is gone")
        must(found.after.observations == found.before.observations or len(legs(found.after)) == 1, "half an answer")
        must(all(PART.fullmatch(name) or name == f".{NAME}.lock" for name in found.litter), f"left {found.litter}")


class KilledInChanges:
    """Changes as fast as they come, killed amidst them: the case is the one before or after, and opens again."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.base = folder, read_base([write_small_base(folder)])

    def __call__(self, seed: int) -> None:
        folder = _folder(self.folder, seed, "killed", "whole")
        count = changed_until_killed(folder / "killed", seed)
        must(kept(folder / "killed", self.base) in after(folder / "whole", seed, count), "neither before nor after")
        with CaseSession.open(folder / "killed" / NAME, self.base) as session:
            must(session.trouble is None, session.trouble)


class FullDisk:
    """A disk that fills up and empties again: what the session has and what it says of the disk are true."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.base = folder, read_base([write_small_base(folder)])
        self.whole = own_file.write_atomically

    def __call__(self, seed: int) -> None:
        draw, folder = random.Random(seed), _folder(self.folder, seed)
        try:
            with CaseSession.begin(folder) as session:
                session.keep()
                for _, change in zip(range(12), changes(seed), strict=False):
                    own_file.write_atomically = full if draw.random() < 0.5 else self.whole  # type: ignore[assignment]
                    change(session)
                    on_disk = read_case(folder / NAME, self.base).case
                    must(on_disk == session.case or session.unkept, "not on disk, and not said")
                own_file.write_atomically = self.whole
                session.keep()
                must(read_case(folder / NAME, self.base).case == session.case, "not kept once there was room")
        finally:
            own_file.write_atomically = self.whole


class ForeignEdits:
    """Somebody else saves, moves or takes the file while a session has it: both hands' work stands afterwards."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.base = folder, read_base([write_small_base(folder)])

    def __call__(self, seed: int) -> None:
        draw, folder = random.Random(seed), _folder(self.folder, seed)
        theirs: set[str] = set()
        with CaseSession.begin(folder) as session:
            session.keep()
            for place, change in zip(range(12), changes(seed), strict=False):
                if draw.random() < 0.3 and session.path.exists():
                    self._struck(session.path, draw, place, theirs)
                change(session)
            session.add(LAST)  # a file that was taken away is made again with the next answer
            must(not session.unkept, session.trouble)
            must(read_case(session.path, self.base).case == session.case, "the session's own is not on disk")
        texts = {path.read_text(encoding="utf-8") for path in folder.rglob("*.yaml") if not path.name.startswith(".")}
        must(theirs <= texts, f"written over what somebody else saved: {sorted(theirs - texts)[:1]}")

    def _struck(self, path: Path, draw: random.Random, place: int, theirs: set[str]) -> None:
        """Save something else in the file's place, move it, or take it away; `theirs` is what must stand afterwards."""
        here = path.read_text(encoding="utf-8")
        match draw.randrange(3):
            case 0:
                theirs.discard(here)
                theirs.add(f"# theirs {place}\n{here}")
                other = path.with_name(".theirs")
                other.write_text(f"# theirs {place}\n{here}", encoding="utf-8")
                other.replace(path)
            case 1:
                theirs.add(here)
                path.replace(path.with_name(f"moved-{place}.yaml"))
            case _:
                theirs.discard(here)
                path.unlink()
