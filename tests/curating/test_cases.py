"""Kept cases and specimens: what behaves, what does not, and what is said of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.curating.cases import Outcome, case_paths, run_cases, run_specimens
from hobmark.problems import Refused

from ..bench_room.fitting import kept, shipped
from .conftest import CASE, Bench


def outcome(bench: Bench, text: str) -> Outcome:
    """How one case comes out."""
    return run_cases(bench.compiled(), [bench.case("tried", text)])[0]


def test_every_case_below_a_root_is_found(bench: Bench) -> None:
    assert [path.name for path in case_paths([bench.root])] == ["green.yaml"]


def test_a_case_that_comes_to_what_it_expects_has_no_fault(bench: Bench) -> None:
    assert outcome(bench, CASE).faults == ()


def test_a_case_that_leads_elsewhere_says_what_was_expected(bench: Bench) -> None:
    fault = outcome(bench, CASE.replace("expect: {variant: teal_plain", "expect: {variant: teal_grand")).faults[0]
    assert fault.startswith("expected teal_grand first, which has ")


def test_a_variant_that_must_not_rank_first_and_does_is_a_fault(bench: Bench) -> None:
    assert "teal_plain ranks first, and must not" in outcome(bench, CASE.replace("[teal_grand]", "[teal_plain]")).faults


def test_years_that_hold_less_than_half_are_a_fault(bench: Bench) -> None:
    bench.write("teal_works/rules.yaml", "[]\n")
    faults = outcome(bench, CASE.replace("1940/1949", "1946/1949")).faults
    assert any(fault.startswith("expected it made in 1946/1949, which has ") for fault in faults)


def test_an_assembly_expected_to_be_another_ranges_and_found_its_own_is_a_fault(bench: Bench) -> None:
    faults = outcome(bench, CASE.replace("is: grille", "is: slots").replace("is: drawn", "is: plain")).faults
    assert any(fault.startswith("expected the backguard not to be its own") for fault in faults)


def fit_faults(folder: Path, fit: str) -> tuple[str, ...]:
    """What is amiss with a kept case of the shipped base, a late Kestrel, that expects this of parts."""
    text = kept("kestrel-1956-squared-corners-loose-caps").read_text(encoding="utf-8")
    path = folder / "case.yaml"
    path.write_text(f"{text.partition('expect: {')[0]}expect: {{fit: {{{fit}}}}}\n", encoding="utf-8")
    return run_cases(shipped(), [path])[0].faults


def test_a_part_that_fits_as_expected_is_no_fault(tmp_path: Path) -> None:
    assert fit_faults(tmp_path, "bm-p-dp4: exact, brindlemere/bm-p-bg2: fits_with_modification") == ()


def test_a_part_that_fits_otherwise_than_expected_is_a_fault(tmp_path: Path) -> None:
    (fault,) = fit_faults(tmp_path, "bm-p-dp4: unproven, bm-p-bg2: fits_with_modification")
    assert fault == "expected the fit of bm-p-dp4 to be unproven, but it is exact"


def test_measures_of_a_kept_case_count_for_the_fit_it_expects(tmp_path: Path) -> None:
    measures = "measures: [{kind: hinge, measure: side, value: right, on: range}]\n"
    kestrel = kept("kestrel-1956-squared-corners-loose-caps").read_text(encoding="utf-8")
    text = kestrel.partition("expect: {")[0] + measures + "expect: {fit: {bm-p-hi3: does_not_fit}}\n"
    (tmp_path / "case.yaml").write_text(text, encoding="utf-8")
    assert run_cases(shipped(), [tmp_path / "case.yaml"])[0].faults == ()


def test_a_known_gap_behaves_while_it_fails(bench: Bench) -> None:
    text = CASE.replace("expect: {variant: teal_plain", "expect: {variant: teal_grand").replace("[teal_grand]", "[]")
    assert outcome(bench, f"{text}todo: a reason\n").behaves


def test_a_known_gap_that_is_closed_is_a_fault_until_its_todo_is_removed(bench: Bench) -> None:
    assert outcome(bench, f"{CASE}todo: a reason\n").faults == ("it behaves now: remove 'todo'",)


def test_a_kept_case_without_expect_is_refused_with_its_place(bench: Bench) -> None:
    path = bench.case("bare", "hobmark: 1\nobservations: []\n")
    with pytest.raises(Refused, match=r"bare\.yaml:1:1: a kept case needs 'expect'\."):
        run_cases(bench.compiled(), [path])


def test_a_specimen_is_examined_with_a_base_that_does_not_have_it(bench: Bench) -> None:
    compiled = bench.compiled()
    assert run_specimens(compiled.base, compiled)[0].leader == "Teal Works Teal Grand"
