"""The shipped knowledge itself: what a curator relies on in every file of it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
import yaml
from hobmark.case import Case, read_case
from hobmark.curating.cases import case_paths
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root, maker_folders
from hobmark.knowledge.schema.rules import BoundConclusion, FeatureConclusion, Rule

ROOT = knowledge_root()
MAKERS = [folder.name for folder in maker_folders(ROOT)]
FILES = sorted(str(path.relative_to(ROOT)) for path in ROOT.rglob("*.yaml"))
STATEMENT_IDS = {"brindlemere": r"bm-t\d{3}", "wexcombe": r"wx-t\d{3}"}
SETUP_IDS = {"brindlemere": r"bm-u\d{2}", "wexcombe": r"wx-u\d{2}"}
RULE_IDS = {"brindlemere": r"bm-r\d{2,3}", "wexcombe": r"wx-r\d{2,3}"}
SPECIMEN_IDS = {"brindlemere": r"sp-\d{4}", "wexcombe": r"sp-w\d{2}"}
# Rules speak of these, and no statement may: a look would otherwise count twice.
EVIDENCE_FEATURES = {
    *("back_stamp", "hinge_pin", "top_rim", "lead_entry", "burner_bracket", "valve_stop", "regulator", "dial_skirt"),
    *("control_mark", "badge_fixing", "screw_heads", "leveller", "insulation", "enamel_thickness"),
}
SKETCH_COLUMNS, SKETCH_LINES = 16, 5

each_file = pytest.mark.parametrize("name", FILES)
each_maker = pytest.mark.parametrize("maker", MAKERS)


class Named(NamedTuple):
    """One entry of one maker."""

    maker: str
    id: str


@cache
def shipped() -> KnowledgeBase:
    return read_base([ROOT])


@cache
def cases() -> dict[str, Case]:
    return {path.stem: read_case(path, shipped()).case for path in case_paths([ROOT])}


def listed(maker: str, name: str) -> list[str]:
    """Ids in the order one of a maker's lists has them, as written."""
    text = (ROOT / maker / f"{name}.yaml").read_text(encoding="utf-8")
    return [entry["id"] for entry in yaml.load(text, yaml.BaseLoader)]


def variants() -> list[Named]:
    """Every variant, read without the checks so that they can be named before a test runs."""
    found = []
    for maker in MAKERS:
        models = yaml.load((ROOT / maker / "models.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)
        found += [Named(maker, variant) for family in models.values() for variant in family["variants"]]
    return found


def features() -> list[str]:
    """Every feature, as written."""
    return list(yaml.load((ROOT / "features.yaml").read_text(encoding="utf-8"), yaml.BaseLoader))


def opening(name: str) -> str:
    """The comment a file opens with."""
    lines = (ROOT / name).read_text(encoding="utf-8").splitlines()
    upto = next((place for place, line in enumerate(lines) if not line.startswith("#")), len(lines))
    return "\n".join(lines[:upto])


def fields_of(name: str) -> set[str]:
    """The names of the fields a file's entries use, but not the ids among them."""
    whole = yaml.load((ROOT / name).read_text(encoding="utf-8"), yaml.BaseLoader)
    short = Path(name).name
    if short == "models.yaml":
        by_family = [variant for family in whole.values() for variant in family["variants"].values()]
        return used([*whole.values(), *by_family])
    if Path(name).parent.name == "specimens":
        return used([whole, *whole["observations"]])
    if short in ("wording.yaml", "maker.yaml"):
        return set(whole)
    if short == "faults.yaml":
        return {*whole, *used(entry for part in whole.values() if isinstance(part, dict) for entry in part.values())}
    if short == "fuel.yaml":
        return {*whole, *used(whole["clues"].values())}
    return used(whole if isinstance(whole, list) else whole.values())


def used(entries: Iterable[dict[str, object]]) -> set[str]:
    return {field for entry in entries for field in entry}


def weighs(rule: Rule) -> bool:
    return any(isinstance(conclusion, FeatureConclusion | BoundConclusion) for conclusion in rule.then)


@each_file
def test_a_file_opens_with_a_comment(name: str) -> None:
    assert opening(name)


@pytest.mark.parametrize("name", [name for name in FILES if "/cases/" not in name])
def test_the_opening_comment_defines_every_field_the_file_uses(name: str) -> None:
    comment = opening(name)
    if name == "wording.yaml":  # each of its tables has its comment just above it
        comment = "\n".join(re.findall("^#.*", (ROOT / name).read_text(encoding="utf-8"), re.M))
    undefined = {field for field in fields_of(name) if not re.search(rf"\b{field}\b", comment, re.IGNORECASE)}
    assert not undefined


@each_file
def test_a_file_is_named_in_small_letters_and_ends_with_a_line_end(name: str) -> None:
    assert re.fullmatch(r"([a-z0-9_-]+/)*[a-z0-9_-]+\.yaml", name)
    assert (ROOT / name).read_text(encoding="utf-8").endswith("\n")


@pytest.mark.parametrize("name", ["traits", "rules"])
@each_maker
def test_ids_are_sorted_and_stand_once(maker: str, name: str) -> None:
    ids = listed(maker, name)
    assert ids == sorted(set(ids))


@each_maker
def test_statements_of_setting_up_are_called_by_maker_and_number_and_are_sorted(maker: str) -> None:
    ids = listed(maker, "setup")
    assert ids == sorted(set(ids))
    assert not [name for name in ids if not re.fullmatch(SETUP_IDS[maker], name)]


@each_maker
def test_statements_are_called_by_maker_and_number(maker: str) -> None:
    assert not [name for name in listed(maker, "traits") if not re.fullmatch(STATEMENT_IDS[maker], name)]


@each_maker
def test_rules_are_called_by_maker_and_number(maker: str) -> None:
    assert not [name for name in listed(maker, "rules") if not re.fullmatch(RULE_IDS[maker], name)]


@each_maker
def test_specimens_are_called_by_number_and_so_are_their_files(maker: str) -> None:
    names = [path.stem for path in (ROOT / maker / "specimens").glob("*.yaml")]
    assert not [name for name in names if not re.fullmatch(SPECIMEN_IDS[maker], name)]
    assert {specimen.id for specimen in shipped().makers[maker].specimens} == set(names)


@each_maker
def test_a_maker_says_that_it_is_invented(maker: str) -> None:
    assert shipped().makers[maker].maker.invented


@each_maker
def test_a_maker_is_called_as_its_folder(maker: str) -> None:
    assert shipped().makers[maker].maker.id == maker


@each_maker
def test_every_statement_and_rule_has_a_source(maker: str) -> None:
    folder = shipped().makers[maker]
    assert not [entry.id for entry in (*folder.traits, *folder.rules) if not entry.sources]


@each_maker
def test_every_specimen_that_is_cited_stands(maker: str) -> None:
    folder = shipped().makers[maker]
    entries = (*folder.traits, *folder.rules, *folder.variants.values())
    cited = {source.partition(":")[0] for entry in entries for source in entry.sources}
    assert not {name for name in cited if name.startswith("sp-")} - {specimen.id for specimen in folder.specimens}


@each_maker
def test_every_source_is_cited(maker: str) -> None:
    folder = shipped().makers[maker]
    entries = (
        *folder.traits,
        *folder.rules,
        *folder.variants.values(),
        *folder.parts,
        *folder.fit_rules,
        *folder.setup,
    )
    assert not set(folder.sources) - {source.partition(":")[0] for entry in entries for source in entry.sources}


def test_there_is_enough_to_look_at() -> None:
    looked_at = {feature.assembly for feature in shipped().features.values()}
    assert len(shipped().features) >= 44
    assert len(looked_at) >= 12


def test_every_assembly_has_something_to_look_at() -> None:
    assert not set(shipped().assemblies) - {feature.assembly for feature in shipped().features.values()}


def test_one_assembly_is_the_range() -> None:
    assert [name for name, assembly in shipped().assemblies.items() if assembly.is_the_range] == ["body"]


def test_twenty_features_or_more_have_a_sketch_for_every_value() -> None:
    drawn = [
        name
        for name, feature in shipped().features.items()
        if all(value in feature.values and feature.values[value].sketch for value in feature.value_ids)
    ]
    assert len(drawn) >= 20


@pytest.mark.parametrize("feature", features())
def test_a_sketch_is_plain_and_fits_its_box(feature: str) -> None:
    sketches = [value.sketch for value in shipped().features[feature].values.values() if value.sketch]
    lines = [line for sketch in sketches for line in sketch.splitlines()]
    assert all(sketch.isascii() and len(sketch.splitlines()) <= SKETCH_LINES for sketch in sketches)
    assert not [line for line in lines if len(line) > SKETCH_COLUMNS]


@pytest.mark.parametrize("feature", features())
def test_no_two_values_of_a_feature_have_the_same_words(feature: str) -> None:
    entry = shipped().features[feature]
    labels = [entry.value_label(value) for value in entry.value_ids]
    assert len(set(labels)) == len(labels)


@pytest.mark.parametrize("feature", features())
def test_no_word_of_a_seller_means_two_values_of_a_feature(feature: str) -> None:
    said = [words.casefold() for value in shipped().features[feature].values.values() for words in value.says]
    assert sorted(set(said)) == sorted(said)


def test_the_evidence_features_are_marked_as_such() -> None:
    marked = re.findall(r"^(\w+): +# Evidence feature$", (ROOT / "features.yaml").read_text(encoding="utf-8"), re.M)
    assert set(marked) == EVIDENCE_FEATURES


@each_maker
def test_no_statement_speaks_of_an_evidence_feature(maker: str) -> None:
    assert not [trait.id for trait in shipped().makers[maker].traits if trait.feature in EVIDENCE_FEATURES]


@each_maker
def test_a_rule_that_weighs_tests_nothing_observed_of_which_a_statement_speaks(maker: str) -> None:
    folder = shipped().makers[maker]
    stated = folder.stated_features - folder.concluded_features
    assert not {rule.id: rule.tested & stated for rule in folder.acting_rules if weighs(rule) and rule.tested & stated}


@pytest.mark.parametrize("variant", variants(), ids="/".join)
def test_every_variant_has_a_case_that_must_come_to_it(variant: Named) -> None:
    keys = shipped().variant_keys
    expected = [case.expect.variant for case in cases().values() if case.expect is not None]
    assert tuple(variant) in {keys[name] for name in expected if name is not None}


@pytest.mark.parametrize("variant", variants(), ids="/".join)
def test_every_variant_has_a_specimen(variant: Named) -> None:
    assert variant.id in {specimen.known.variant for specimen in shipped().makers[variant.maker].specimens}


@pytest.mark.parametrize("name", [name for name in FILES if "/cases/" in name])
def test_a_kept_case_says_what_it_must_come_to(name: str) -> None:
    assert cases()[Path(name).stem].expect is not None


def test_kept_cases_have_names_of_their_own() -> None:
    assert len(cases()) == len(case_paths([ROOT]))
