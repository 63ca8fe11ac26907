"""What is shown of an examination: as text of 78 columns and as JSON of the published shape."""

from __future__ import annotations

import importlib.util
import json
from functools import cache
from typing import Any

import pytest
from hobmark.curating.schemas import schema_text
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal
from hobmark.reports.findings import findings
from hobmark.reports.identify import Findings, Step
from hobmark.reports.text import WIDTH, findings_text
from hobmark.reports.words import percent, years_words

from .small_base import base_of, examine, feature, look, rule, said, wording, works

FEATURES = {
    "mark": feature("control", "absent", "ring", "bar"),
    "control": feature("control", "wheel", "bulb", "second_bulb"),
    "lighting": feature("body", "match", "pilot", "safety"),
    "width": feature("body", "narrow", "wide"),
    "lamp": feature("iron", "absent", "fixed", access="panel_off"),
}
LONG = "heron_of_a_name_that_no_catalogue_ever_had_the_room_to_print"
TRAITS = [
    said("width", "heron_plain", "narrow", id="bm-1", sources=["book:7"]),
    said("width", "heron_deluxe", "wide", id="bm-2"),
    said("control", "heron_plain", "wheel", id="bm-3", note="Cast in the works' own foundry."),
    said("width", LONG, "wide", id="bm-5"),
    said("control", LONG, "wheel", id="bm-6"),
    said("control", "heron_deluxe", run=["bulb", {"from": "1939", "value": "second_bulb"}], id="bm-4"),
]
RULES = [
    rule("r1", [{"mark": "bar"}], {"feature": "control", "is": "bulb"}, because="One bar marks the bulb."),
    rule("r2", [{"mark": "bar"}], {"remark": "Look behind the dial."}),
    rule(
        "r3",
        [{"control": "bulb"}],
        {"caution": "The bulb's tube may hold a liquid."},
        {"not_before": "1938", "of": "control"},
    ),
]
CAUTIONS = {
    "gas": {"says": "Gas can kill, wherever.", "short": "No flame near gas.", "source": "a code", "status": "verified"},
    "oven": {
        "says": "Nothing stops the gas.",
        "short": "No shut-off on an oven lit so.",
        "source": "an account",
        "status": "single",
        "when": {"lighting": ["match", "pilot"]},
    },
}
BAR = look("mark", "bar")
CASES: dict[str, dict[str, Any]] = {
    "nothing seen": {},
    "a few looks": {"seen": (look("width", "narrow"), look("control", "wheel"))},
    "a chain": {"seen": (look("width", "wide"), BAR)},
    "a contradiction": {"seen": (BAR, look("control", "wheel"))},
    "a marriage": {"seen": (look("width", "narrow"), look("control", "second_bulb"))},
    "a claim": {"seen": (look("width", "wide"),), "claims": {"variant": f"brindlemere/{LONG}", "made": "[1937..1939]"}},
    "a serial": {"seen": (Observation.model_validate({"serial": "H 41877", "found_on": "body"}),)},
    "at a standstill": {"seen": tuple(look(f, unseen=True) for f in FEATURES if f != "lamp")},
    "the year": {"seen": (look("width", "wide"),), "goal": Goal.YEAR},
    "the maker": {"seen": (look("width", "wide"),), "goal": Goal.MAKER},
    "a long name": {
        "seen": (),
        "name": "a range seen at a sale by the river, of which only the half was uncovered, " * 3,
    },
}
every_case = pytest.mark.parametrize("case", list(CASES))


@cache
def found(case: str) -> Findings:
    told = dict(CASES[case])
    heron = works(
        {"heron": {"heron_plain": {}, "heron_deluxe": {}, LONG: {}}}, life="1937/1940", traits=TRAITS, rules=RULES
    )
    wren = works(
        {"wren": {"wren_plain": {}}}, maker="wexcombe", life="1937/1940", traits=[said("width", "all", "wide")]
    )
    base = base_of(FEATURES, heron, wren, words=wording(), cautions=CAUTIONS)
    seen, name = told.pop("seen", ()), told.pop("name", "a range")
    return findings(examine(base, *seen, **told), name)


def steps(case: str, kind: str) -> list[Step]:
    return [step for step in found(case).trace if step.kind == kind]


def flat(case: str) -> str:
    return " ".join(findings_text(found(case)).split())


# Text


@every_case
def test_no_line_is_wider_than_the_page(case: str) -> None:
    assert max(len(line) for line in findings_text(found(case)).splitlines()) <= WIDTH


@every_case
def test_the_text_has_every_caution(case: str) -> None:
    assert [caution.short for caution in found(case).cautions if caution.short not in flat(case)] == []


@every_case
def test_the_caution_that_always_stands_is_there(case: str) -> None:
    assert "No flame near gas." in flat(case)


def test_the_text_says_what_the_rules_gave() -> None:
    assert "r1: control mark: bar -> control control: always bulb" in flat("a chain")


def test_the_text_shows_a_contradiction() -> None:
    assert "contradiction: control control: bulb by rule, seen: wheel. What was seen stands" in flat("a contradiction")


def test_the_text_names_the_assembly_that_is_not_its_own() -> None:
    doubt = "oven control: doubtful (29% that it is not its own) it seems to come from Brindlemere heron_deluxe"
    assert doubt in flat("a marriage")


def test_the_text_tells_of_a_look_with_more_room() -> None:
    assert "Cannot be told apart from here:" in flat("at a standstill")


def test_what_is_kept_and_not_weighed_is_told() -> None:
    assert 'Counted neither way: serial "H 41877" on the body.' in flat("a serial")


# JSON


@every_case
def test_the_json_is_of_the_published_shape(case: str) -> None:
    told = json.loads(found(case).model_dump_json(by_alias=True))
    if importlib.util.find_spec("jsonschema") is not None:
        import jsonschema

        jsonschema.validate(told, json.loads(schema_text("identify-output")))
    assert Findings.model_validate(told) == found(case)


@every_case
def test_the_published_shape_names_all_that_is_written(case: str) -> None:
    told = json.loads(found(case).model_dump_json(by_alias=True))
    assert set(told) == set(json.loads(schema_text("identify-output"))["properties"])


@every_case
def test_years_are_whole_numbers(case: str) -> None:
    told = json.loads(found(case).model_dump_json(by_alias=True))
    lists = [told["years"], *(line["years"] for line in told["ranking"]), *(a["years"] for a in told["assemblies"])]
    assert {type(entry["year"]) for years in lists for entry in years} == {int}


@every_case
def test_probabilities_lie_between_nothing_and_one(case: str) -> None:
    chances = [line.probability for line in found(case).ranking] + [claim.probability for claim in found(case).claims]
    assert [p for p in chances if not 0 <= p <= 1] == []


@every_case
def test_the_ranking_falls(case: str) -> None:
    chances = [line.probability for line in found(case).ranking]
    assert chances == sorted(chances, reverse=True)


@every_case
def test_the_reasons_add_up_to_the_odds(case: str) -> None:
    told = found(case).comparison
    assert told is not None
    reasons = sum(reason.decibans for reason in told.reasons)
    assert told.prior + reasons + told.freedom_of_year == pytest.approx(told.total, abs=1e-9)


def test_what_is_not_listed_has_neither_maker_nor_variant() -> None:
    line = next(line for line in found("nothing seen").ranking if line.maker is None)
    assert (line.variant, line.unlisted, line.label) == (None, True, "none that I know")


# Claims


def test_a_claim_is_judged_part_by_part_and_as_a_whole() -> None:
    variant, made = {"variant": f"brindlemere/{LONG}"}, {"made": "[1937..1939]"}
    assert [claim.claim for claim in found("a claim").claims] == [variant, made, variant | made]


def test_the_whole_claim_is_no_likelier_than_its_parts() -> None:
    *parts, whole = [claim.probability for claim in found("a claim").claims]
    assert whole <= min(parts)


def test_a_claim_gets_the_word_for_its_probability() -> None:
    assert [claim.verdict for claim in found("a claim").claims] == ["unlikely", "likelier than not", "unlikely"]


def test_where_nothing_is_claimed_nothing_is_judged() -> None:
    assert found("nothing seen").claims == []


# Trace, remarks and cautions


def test_every_step_that_rests_on_something_names_its_sources() -> None:
    assert [
        step.id for case in CASES for step in found(case).trace if not step.sources and step.kind != "contradiction"
    ] == []


def test_a_rule_that_weighed_says_so() -> None:
    assert {step.id: step.weighed for step in steps("a chain", "rule")} == {"r1": True, "r2": None, "r3": True}


def test_a_rule_whose_conclusion_was_seen_is_not_weighed() -> None:
    assert {step.id: step.weighed for step in steps("a contradiction", "rule")}["r1"] is False


def test_a_contradiction_is_shown_once() -> None:
    assert [step.gives for step in steps("a contradiction", "contradiction")] == [
        ["control control: bulb by rule, seen: wheel"]
    ]


def test_the_statements_about_what_was_seen_are_traced_to_their_sources() -> None:
    assert [(step.id, step.sources) for step in steps("a few looks", "statement")] == [
        ("bm-1", ["book:7"]),
        ("bm-3", ["book"]),
    ]


def test_a_remark_is_told_with_its_maker_and_sources() -> None:
    assert found("a chain").remarks == ["If Brindlemere: Look behind the dial. (book)"]


def test_a_fired_rules_caution_stands_with_the_others() -> None:
    assert [caution.status for caution in found("a chain").cautions] == ["verified", "single", "by rule brindlemere/r3"]


@pytest.mark.parametrize(
    ("seen", "expected"),
    [
        ((), ["No flame near gas.", "If the body lighting is match or pilot: No shut-off on an oven lit so."]),
        ((look("lighting", "pilot"),), ["No flame near gas.", "No shut-off on an oven lit so."]),
        ((look("lighting", "safety"),), ["No flame near gas."]),
        (
            (look("lighting", "safety", sure="likely"),),
            ["No flame near gas.", "If the body lighting is match or pilot: No shut-off on an oven lit so."],
        ),
    ],
    ids=["not looked at", "called for", "ruled out", "not surely ruled out"],
)
def test_a_caution_is_left_out_only_where_it_is_ruled_out(seen: tuple[Observation, ...], expected: list[str]) -> None:
    base = base_of(FEATURES, works({"heron": {"heron_plain": {}}}), words=wording(), cautions=CAUTIONS)
    assert [caution.short for caution in findings(examine(base, *seen), "a range").cautions] == expected


# What comes next


def test_three_looks_are_offered_while_it_goes_on() -> None:
    assert 1 <= len(found("nothing seen").next) <= 3


def test_none_is_offered_once_it_stops() -> None:
    assert (found("at a standstill").stop, found("at a standstill").next) == (True, [])


def test_what_would_change_it_names_the_look_it_hangs_on() -> None:
    assert found("a marriage").would_change.hangs_on == "body width: narrow"


@pytest.mark.parametrize(("p", "word"), [(1, ">99%"), (0.996, ">99%"), (0.5, "50%"), (0.004, "<1%"), (0, "<1%")])
def test_no_percentage_claims_certainty(p: float, word: str) -> None:
    assert percent(p) == word


@pytest.mark.parametrize(
    ("chances", "words"),
    [
        ({}, ""),
        ({1938: 1.0}, "1938"),
        ({1937: 0.1, 1938: 0.6, 1939: 0.3}, "1938-1939, likeliest 1938"),
        ({1937: 0.25, 1938: 0.25, 1939: 0.25, 1940: 0.25}, "1937-1940"),
    ],
    ids=["none", "one", "most", "even"],
)
def test_years_are_told_by_the_shortest_stretch_that_holds_most(chances: dict[int, float], words: str) -> None:
    assert years_words(chances) == words
