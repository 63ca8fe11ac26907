"""Every name used is a name that stands somewhere, and every id is used once: the checks across files."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

import pytest
from hobmark.knowledge import limits
from hobmark.reasoning import statements

from .small_base import SmallBase

FEATURES, CAUTIONS = "features.yaml", "reference/cautions.yaml"
MODELS, TRAITS, RULES = "finch_works/models.yaml", "finch_works/traits.yaml", "finch_works/rules.yaml"
SPECIMEN = "finch_works/specimens/sp-1.yaml"
PERMANENT = "Ids are permanent: choose a new one."


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        (FEATURES, "{label: Base, assembly: body", "{label: Base, assembly: ▶boddy", "unknown assembly 'boddy'. Did you mean 'body'?"),
        (FEATURES, "traces_on: body", "traces_on: ▶wall", "unknown assembly 'wall'. Add it, or use one that stands: body, loose_iron, oven_control."),
        (FEATURES, "needs: {drip_pans: present}", "needs: {▶drip_pan: present}", "unknown feature 'drip_pan'. Did you mean 'drip_pans'?"),
        (FEATURES, "needs: {drip_pans: present}", "needs: {drip_pans: ▶presnt}", "unknown value 'presnt' for drip_pans. Did you mean 'present'?"),
        (FEATURES, "needs: {drip_pans: present}", "needs: {drip_pans: [present, ▶some]}", "unknown value 'some' for drip_pans. It takes absent, present."),
        (FEATURES, "needs: {drip_pans: present}", "needs: ▶{drip_pan_depth: deep}", "'drip_pan_depth' needs itself in a circle. Break the circle."),
        (CAUTIONS, "when: {dial_material", "when: {▶dial_materials", "unknown feature 'dial_materials'. Did you mean 'dial_material'?"),
        (CAUTIONS, "[urea]", "[▶urae]", "unknown value 'urae' for dial_material. Did you mean 'urea'?"),
        (MODELS, "    finch_deluxe: {", "    ▶finch: {", "duplicate id 'finch', which is a family. Choose a new one."),
        (MODELS, "    finch_deluxe: {", "    ▶all: {", "duplicate id 'all', which is the word for every variant. Choose a new one."),
        (MODELS, '["1936/1942"], sources: [cat-38]', '["1936/1942"], sources: [cat-38, ▶cat-83:2]', "unknown source 'cat-83'. Did you mean 'cat-38'?"),
        (MODELS, '["1936/1942"]', '▶["1910/1912"]', "'finch_plain' was made in no year of 1924/1961, the life of the works. Mend these dates, or 'life' in maker.yaml."),
        (TRAITS, "fw-t001, feature: dial_material", "fw-t001, feature: ▶dail_material", "unknown feature 'dail_material'. Did you mean 'dial_material'?"),
        (TRAITS, "value: porcelain", "value: ▶urae", "unknown value 'urae' for dial_material. Did you mean 'urea'?"),
        (TRAITS, "run: [porcelain", "run: [▶porzelain", "unknown value 'porzelain' for dial_material. Did you mean 'porcelain'?"),
        (TRAITS, "value: phenolic", "value: ▶fenolic", "unknown value 'fenolic' for dial_material. Did you mean 'phenolic'?"),
        (TRAITS, "values: {absent: usually", "values: {▶absend: usually", "unknown value 'absend' for drip_pans. Did you mean 'absent'?"),
        (TRAITS, "of: [finch]", "of: [finch, ▶finch_plane]", "unknown variant or family 'finch_plane'. Did you mean 'finch_plain'?"),
        (TRAITS, "sources: [sp-1]", "sources: [▶sp-2]", "unknown source 'sp-2'. Did you mean 'sp-1'?"),
        (TRAITS, "against: [fw-t001]", "against: [▶fw-t01]", "unknown statement 'fw-t01'. Did you mean 'fw-t001'?"),
        (TRAITS, "against: [fw-t001]", "against: [▶fw-t002]", "unknown statement 'fw-t002'. Did you mean 'fw-t003'?"),
        (TRAITS, "against: [fw-t001]", "against: [▶fw-t003]", "'fw-t003' is about drip_pans, and 'fw-t002' about dial_material: they are no rivals. Name a statement about dial_material, as fw-t001."),
        (TRAITS, "feature: dial_material, of: [finch], value: porcelain,", "feature: base, of: [finch], value: legs, against: [▶fw-t002],", "'fw-t002' is about dial_material, and 'fw-t001' about base: they are no rivals. Take 'against' out."),
        (TRAITS, "value: porcelain, c", 'value: porcelain, made: ▶"1924/1935", c', "'1924/1935' has no month in which finch was made: 'fw-t001' never acts. Mend these dates, or 'made' in models.yaml."),
        (TRAITS, "value: porcelain, c", 'value: porcelain, made: ▶"1943/..", c', "'1943/..' has no month in which finch was made: 'fw-t001' never acts. Mend these dates, or 'made' in models.yaml."),
        (TRAITS, "  certainty: inferred", '  made: ▶"1937"\n  certainty: inferred', "'1937' has no month in which finch_deluxe was made: 'fw-t002' never acts. Mend these dates, or 'made' in models.yaml."),
        (TRAITS, "  certainty: recollected", '  made: ▶"1950"\n  certainty: recollected', "'1950' has no month in which any variant was made: 'fw-t003' never acts. Mend these dates, or 'made' in models.yaml."),
        (TRAITS, "- id: fw-t003", "- id: ▶fw-t001", f"duplicate id 'fw-t001', first used at line 1. {PERMANENT}"),
        (RULES, "sources: [cat-38:9]", "sources: [▶cat-39:9]", "unknown source 'cat-39'. Did you mean 'cat-38'?"),
        (RULES, "{dial_skirt: steel}", "{▶dial_skirts: steel}", "unknown feature 'dial_skirts'. Did you mean 'dial_skirt'?"),
        (RULES, "{dial_skirt: steel}", "{dial_skirt: ▶brass}", "unknown value 'brass' for dial_skirt. It takes absent, steel."),
        (RULES, "{drip_pan_depth: deep}", "{▶drip_pan_dept: deep}", "unknown feature 'drip_pan_dept'. Did you mean 'drip_pan_depth'?"),
        (RULES, "{drip_pan_depth: deep}", "{drip_pan_depth: ▶deeper}", "unknown value 'deeper' for drip_pan_depth. Did you mean 'deep'?"),
        (RULES, "{feature: dial_material, is", "{feature: ▶dial_materiel, is", "unknown feature 'dial_materiel'. Did you mean 'dial_material'?"),
        (RULES, "is: phenolic", "is: ▶phenolics", "unknown value 'phenolics' for dial_material. Did you mean 'phenolic'?"),
        (RULES, "of: oven_control", "of: ▶oven_controls", "unknown assembly 'oven_controls'. Did you mean 'oven_control'?"),
        (RULES, "of: body", "of: ▶badge", "unknown assembly 'badge'. Add it, or use one that stands: body, loose_iron, oven_control."),
        (RULES, "rules_out: [finch]", "rules_out: [▶linnet]", "unknown variant or family 'linnet'. Add it, or use one that stands: all, finch, finch_deluxe, finch_plain."),
        (RULES, "rules_out: [finch]", "rules_out: [finch, ▶all]", "'all' would rule out everything the works made. Name the variants or families that it cannot be."),
        (TRAITS, 'from: "1939"', 'from: ▶"1839"', "'1839' lies more than 10 years outside 1924/1961, the life of the works. Mend this date, or 'life' in maker.yaml."),
        (TRAITS, 'from: "1939"', 'from: ▶"[1972..1974]"', "'[1972..1974]' lies more than 10 years outside 1924/1961, the life of the works. Mend this date, or 'life' in maker.yaml."),
        (SPECIMEN, "id: sp-1", "id: ▶sp-2", "the file of 'sp-2' is called sp-1.yaml. Call it sp-2.yaml, or write the id it has."),
        (SPECIMEN, "measured: 31 mm", "measured: ▶31 cm 5", "'31 cm 5' is not a length. Write it with its unit, as 31 mm or 1 1/4 in."),
        (SPECIMEN, "measured: 31 mm", "measured: ▶0.9 mm", "'0.9 mm' is shorter than this part of any range. Write 1 mm to 3 m, with its unit."),
        (SPECIMEN, "measured: 31 mm", "measured: ▶3001 mm", "'3001 mm' is longer than this part of any range. Write 1 mm to 3 m, with its unit."),
        (SPECIMEN, "measured: 31 mm", "measured: ▶120 in", "'120 in' is longer than this part of any range. Write 1 mm to 3 m, with its unit."),
        (SPECIMEN, "maker: finch_works", "maker: ▶wren_works", "'wren_works' is not the maker of this folder. Write 'finch_works', or move the file."),
        (SPECIMEN, "variant: finch_plain", "variant: ▶finch_plane", "unknown variant 'finch_plane'. Did you mean 'finch_plain'?"),
        (SPECIMEN, "feature: dial_material", "feature: ▶dial_materal", "unknown feature 'dial_materal'. Did you mean 'dial_material'?"),
        (SPECIMEN, "is: porcelain", "is: ▶porcelian", "unknown value 'porcelian' for dial_material. Did you mean 'porcelain'?"),
        (SPECIMEN, "is: porcelain", "is: [porcelain, ▶tin]", "unknown value 'tin' for dial_material. It takes porcelain, phenolic, urea."),
        (SPECIMEN, "is_not: absent", "is_not: ▶absend", "unknown value 'absend' for drip_pans. Did you mean 'absent'?"),
        (SPECIMEN, "is_not: absent", "is_not: ▶[absent, present]", "this leaves no value at all. Leave one value open."),
        (SPECIMEN, "is: porcelain", "measured: ▶3 mm", "'dial_material' is not measured. Write 'is:' with one of porcelain, phenolic, urea."),
        (SPECIMEN, "is: porcelain", "removed: ▶true", "'dial_material' cannot be removed. Write 'unseen: true', or what it is."),
        (SPECIMEN, "feature: drip_pans,", "feature: ▶dial_material,", "'dial_material' is observed already, as entry 1. Keep one, or write a list of values."),
        (SPECIMEN, "found_on: rating_plate", "found_on: ▶oven_contrl", "unknown assembly 'oven_contrl'. Did you mean 'oven_control'?"),
    ],
)  # fmt: skip
def test_a_name_that_stands_nowhere_or_twice_is_told_at_its_place(
    name: str, old: str, new: str, said: str, small: SmallBase
) -> None:
    place = small.change(name, old, new)
    assert f"{place}: {said}" in small.refusals()


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        (TRAITS, "of: [finch]", "of: [all]"),
        (TRAITS, "of: [finch]", "of: [finch_plain, finch_deluxe]"),
        (TRAITS, "sources: [cat-38:3]", "sources: [sp-1]"),
        (TRAITS, "value: porcelain, c", 'value: porcelain, made: "1924/1936", c'),
        (TRAITS, "value: porcelain, c", 'value: porcelain, made: "1942-12", c'),
        (TRAITS, "value: porcelain, c", 'value: porcelain, made: "../1936-01", c'),
        (TRAITS, "  certainty: inferred", '  made: "1942-01-02"\n  certainty: inferred'),
        (SPECIMEN, "found_on: rating_plate", "found_on: oven_control"),
        (SPECIMEN, "{feature: dial_material, is: porcelain}", "{feature: high_shelf, removed: true}"),
        (SPECIMEN, "is_not: absent", "removed: true"),
        (SPECIMEN, "is: porcelain", "is: [porcelain, urea]"),
        (SPECIMEN, "is: porcelain", "unseen: true"),
        (SPECIMEN, "measured: 31 mm", "is: deep"),
        (SPECIMEN, "measured: 31 mm", "measured: 1 mm"),
        (SPECIMEN, "measured: 31 mm", "measured: 3000 mm"),
        (TRAITS, 'from: "1939"', 'from: "1914"'),
        (TRAITS, 'from: "1939"', 'from: "1971"'),
        (MODELS, '["1936/1942"]', '["1936/1942", "1910/1912"]'),
        (MODELS, '["1936/1942"]', '["../1941"]'),
    ],
)
def test_a_name_that_stands_is_taken(name: str, old: str, new: str, small: SmallBase) -> None:
    small.change(name, old, new)
    assert list(small.read().makers) == ["finch_works"]


def test_a_family_cannot_take_the_word_for_every_variant(small: SmallBase) -> None:
    place = small.change(MODELS, "finch:\n  label", "▶all:\n  label")
    said = "a family cannot be called 'all', the word for every variant. Choose another id."
    assert f"{place}: {said}" in small.refusals()


def test_a_specimens_id_stands_once_in_a_folder(small: SmallBase) -> None:
    text = (small.root / SPECIMEN).read_text(encoding="utf-8")
    small.write("finch_works/specimens/sp-2.yaml", text)
    said = "the file of 'sp-1' is called sp-2.yaml. Call it sp-1.yaml, or write the id it has."
    assert small.refusals() == [f"finch_works/specimens/sp-2.yaml:1:5: {said}"]


def test_what_is_told_apart_below_a_millimetre_may_be_measured_there(small: SmallBase) -> None:
    small.change(FEATURES, 'shallow: "..19", deep: "19.."', 'shallow: "..0.32", deep: "0.32.."')
    small.change(SPECIMEN, "measured: 31 mm", "measured: 0.66 mm")
    assert list(small.read().makers) == ["finch_works"]


def rivals(count: int) -> str:
    """So many statements about one feature, each against the one before it."""
    lines = [
        f"- {{id: r-{n:02}, feature: base, of: [finch], value: legs, certainty: disputed, sources: [cat-38]"
        + (f", against: [r-{n - 1:02}]}}\n" if n else "}\n")
        for n in range(count)
    ]
    return "".join(lines)


def test_more_rivals_than_can_be_weighed_are_refused_at_the_first_too_many(small: SmallBase) -> None:
    small.write(TRAITS, rivals(11))
    column = rivals(11).splitlines()[10].index("[r-09") + 1
    assert small.refusals() == [
        f"{TRAITS}:11:{column}: 11 statements about base of finch_plain are in dispute, more than 10. "
        "Retire those that are settled, or part them by 'of'."
    ]


def test_ten_rivals_are_weighed(small: SmallBase) -> None:
    small.write(TRAITS, rivals(10))
    assert len(small.read().makers["finch_works"].traits) == 10


def test_rivals_that_are_retired_are_not_counted(small: SmallBase) -> None:
    small.write(TRAITS, rivals(11).replace("against: [r-09]", "status: retired, against: [r-09]"))
    assert len(small.read().makers["finch_works"].traits) == 11


def test_as_many_rivals_are_read_as_are_weighed() -> None:
    assert limits.MOST_RIVALS == statements.MOST_RIVALS


def test_two_makers_may_use_the_same_id_for_a_statement(small: SmallBase) -> None:
    for name in ("maker", "sources", "models", "traits"):
        text = (small.root / "finch_works" / f"{name}.yaml").read_text(encoding="utf-8")
        small.write(f"wren_works/{name}.yaml", text.replace("finch_works", "wren_works").replace("sp-1", "cat-38"))
    base = small.read()
    assert base.makers["wren_works"].traits[0].id == base.makers["finch_works"].traits[0].id


def test_rules_and_statements_have_ids_of_their_own(small: SmallBase) -> None:
    rule = (small.root / RULES).read_text(encoding="utf-8")
    small.write(RULES, rule + rule)
    assert small.refusals() == [f"{RULES}:6:7: duplicate id 'fw-r01', first used at line 1. {PERMANENT}"]


def test_features_that_need_each_other_in_a_circle_are_each_told(small: SmallBase) -> None:
    first = small.change(
        FEATURES,
        "values: {absent: {}, present: {}}",
        "values: {absent: {}, present: {}}\n  needs: ▶{drip_pan_depth: deep}",
    )
    told = small.refusals()
    assert f"{first}: 'drip_pans' needs itself in a circle. Break the circle." in told
    assert any("'drip_pan_depth' needs itself in a circle." in problem for problem in told)
