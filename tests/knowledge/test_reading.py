"""A base is read whole, or every mistake in it is told at its place with what to do."""

# ruff: noqa: E501 - a message under test stands on one line, as a curator reads it
from __future__ import annotations

import os
from pathlib import Path

import pytest
from hobmark.files import SIZE_LIMIT

from .small_base import FILES, SmallBase

FEATURES, TRAITS, RULES = "features.yaml", "finch_works/traits.yaml", "finch_works/rules.yaml"
MODELS, MAKER, SPECIMEN = "finch_works/models.yaml", "finch_works/maker.yaml", "finch_works/specimens/sp-1.yaml"
links = pytest.mark.skipif(os.name != "posix", reason="links as POSIX has them")


def test_a_valid_base_is_read_whole(small: SmallBase) -> None:
    base = small.read()
    folder = base.makers["finch_works"]
    assert [len(part) for part in (base.assemblies, base.features, base.cautions)] == [3, 6, 1]
    assert [len(part) for part in (folder.sources, folder.variants, folder.traits, folder.rules)] == [1, 2, 3, 1]
    assert [specimen.id for specimen in folder.specimens] == ["sp-1"]


@pytest.mark.parametrize("name", [RULES, TRAITS, "reference/cautions.yaml"])
def test_a_base_may_lack_a_file_that_nothing_rests_on(name: str, small: SmallBase) -> None:
    (small.root / name).unlink()
    assert list(small.read().makers) == ["finch_works"]


def test_a_folder_without_a_maker_file_is_no_maker(small: SmallBase) -> None:
    small.write("notes/anything.yaml", "{")
    assert list(small.read().makers) == ["finch_works"]


def test_a_place_is_counted_from_one(small: SmallBase) -> None:
    small.change(TRAITS, "value: porcelain", "value: porcelian")
    assert small.refusals() == [
        "finch_works/traits.yaml:1:61: unknown value 'porcelian' for dial_material. Did you mean 'porcelain'?"
    ]


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        (TRAITS, "certainty: attested", "certainty: ▶atested", "unknown word 'atested' for certainty. Did you mean 'attested'?"),
        (TRAITS, "certainty: inferred", "certainty: ▶sure", "unknown word 'sure' for certainty. Write one of: attested, inferred, recollected, disputed."),
        (TRAITS, "absent: usually", "absent: ▶usualy", "unknown word 'usualy' for absent. Did you mean 'usually'?"),
        (TRAITS, "run_out: 6 months", "▶runout: 6 months", "unknown field 'runout'. Did you mean 'run_out'?"),
        (TRAITS, "run_out: 6 months", "run_out: ▶half a year", "'half a year' is not a run-out. Write a number of months up to 120, as 12 months."),
        (TRAITS, "certainty: recollected", "▶sertainty: recollected", "unknown field 'sertainty'. Did you mean 'certainty'?"),
        (TRAITS, "- id: fw-t002\n", "- id: ▶T 2\n", "'T 2' for id is not in the form it must have. The comment at the head of the file says how to write it."),
        (TRAITS, ", sources: [cat-38:3]", ", sources: ▶[]", "sources has too few entries. Give at least 1."),
        (TRAITS, "- {id: fw-t001, feature: dial_material, of: [finch], ", "- ▶{id: fw-t001, feature: dial_material, ", "'of' is missing. Add it."),
        (TRAITS, "certainty: recollected", "made: ▶[1931/1942]\n  certainty: recollected", "a statement's 'made' is one date, not a list. Write made: \"1931/1942\", in quotes."),
        (TRAITS, 'from: "1939"', "from: ▶[1938..1939]", "a list stands where one date should. Put the date in quotes, as \"1931/1942\"."),
        (TRAITS, 'from: "1939"', 'from: ▶"1941-1939"', "'1941-1939' is not an EDTF date. Write 1939/1941 (lasting) or [1939..1941] (one of)."),
        (TRAITS, 'from: "1939"', 'from: ▶"1941/1939"', "'1941/1939' ends before it starts. Write the earlier date first."),
        (TRAITS, "value: porcelain, ", "value: porcelain, ▶why: not, ", "unknown field 'why'. The fields here are: id, feature, of, value, how, values, run, made, certainty, sources, against, status, …."),
        (MODELS, '["1936/1942"]', '[▶"1936-1942"]', "'1936-1942' is not an EDTF date. Write 1936/1942 (lasting) or [1936..1942] (one of)."),
        (MODELS, '{from: "1938", to: "[1941..1942]"}', '▶{from: "1943", to: "[1941..1942]"}', "'[1941..1942]' ends before '1943' starts. Write the earlier date as 'from'."),
        (MODELS, '{from: "1938", to', '▶{from: "../1938", to', "'../1938' leaves the start open. Write a first year, as [1931..1932]."),
        (MAKER, "label: Finch Works", "label: Finch Works\n▶noted: x", "unknown field 'noted'. Did you mean 'note'?"),
        (RULES, "when: {all: [{dial_skirt: steel}", "when: ▶{all: [{}", "a condition is empty. Write {feature: value}."),
        (RULES, "is: phenolic}", "▶iss: phenolic}", "unknown field 'iss'. Did you mean 'is'?"),
        (RULES, "then: [{feature", "then: [{▶remrk: x}, {feature", "unknown field 'remrk'. Did you mean 'remark'?"),
        (RULES, 'not_before: "1939"', 'not_before: ▶"193"', "'193' is not an EDTF date. Write a year, as 1939, 1939~ (about), 1939/1941 (lasting) or [1939..1941] (one of)."),
        (SPECIMEN, "measured: 31 mm", "measured: ▶31", "'31' is not a length. Write it with its unit, as 31 mm or 1 1/4 in."),
        (SPECIMEN, "{feature: drip_pans, is_not", "▶{feature: drip_pans, unseen: true, is_not", "a feature has one reading. Write one of 'is', 'is_not', 'measured', 'unseen', 'removed'."),
        (FEATURES, "  measure: {unit: mm", "  measure: {unit: ▶ft", "unknown word 'ft' for unit. Write one of: mm, in."),
        ("assemblies.yaml", "swapped: often", "swapped: ▶offen", "unknown word 'offen' for swapped. Did you mean 'often'?"),
        ("wording.yaml", "often: {always: 0.99", "often: {always: ▶1.99", "'1.99' for always is too large. Write 1 or less."),
        ("wording.yaml", "usually: 0.85", "usually: ▶most", "'most' for usually is not a number. Write it in digits alone, such as 12."),
        ("reference/cautions.yaml", "status: single", "status: ▶singel", "unknown word 'singel' for status. Did you mean 'single'?"),
        ("finch_works/sources.yaml", 'date: "1938"', 'date: ▶"spring 1938"', "'spring 1938' is not an EDTF date. Write 1938, 1938~ (about) or 1938/.. (from then on)."),
        (RULES, "because: The", "because: ▶!str The", "words that begin with ! are not read. Remove it, or put the text in quotes."),
        (SPECIMEN, "maker: finch_works", "maker: finch_works\n▶id: sp-2", "the field 'id' stands twice, first at line 1. Keep one of them."),
    ],
)  # fmt: skip
def test_a_mistake_is_told_at_its_place_with_its_remedy(
    name: str, old: str, new: str, said: str, small: SmallBase
) -> None:
    place = small.change(name, old, new)
    assert small.refusals() == [f"{place}: {said}"]


def test_every_problem_of_a_run_is_told_in_file_order(small: SmallBase) -> None:
    places = [
        small.change(TRAITS, "of: [all]", "of: [▶al]"),
        small.change(TRAITS, "value: porcelain", "value: ▶pottery"),
        small.change(SPECIMEN, "variant: finch_plain", "variant: ▶finch_plane"),
        small.change(FEATURES, "assembly: oven_control\n  ask: Is there a skirt?", "assembly: ▶oven\n  ask: Is there a skirt?"),
        small.change(RULES, "dial_skirt: steel", "dial_skirt: ▶steal"),
    ]  # fmt: skip
    told = [problem.rpartition(": ")[0].split(": ")[0] for problem in small.refusals()]
    assert told == [places[3], places[4], places[2], places[1], places[0]]


def test_a_mistake_in_a_common_file_hides_none_in_a_makers_own(small: SmallBase) -> None:
    common = small.change(
        FEATURES, "access: glance\n  values: {absent: {}, steel", "access: ▶near\n  values: {absent: {}, steel"
    )
    own = small.change(TRAITS, "certainty: attested", "certainty: ▶atested")
    assert [problem.split(": ")[0] for problem in small.refusals()] == [common, own]


def test_a_path_is_told_as_a_person_standing_there_would_type_it(
    small: SmallBase, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(small.root.parent)
    syntax = small.change(RULES, "because: The", "because: ▶!str The")
    word = small.change(TRAITS, "certainty: attested", "certainty: ▶atested")
    assert [problem.split(": ")[0] for problem in small.refusals()] == [f"base/{syntax}", f"base/{word}"]


def test_a_file_over_the_limit_is_refused(small: SmallBase) -> None:
    small.write(TRAITS, "#" * (SIZE_LIMIT + 1))
    assert small.refusals() == [f"{TRAITS}:1:1: the file is larger than 5 MiB. Split it into smaller files."]


def test_a_file_that_is_no_text_is_refused(small: SmallBase) -> None:
    (small.root / RULES).write_bytes(b"- id: \xff")
    assert small.refusals() == [f"{RULES}:1:7: the file is not UTF-8 text. Save it again as UTF-8."]


@links
@pytest.mark.parametrize("name", [TRAITS, SPECIMEN, FEATURES, "wording.yaml", "reference/cautions.yaml", MAKER])
def test_a_link_out_of_the_base_is_refused(name: str, small: SmallBase, tmp_path: Path) -> None:
    outside = tmp_path / "outside.yaml"
    (small.root / name).rename(outside)
    (small.root / name).symlink_to(outside)
    assert f"{name}:1:1: this leads out of its folder. Put the file itself there, not a link to it." in small.refusals()


@links
def test_a_maker_folder_that_is_a_link_out_of_the_base_is_refused(small: SmallBase, tmp_path: Path) -> None:
    (small.root / "finch_works").rename(tmp_path / "elsewhere")
    (small.root / "finch_works").symlink_to(tmp_path / "elsewhere")
    assert all("this leads out of its folder." in problem for problem in small.refusals())


@links
@pytest.mark.parametrize("name", [TRAITS, "wording.yaml", "reference/cautions.yaml"])
def test_a_link_that_leads_nowhere_is_refused_not_passed_over(name: str, small: SmallBase) -> None:
    (small.root / name).unlink()
    (small.root / name).symlink_to(small.root / "gone.yaml")
    assert f"{name}:1:1: there is no such file or folder. Check the spelling and the folder." in small.refusals()


@links
def test_a_link_inside_the_base_is_followed(small: SmallBase) -> None:
    (small.root / "notes").mkdir()
    (small.root / TRAITS).rename(small.root / "notes" / "kept.yaml")
    (small.root / TRAITS).symlink_to(small.root / "notes" / "kept.yaml")
    assert len(small.read().makers["finch_works"].traits) == 3


@pytest.mark.parametrize("name", [name for name in FILES if name not in ("reference/cautions.yaml", TRAITS, RULES)])
def test_a_file_emptied_is_told_by_what_it_lacks(name: str, small: SmallBase) -> None:
    small.write(name, "")
    assert small.refusals()


def test_an_emptied_list_of_cautions_is_none(small: SmallBase) -> None:
    small.write("reference/cautions.yaml", "# none\n")
    assert not small.read().cautions


@pytest.mark.parametrize(("name", "part"), [(TRAITS, "traits"), (RULES, "rules")])
@pytest.mark.parametrize("text", ["", "# none yet\n"], ids=["empty", "only a comment"])
def test_an_emptied_list_of_statements_or_rules_is_none(name: str, part: str, text: str, small: SmallBase) -> None:
    small.write(name, text)
    assert getattr(small.read().makers["finch_works"], part) == ()


def test_statements_without_a_dash_are_told_to_begin_with_one(small: SmallBase) -> None:
    small.write(TRAITS, "id: fw-t001\nfeature: drip_pans\n")
    assert small.refusals() == [
        f"{TRAITS}:1:1: the whole is a set of fields where a list should stand. Begin each entry with '- '."
    ]


def test_a_mistake_in_one_statement_hides_none_in_another(small: SmallBase) -> None:
    shape = small.change(TRAITS, "certainty: attested", "certainty: ▶atested")
    name = small.change(TRAITS, "of: [all]", "of: [▶al]")
    assert [problem.split(": ")[0] for problem in small.refusals()] == [shape, name]


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        (TRAITS, "certainty: attested", "certainty: ▶atested"),
        (MODELS, '["1936/1942"]', '[▶"1936-1942"]'),
        (MODELS, "  label: Finch\n  variants", "  lable: Finch\n  variants"),
        ("finch_works/sources.yaml", 'date: "1938"', 'date: ▶"spring 1938"'),
        ("finch_works/sources.yaml", "cat-38: {", "▶cat-38: {{"),
        (SPECIMEN, 'date: "2019"', 'date: ▶"late"'),
        (RULES, "is: phenolic}", "▶iss: phenolic}"),
    ],
)
def test_an_entry_with_a_mistake_in_it_still_stands_for_those_that_name_it(
    name: str, old: str, new: str, small: SmallBase
) -> None:
    small.change(name, old, new)
    assert len(small.refusals()) == 1


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("finch_works/trait.yaml", "'trait.yaml' is not read here. Did you mean 'traits.yaml'?"),
        ("finch_works/rules.yml", "'rules.yml' is not read here. Did you mean 'rules.yaml'?"),
        ("finch_works/Traits.YAML", "'Traits.YAML' is not read here. Did you mean 'traits.yaml'?"),
        ("finch_works/specimens/sp-2.yml", "'specimens/sp-2.yml' is not read here. Did you mean 'specimens/sp-2.yaml'?"),
        ("finch_works/specimens/2019/sp-2.yaml", "'specimens/2019/sp-2.yaml' is not read here. Did you mean 'specimens/sp-2.yaml'?"),
        ("finch_works/specimen/sp-2.yaml", "'specimen/sp-2.yaml' is not read here. Did you mean 'specimens/sp-2.yaml'?"),
        ("finch_works/cases/one.yml", "'cases/one.yml' is not read here. Did you mean 'cases/one.yaml'?"),
        ("feature.yaml", "'feature.yaml' is not read here. Did you mean 'features.yaml'?"),
        ("makers.yaml", "'makers.yaml' is not read here. Read here: wording.yaml, assemblies.yaml, features.yaml. Move it out of the base, or let its name not end in .yaml."),
        ("reference/caution.yaml", "'reference/caution.yaml' is not read here. Did you mean 'reference/cautions.yaml'?"),
        ("wren_works/traits.yaml", "'traits.yaml' is not read without a maker.yaml beside it. Add a maker.yaml."),
        ("wren_works/maker.yml", "'maker.yml' is not read here. Did you mean 'maker.yaml'?"),
    ],
)  # fmt: skip
def test_a_file_that_nothing_reads_is_told(name: str, said: str, small: SmallBase) -> None:
    small.write(name, "{}")
    assert small.refusals() == [f"{name}:1:1: {said}"]


@pytest.mark.parametrize(
    "name", ["finch_works/NOTES.md", "finch_works/.traits.yaml", "finch_works/cases/one.yaml", "notes/one.yaml"]
)
def test_a_file_that_no_curator_takes_for_read_is_left_alone(name: str, small: SmallBase) -> None:
    small.write(name, "{")
    assert list(small.read().makers) == ["finch_works"]
