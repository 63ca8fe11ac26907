"""The compiled base kept on disk: it holds as long as nothing it came from has changed, and is never in the way."""

from __future__ import annotations

import hashlib
import os
import shutil
import stat
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import numpy as np
import pydantic
import pytest
import yaml
from hobmark.case import Case
from hobmark.knowledge import reading
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.problems import Refused
from hobmark.reasoning import cache
from hobmark.reasoning.cache import cache_folder, content_key, load_compiled
from hobmark.reasoning.examination import Compiled, Examination, compile_base

from ..commands.small_base import write_small_base

SEEN = Observation.model_validate({"feature": "clock", "is": "electric"})
GARBAGE = [b"", b"x", b"hobmark compiled base 1\n", b"\0" * 5000, b"PK\x03\x04" + b"z" * 500]


@pytest.fixture
def base(tmp_path: Path) -> Path:
    return write_small_base(tmp_path)


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The cache's folder, not made yet."""
    monkeypatch.setenv("HOBMARK_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[object]]:
    """One entry for each time that a base is read from its files."""
    counted: list[object] = []

    def counting(roots: object) -> object:
        counted.append(roots)
        return read_base(roots)  # type: ignore[arg-type]

    monkeypatch.setattr(reading, "read_base", counting)
    return counted


def entry(kept: Path) -> Path:
    (only,) = kept.glob("*.base")
    return only


def sealed(payload: bytes) -> bytes:
    """Bytes with a head that says they are whole."""
    return b"hobmark compiled base 1\n" + hashlib.sha256(payload).digest() + payload


def posterior(compiled: Compiled) -> np.ndarray:
    return Examination(compiled, Case(hobmark="1", observations=(SEEN,))).ranking.posterior


def test_a_second_start_reads_no_knowledge_file(base: Path, reads: list[object]) -> None:
    load_compiled([base])
    load_compiled([base])
    assert len(reads) == 1


def test_a_restored_base_is_the_one_that_was_read(base: Path) -> None:
    load_compiled([base])
    assert load_compiled([base]).base == read_base([base])


def test_a_restored_model_has_the_same_cells(base: Path) -> None:
    load_compiled([base])
    restored, compiled = load_compiled([base]).model.cells, compile_base(read_base([base])).model.cells
    assert (restored.makers, restored.groups) == (compiled.makers, compiled.groups)
    for field in ("group", "maker", "year", "prior", "donors"):
        np.testing.assert_array_equal(getattr(restored, field), getattr(compiled, field))


def test_a_restored_model_has_the_same_tables(base: Path) -> None:
    load_compiled([base])
    restored, compiled = load_compiled([base]).model, compile_base(read_base([base])).model
    assert (restored.assemblies, restored.floor, restored.own) == (compiled.assemblies, compiled.floor, compiled.own)
    assert list(restored.features) == list(compiled.features)
    for feature, table in compiled.features.items():
        again = restored.features[feature]
        assert (again.assembly, again.values, again.swapped_alone, again.stated) == (
            table.assembly,
            table.values,
            table.swapped_alone,
            table.stated,
        )
        np.testing.assert_array_equal(again.phi, table.phi)
        np.testing.assert_array_equal(again.slips, table.slips)


def test_a_restored_base_ranks_a_case_to_the_last_bit_as_a_compiled_one(base: Path) -> None:
    load_compiled([base])
    np.testing.assert_array_equal(posterior(load_compiled([base])), posterior(compile_base(read_base([base]))))


def test_the_shipped_base_restored_ranks_as_compiled(tmp_path: Path) -> None:
    root = tmp_path / "one_maker"
    shutil.copytree(knowledge_root(), root, ignore=shutil.ignore_patterns("brindlemere", "cases"))
    compiled = load_compiled([root])
    restored = load_compiled([root])
    seen = Observation.model_validate({"feature": "grate_pattern", "is": "ring"})
    case = Case(hobmark="1", observations=(seen,))
    np.testing.assert_array_equal(
        Examination(restored, case).ranking.posterior, Examination(compiled, case).ranking.posterior
    )


@pytest.mark.parametrize(
    "name", ["wording.yaml", "features.yaml", "coppice/traits.yaml", "coppice/specimens/seen-1.yaml"]
)
def test_the_key_changes_with_one_byte_of_any_file(base: Path, name: str) -> None:
    before = content_key([base])
    with (base / name).open("a", encoding="utf-8") as file:
        file.write("#")
    assert content_key([base]) != before


def test_the_key_changes_when_a_file_is_added(base: Path) -> None:
    before = content_key([base])
    shutil.copy(base / "coppice/specimens/seen-1.yaml", base / "coppice/specimens/seen-2.yaml")
    assert content_key([base]) != before


def test_the_key_changes_when_a_file_changes_its_name(base: Path) -> None:
    before = content_key([base])
    (base / "coppice/specimens/seen-1.yaml").rename(base / "coppice/specimens/seen-2.yaml")
    assert content_key([base]) != before


def test_the_key_stays_when_only_the_times_of_files_change(base: Path) -> None:
    before = content_key([base])
    os.utime(base / "features.yaml", (1, 1))
    assert content_key([base]) == before


def test_the_key_stays_where_the_same_files_lie_elsewhere(base: Path, tmp_path: Path) -> None:
    shutil.copytree(base, tmp_path / "moved")
    assert content_key([tmp_path / "moved"]) == content_key([base])


def test_kept_cases_are_no_part_of_the_key(base: Path) -> None:
    before = content_key([base])
    (base / "coppice" / "cases").mkdir()
    (base / "coppice" / "cases" / "one.yaml").write_text("hobmark: 1\n")
    assert content_key([base]) == before


def test_a_stale_entry_is_not_used(base: Path) -> None:
    load_compiled([base])
    traits = base / "coppice" / "traits.yaml"
    traits.write_text(traits.read_text().replace("value: electric", "value: wind_up"))
    np.testing.assert_array_equal(posterior(load_compiled([base])), posterior(compile_base(read_base([base]))))


def test_a_file_saved_while_the_base_is_read_is_not_kept_under_the_new_content(
    base: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    traits = base / "coppice" / "traits.yaml"

    def saved_meanwhile(roots: list[Path]) -> object:
        found = read_base(roots)
        traits.write_text(traits.read_text().replace("value: electric", "value: wind_up"))
        return found

    monkeypatch.setattr(reading, "read_base", saved_meanwhile)
    load_compiled([base])
    monkeypatch.undo()
    monkeypatch.setenv("HOBMARK_CACHE", str(kept))
    np.testing.assert_array_equal(posterior(load_compiled([base])), posterior(compile_base(read_base([base]))))


@pytest.mark.parametrize("share", [0.0, 0.01, 0.3, 0.99])
def test_a_truncated_entry_is_rebuilt_in_silence(
    base: Path, kept: Path, share: float, capfd: pytest.CaptureFixture[str]
) -> None:
    load_compiled([base])
    whole = entry(kept).read_bytes()
    entry(kept).write_bytes(whole[: int(len(whole) * share)])
    load_compiled([base])
    assert entry(kept).read_bytes()[:200] == whole[:200]
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("place", [0, 30, 60, 500, -1, -40])
def test_one_damaged_byte_is_noticed_and_the_entry_rebuilt(
    base: Path, kept: Path, place: int, reads: list[object]
) -> None:
    load_compiled([base])
    content = bytearray(entry(kept).read_bytes())
    content[place] ^= 0xFF
    entry(kept).write_bytes(content)
    load_compiled([base])
    load_compiled([base])
    assert len(reads) == 2


@pytest.mark.parametrize("content", [*GARBAGE, *map(sealed, GARBAGE)])
def test_an_entry_of_something_else_is_rebuilt(base: Path, kept: Path, content: bytes, reads: list[object]) -> None:
    load_compiled([base])
    entry(kept).write_bytes(content)
    load_compiled([base])
    assert len(reads) == 2


def test_an_entry_that_is_a_folder_is_in_nobodys_way(base: Path, kept: Path) -> None:
    kept.mkdir()
    (kept / f"{content_key([base])}.base").mkdir()
    assert load_compiled([base]).base == read_base([base])


@pytest.mark.parametrize("folder", ["file", "file/below", "/proc/nowhere", "x" * 300])
def test_a_cache_that_cannot_be_written_costs_nothing_but_time(
    base: Path, tmp_path: Path, folder: str, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("mine")
    monkeypatch.setenv("HOBMARK_CACHE", str(tmp_path / folder))
    assert load_compiled([base]).base == read_base([base])
    assert (tmp_path / "file").read_text() == "mine"
    assert capfd.readouterr() == ("", "")


def test_a_person_without_a_home_has_no_cache_and_no_trouble(base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv("HOBMARK_CACHE")
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(Path, "home", homeless)
    assert load_compiled([base]).base == read_base([base])


def test_the_cache_lies_in_the_users_cache_folder_unless_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("HOBMARK_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache_folder() == tmp_path / "hobmark"


def test_old_entries_are_forgotten_and_nothing_else_in_the_folder(base: Path, kept: Path) -> None:
    kept.mkdir()
    (kept / "holiday.base").write_text("mine")
    os.utime(kept / "holiday.base", (1, 1))
    for n in range(12):
        (kept / f"{n:064x}.base").write_bytes(b"old")
        os.utime(kept / f"{n:064x}.base", (1000 + n, 1000 + n))
    load_compiled([base])
    assert (kept / "holiday.base").read_text() == "mine"
    assert len(list(kept.glob("*.base"))) == 9


def test_a_base_with_problems_is_refused_each_time_and_never_kept(base: Path, kept: Path) -> None:
    (base / "coppice" / "traits.yaml").write_text("- {id: x}\n")
    with pytest.raises(Refused):
        load_compiled([base])
    with pytest.raises(Refused):
        load_compiled([base])
    assert not kept.exists()


@pytest.mark.skipif(os.name != "posix", reason="named pipes are POSIX")
def test_a_pipe_among_the_knowledge_files_hangs_nothing(base: Path) -> None:
    os.mkfifo(base / "coppice" / "other.yaml")
    with pytest.raises(Refused, match=r"other\.yaml"):
        load_compiled([base])


def test_two_bases_have_an_entry_each(base: Path, kept: Path, tmp_path: Path) -> None:
    shutil.copytree(base, tmp_path / "other")
    (tmp_path / "other" / "coppice" / "sources.yaml").write_text("book: {kind: ledger, title: Another}\n")
    load_compiled([base])
    load_compiled([tmp_path / "other"])
    assert len(list(kept.glob("*.base"))) == 2


def test_the_format_of_an_entry_is_known_by_its_first_line(base: Path, kept: Path) -> None:
    load_compiled([base])
    assert entry(kept).read_bytes().startswith(cache._MAGIC)


posix = pytest.mark.skipif(os.name != "posix", reason="owners and modes as POSIX has them")


@posix
@pytest.mark.parametrize("mode", [0o620, 0o602, 0o666])
def test_an_entry_that_others_may_write_is_not_trusted(base: Path, kept: Path, mode: int, reads: list[object]) -> None:
    load_compiled([base])
    entry(kept).chmod(mode)
    load_compiled([base])
    assert len(reads) == 2
    assert stat.S_IMODE(entry(kept).stat().st_mode) == 0o600


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="needs leave to give a file away")
def test_an_entry_of_somebody_else_is_not_trusted(base: Path, kept: Path, reads: list[object]) -> None:
    load_compiled([base])
    os.chown(entry(kept), 65534, 65534)
    load_compiled([base])
    assert len(reads) == 2


@posix
def test_an_entry_that_is_a_link_is_not_followed(base: Path, kept: Path, tmp_path: Path, reads: list[object]) -> None:
    load_compiled([base])
    aside = entry(kept).rename(tmp_path / "aside")
    aside.write_bytes(b"somebody's letter")
    (kept / f"{content_key([base])}.base").symlink_to(aside)
    load_compiled([base])
    assert len(reads) == 2
    assert aside.read_bytes() == b"somebody's letter"


@posix
def test_an_entry_that_is_a_pipe_hangs_nothing(base: Path, kept: Path) -> None:
    kept.mkdir()
    os.mkfifo(kept / f"{content_key([base])}.base")
    assert load_compiled([base]).base == read_base([base])


@posix
@pytest.mark.parametrize("mask", [0o000, 0o002, 0o077])
def test_whatever_the_mask_is_the_next_start_trusts_what_this_one_kept(
    base: Path, mask: int, reads: list[object]
) -> None:
    before = os.umask(mask)
    try:
        load_compiled([base])
        load_compiled([base])
    finally:
        os.umask(before)
    assert len(reads) == 1


@pytest.mark.parametrize("library", [np, pydantic, yaml])
def test_the_key_changes_with_the_version_of_a_library_that_shapes_it(
    base: Path, library: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = content_key([base])
    name = "VERSION" if library is pydantic else "__version__"
    monkeypatch.setattr(library, name, "0.0")
    assert content_key([base]) != before
