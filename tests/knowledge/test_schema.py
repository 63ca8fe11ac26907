"""What each entry of the base may and may not say, beyond the shape of its fields."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hobmark.knowledge.schema.entry import Entry
from hobmark.knowledge.schema.looks import Assembly, Feature, Wording
from hobmark.knowledge.schema.observations import Observation, read_length
from hobmark.knowledge.schema.rules import BoundConclusion, Rule, When
from hobmark.knowledge.schema.works import Change, FromTo, Maker, Trait
from pydantic import BaseModel, ValidationError

from .small_base import FILES

WORDING = yaml.safe_load(FILES["wording.yaml"])
FEATURE = {"label": "Lid", "assembly": "body", "ask": "Is there one?", "look": "Above.", "access": "photo"}
TRAIT = {"id": "t1", "feature": "lid", "of": ["all"], "certainty": "attested", "sources": ["s1"]}
RULE = {"id": "r1", "when": {"all": [{"lid": "fixed"}]}, "because": "It does.", "sources": ["s1"]}
MEASURE = {"unit": "mm", "error": 2}


def refused(model: type[BaseModel], fields: dict[str, Any]) -> str:
    with pytest.raises(ValidationError) as caught:
        model.model_validate(fields)
    return str(caught.value.errors()[0]["msg"]).removeprefix("Value error, ")


@pytest.mark.parametrize("table", [name for name in WORDING if name not in ("stop", "model")])
def test_every_word_needs_its_number(table: str) -> None:
    first, *rest = WORDING[table]
    lacking = WORDING | {table: {word: WORDING[table][word] for word in rest}}
    assert refused(Wording, lacking) == f"'{table}' has no number for {first}. Add it."


@pytest.mark.parametrize("fields", [{}, {"swapped": "often", "is_the_range": True}], ids=["neither", "both"])
def test_an_assembly_is_swapped_or_is_the_range(fields: dict[str, Any]) -> None:
    said = "an assembly has either 'swapped' or 'is_the_range: true'. Write one of them."
    assert refused(Assembly, {"label": "Top", "holds": "lid", **fields}) == said


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"values": {"a": {}}}, "a feature needs at least two values. Add them under 'values'."),
        (
            {"values": {f"v{i}": {} for i in range(13)}},
            "a feature has at most twelve values. Split it into two features.",
        ),
        ({"bands": {"low": "..1", "high": "1.."}}, "'measure' and 'bands' go together. Write both or neither."),
        (
            {"values": {"a": {}, "b": {}}, "measure": MEASURE},
            "'measure' and 'bands' go together. Write both or neither.",
        ),
        (
            {"values": {"mid": {}}, "bands": {"low": "..1", "high": "1.."}, "measure": MEASURE},
            "'mid' under 'values' is no band. Name each value as its band.",
        ),
    ],
)
def test_a_features_values_must_stand(fields: dict[str, Any], said: str) -> None:
    assert refused(Feature, FEATURE | fields) == said


@pytest.mark.parametrize(
    "edges",
    [
        ("..19", "20.."),
        ("..20", "19.."),
        ("1..19", "19.."),
        ("..19", "19..30"),
        ("..20", "20..10", "10.."),
        ("..", "..19"),
        ("..5", "5..5", "5.."),
    ],
)
def test_bands_must_rise_and_meet(edges: tuple[str, ...]) -> None:
    bands = {f"b{place}": edge for place, edge in enumerate(edges)}
    said = "bands must rise from '..N' to 'N..' and meet without a gap. Mend the edges."
    assert refused(Feature, FEATURE | {"bands": bands, "measure": MEASURE}) == said


@pytest.mark.parametrize("edge", ["-..19", "a..19", "..1.", "19", "..1e3", "... 19"])
def test_a_band_is_two_numbers_with_dots_between(edge: str) -> None:
    bands = {"low": edge, "high": "19.."}
    assert "pattern" in refused(Feature, FEATURE | {"bands": bands, "measure": MEASURE})


@pytest.mark.parametrize(
    ("edges", "first"),
    [
        (("..19", "19.."), (float("-inf"), 19)),
        (("..0.32", "0.32..0.60", "0.60.."), (float("-inf"), 0.32)),
        (("..-2", "-2..2", "2.."), (float("-inf"), -2)),
    ],
)
def test_bands_that_meet_are_taken(edges: tuple[str, ...], first: tuple[float, float]) -> None:
    bands = {f"b{place}": edge for place, edge in enumerate(edges)}
    feature = Feature.model_validate(FEATURE | {"bands": bands, "measure": MEASURE})
    assert (feature.band_edges("b0"), feature.value_ids) == (first, tuple(bands))


@pytest.mark.parametrize(("label", "words"), [("a fixed lid", "a fixed lid"), (None, "lid fixed")])
def test_a_value_without_words_goes_by_its_id(label: str | None, words: str) -> None:
    feature = Feature.model_validate(FEATURE | {"values": {"lid_fixed": {"label": label}, "none": {}}})
    assert feature.value_label("lid_fixed") == words


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "a statement has one of 'value', 'values' or 'run'. Keep one."),
        ({"value": "a", "values": {"b": "often"}}, "a statement has one of 'value', 'values' or 'run'. Keep one."),
        (
            {"values": {"a": "often"}, "how": "often"},
            "'how' goes with 'value' or 'run'; each of 'values' has its own word. Remove 'how'.",
        ),
        ({"run": ["a"]}, "a run needs a change. Write [old, {from: 1939, value: new}] or use 'value'."),
        ({"run": ["a", "b"]}, "a run is one value, then changes. Write [old, {from: 1939, value: new}]."),
        (
            {"run": [{"from": "1939", "value": "a"}, {"from": "1940", "value": "b"}]},
            "a run is one value, then changes. Write [old, {from: 1939, value: new}].",
        ),
        (
            {"run": ["a", {"from": "1941", "value": "b"}, {"from": "[1938..1939]", "value": "c"}]},
            "a run goes forward in time, but '[1938..1939]' stands after '1941'. Change places.",
        ),
    ],
)
def test_a_statement_says_one_thing(fields: dict[str, Any], said: str) -> None:
    assert refused(Trait, TRAIT | fields) == said


@pytest.mark.parametrize(
    ("fields", "named"),
    [
        ({"value": "a"}, ("a",)),
        ({"values": {"a": "often", "b": "rarely"}}, ("a", "b")),
        ({"run": ["a", {"from": "1939", "value": "b"}, {"from": "1939", "value": "a"}]}, ("a", "b", "a")),
    ],
)
def test_a_statement_names_its_values(fields: dict[str, Any], named: tuple[str, ...]) -> None:
    assert Trait.model_validate(TRAIT | fields).named == named


@pytest.mark.parametrize("missing", ["id", "feature", "of", "certainty", "sources"])
def test_a_statement_without_one_of_these_is_refused(missing: str) -> None:
    fields = {name: value for name, value in (TRAIT | {"value": "a"}).items() if name != missing}
    assert refused(Trait, fields) == "Field required"


@pytest.mark.parametrize("name", ["of", "sources"])
def test_a_statement_is_about_somebody_and_from_somewhere(name: str) -> None:
    assert "at least 1 item" in refused(Trait, TRAIT | {"value": "a", name: []})


@pytest.mark.parametrize(
    ("text", "months"), [("12 months", 12), ("1 month", 1), ("6", 6), ("0 months", 0), ("120", 120)]
)
def test_a_run_out_is_whole_months(text: str, months: int) -> None:
    assert Change.model_validate({"from": "1939", "value": "a", "run_out": text}).run_out == months


@pytest.mark.parametrize("text", ["121", "1.5", "a year", "-1", "12 weeks", ""])
def test_what_is_no_run_out_is_refused(text: str) -> None:
    said = f"'{text}' is not a run-out. Write a number of months up to 120, as 12 months."
    assert refused(Change, {"from": "1939", "value": "a", "run_out": text}) == said


@pytest.mark.parametrize("date", ["1939/..", "../1939", "[1939..]"])
def test_a_change_needs_a_date_with_both_ends(date: str) -> None:
    said = f"'{date}' leaves the change without a date. Give both ends, as [1938..1939]."
    assert refused(Change, {"from": date, "value": "a"}) == said


@pytest.mark.parametrize("life", ["1924/..", "../1961", "1700/1750", "1924/2500"])
def test_a_works_has_a_first_and_a_last_year(life: str) -> None:
    said = f"'{life}' leaves the works without a first or last year. Write both, as 1924/1961."
    assert refused(Maker, {"id": "a", "label": "A", "life": life}) == said


@pytest.mark.parametrize(
    ("start", "end", "said"),
    [
        ("1942", "1941", "'1941' ends before '1942' starts. Write the earlier date as 'from'."),
        ("../1938", "1941", "'../1938' leaves the start open. Write a first year, as [1931..1932]."),
    ],
)
def test_a_production_starts_before_it_ends(start: str, end: str, said: str) -> None:
    assert refused(FromTo, {"from": start, "to": end}) == said


@pytest.mark.parametrize("end", ["1942", "[1941..1943]", "1942/..", "1941~"])
def test_a_production_may_end_as_uncertainly_as_it_likes(end: str) -> None:
    assert FromTo.model_validate({"from": "1942", "to": end}).to == end


@pytest.mark.parametrize(
    "fields", [{}, {"not_before": "1939", "not_after": "1941"}, {"not_before": "1939", "rules_out": ["a"]}]
)
def test_a_bound_bounds_one_thing(fields: dict[str, Any]) -> None:
    said = "a bound has one of 'not_before', 'not_after' or 'rules_out'. Keep one."
    assert refused(BoundConclusion, {"of": "body", **fields}) == said


@pytest.mark.parametrize("condition", [{}, {"any": [{"a": "b"}, {}]}])
def test_a_condition_cannot_be_empty(condition: dict[str, Any]) -> None:
    assert refused(When, {"all": [condition]}) == "a condition is empty. Write {feature: value}."


def test_conditions_that_multiply_too_far_are_refused() -> None:
    ways = {"any": [{"a": "1"}, {"b": "1"}, {"c": "1"}, {"d": "1"}, {"e": "1"}]}
    said = "the 'any' conditions multiply to 125 ways. Split the rule."
    assert refused(When, {"all": [ways, ways, ways]}) == said


@pytest.mark.parametrize(("count", "taken"), [(16, True), (17, False)])
def test_conditions_name_sixteen_features_at_most(count: int, taken: bool) -> None:
    when = {"all": [{f"f{n}": "a" for n in range(count - 1)}, {"last": "a"}]}
    said = "the conditions name 17 features, more than 16. Split the rule."
    assert len(When.model_validate(when).features) == 16 if taken else refused(When, when) == said


@pytest.mark.parametrize(
    ("conclusion", "kind"),
    [
        ({"feature": "a", "is": "b"}, "FeatureConclusion"),
        ({"not_before": "1939", "of": "body"}, "BoundConclusion"),
        ({"not_after": "1939", "of": "body"}, "BoundConclusion"),
        ({"rules_out": ["a"], "of": "body"}, "BoundConclusion"),
        ({"remark": "Look again."}, "RemarkConclusion"),
        ({"caution": "It is hot."}, "CautionConclusion"),
    ],
)
def test_a_conclusion_is_known_by_its_fields(conclusion: dict[str, Any], kind: str) -> None:
    rule = Rule.model_validate(RULE | {"then": [conclusion]})
    assert type(rule.then[0]).__name__ == kind


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"note": "?"}, "an observation needs 'feature', 'plate_text' or 'serial'. Add one."),
        ({"feature": "a"}, "a feature has one reading."),
        ({"feature": "a", "is": "b", "is_not": "c"}, "a feature has one reading."),
        ({"feature": "a", "is": "b", "unseen": "true"}, "a feature has one reading."),
        ({"feature": "a", "unseen": "false"}, "a feature has one reading."),
        ({"feature": "a", "is": "b", "serial": "1"}, "an observation is of a feature or of words found on a part."),
        ({"plate_text": "a", "serial": "1", "found_on": "body"}, "an observation needs 'feature', 'plate_text' or"),
        ({"serial": "1"}, "words and serials need 'found_on', the part they were found on. Add it."),
        ({"serial": "1", "found_on": "body", "is": "a"}, "words found on a part take no reading of a feature."),
    ],
)
def test_an_observation_says_one_thing(fields: dict[str, Any], said: str) -> None:
    assert refused(Observation, fields).startswith(said)


@pytest.mark.parametrize(("text", "truth"), [("true", True), ("yes", True), ("No", False), ("false", False)])
def test_yes_and_no_are_words(text: str, truth: bool) -> None:
    assert Observation.model_validate({"feature": "a", "is": "b", "original": text}).original is truth


# An inch is 25.4 mm by definition.
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("31 mm", 31),
        ("3.1 cm", 31),
        ("1 1/4 in", 31.75),
        ("1-1/4 in", 31.75),
        ('36"', 914.4),
        ("3/8 inch", 9.525),
        ("1.25 inches", 31.75),
        ("0.71mm", 0.71),
    ],
)
def test_a_length_is_read_with_its_unit(text: str, mm: float) -> None:
    assert read_length(text) == pytest.approx(mm)


@pytest.mark.parametrize("text", ["31", "1/0 in", "in", "-3 mm", "1e3 mm", "31 ft", "1 in 2", "31 mm\n5"])
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a length\. Write it with its unit, as 31 mm or 1 1/4 in\."):
        read_length(text)


@pytest.mark.parametrize("model", Entry.__subclasses__(), ids=lambda model: model.__name__)
def test_every_entry_is_frozen_and_takes_no_unknown_field(model: type[Entry]) -> None:
    assert (model.model_config["frozen"], model.model_config["extra"]) == (True, "forbid")
