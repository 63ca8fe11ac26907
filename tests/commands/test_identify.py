"""`hobmark identify` for cases: the ranking as text and as JSON, and every option."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hobmark.reports.identify import Findings

from .conftest import Hobmark

FINCH = "[{feature: legs, is: recess}, {feature: burner_head, is: slotted}, {feature: clock, is: electric}]"


def case(folder: Path, observations: str = "[]", more: str = "", name: str = "case.yaml") -> Path:
    path = folder / name
    path.write_text(f"hobmark: 1\nlabel: {path.stem}\n{more}observations: {observations}\n", encoding="utf-8")
    return path


def found(hobmark: Hobmark, small: Path, path: Path, *options: object) -> dict[str, object]:
    return json.loads(hobmark("identify", "-k", small, path, "--format", "json", *options).out)


def test_text_leads_with_the_case_and_its_likeliest_variant(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    lines = hobmark("identify", "-k", small, case(tmp_path, "[{feature: legs, is: curved}]")).out.splitlines()
    assert lines[0] == "case (at a sale, 1 look)"
    assert "Coppice Works Wren" in lines[2]


def test_a_label_turns_no_line_of_the_terminal(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text('hobmark: 1\nlabel: "a\\u202eb"\nobservations: []\n', encoding="utf-8")
    assert "a\\u202eb" in hobmark("identify", path, "-k", small).out


def test_text_is_at_most_78_columns_wide(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    out = hobmark("identify", "-k", small, case(tmp_path, FINCH)).out
    assert max(map(len, out.splitlines())) <= 78


def test_text_shows_the_cautions_that_always_stand(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    assert "\n  - Shut the gas off. (verified)\n" in hobmark("identify", "-k", small, case(tmp_path)).out


def test_a_caution_with_a_condition_stands_where_it_holds(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    assert "\n  - Mind the lead. (one source)\n" in hobmark("identify", "-k", small, case(tmp_path, FINCH)).out


def test_a_caution_with_a_condition_is_left_out_where_it_does_not(
    hobmark: Hobmark, small: Path, tmp_path: Path
) -> None:
    path = case(tmp_path, "[{feature: clock, is: absent}]")
    assert "Mind the lead." not in hobmark("identify", "-k", small, path).out


def test_json_has_the_published_shape(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    out = hobmark("identify", "-k", small, case(tmp_path, FINCH), "--format", "json").out
    assert Findings.model_validate_json(out).version == 1


@pytest.mark.parametrize(
    "name",
    ["version", "case", "goal", "ranking", "years", "assemblies", "claims", "next", "settled", "undecidable_here",
     "cautions", "trace"],
)  # fmt: skip
def test_json_keeps_the_names_others_build_on(hobmark: Hobmark, small: Path, tmp_path: Path, name: str) -> None:
    assert name in found(hobmark, small, case(tmp_path, FINCH))


def test_json_ranks_by_falling_probability_from_0_to_1(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    chances = [line["probability"] for line in found(hobmark, small, case(tmp_path, FINCH))["ranking"]]
    assert chances == sorted(chances, reverse=True)
    assert 0.99 < sum(chances) <= 1 + 1e-9


def test_json_years_are_whole_numbers(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    years = found(hobmark, small, case(tmp_path, FINCH))["years"]
    assert {type(entry["year"]) for entry in years} == {int}


def test_json_of_one_case_is_one_entry(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    assert found(hobmark, small, case(tmp_path))["case"] == str(tmp_path / "case.yaml")


def test_json_of_several_cases_is_an_array_in_their_order(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    paths = [case(tmp_path, name=f"{name}.yaml") for name in ("b", "a")]
    entries = json.loads(hobmark("identify", "-k", small, *paths, "--format", "json").out)
    assert [entry["case"] for entry in entries] == list(map(str, paths))


def test_text_of_several_cases_is_parted_by_a_line(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    paths = [case(tmp_path, name=f"{name}.yaml") for name in ("b", "a")]
    assert hobmark("identify", "-k", small, *paths).out.count("\n" + "=" * 78 + "\n") == 1


def test_problems_of_all_cases_are_told_together_and_nothing_is_ranked(
    hobmark: Hobmark, small: Path, tmp_path: Path
) -> None:
    bad = [case(tmp_path, "[{feature: legs, is: x}]", name=f"{name}.yaml") for name in ("b", "a")]
    done = hobmark("identify", "-k", small, bad[0], case(tmp_path), bad[1])
    assert [line.split(":")[0] for line in done.err.splitlines()] == [str(path) for path in bad]
    assert done.out == ""


@pytest.mark.parametrize("count", [0, 1, 4])
def test_next_says_how_many_looks_are_suggested(hobmark: Hobmark, small: Path, tmp_path: Path, count: int) -> None:
    assert len(found(hobmark, small, case(tmp_path), "--next", count)["next"]) == count


def test_the_next_look_says_what_it_splits_and_what_it_costs(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    look = found(hobmark, small, case(tmp_path))["next"][0]
    assert look["because"].startswith("splits ")
    assert (look["seconds"], look["bits"] > 0.5) == (5, True)


def test_against_compares_the_leader_with_the_variant_named(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    comparison = found(hobmark, small, case(tmp_path, FINCH), "--against", "coppice/wren")["comparison"]
    assert comparison["second"] == "Coppice Works Wren"
    assert comparison["total"] > 10


def test_against_takes_a_variant_without_its_maker(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    comparison = found(hobmark, small, case(tmp_path, FINCH), "--against", "robin")["comparison"]
    assert comparison["second"] == "Coppice Works Robin"


def test_against_a_variant_there_is_not_is_refused_with_the_nearest(
    hobmark: Hobmark, small: Path, tmp_path: Path
) -> None:
    done = hobmark("identify", "-k", small, case(tmp_path), "--against", "coppice/robbin")
    assert (done.code, "Did you mean 'coppice/robin'?" in done.err) == (2, True)


def test_a_situation_named_stands_before_the_cases_own(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    shown = found(hobmark, small, case(tmp_path, more="situation: bench\n"), "--situation", "listing", "--next", "9")
    assert {look["seconds"] for look in shown["next"]} == {60}


def test_a_look_that_takes_a_panel_off_is_not_offered_at_a_sale(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    shown = found(hobmark, small, case(tmp_path), "--next", "20")
    assert "insulation" not in [look["feature"] for look in shown["next"]]


def test_also_offers_it_all_the_same(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    shown = found(hobmark, small, case(tmp_path), "--next", "20", "--also", "panel_off")
    assert "insulation" in [look["feature"] for look in shown["next"]]


def test_what_only_a_look_elsewhere_could_tell_is_named(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    whole = FINCH[:-1] + ", {feature: door_window, is: large}, {feature: clock_face, is: white}]"
    shown = found(hobmark, small, case(tmp_path, whole))
    assert (shown["stop"], shown["settled"], shown["outside"]["feature"]) == (True, False, "insulation")


@pytest.mark.parametrize("goal", ["variant", "year", "maker", "claim"])
def test_every_goal_can_be_asked_for(hobmark: Hobmark, small: Path, tmp_path: Path, goal: str) -> None:
    path = case(tmp_path, FINCH, "claims: {variant: finch}\n")
    assert found(hobmark, small, path, "--goal", goal)["goal"] == goal


def test_the_goal_claim_without_a_claim_is_refused(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    done = hobmark("identify", "-k", small, case(tmp_path), "--goal", "claim")
    assert (done.code, "claims nothing" in done.err) == (2, True)


def test_each_claim_is_judged_and_both_together(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    path = case(tmp_path, FINCH, "claims: {variant: finch, made: '1947'}\n")
    claims = [entry["claim"] for entry in found(hobmark, small, path)["claims"]]
    assert claims == [{"variant": "coppice/finch"}, {"made": "1947"}, {"variant": "coppice/finch", "made": "1947"}]


def test_a_serial_that_fits_no_numbering_is_kept_and_said_not_to_be_weighed(
    hobmark: Hobmark, small: Path, tmp_path: Path
) -> None:
    path = case(tmp_path, "[{serial: H 41877, found_on: body}]")
    assert 'Counted neither way: serial "H 41877" on the body' in hobmark("identify", "-k", small, path).out


def test_a_second_knowledge_folder_adds_its_maker(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    maker = tmp_path / "mine" / "spinney"
    maker.mkdir(parents=True)
    (maker / "maker.yaml").write_text("id: spinney\nlabel: Spinney Works\ninvented: true\nlife: 1940/1950\n")
    (maker / "sources.yaml").write_text("b: {kind: ledger, title: B}\n")
    (maker / "models.yaml").write_text(
        "f: {label: F, variants: {jay: {label: Jay, made: [1940/1950], sources: [b]}}}\n"
    )
    path = case(tmp_path)
    out = hobmark("identify", "-k", small, "-k", tmp_path / "mine", path, "--format", "json").out
    assert {line["maker"] for line in json.loads(out)["ranking"]} == {"coppice", "spinney", None}


def test_a_case_is_never_written_to(hobmark: Hobmark, small: Path, tmp_path: Path) -> None:
    path = case(tmp_path, FINCH)
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    hobmark("identify", "-k", small, path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
