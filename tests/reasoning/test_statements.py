"""What statements say of a variant: specific before general, rivals by certainty, running changes, remainders."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hobmark.knowledge.schema.works import Trait
from hobmark.reasoning.factory import used_values
from hobmark.reasoning.statements import camps_of, level_of, spoken_of

from .small_base import base_of, feature, said, works

VALUES = ("finger", "square", "ring", "star")
FAMILIES = {"heron": {"heron_plain": {}, "heron_deluxe": {}}, "plover": {"plover_plain": {}}}
ELSEWHERE = said("grate", "plover_plain", values={"square": "often", "ring": "often"}, id="elsewhere")
"""So that the maker is known to have used square and ring besides what a test's statements name."""


def joined(*traits: Any, variant: str = "heron_plain", life: str = "1937/1941") -> tuple[np.ndarray, np.ndarray]:
    """D of all camps averaged by kappa, shape (years, values), and kappa summed by year."""
    folder = works(FAMILIES, traits=traits, life=life)
    base = base_of({"grate": feature("iron", *VALUES)}, folder)
    first, last = (int(year) for year in life.split("/"))
    years = np.arange(first, last + 1)
    spoken = spoken_of(base, folder, folder.acting_traits, variant, base.features["grate"], years)
    camps = camps_of(spoken, used_values(base, folder, "grate"))
    kappa = sum((camp.kappa for camp in camps), np.zeros(len(years)))
    total = sum((camp.kappa * camp.distribution for camp in camps), np.zeros((len(VALUES), len(years))))
    return (total / np.maximum(kappa, 1e-300)).T, kappa


def first_year(*traits: Any, **more: Any) -> list[float]:
    return list(joined(*traits, **more)[0][0])


# One statement


def test_a_named_value_takes_its_words_number() -> None:
    assert first_year(said("grate", "heron", "finger", how="usually"), ELSEWHERE)[0] == pytest.approx(0.85)


def test_what_is_left_over_goes_evenly_to_the_values_the_maker_used() -> None:
    found = first_year(said("grate", "heron", "finger", how="usually"), ELSEWHERE)
    assert found[1:] == pytest.approx([0.075, 0.075, 0])


def test_without_a_word_a_value_is_always_there() -> None:
    assert first_year(said("grate", "heron", "finger"), ELSEWHERE)[0] == pytest.approx(0.99)


def test_a_value_that_never_was_leaves_nearly_all_to_the_others() -> None:
    found = first_year(said("grate", "heron", "finger", how="never"), ELSEWHERE)
    assert found == pytest.approx([0.005, 0.4975, 0.4975, 0])


def test_a_value_that_is_only_ever_denied_is_not_one_the_maker_used() -> None:
    never = said("grate", "plover", "star", how="never")
    assert first_year(said("grate", "heron", "finger", how="usually"), ELSEWHERE, never)[3] == 0


def test_where_every_used_value_is_named_they_share_all() -> None:
    assert first_year(said("grate", "all", "finger", how="usually"))[0] == pytest.approx(1)


def test_words_that_say_more_than_all_share_in_proportion() -> None:
    found = first_year(said("grate", "heron", values={"finger": "usually", "square": "often"}))
    assert found[:2] == pytest.approx([0.85 / 1.45, 0.6 / 1.45])


def test_statements_of_one_level_join_into_one() -> None:
    apart = joined(
        said("grate", "heron", "finger", how="often"), said("grate", "heron", "square", how="sometimes"), ELSEWHERE
    )
    together = joined(said("grate", "heron", values={"finger": "often", "square": "sometimes"}), ELSEWHERE)
    assert apart[0] == pytest.approx(together[0])


def test_statements_that_join_weigh_as_their_mean() -> None:
    attested = said("grate", "heron", "finger", how="often")
    recollected = said("grate", "heron", "square", how="sometimes", certainty="recollected")
    assert joined(attested, recollected)[1][0] == pytest.approx((20 + 5) / 2)


@pytest.mark.parametrize(
    ("certainty", "weight"), [("attested", 20), ("inferred", 10), ("recollected", 5), ("disputed", 2)]
)
def test_a_statement_weighs_by_its_certainty(certainty: str, weight: float) -> None:
    assert joined(said("grate", "heron", "finger", certainty=certainty))[1][0] == weight


# Whom and when it speaks of


@pytest.mark.parametrize(
    ("of", "level"), [("heron_plain", 2), ("heron", 1), ("all", 0), ("plover", None), ("heron_deluxe", None)]
)
def test_a_statement_speaks_at_the_level_it_names(of: str, level: int | None) -> None:
    trait = Trait.model_validate({"id": "t", **said("grate", of, "finger")})
    assert level_of(trait, "heron_plain", "heron") == level


def test_a_statement_of_others_says_nothing() -> None:
    assert joined(ELSEWHERE)[1].sum() == 0


def test_a_retired_statement_says_nothing() -> None:
    assert joined(said("grate", "heron", "finger", status="retired"))[1].sum() == 0


def test_a_draft_speaks_like_any_other() -> None:
    assert joined(said("grate", "heron", "finger", status="draft"))[1][0] == 20


def test_a_dated_statement_speaks_of_its_years_only() -> None:
    assert list(joined(said("grate", "heron", "finger", made="1939/.."))[1]) == [0, 0, 20, 20, 20]


def test_outside_its_years_a_variants_statement_leaves_its_familys() -> None:
    found, _ = joined(said("grate", "heron", "square"), said("grate", "heron_plain", "finger", made="1939/.."))
    assert [row.argmax() for row in found] == [1, 1, 0, 0, 0]


# The specific before the general


def test_a_variants_statement_goes_before_its_familys() -> None:
    found = first_year(said("grate", "heron", "square"), said("grate", "heron_plain", "finger", how="usually"))
    assert found[:2] == pytest.approx([0.85, 0.15])


def test_the_other_variants_keep_their_familys_statement() -> None:
    traits = [said("grate", "heron", "square"), said("grate", "heron_plain", "finger")]
    assert first_year(*traits, variant="heron_deluxe")[1] == pytest.approx(0.99)


def test_what_the_variant_leaves_over_goes_by_family_and_then_by_maker() -> None:
    everyone = said("grate", "all", "ring")  # 0.99; the rest to finger and square
    family = said("grate", "heron", "square", how="often")  # 0.6; the rest by maker
    own = said("grate", "heron_plain", "finger", how="often")  # 0.6; the rest by family
    by_maker = np.array([0.005, 0.005, 0.99])
    by_family = np.array([0.4 * by_maker[0] / by_maker[[0, 2]].sum(), 0.6, 0.4 * by_maker[2] / by_maker[[0, 2]].sum()])
    left = by_family[1:] / by_family[1:].sum() * 0.4
    assert first_year(everyone, family, own)[:3] == pytest.approx([0.6, *left])


def test_the_order_of_statements_does_not_matter() -> None:
    traits = [said("grate", "all", "ring", id="x"), said("grate", "heron_plain", "finger", how="often", id="y")]
    assert first_year(*traits) == pytest.approx(first_year(*reversed(traits)))


# Rivals


def rivals(certainty: str, other: str) -> list[dict[str, Any]]:
    return [
        said("grate", "heron", "finger", id="one", certainty=certainty),
        said("grate", "heron", "square", id="two", certainty=other, against=["one"]),
    ]


@pytest.mark.parametrize(
    ("first", "second", "share"),
    [("attested", "attested", 0.5), ("attested", "recollected", 0.8), ("disputed", "inferred", 2 / 12)],
)
def test_rivals_average_by_certainty(first: str, second: str, share: float) -> None:
    assert first_year(*rivals(first, second))[0] == pytest.approx(share * 0.99 + (1 - share) * 0.01)


def test_rivals_weigh_as_much_as_both_together() -> None:
    assert joined(*rivals("attested", "recollected"))[1][0] == pytest.approx(25)


def test_it_is_enough_that_one_of_two_names_the_other() -> None:
    one_sided = rivals("attested", "recollected")
    both = [{**one_sided[0], "against": ["two"]}, one_sided[1]]
    assert first_year(*one_sided) == pytest.approx(first_year(*both))


def test_a_retired_rival_is_no_rival() -> None:
    kept, gone = rivals("attested", "attested")
    assert first_year(kept, {**gone, "status": "retired"}, ELSEWHERE)[0] == pytest.approx(0.99)


def test_rivals_of_a_third_may_stand_together() -> None:
    first = said("grate", "heron", "finger", how="often", id="one", against=["mid"])
    middle = said("grate", "heron", "square", id="mid")
    last = said("grate", "heron", "ring", how="sometimes", id="three", against=["mid"])
    joint = np.array([0.6, 0.1, 0.3])
    alone = np.array([0.005, 0.99, 0.005])
    assert first_year(first, middle, last)[:3] == pytest.approx((joint + alone) / 2)


def test_a_rival_that_is_silent_leaves_the_other_its_years() -> None:
    one, two = rivals("attested", "attested")
    found, _ = joined(one, {**two, "made": "1939/.."}, ELSEWHERE)
    assert found[:3, 0] == pytest.approx([0.99, 0.99, (0.99 + 0.005) / 2])


def test_in_years_of_which_no_rival_speaks_what_is_not_disputed_stands() -> None:
    calm = said("grate", "heron", "ring", id="calm")
    dated = [{**trait, "made": "1940/.."} for trait in rivals("attested", "recollected")]
    assert joined(calm, *dated)[1][0] == 20


# Running changes


def changed(*after: float) -> list[float]:
    """What `always` makes of a change: 0.99 where it is over, and no remainder in a year that saw both values."""
    return [min(0.99, max(0.01, share)) for share in after]


def run(*changes: tuple[str, str, int], **more: Any) -> np.ndarray:
    steps = [{"from": date, "value": value, "run_out": months} for date, value, months in changes]
    return joined(said("grate", "heron", run=["finger", *steps], **more))[0]


def test_a_change_at_the_turn_of_a_year_parts_the_years_cleanly() -> None:
    assert run(("1939", "square", 0))[:, 1] == pytest.approx([0.01, 0.01, 0.99, 0.99, 0.99])


def test_a_change_in_a_month_parts_its_year_by_months() -> None:
    assert run(("1939-04", "square", 0))[:, 1] == pytest.approx(changed(0, 0, 9 / 12, 1, 1))


def test_old_stock_is_used_up_evenly_over_the_run_out() -> None:
    assert run(("1939", "square", 12))[:, 1] == pytest.approx(changed(0, 0, 0.5, 1, 1))


def test_two_years_of_old_stock_reach_into_the_second_year() -> None:
    assert run(("1939", "square", 24))[:, 1] == pytest.approx(changed(0, 0, 0.25, 0.75, 1))


def test_a_change_of_uncertain_date_is_spread_over_it() -> None:
    assert run(("[1938..1939]", "square", 0))[:, 1] == pytest.approx(changed(0, 0.25, 0.75, 1, 1))


def test_a_run_is_one_statement_however_many_changes_it_has() -> None:
    changes = said(
        "grate", "heron", run=["finger", {"from": "1938", "value": "square"}, {"from": "1940", "value": "ring"}]
    )
    assert list(joined(changes)[1]) == [20] * 5


def test_each_value_of_a_run_has_its_years() -> None:
    found = run(("1938", "square", 0), ("1940", "ring", 0))
    assert [row.argmax() for row in found] == [0, 1, 1, 2, 2]


def test_a_run_may_come_back_to_an_earlier_value() -> None:
    found = run(("1938", "square", 0), ("1940", "finger", 0))
    assert [row.argmax() for row in found] == [0, 1, 1, 0, 0]


def test_a_later_change_cannot_overtake_an_earlier_ones_old_stock() -> None:
    found = run(("1938", "square", 60), ("1939", "ring", 0))
    assert np.all(found >= -1e-12)


def test_a_run_takes_a_word_for_all_its_values() -> None:
    assert run(("1939", "square", 0), how="usually")[0, 0] == pytest.approx(0.85)
