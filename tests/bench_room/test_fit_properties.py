"""What must hold of every part and every case: what is not known never confirms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

import pytest
from hobmark.bench.fit import CONFIRMED, PartFit, part_fits
from hobmark.case import Case, read_case
from hobmark.knowledge.schema.parts import Part
from hobmark.knowledge.vocabulary import PartClass
from hobmark.reasoning.examination import Examination
from hobmark.reports.fit_findings import fit_finding
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from .fitting import FARM, GREEN, kept, shipped

CASES = [
    FARM,
    GREEN,
    *map(kept, ("kestrel-1950-crossed-bars-and-click", "kestrel-1940-with-a-control-of-the-fifties")),
    *map(kept, ("heron-bottled-1937-pressed-pilot-cover", "linden-deluxe-1953-click-crossed-bars-regulator")),
]
SETTLE = {
    "valve_rail": ["enclosed", "exposed"],
    "regulator": ["absent", "rear_add_on"],
    "clock": ["automatic", "absent"],
}
"""Looks that rules and prohibitions of critical parts ask for."""
BENCH: dict[str, list[Any]] = {
    "laid_on": [{"gas": gas, "by": "bill"} for gas in ("natural", "natural", "bottled", "manufactured")],
    "altitude": ["600 ft", "600 ft", "7200 ft"],
    "jets": [[{"place": place, "heat": "9000 Btu/h"} for place in ("well", "oven")]],
    "pressures": [[{"reads": "4 in wc"}], [{"reads": "11 in wc"}]],
    "wanted": ["natural", "bottled"],
}
"""What a bench record may hold that has a say in whether a part fits."""
Evidence = tuple[list[dict[str, Any]], list[dict[str, str]], list[dict[str, str]], dict[str, Any]]
"""Looks, measures, numbers and the bench record."""


def parts(*classes: PartClass) -> list[tuple[str, Part]]:
    makers = shipped().base.makers
    every = [(maker, part) for maker, folder in makers.items() for part in folder.acting_parts.values()]
    return [(maker, part) for maker, part in every if part.class_ in classes]


def measures_of(part: Part, passing: Sequence[bool]) -> list[dict[str, str]]:
    """One measure for each need: the least that passes, or one that no part has."""
    found = []
    for need, passes in zip(part.needs, passing, strict=False):
        words = shipped().base.kinds[part.kind].dimensions[need.measure].words
        if need.between is not None:
            value = need.between[0] if passes else "2500 mm"
        else:
            other = next((word for word in words if word not in (need.is_ or ())), words[0])
            value = (need.is_ or ("",))[0] if passes else other
        found.append({"part": part.id, "measure": need.measure, "value": value, "on": need.on.value})
    return found


def fit_of(maker: str, part: Part, evidence: Evidence) -> PartFit:
    looks, measures, numbers, bench = evidence
    case = {"hobmark": "1", "observations": looks, "measures": measures, "numbers": numbers, "situation": "bench"}
    case["bench"] = bench
    (fit,) = part_fits(Examination(shipped(), Case.model_validate(case)), [(maker, part.id)])
    return fit


def looks_of(path: Any) -> list[dict[str, Any]]:
    case = read_case(path, shipped().base).case
    return [seen.model_dump(by_alias=True, exclude_defaults=True) for seen in case.observations]


@st.composite
def evidence(draw: st.DrawFn, *classes: PartClass) -> tuple[str, Part, Evidence]:
    """A part, and a case with measures that mostly pass, a number that is mostly its own, and guards looked at."""
    maker, part = draw(st.sampled_from(parts(*classes)))
    looks = looks_of(draw(st.sampled_from(CASES)))
    answered = {look.get("feature") for look in looks}
    for feature, values in SETTLE.items():
        if feature not in answered and draw(st.booleans()):
            looks.append({"feature": feature, "is": draw(st.sampled_from(values))})
    passing = draw(st.lists(st.sampled_from([True, True, True, False]), min_size=0, max_size=len(part.needs)))
    same = [p for m, p in parts(*classes) if m == maker and p.kind == part.kind and p.numbers]
    numbers = []
    if same and draw(st.booleans()):
        bearer = draw(st.sampled_from([part] * 3 + same)) if part.numbers else draw(st.sampled_from(same))
        numbers = [{"kind": part.kind, "number": bearer.numbers[0]}]
    bench = {name: draw(st.sampled_from(values)) for name, values in BENCH.items() if draw(st.integers(0, 3))}
    return maker, part, (looks, measures_of(part, passing), numbers, bench)


def subset(draw: st.DrawFn, entries: list[Any]) -> list[Any]:
    keep = draw(st.lists(st.booleans(), min_size=len(entries), max_size=len(entries)))
    return [entry for entry, kept_ in zip(entries, keep, strict=True) if kept_]


@st.composite
def more_and_less(draw: st.DrawFn) -> tuple[str, Part, Evidence, Evidence]:
    maker, part, (looks, measures, numbers, bench) = draw(evidence(PartClass.CRITICAL, PartClass.MEASURED))
    kept_ = set(subset(draw, sorted(bench)))
    less = subset(draw, looks), subset(draw, measures), subset(draw, numbers), {name: bench[name] for name in kept_}
    return maker, part, (looks, measures, numbers, bench), less


@st.composite
def trial_more_and_less(draw: st.DrawFn) -> tuple[str, Part, Evidence, Evidence]:
    maker, part, (looks, measures, numbers, bench) = draw(evidence(PartClass.TRIAL))
    return maker, part, (looks, measures, numbers, bench), (looks, subset(draw, measures), subset(draw, numbers), bench)


RECORD = {name: values[0] for name, values in BENCH.items()}
"""A record with which nothing about the gas is open; that a hood's bore fits is another matter."""


@cache
def guarded() -> tuple[tuple[str, Part], ...]:
    """Critical parts that some look could forbid."""
    return tuple(each for each in parts(PartClass.CRITICAL) if fit_of(*each, ([], [], [], RECORD)).guards)


@st.composite
def guarded_more_and_less(draw: st.DrawFn) -> tuple[str, Part, Evidence, Evidence]:
    """A guarded part with all that proves it and what its guards ask for; and the same with fewer looks."""
    maker, part = draw(st.sampled_from(guarded()))
    asked = {feature for guard in fit_of(maker, part, ([], [], [], RECORD)).guards for feature in guard.features}
    others = [look for look in looks_of(draw(st.sampled_from(CASES))) if look.get("feature") not in asked]
    features = shipped().base.features
    looks = [{"feature": name, "is": draw(st.sampled_from(features[name].value_ids))} for name in sorted(asked)]
    kept_ = subset(draw, looks)
    numbers = [{"kind": part.kind, "number": number} for number in part.numbers[:1]]
    proof = (measures_of(part, [True] * len(part.needs)), numbers, RECORD)
    return maker, part, ([*others, *looks], *proof), ([*subset(draw, others), *kept_], *proof)


often = settings(max_examples=40, database=None, suppress_health_check=list(HealthCheck))


def assert_less_confirms_nothing(maker: str, part: Part, more: Evidence, less: Evidence) -> None:
    """Where the case speaks against itself, that is said of the whole of it."""
    whole = fit_of(maker, part, more)
    if not whole.confirmed and not whole.disputed:
        assert not fit_of(maker, part, less).confirmed


@often
@given(more_and_less())
def test_taking_evidence_away_never_turns_a_refusal_into_a_confirmation(
    drawn: tuple[str, Part, Evidence, Evidence],
) -> None:
    """Looks, measures and numbers alike."""
    assert_less_confirms_nothing(*drawn)


@often
@given(trial_more_and_less())
def test_nor_does_it_for_a_part_that_goes_by_papers_on_the_same_range(
    drawn: tuple[str, Part, Evidence, Evidence],
) -> None:
    assert_less_confirms_nothing(*drawn)


@often
@given(guarded_more_and_less())
def test_a_look_taken_away_never_confirms_a_critical_part_that_measures_and_number_prove(
    drawn: tuple[str, Part, Evidence, Evidence],
) -> None:
    """Contradictory cases included: whatever the looks forbade may hold still when nobody has looked."""
    maker, part, more, less = drawn
    if not fit_of(maker, part, more).confirmed:
        assert not fit_of(maker, part, less).confirmed


def test_a_critical_part_that_could_be_forbidden_is_proven_only_once_somebody_has_looked() -> None:
    proof = {part.id: (measures_of(part, [True] * len(part.needs)), [], RECORD) for _, part in guarded()}
    proven = [fit_of(maker, part, ([], *proof[part.id])) for maker, part in guarded()]
    assert len(proven) >= 15
    assert [fit.part.id for fit in proven if fit.confirmed or not fit.proof] == []


@often
@given(more_and_less())
def test_a_confirmation_rests_on_a_number_or_on_every_measure(drawn: tuple[str, Part, Evidence, Evidence]) -> None:
    maker, part, (looks, measures, numbers, bench), _ = drawn
    fit = fit_of(maker, part, (looks, measures, numbers, bench))
    taken = {(each["measure"], each["on"]): each["value"] for each in measures}
    passed = [(n.measure, n.on.value) in taken and n.holds(taken[n.measure, n.on.value]) for n in part.needs]
    if fit.confirmed:
        assert numbers or all(passed)


@often
@given(more_and_less())
def test_a_measure_that_fails_is_never_overruled(drawn: tuple[str, Part, Evidence, Evidence]) -> None:
    maker, part, (looks, measures, numbers, bench), _ = drawn
    taken = {(each["measure"], each["on"]): each["value"] for each in measures}
    failed = [n for n in part.needs if (v := taken.get((n.measure, n.on.value))) is not None and not n.holds(v)]
    if failed:
        assert not fit_of(maker, part, (looks, measures, numbers, bench)).confirmed


@often
@given(more_and_less())
def test_no_jet_is_confirmed_without_its_gas_its_height_and_the_bore_in_hand(
    drawn: tuple[str, Part, Evidence, Evidence],
) -> None:
    maker, part, more, _ = drawn
    jet = shipped().base.kinds[part.kind].jet
    fit = fit_of(maker, part, more)
    if jet is not None and fit.confirmed:
        assert {"laid_on", "altitude"} <= set(more[3])
        assert (jet, "part") in {(taken["measure"], taken["on"]) for taken in more[1]}


@often
@given(more_and_less())
def test_what_is_known_of_the_gas_is_all_that_confirms_and_never_what_is_wanted(
    drawn: tuple[str, Part, Evidence, Evidence],
) -> None:
    maker, part, (looks, measures, numbers, bench), _ = drawn
    bare = {name: value for name, value in bench.items() if name != "wanted"}
    fits = [fit_of(maker, part, (looks, measures, numbers, record)) for record in (bench, bare)]
    assert fits[0].verdict == fits[1].verdict


@often
@given(more_and_less())
def test_what_speaks_against_a_proven_part_is_said(drawn: tuple[str, Part, Evidence, Evidence]) -> None:
    maker, part, more, _ = drawn
    fit = fit_of(maker, part, more)
    assert bool(fit_finding(fit).against) == fit.disputed


@often
@given(more_and_less())
def test_a_refusal_never_becomes_likelier_than_what_is_not_refused(drawn: tuple[str, Part, Evidence, Evidence]) -> None:
    maker, part, more, _ = drawn
    fit = fit_of(maker, part, more)
    refused = sum(place.now for place in fit.places if place.refusal(part.id) is not None)
    assert -1e-9 <= fit.now.probability <= 1 - refused + 1e-9


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_no_critical_or_measured_part_is_confirmed_by_looks(path: Any) -> None:
    wanted = [(maker, part.id) for maker, part in parts(PartClass.CRITICAL, PartClass.MEASURED)]
    case = read_case(path, shipped().base).case
    assert [fit.part.id for fit in part_fits(Examination(shipped(), case), wanted) if fit.verdict in CONFIRMED] == []


@pytest.mark.parametrize("path", CASES[:4], ids=lambda path: path.stem)
def test_every_verdict_on_every_part_traces_to_sources(path: Any) -> None:
    wanted = [(maker, part.id) for maker, part in parts(*PartClass)]
    fits = part_fits(Examination(shipped(), read_case(path, shipped().base).case), wanted)
    traces: Mapping[str, Any] = {fit.part.id: fit_finding(fit).trace for fit in fits}
    assert [name for name, steps in traces.items() if not steps or not all(step.sources for step in steps)] == []


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_critical_part_that_is_confirmed_says_what_test_follows(path: Any) -> None:
    looks = [*looks_of(path)]
    answered = {look.get("feature") for look in looks}
    looks += [{"feature": f, "is": values[0]} for f, values in SETTLE.items() if f not in answered]
    fits = [
        fit_of(maker, part, (looks, measures_of(part, [True] * len(part.needs)), [], RECORD))
        for maker, part in parts(PartClass.CRITICAL)[::4]
    ]
    confirmed = [fit_finding(fit) for fit in fits if fit.confirmed]
    assert confirmed
    assert all(found.test_after and "only after the test" in found.says for found in confirmed)
