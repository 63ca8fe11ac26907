"""A high probability counts as settled only once enough of the range was looked at; then strangers show."""

from __future__ import annotations

from hobmark.knowledge.schema.observations import Observation
from hobmark.reasoning.examination import Examination
from hobmark.reasoning.exposing import doubted
from hobmark.reasoning.stopping import verdict

from .small_base import base_of, examine, feature, look, said, wording, works

FEATURES = {
    "width": feature("body", "narrow", "wide", slips="hardly"),
    "edge": feature("body", "square", "round", slips="hardly"),
    "door": feature("body", "flat", "framed", slips="hardly"),
    "dial": feature("control", "porcelain", "resin", slips="hardly"),
    "grate": feature("iron", "finger", "ring", slips="hardly"),
}
TRAITS = [
    *(said(name, "heron_plain", told["values"] and next(iter(told["values"]))) for name, told in FEATURES.items()),
    *(said(name, "heron_deluxe", list(told["values"])[1]) for name, told in FEATURES.items()),
]
BODY = (look("width", "narrow"), look("edge", "square"), look("door", "flat"))


def examined(assemblies: int, *seen: Observation) -> Examination:
    heron = works({"heron": {"heron_plain": {}, "heron_deluxe": {}}}, traits=TRAITS)
    words = wording({"unlisted_variant": 0.01, "unlisted_maker": 0.01}, {"assemblies": assemblies})
    return examine(base_of(FEATURES, heron, words=words), *seen)


def test_a_name_on_one_assembly_is_not_settled_yet() -> None:
    examination = examined(2, *BODY)
    assert (examination.named, examination.settled) == (True, False)


def test_the_asking_goes_on_until_enough_assemblies_were_looked_at() -> None:
    assert not verdict(examined(2, *BODY)).stop


def test_it_goes_on_where_nobody_has_looked() -> None:
    assert {look.feature for look in examined(2, *BODY).looks} == {"dial", "grate"}


def test_on_enough_assemblies_it_is_settled() -> None:
    assert verdict(examined(2, *BODY, look("dial", "porcelain"))).settled


def test_where_no_further_assembly_can_be_looked_at_it_is_settled() -> None:
    unseen = (look("dial", unseen=True), look("grate", unseen=True))
    assert verdict(examined(2, *BODY, *unseen)).settled


def test_in_doubt_listed_and_unlisted_are_even() -> None:
    ranking, parts = doubted(examined(2, *BODY).ranking)
    assert round(float(ranking.posterior[parts == 1].sum()), 9) == 0.5


def test_in_doubt_the_odds_between_listed_variants_stay() -> None:
    before = examined(2, *BODY).ranking
    after, _ = doubted(before)
    assert round(float(after.by_group[0] / after.by_group[1]), 6) == round(
        float(before.by_group[0] / before.by_group[1]), 6
    )
