"""Files gone wrong: cases, the files of a small base and of the shipped one, entries of the cache, and pictures."""

from __future__ import annotations

import io
import os
import pickle
import random
import resource
import shutil
import struct
from pathlib import Path

import numpy as np
from hobmark.case import Case
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Examination, compile_base
from hobmark.reports.photos import NotAPicture, plain_jpeg
from PIL import Image

from tests.attack.attacks import must
from tests.commands.small_base import write_small_base
from tests.mutations import mutated
from tests.test_hostile_files import CASE, LONGEST, Trial, examined, out_of_place, tried, used

MOST_MEMORY = 1024**3
"""Bytes that one picture may make the program take, over what it had."""


def _held(trial: Trial, folder: Path) -> None:
    must(not trial.changed, f"changed {trial.changed}")
    must(trial.refused != (), "refused without a problem")
    must(not out_of_place(trial, folder), f"out of place: {out_of_place(trial, folder)}")
    must(trial.seconds < LONGEST, f"{trial.seconds:.1f} s")


class Cases:
    """Cases gone wrong, ranked on a small base."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / "cases"
        self.folder.mkdir()
        self.compiled = compile_base(read_base([write_small_base(folder)]))
        self.path = self.folder / "case.yaml"
        self.path.write_text(CASE, encoding="utf-8")
        examined(self.compiled, self.path)

    def __call__(self, seed: int) -> None:
        data = mutated(CASE.encode(), seed)
        _held(tried(self.folder, self.path, data, lambda: examined(self.compiled, self.path)), self.folder)


class SmallBase:
    """A small base with one file gone wrong, compiled, and a case ranked on it."""

    def __init__(self, folder: Path) -> None:
        self.root = write_small_base(folder)
        self.case = self.root.parent / "case.yaml"
        self.case.write_text(CASE, encoding="utf-8")
        used(self.root, self.case)

    def __call__(self, seed: int) -> None:
        files = sorted(self.root.rglob("*.yaml"))
        path = files[seed % len(files)]
        trial = tried(self.root, path, mutated(path.read_bytes(), seed), lambda: used(self.root, self.case))
        _held(trial, self.root.parent)


class ShippedBase:
    """The shipped base without its larger maker, with one file gone wrong."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "knowledge"
        shutil.copytree(knowledge_root(), self.root, ignore=shutil.ignore_patterns("brindlemere", "cases"))
        read_base([self.root])

    def __call__(self, seed: int) -> None:
        files = sorted(self.root.rglob("*.yaml"))
        path = files[seed % len(files)]
        _held(tried(self.root, path, mutated(path.read_bytes(), seed), lambda: read_base([self.root])), self.root)


class Cache:
    """An entry of the cache that was damaged, planted, linked or laid open: what is ranked is what the files say."""

    def __init__(self, folder: Path) -> None:
        self.root, self.kept = write_small_base(folder), folder / "cache"
        os.environ["HOBMARK_CACHE"] = str(self.kept)
        self.struck = folder / "struck"
        self.right = self._ranked()
        (self.entry,) = self.kept.glob("*.base")
        self.whole = self.entry.read_bytes()

    def _ranked(self) -> np.ndarray:
        seen = Observation.model_validate({"feature": "clock", "is": "electric"})
        return Examination(load_compiled([self.root]), Case(hobmark="1", observations=(seen,))).ranking.posterior

    def __call__(self, seed: int) -> None:
        draw = random.Random(seed)
        self.entry.unlink(missing_ok=True)
        if draw.random() < 0.2:
            elsewhere = self.entry.with_name("elsewhere")
            elsewhere.write_bytes(self.whole)
            self.entry.symlink_to(elsewhere)
        elif draw.random() < 0.1:
            os.mkfifo(self.entry)
        else:
            self.entry.write_bytes(self._spoilt(draw))
            self.entry.chmod(draw.choice((0o600, 0o644, 0o666, 0o660, 0o000)))
        must(np.array_equal(self._ranked(), self.right), "another ranking")
        must(not self.struck.exists(), "what was planted in the cache was run")

    def _spoilt(self, draw: random.Random) -> bytes:
        planted = pickle.dumps(_Planted(str(self.struck)))
        data = bytearray(self.whole)
        for _ in range(draw.choice((1, 3, 100))):
            data[draw.randrange(len(data))] = draw.randrange(256)
        at = draw.randrange(len(data))
        return draw.choice(
            (bytes(data), self.whole[:at], self.whole + planted, planted, self.whole[:60] + planted, b"")
        )


class _Planted:
    """Makes a folder if it is ever unpickled."""

    def __init__(self, place: str) -> None:
        self.place = place

    def __reduce__(self) -> tuple[object, ...]:
        return os.mkdir, (self.place,)


class Pictures:
    """Pictures gone wrong: each is made plain or refused, within memory."""

    def __init__(self, folder: Path) -> None:  # noqa: ARG002 - none is written
        self.whole = []
        for kind in ("JPEG", "PNG", "WEBP"):
            out = io.BytesIO()
            Image.effect_mandelbrot((160, 120), (-2, -1.5, 1, 1.5), 50).convert("RGB").save(out, kind)
            self.whole.append(out.getvalue())
        plain_jpeg(self.whole[0])
        had = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0]) * resource.getpagesize()
        resource.setrlimit(resource.RLIMIT_AS, (had + MOST_MEMORY, resource.getrlimit(resource.RLIMIT_AS)[1]))

    def __call__(self, seed: int) -> None:
        draw = random.Random(seed)
        data = bytearray(draw.choice(self.whole))
        for _ in range(draw.choice((1, 2, 8, 40))):
            at = draw.randrange(min(len(data), draw.choice((40, 200, len(data)))))
            if draw.random() < 0.3:  # a length or a size, beyond all measure
                data[at : at + 4] = struct.pack(
                    draw.choice(("<I", ">I")), draw.choice((0, 2**14, 2**16, 2**31, 2**32 - 1))
                )
            else:
                data[at] = draw.randrange(256)
        try:
            plain, size = plain_jpeg(bytes(data[: draw.choice((len(data), draw.randrange(1, len(data))))]))
        except NotAPicture:
            return
        must(plain.startswith(b"\xff\xd8") and min(size) > 0, "no JPEG came out")
