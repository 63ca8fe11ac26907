"""`hobmark knowledge`: check, cases and schema, on a base small enough to know by heart."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hobmark.curating import check
from hobmark.curating.idle import Removal

from .conftest import Hobmark
from .small_base import write_small_base

WREN = "[{feature: legs, is: curved}, {feature: burner_head, is: ring}, {feature: clock, is: absent}]"


@pytest.fixture
def base(tmp_path: Path) -> Path:
    """A base of the test's own, to change."""
    return write_small_base(tmp_path)


def with_case(base: Path, more: str, name: str = "one") -> Path:
    folder = base / "coppice" / "cases"
    folder.mkdir(exist_ok=True)
    (folder / f"{name}.yaml").write_text(f"hobmark: 1\nobservations: {WREN}\n{more}", encoding="utf-8")
    return base


def with_trait(base: Path, line: str) -> Path:
    with (base / "coppice" / "traits.yaml").open("a", encoding="utf-8") as file:
        file.write(line + "\n")
    return base


def test_check_counts_what_a_base_holds(hobmark: Hobmark, base: Path) -> None:
    first, second = hobmark("knowledge", "check", "-k", base).out.splitlines()[:2]
    assert first == "8 features over 6 assemblies."
    assert second.startswith("coppice: 4 variants, 30 statements (0 runs), 2 rules, 1 specimen")


def test_check_as_json_gives_the_same_counts(hobmark: Hobmark, base: Path) -> None:
    report = json.loads(hobmark("knowledge", "check", "-k", base, "--format", "json").out)
    assert report["makers"] == [
        {
            "maker": "coppice",
            **{"variants": 4, "traits": 30, "runs": 0, "rules": 2, "specimens": 1, "parts": 0, "fit_rules": 0},
        }
    ]


def test_check_of_a_base_without_advice_is_done(hobmark: Hobmark, base: Path) -> None:
    (base / "coppice" / "rules.yaml").unlink()
    assert hobmark("knowledge", "check", "-k", base).code == 0


def test_check_warns_of_statements_that_together_say_more_than_all(hobmark: Hobmark, base: Path) -> None:
    with_trait(base, "- {id: t1, feature: legs, of: [wren], value: recess, certainty: attested, sources: [book]}")
    done = hobmark("knowledge", "check", "-k", base)
    assert (done.code, "legs-wren, t1: together they say more than all of wren." in done.out) == (1, True)


def test_check_lists_an_idle_statement_and_warns(hobmark: Hobmark, base: Path) -> None:
    with_trait(
        base,
        "- {id: idler, feature: legs, of: [wren], value: curved, certainty: disputed, sources: [book], "
        "made: 1930/1931, how: always, against: [legs-wren]}",
    )
    done = hobmark("knowledge", "check", "--idle", "--ranges", "20", "-k", base)
    assert (done.code, "trait coppice/idler" in done.out) == (1, True)


def test_check_tells_every_problem_of_every_file_in_order(hobmark: Hobmark, base: Path) -> None:
    one = "- {id: t1, feature: legz, of: [wren], value: curved, certainty: attested, sources: [book]}"
    other = "- {id: t2, feature: legs, of: [wern], value: curvd, certainty: attested, sources: [bok]}"
    done = hobmark("knowledge", "check", "-k", with_trait(with_trait(base, one), other))
    traits = base / "coppice" / "traits.yaml"
    assert (done.code, done.out) == (2, "")
    assert done.err.splitlines() == [
        f"{traits}:31:{one.index('legz') + 1}: unknown feature 'legz'. Did you mean 'legs'?",
        f"{traits}:32:{other.index('wern') + 1}: unknown variant or family 'wern'. Did you mean 'wren'?",
        f"{traits}:32:{other.index('curvd') + 1}: unknown value 'curvd' for legs. Did you mean 'curved'?",
        f"{traits}:32:{other.index('bok') + 1}: unknown source 'bok'. Did you mean 'book'?",
    ]


def test_check_refuses_a_folder_that_is_no_base(hobmark: Hobmark, tmp_path: Path) -> None:
    done = hobmark("knowledge", "check", "-k", tmp_path)
    assert (done.code, "name the base that comes with hobmark first" in done.err) == (2, True)


@pytest.mark.parametrize("command", [("knowledge", "check"), ("knowledge", "cases"), ("identify", "case.yaml")])
def test_a_second_folder_that_is_not_there_is_refused(
    hobmark: Hobmark, base: Path, tmp_path: Path, command: tuple[str, str]
) -> None:
    hobmark("knowledge", "check", "-k", base)
    done = hobmark(*command, "-k", base, "-k", tmp_path / "typo")
    assert (done.code, "there is no such folder." in done.err) == (2, True)


def test_a_second_folder_that_adds_nothing_is_refused(hobmark: Hobmark, base: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    done = hobmark("knowledge", "check", "-k", base, "-k", tmp_path / "empty")
    assert (done.code, "nothing in this folder is read" in done.err) == (2, True)


def test_a_makers_own_folder_is_refused_with_the_one_above_it(hobmark: Hobmark, base: Path) -> None:
    done = hobmark("knowledge", "check", "-k", "shipped", "-k", base / "coppice")
    assert (done.code, f"Name the folder above it: --knowledge {base}." in done.err) == (2, True)


def test_a_file_that_nothing_reads_is_told_of_a_base_that_was_read_before(hobmark: Hobmark, base: Path) -> None:
    hobmark("knowledge", "check", "-k", base)
    (base / "coppice" / "trait.yml").write_text("", encoding="utf-8")
    done = hobmark("knowledge", "check", "-k", base)
    assert (done.code, "'trait.yml' is not read here. Did you mean 'traits.yaml'?" in done.err) == (2, True)


def test_check_reads_the_kept_cases_and_says_so(hobmark: Hobmark, base: Path) -> None:
    done = hobmark("knowledge", "check", "-k", with_case(base, "expect: {variant: wren}\n"))
    assert "1 kept case read too." in done.out


def test_check_tells_the_problems_of_the_kept_cases(hobmark: Hobmark, base: Path) -> None:
    done = hobmark("knowledge", "check", "-k", with_case(base, "expect: {variant: wern}\n"))
    assert (done.code, f"{base / 'coppice' / 'cases' / 'one.yaml'}:3:19: unknown variant 'wern'." in done.err) == (
        2,
        True,
    )


def test_check_as_json_gives_problems_as_json_and_in_words(hobmark: Hobmark, base: Path) -> None:
    with_trait(base, "- {id: t1, feature: legz, of: [wren], value: curved, certainty: attested, sources: [book]}")
    done = hobmark("knowledge", "check", "-k", base, "--format", "json")
    (problem,) = json.loads(done.out)["problems"]
    assert (done.code, problem["line"], problem["message"]) == (2, 31, "unknown feature 'legz'.")
    assert done.err.startswith(f"{problem['path']}:31:")


def test_a_maker_is_for_idle_only(hobmark: Hobmark, base: Path) -> None:
    done = hobmark("knowledge", "check", "--maker", "coppice", "-k", base)
    assert (done.code, "Add --idle." in done.err) == (2, True)


def test_what_was_never_tried_is_no_warning(hobmark: Hobmark, base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    unknown = [Removal("rule", "coppice/rule-face", 0.0, tried=False)]
    monkeypatch.setattr(check, "removals", lambda *_, **__: unknown)
    (base / "coppice" / "rules.yaml").unlink()
    done = hobmark("knowledge", "check", "--idle", "--ranges", "20", "-k", base)
    assert (done.code, "1 were never tried" in done.out, "--ranges 400" in done.out) == (0, True, True)


def test_how_far_it_is_goes_to_no_file(hobmark: Hobmark, base: Path) -> None:
    assert hobmark("knowledge", "check", "--idle", "--ranges", "10", "-k", base).err == ""


def test_how_far_it_is_is_shown_on_a_terminal(hobmark: Hobmark, base: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    err = hobmark("knowledge", "check", "--idle", "--ranges", "10", "-k", base).err
    assert err.startswith("\r\x1b[K0 of 33 entries tried")
    assert err.endswith("\r\x1b[K")


def test_check_changes_no_file(hobmark: Hobmark, base: Path) -> None:
    before = {path: path.read_bytes() for path in base.rglob("*.yaml")}
    hobmark("knowledge", "check", "-k", base)
    assert {path: path.read_bytes() for path in base.rglob("*") if path.is_file()} == before


def test_a_kept_case_that_behaves_is_counted(hobmark: Hobmark, base: Path) -> None:
    with_case(base, "expect: {variant: wren, made: 1930/1935}\n")
    done = hobmark("knowledge", "cases", "--no-specimens", "-k", base)
    assert (done.code, done.out) == (0, "1 of 1 behave.\n")


@pytest.mark.parametrize(
    ("expected", "fault"),
    [
        ("expect: {variant: finch}", "expected finch first"),
        ("expect: {variant: coppice/finch}", "expected coppice/finch first"),
        ("expect: {made: 1946/1950}", "expected it made in 1946/1950"),
        ("expect: {unlisted: true}", "expected none that is listed"),
        ("expect: {not_its_own: [electrics]}", "expected the electrics not to be its own"),
        ("expect: {variant: wren}\nnot: [coppice/wren]", "coppice/wren ranks first, and must not"),
        ("expect: {variant: wren}\ntodo: to be mended", "it behaves now: remove 'todo'"),
    ],
)
def test_a_kept_case_that_does_not_behave_is_a_warning_that_says_why(
    hobmark: Hobmark, base: Path, expected: str, fault: str
) -> None:
    with_case(base, expected + "\n")
    done = hobmark("knowledge", "cases", "--no-specimens", "-k", base)
    assert done.code == 1
    assert fault in " ".join(done.out.split())


def test_a_known_gap_is_told_and_is_no_warning(hobmark: Hobmark, base: Path) -> None:
    with_case(base, "expect: {variant: finch}\ntodo: no specimen yet\n")
    done = hobmark("knowledge", "cases", "--no-specimens", "-k", base)
    assert (done.code, "(known gap: no specimen yet)" in " ".join(done.out.split())) == (0, True)


def test_a_kept_case_that_expects_nothing_is_refused(hobmark: Hobmark, base: Path) -> None:
    done = hobmark("knowledge", "cases", "-k", with_case(base, ""))
    assert (done.code, "a kept case needs 'expect'" in done.err) == (2, True)


def test_problems_of_all_kept_cases_are_told_together(hobmark: Hobmark, base: Path) -> None:
    with_case(with_case(base, "expect: {variant: wern}\n"), "expect: {variant: fnch}\n", "two")
    assert len(hobmark("knowledge", "cases", "-k", base).err.splitlines()) == 2


def test_every_specimen_is_examined_with_itself_left_out(hobmark: Hobmark, base: Path) -> None:
    report = json.loads(hobmark("knowledge", "cases", "-k", base, "--format", "json").out)
    assert [(entry["name"], entry["kind"]) for entry in report["outcomes"]] == [("seen-1", "specimen")]


def test_schema_lists_its_names(hobmark: Hobmark) -> None:
    names = hobmark("knowledge", "schema").out.split()
    assert {"features", "traits", "rules", "specimen", "case", "identify-output"} <= set(names)


def test_a_schema_by_name_is_json_schema(hobmark: Hobmark) -> None:
    schema = json.loads(hobmark("knowledge", "schema", "--name", "case").out)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert "observations" in schema["properties"]


def test_schemas_are_written_one_file_each(hobmark: Hobmark, tmp_path: Path) -> None:
    names = hobmark("knowledge", "schema").out.split()
    done = hobmark("knowledge", "schema", "--out", tmp_path / "new" / "schemas")
    written = sorted(path.name for path in (tmp_path / "new" / "schemas").iterdir())
    assert written == sorted(f"{name}.schema.json" for name in names)
    assert len(done.out.splitlines()) == len(names)


def test_one_schema_is_written_where_one_is_named(hobmark: Hobmark, tmp_path: Path) -> None:
    hobmark("knowledge", "schema", "--out", tmp_path, "--name", "traits")
    assert [path.name for path in tmp_path.iterdir()] == ["traits.schema.json"]


def test_a_schema_there_is_not_is_refused_with_the_nearest(hobmark: Hobmark) -> None:
    done = hobmark("knowledge", "schema", "--name", "trait")
    assert (done.code, "Did you mean 'traits'?" in done.err) == (2, True)


def test_a_folder_that_cannot_be_made_is_refused(hobmark: Hobmark, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    done = hobmark("knowledge", "schema", "--out", tmp_path / "file" / "below")
    assert (done.code, "the folder cannot be made" in done.err) == (2, True)
