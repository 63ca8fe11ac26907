"""Which assemblies are the range's own: verdicts in the trade's words, what they rest on, marriages, old stock."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hobmark.case import Case
from hobmark.curating.simulating import draw_ranges
from hobmark.dates import read_span
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Originality
from hobmark.reasoning.examination import Examination, compile_base
from hobmark.reasoning.originality import Part, Whole, held_years, originality, swap_prior, swap_shares
from hobmark.reasoning.stock import carried_over, old_stock
from hypothesis import given
from hypothesis import strategies as st

from .small_base import base_of, examine, feature, look, said, works
from .test_model_properties import examined

ASSEMBLIES = {
    "front": {"label": "front", "holds": "doors", "swapped": "rarely", "joins": True},
    "top": {"label": "main top", "holds": "lid", "swapped": "rarely", "joins": True},
    "plates": {"label": "plates", "holds": "rating plate", "swapped": "often"},
    "enamel": {"label": "enamel", "holds": "coats", "swapped": "often", "replaced": "enamelled again"},
}
FEATURES = {
    "width": feature("body", "narrow", "wide", slips="hardly"),
    "edge": feature("body", "square", "round", slips="hardly"),
    "door": feature("front", "cast", "sheet", slips="hardly"),
    "latch": feature("front", "turn", "roller", slips="hardly"),
    "lid": feature("top", "open", "chromed", slips="hardly"),
    "rim": feature("top", "plain", "rolled", slips="hardly"),
    "plate": feature("plates", "paper", "brass", slips="hardly"),
    "coat": feature("enamel", "white", "pastel", slips="hardly"),
    "dial": feature("control", "porcelain", "resin", slips="hardly"),
    "grate": feature("iron", "ring", "finger", slips="hardly"),
}
BOTH = ["alder", "heron"]
TRAITS = [
    said("width", "alder", "narrow"),
    said("width", "heron", "wide"),
    said("edge", "alder", "square"),
    said("edge", "heron", "round"),
    said("door", "alder", "cast"),
    said("door", "heron", "sheet"),
    said("latch", "alder", "turn"),
    said("latch", "heron", "roller"),
    said("lid", "alder", "open"),
    said("lid", "heron", "chromed"),
    said("rim", "alder", "plain"),
    said("rim", "heron", "rolled"),
    said("plate", "alder", "paper"),
    said("plate", "heron", "brass"),
    said("coat", "alder", "white"),
    said("coat", "heron", "pastel"),
    said("dial", "all", run=["porcelain", {"from": "1936", "value": "resin", "run_out": "12 months"}], id="bm-dial"),
    said("grate", "alder", "ring"),
    said("grate", "heron", "finger"),
]
ALDER = ("width=narrow", "edge=square")


def seen(*pairs: str) -> Examination:
    """An Alder (1931-1938) or a Heron (1950-1955), with the looks `width=narrow` and the like taken."""
    folder = works(
        {"alder": {"alder": {"made": ["1931/1938"]}}, "heron": {"heron": {"made": ["1950/1955"]}}},
        life="1931/1955",
        traits=TRAITS,
    )
    return examine(base_of(FEATURES, folder, assemblies=ASSEMBLIES), *(look(*pair.split("=")) for pair in pairs))


def whole(*pairs: str) -> Whole:
    examination = seen(*pairs)
    return originality(examination.compiled.base, examination.ranking)


def part(name: str, *pairs: str) -> Part:
    examination = seen(*pairs)
    place = examination.compiled.model.assemblies.index(name)
    found = originality(examination.compiled.base, examination.ranking)
    return next(part for part in found.parts if part.assembly == place)


def test_what_fits_the_body_is_as_it_left_the_works() -> None:
    assert part("front", *ALDER, "door=cast").verdict is Originality.AS_LEFT_THE_WORKS


def test_a_plate_of_another_variant_is_replaced() -> None:
    assert part("plates", *ALDER, "door=cast", "plate=brass").verdict is Originality.REPLACED


def test_a_replaced_plate_makes_no_marriage() -> None:
    assert whole(*ALDER, "door=cast", "plate=brass").married == ()


def test_a_front_whose_years_are_apart_from_the_bodys_is_married() -> None:
    assert part("front", *ALDER, "door=sheet", "latch=roller", "lid=open").verdict is Originality.MARRIED


def test_a_front_and_a_top_of_another_range_are_a_marriage() -> None:
    found = whole(*ALDER, "door=sheet", "latch=roller", "lid=chromed", "rim=rolled", "plate=paper", "coat=white")
    assert found.verdict is Originality.MARRIED


def test_loose_iron_of_another_range_takes_nothing_from_the_range() -> None:
    assert whole(*ALDER, "door=cast", "grate=finger").verdict is Originality.AS_LEFT_THE_WORKS


def test_a_range_is_not_dated_by_loose_iron() -> None:
    assert not part("iron", *ALDER, "grate=ring").dates


def test_other_enamel_is_replaced_whatever_range_has_the_like() -> None:
    assert part("enamel", *ALDER, "door=cast", "coat=pastel").verdict is Originality.REPLACED


def test_a_control_of_later_years_of_the_same_variant_is_a_later_correct_part() -> None:
    """The plate's number would date the body; here the body's edge does, given up in 1934."""
    traits = [
        said("width", "alder", "narrow"),
        said("edge", "alder", run=["square", {"from": "1934", "value": "round"}]),
        said("dial", "alder", run=["porcelain", {"from": "1936", "value": "resin"}]),
    ]
    folder = works({"alder": {"alder": {"made": ["1931/1938"]}}}, life="1931/1938", traits=traits)
    base = base_of(FEATURES, folder, assemblies=ASSEMBLIES)
    examination = examine(base, look("edge", "square"), look("dial", "resin"))
    found = originality(examination.compiled.base, examination.ranking)
    assert [p.verdict for p in found.parts][1] is Originality.LATER_CORRECT


def test_the_body_is_always_the_ranges_own() -> None:
    assert part("body", *ALDER, "door=sheet", "lid=chromed").swapped == 0


def test_assemblies_without_a_common_year_are_told_to_be_apart() -> None:
    assert part("front", *ALDER, "door=sheet", "latch=roller").apart == (0,)


def test_what_is_not_doubted_needs_no_reasons() -> None:
    assert part("front", *ALDER, "door=cast").shares == ()


@pytest.mark.parametrize("seed", range(12))
def test_prior_and_looks_add_up_to_the_odds_of_not_its_own(seed: int) -> None:
    *_, ranking = examined(seed)
    for a in sorted(ranking.touched - set(np.flatnonzero(ranking.model.sigma == 0).tolist())):
        total = swap_prior(ranking, a) + sum(share.decibans for share in swap_shares(ranking, a))
        swapped = float(ranking.swapped[a])
        assert total == pytest.approx(10 * math.log10(swapped / (1 - swapped)), abs=1e-9)


# The years a strip holds

strips = st.lists(st.floats(0.001, 1), min_size=1, max_size=12).map(
    lambda mass: {1930 + i: p / sum(mass) for i, p in enumerate(mass)}
)


@given(strips, st.floats(0.05, 0.99))
def test_no_shorter_stretch_holds_as_much(strip: dict[int, float], held: float) -> None:
    first, last = held_years(strip, held)
    shorter = [sum(strip.get(y + i, 0) for i in range(last - first)) for y in strip]
    assert max(shorter) < held + 1e-9


@given(strips, st.floats(0.05, 0.99))
def test_the_stretch_holds_what_it_should(strip: dict[int, float], held: float) -> None:
    first, last = held_years(strip, held)
    assert sum(p for year, p in strip.items() if first <= year <= last) >= held - 1e-9


# Older in kind, and right for it


def dated(*pairs: str, made: str, run_out: str = "24 months", since: str = "1935") -> Examination:
    traits = [
        said("width", "alder", "narrow"),
        said("door", "alder", "cast"),
        said("dial", "alder", run=["porcelain", {"from": since, "value": "resin", "run_out": run_out}]),
    ]
    folder = works({"alder": {"alder": {"made": [made]}}}, life="1931/1940", traits=traits)
    return examine(base_of(FEATURES, folder, assemblies=ASSEMBLIES), *(look(*pair.split("=")) for pair in pairs))


def test_a_value_given_up_before_the_range_was_made_is_old_stock() -> None:
    examination = dated("width=narrow", "dial=porcelain", made="1935/1936")
    found = originality(examination.compiled.base, examination.ranking)
    assert [old.value for old in old_stock(examination, found)] == ["porcelain"]


@pytest.mark.parametrize(
    ("made", "run_out", "is_told"),
    [
        ("1936", "24 months", True),
        ("1937", "24 months", True),  # a change at the end of 1935 leaves old stock to the end of 1937
        ("1938", "24 months", False),
        ("1937/1938", "24 months", False),  # as likely as not
        ("1935/1940", "24 months", False),
        ("1936", "6 months", False),  # half of that year
        ("1936", "12 months", True),
    ],
)
def test_what_was_used_up_before_the_range_was_made_is_no_old_stock(made: str, run_out: str, is_told: bool) -> None:
    examination = dated("width=narrow", "dial=porcelain", made=made, run_out=run_out)
    found = originality(examination.compiled.base, examination.ranking)
    assert [old.value for old in old_stock(examination, found)] == ["porcelain"] * is_told


def test_an_uncertain_change_leaves_its_old_stock_as_long_as_it_may_have_lasted() -> None:
    examination = dated("width=narrow", "dial=porcelain", made="1938", since="[1935..1936]")
    found = originality(examination.compiled.base, examination.ranking)
    assert [old.value for old in old_stock(examination, found)] == ["porcelain"]


def test_of_simulated_ranges_hardly_any_was_made_when_its_old_stock_had_ended() -> None:
    compiled = compile_base(read_base([knowledge_root()]))
    told, ended = 0, 0
    for drawn in draw_ranges(compiled, 300, 5):
        seen = [{"feature": name, "is": value} for name, value in list(drawn.readings.items())[::2] if value]
        looks = tuple(Observation.model_validate(each) for each in seen)
        examination = Examination(compiled, Case(hobmark="1", observations=looks))
        for old in old_stock(examination, originality(compiled.base, examination.ranking)):
            told += 1
            ended += drawn.year >= read_span(old.change.from_).latest + old.change.run_out / 12
    assert told >= 5
    assert ended <= 0.15 * told


def test_the_value_that_came_in_is_no_old_stock() -> None:
    examination = dated("width=narrow", "dial=resin", made="1935/1936")
    assert not list(old_stock(examination, originality(examination.compiled.base, examination.ranking)))


def test_a_value_in_its_own_time_is_no_old_stock() -> None:
    examination = dated("width=narrow", "dial=porcelain", made="1931/1932")
    assert not list(old_stock(examination, originality(examination.compiled.base, examination.ranking)))


def test_what_was_never_used_up_after_the_change_is_no_old_stock() -> None:
    examination = dated("width=narrow", "dial=porcelain", made="1935/1936", run_out="0 months")
    assert not list(old_stock(examination, originality(examination.compiled.base, examination.ranking)))


def test_a_part_that_a_variant_kept_from_older_ones_is_carried_over() -> None:
    traits = [
        said("width", "alder", "narrow"),
        said("width", "heron", "wide"),
        said("edge", "alder", "square"),
        said("edge", "heron", "round"),
        said("door", "all", "cast"),
    ]
    families = {
        "alder": {"alder": {"made": ["1931/1940"], "units": 9000}},
        "heron": {"heron": {"made": ["1950/1951"], "units": 900}},
    }
    folder = works(families, life="1931/1951", traits=traits)
    base = base_of(FEATURES, folder, assemblies=ASSEMBLIES)
    examination = examine(base, look("width", "wide"), look("edge", "round"), look("door", "cast"))
    found = originality(base, examination.ranking)
    assert list(carried_over(examination, found)) == [examination.compiled.model.assemblies.index("front")]


def test_nothing_is_carried_over_on_a_range_of_the_older_years() -> None:
    examination = seen(*ALDER, "door=cast")
    assert not list(carried_over(examination, originality(examination.compiled.base, examination.ranking)))
