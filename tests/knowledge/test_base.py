"""Looking things up in a base, and the base without some of its entries."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.knowledge.base import KnowledgeBase, MakerFolder
from hobmark.knowledge.schema.rules import FeatureConclusion

from .small_base import SmallBase

TRAITS, MODELS = "finch_works/traits.yaml", "finch_works/models.yaml"


@pytest.fixture
def base(small: SmallBase) -> KnowledgeBase:
    return small.read()


@pytest.fixture
def folder(base: KnowledgeBase) -> MakerFolder:
    return base.makers["finch_works"]


@pytest.fixture
def two_makers(small: SmallBase) -> KnowledgeBase:
    """Finch Works beside Wren Works, which also makes a `finch_plain`."""
    small.write("wren_works/maker.yaml", 'id: wren_works\nlabel: Wren Works\nlife: "1930/1950"\n')
    small.write("wren_works/sources.yaml", "list-1: {kind: list, title: List}\n")
    small.write(
        "wren_works/models.yaml",
        """\
wren:
  label: Wren
  variants:
    finch_plain: {label: Wren Finch, made: ["1936"], sources: [list-1]}
    wren_plain: {label: Wren, made: ["1937"], sources: [list-1]}
""",
    )
    return small.read()


def test_a_variant_is_found_by_its_maker_and_id(base: KnowledgeBase) -> None:
    assert base.variant("finch_works", "finch_deluxe").label == "Finch De Luxe"


def test_a_variant_has_its_words(base: KnowledgeBase) -> None:
    assert base.variant_label("finch_works", "finch_plain") == "Finch"


def test_a_variant_that_is_not_there_is_a_key_error(base: KnowledgeBase) -> None:
    with pytest.raises(KeyError):
        base.variant("finch_works", "linnet")


def test_variants_stand_in_file_order(folder: MakerFolder) -> None:
    assert list(folder.variants) == ["finch_plain", "finch_deluxe"]


def test_every_variant_knows_its_family(folder: MakerFolder) -> None:
    assert folder.family_of == {"finch_plain": "finch", "finch_deluxe": "finch"}


@pytest.mark.parametrize(
    ("of", "meant"),
    [
        (("all",), {"finch_plain", "finch_deluxe"}),
        (("finch",), {"finch_plain", "finch_deluxe"}),
        (("finch_plain",), {"finch_plain"}),
        (("finch", "finch_plain"), {"finch_plain", "finch_deluxe"}),
        ((), set()),
    ],
)
def test_a_list_of_names_means_these_variants(of: tuple[str, ...], meant: set[str], folder: MakerFolder) -> None:
    assert folder.variants_meant(of) == meant


def test_stated_tested_and_concluded_features_are_told_apart(folder: MakerFolder) -> None:
    told = (folder.stated_features, folder.tested_features, folder.concluded_features)
    assert told == (
        {"dial_material", "drip_pans"},
        {"dial_skirt", "drip_pans", "drip_pan_depth"},
        {"dial_material"},
    )


def test_a_retired_statement_stays_and_acts_no_more(small: SmallBase) -> None:
    small.change(TRAITS, "certainty: recollected", "certainty: recollected\n  status: retired")
    folder = small.read().makers["finch_works"]
    assert (len(folder.traits), len(folder.acting_traits)) == (3, 2)
    assert "drip_pans" not in folder.stated_features


def test_a_retired_rule_stays_and_acts_no_more(small: SmallBase) -> None:
    small.change("finch_works/rules.yaml", "because:", "status: retired\n  because:")
    folder = small.read().makers["finch_works"]
    assert (len(folder.rules), folder.acting_rules, folder.concluded_features) == (1, (), frozenset())


def test_a_rule_tests_the_features_of_all_its_conditions(folder: MakerFolder) -> None:
    assert folder.rules[0].tested == {"dial_skirt", "drip_pans", "drip_pan_depth"}


def test_a_variant_answers_to_its_short_name_where_one_maker_uses_it(two_makers: KnowledgeBase) -> None:
    assert two_makers.variant_keys["wren_plain"] == ("wren_works", "wren_plain")


def test_a_name_that_two_makers_use_needs_the_maker_before_it(two_makers: KnowledgeBase) -> None:
    assert "finch_plain" not in two_makers.variant_keys


@pytest.mark.parametrize("maker", ["finch_works", "wren_works"])
def test_a_variant_always_answers_to_its_full_name(maker: str, two_makers: KnowledgeBase) -> None:
    assert two_makers.variant_keys[f"{maker}/finch_plain"] == (maker, "finch_plain")


@pytest.mark.parametrize(
    ("what", "field", "left"),
    [
        ({"trait": "finch_works/fw-t003"}, "traits", ["fw-t001", "fw-t002"]),
        ({"rule": "finch_works/fw-r01"}, "rules", []),
        ({"specimen": "finch_works/sp-1"}, "specimens", []),
    ],
)
def test_one_entry_can_be_taken_away(what: dict[str, str], field: str, left: list[str], base: KnowledgeBase) -> None:
    folder = base.without(**what).makers["finch_works"]
    assert [entry.id for entry in getattr(folder, field)] == left


def test_taking_an_entry_away_leaves_the_base_as_it_was(base: KnowledgeBase) -> None:
    base.without(trait="finch_works/fw-t003")
    assert len(base.makers["finch_works"].traits) == 3


def test_taking_an_entry_away_takes_what_was_looked_up_before(base: KnowledgeBase) -> None:
    assert "drip_pans" in base.makers["finch_works"].stated_features
    assert "drip_pans" not in base.without(trait="finch_works/fw-t003").makers["finch_works"].stated_features


def test_the_same_id_of_another_maker_stays(two_makers: KnowledgeBase) -> None:
    assert len(two_makers.without(trait="wren_works/fw-t003").makers["finch_works"].traits) == 3


def test_variants_can_be_made_unknown(base: KnowledgeBase) -> None:
    folder = base.without_variants("finch_works", frozenset({"finch_deluxe"})).makers["finch_works"]
    assert list(folder.variants) == ["finch_plain"]


def test_statements_about_nothing_but_unknown_variants_go_with_them(base: KnowledgeBase) -> None:
    folder = base.without_variants("finch_works", frozenset({"finch_deluxe"})).makers["finch_works"]
    assert [trait.id for trait in folder.traits] == ["fw-t001", "fw-t003"]


def test_statements_about_others_too_keep_the_others(small: SmallBase) -> None:
    small.change(TRAITS, "of: [finch_deluxe]", "of: [finch_deluxe, finch_plain]")
    folder = small.read().without_variants("finch_works", frozenset({"finch_deluxe"})).makers["finch_works"]
    assert folder.traits[1].of == ("finch_plain",)


def test_a_family_without_variants_goes_and_so_do_its_statements(small: SmallBase) -> None:
    wren = '\nwren:\n  label: Wren\n  variants: {wren_plain: {label: Wren, made: ["1937"], sources: [cat-38]}}\n'
    small.write(MODELS, (small.root / MODELS).read_text(encoding="utf-8") + wren)
    folder = small.read().without_variants("finch_works", frozenset({"finch_plain", "finch_deluxe"}))
    assert list(folder.makers["finch_works"].families) == ["wren"]
    assert [trait.id for trait in folder.makers["finch_works"].traits] == ["fw-t003"]


def test_specimens_of_unknown_variants_go(base: KnowledgeBase) -> None:
    assert not base.without_variants("finch_works", frozenset({"finch_plain"})).makers["finch_works"].specimens


def test_a_maker_of_whom_no_variant_is_left_goes(two_makers: KnowledgeBase) -> None:
    left = two_makers.without_variants("wren_works", frozenset({"finch_plain", "wren_plain"}))
    assert list(left.makers) == ["finch_works"]


def test_look_ups_follow_when_variants_go(two_makers: KnowledgeBase) -> None:
    assert "finch_plain" not in two_makers.variant_keys
    left = two_makers.without_variants("wren_works", frozenset({"finch_plain"}))
    assert left.variant_keys["finch_plain"] == ("finch_works", "finch_plain")


def test_a_base_is_frozen(base: KnowledgeBase) -> None:
    with pytest.raises(ValueError, match="frozen"):
        base.makers = {}  # type: ignore[misc]


def test_a_base_restored_from_what_it_dumps_is_the_same(base: KnowledgeBase) -> None:
    dumped = base.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    restored = KnowledgeBase.model_validate(dumped, context={"trusted": True})
    assert restored.model_dump() == base.model_dump()
    assert isinstance(restored.makers["finch_works"].rules[0].then[0], FeatureConclusion)


def test_reading_twice_gives_the_same(small: SmallBase, tmp_path: Path) -> None:
    assert small.read() == SmallBase(tmp_path / "again").read()
