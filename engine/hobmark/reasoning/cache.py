"""A compiled base kept on disk, keyed by the content of every file it came from, so that a start takes no second.

A stale, damaged or unreadable cache is no fault of anybody's: the base is read and compiled again, silently. So it is
where the entry is not the user's own, or others may write it: whoever writes there would say what hurts and what not.
It holds arrays and JSON, never code.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import re
import stat
import sys
import zlib
from collections.abc import Sequence
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
import pydantic
import yaml

import hobmark
from hobmark.files import SIZE_LIMIT, write_bytes_atomically
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.root import knowledge_files
from hobmark.knowledge.schema.entry import TRUSTED
from hobmark.problems import Refused
from hobmark.reasoning.cells import Cells, Group
from hobmark.reasoning.examination import Compiled, compile_base
from hobmark.reasoning.model import FeatureTable, Model
from hobmark.reasoning.rules import compile_all_rules

MOST_BYTES = 256 * 1024 * 1024
"""Largest entry that is read; two hundred makers take a tenth."""
_NO_ENTRY = (
    *(OSError, RuntimeError, ArithmeticError, LookupError, TypeError, ValueError, EOFError, BadZipFile, MemoryError),
    *(AttributeError, zlib.error),
)
"""What reading bytes that somebody else made may raise."""
_MAGIC = b"hobmark compiled base 1\n"


def cache_folder() -> Path:
    """Where compiled bases are kept: $HOBMARK_CACHE, else the user's cache folder."""
    if named := os.environ.get("HOBMARK_CACHE"):
        return Path(named)
    home = os.environ.get("XDG_CACHE_HOME")
    return (Path(home) if home else Path.home() / ".cache") / "hobmark"


def content_key(roots: Sequence[Path]) -> str:
    """A hash of the program's own code and of every knowledge file's name and bytes.

    Raises OSError for a file that cannot be read, or is none that a base may hold.
    """
    versions = (np.__version__, pydantic.VERSION, yaml.__version__, sys.version)
    digest = hashlib.sha256("\0".join(versions).encode())
    package = Path(hobmark.__file__).parent
    for path in sorted(package.rglob("*.py")):
        digest.update(_named_bytes(path, package))
    for number, root in enumerate(roots):
        for path in knowledge_files([root]):
            digest.update(b"\0%d" % number + _named_bytes(path, root))
    return digest.hexdigest()


def _named_bytes(path: Path, below: Path) -> bytes:
    if not path.is_file() or path.stat().st_size > SIZE_LIMIT:  # a pipe would be waited for
        raise OSError(f"{path} is no file of a base")
    return b"\0" + os.fsencode(path.relative_to(below)) + b"\0" + path.read_bytes()


def load_compiled(roots: Sequence[Path]) -> Compiled:
    """The compiled base of some folders, from the cache where it holds, else read, compiled and kept.

    Raises Refused for a base that cannot be read.
    """
    path: Path | None = None
    try:
        path = cache_folder() / f"{content_key(roots)}.base"
        return _restored(_own_bytes(path))
    except _NO_ENTRY:
        pass  # there is none, or it does not hold
    from hobmark.knowledge.reading import read_base  # its file models take time to build, and a warm start needs none

    compiled = compile_base(read_base(roots))
    try:
        # A file saved while the base was read may or may not be in it: such a base is not kept.
        if path is not None and path.stem == content_key(roots):
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            _forget_others(path)
            if path.is_symlink() or path.is_fifo():  # nothing is written through it, or into it
                path.unlink()
            write_bytes_atomically(path, _kept(compiled))
            path.chmod(0o600)  # whatever the mask is: what others may write is not trusted
    except (OSError, Refused, RuntimeError):
        pass  # a read-only or full disk costs the next start a second, nothing else
    return compiled


def _own_bytes(path: Path) -> bytes:
    """The bytes of an entry. Raises OSError where it is no ordinary file of the user's that nobody else may write."""
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, flags), "rb") as file:
        found = os.fstat(file.fileno())
        if not stat.S_ISREG(found.st_mode) or found.st_size > MOST_BYTES:
            raise OSError(f"{path} is no entry")
        if os.name == "posix" and (found.st_uid != os.geteuid() or found.st_mode & (stat.S_IWGRP | stat.S_IWOTH)):
            raise PermissionError(f"others may write {path}")
        return file.read(MOST_BYTES)


def _forget_others(path: Path, most: int = 7) -> None:
    """Remove all but the newest entries; the folder may hold other people's files too."""
    entries = [other for other in path.parent.glob("*.base") if re.fullmatch(r"[0-9a-f]{64}", other.stem)]
    older = sorted(entries, key=lambda other: other.stat().st_mtime)
    for other in older[: max(0, len(older) - most)]:
        other.unlink(missing_ok=True)


def _kept(compiled: Compiled) -> bytes:
    model, cells = compiled.model, compiled.model.cells
    about = {
        "base": compiled.base.model_dump(mode="json", by_alias=True, exclude_defaults=True),
        "makers": cells.makers,
        "groups": [[group.maker, group.variant] for group in cells.groups],
        "assemblies": model.assemblies,
        "floor": model.floor,
        "own": [[specimen, assembly, gamma] for (specimen, assembly), gamma in model.own.items()],
        "features": [[t.id, t.assembly, list(t.values), t.swapped_alone, t.stated] for t in model.features.values()],
    }
    arrays = {"group": cells.group, "maker": cells.maker, "year": cells.year, "prior": cells.prior}
    arrays |= {"donors": cells.donors, "sigma": model.sigma}
    arrays["phi"] = np.vstack([table.phi for table in model.features.values()])
    arrays["slips"] = np.concatenate([table.slips.ravel() for table in model.features.values()])
    body = io.BytesIO()
    np.savez(body, about=np.frombuffer(json.dumps(about).encode(), dtype=np.uint8), **arrays)  # type: ignore[arg-type]  # arrays by name
    payload = body.getvalue()
    return _MAGIC + hashlib.sha256(payload).digest() + payload


def _restored(content: bytes) -> Compiled:
    head = len(_MAGIC) + 32
    payload = content[head:]
    if not content.startswith(_MAGIC) or hashlib.sha256(payload).digest() != content[len(_MAGIC) : head]:
        raise ValueError("damaged")
    with np.load(io.BytesIO(payload), allow_pickle=False) as arrays:
        about = json.loads(arrays["about"].tobytes())
        cells = Cells(
            tuple(about["makers"]),
            tuple(Group(m, v) for m, v in about["groups"]),
            arrays["group"],
            arrays["maker"],
            arrays["year"],
            arrays["prior"],
            arrays["donors"],
        )
        features, row, place = {}, 0, 0
        phi, slips = arrays["phi"], arrays["slips"]
        for feature, assembly, values, alone, stated in about["features"]:
            n = len(values)
            confusion = slips[place : place + n * n].reshape(n, n)
            features[feature] = FeatureTable(
                feature, assembly, tuple(values), phi[row : row + n], confusion, alone, stated
            )
            row, place = row + n, place + n * n
        own = {(specimen, assembly): gamma for specimen, assembly, gamma in about["own"]}
        model = Model(cells, tuple(about["assemblies"]), arrays["sigma"], features, about["floor"], own)
    base = KnowledgeBase.model_validate(about["base"], context={TRUSTED: True})
    return Compiled(base, model, compile_all_rules(base))
