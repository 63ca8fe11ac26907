"""What the screen shows, worked out without a screen."""

from __future__ import annotations

import datetime

import pytest
from hobmark.case import Case
from hobmark.knowledge.schema.observations import Observation
from hobmark.knowledge.vocabulary import Goal, Originality, Sure
from hobmark.reasoning.examination import Compiled
from hobmark.reports.findings import findings
from hobmark_tui.views.cases import ago, bare
from hobmark_tui.views.choices import Choice, look_choices, narrowed, variant_choices
from hobmark_tui.views.dates import timeline
from hobmark_tui.views.draft import Draft
from hobmark_tui.views.drawing import bar, columns, shortened_to
from hobmark_tui.views.leaders import leaders_view, years_view
from hobmark_tui.views.look import cost_words, look_view
from hobmark_tui.views.parts import Sign, parts_view, sign_of
from hobmark_tui.views.preparing import Ahead, Prepared
from hobmark_tui.views.reasons import reasons_view
from hobmark_tui.views.standing import Aim, Standing, stand

NOON = datetime.datetime(2026, 5, 1, 12, tzinfo=datetime.UTC)


def _case(**answers: object) -> Case:
    seen = [Observation.model_validate({"feature": name, "is": value}) for name, value in answers.items()]
    return Case(hobmark="1", label="it", observations=tuple(seen))


def _standing(compiled: Compiled, aim: Aim = Aim(), wanted: str | None = None, **answers: object) -> Standing:  # noqa: B008 - frozen
    return stand(compiled, _case(**answers), aim, wanted)


@pytest.mark.parametrize(
    ("share", "drawn"), [(0.0, "    "), (0.001, "▏   "), (0.5, "██  "), (0.53, "██▏ "), (1.0, "████"), (1.2, "████")]
)
def test_a_bar_is_drawn_to_an_eighth_and_shows_any_chance_at_all(share: float, drawn: str) -> None:
    assert bar(share, 4) == drawn


def test_columns_stand_one_beside_the_other_the_highest_over_all_rows() -> None:
    assert columns([0.1, 0.2, 0.0], 2, thick=2) == ["  ██  ", "████  "]


def test_columns_of_nothing_are_blank() -> None:
    assert columns([0.0, 0.0], 2) == ["  ", "  "]


def test_a_cut_is_shown() -> None:
    assert shortened_to("Heron De Luxe", 8) == "Heron D…"


def test_a_draft_is_the_answer_that_would_be_typed() -> None:
    draft = Draft().marking(3).marking(1).with_ruled_out().less_sure()
    assert draft.typed(*draft.marked) == "!1,3?"


def test_a_mark_made_twice_is_taken_away() -> None:
    assert Draft().marking(2).marking(2).marked == ()


def test_ending_several_forgets_the_marks() -> None:
    assert Draft().marking(2).with_several() == Draft()


def test_a_draft_says_what_the_next_key_will_mean(small: Compiled) -> None:
    look = look_view(_standing(small, wanted="legs"))
    assert look is not None
    assert Draft(ruled_out=True, sure=Sure.GUESS).says(look) == "The number you press is ruled out; a guess."


def test_a_look_has_its_question_values_reason_and_cost(small: Compiled) -> None:
    look = look_view(_standing(small, wanted="burner_head"))
    assert look is not None
    assert look.question == "What head does a burner have?"
    assert [(value.key, value.label, value.sketch) for value in look.values] == [
        ("1", "ring", "( )"),
        ("2", "star", " *"),
        ("3", "slotted", "|||"),
    ]
    assert look.reason.startswith("Splits ")
    assert look.reason.endswith("; 5 s, at arm's length.")


def test_a_look_answered_before_says_so(small: Compiled) -> None:
    look = look_view(_standing(small, wanted="legs", legs="recess"))
    assert look is not None
    assert look.so_far == "legs: recess"


def test_only_what_may_be_absent_or_leaves_traces_can_be_gone(small: Compiled) -> None:
    gone = {name: look_view(_standing(small, wanted=name)) for name in ("clock", "burner_head")}
    assert [name for name, look in gone.items() if look is not None and look.can_be_gone] == ["clock"]


def test_a_look_that_is_not_to_be_had_here_says_so(small: Compiled) -> None:
    assert cost_words(_standing(small).now, "insulation").endswith("which is not to be had here")


def test_a_look_passed_over_is_not_asked(small: Compiled) -> None:
    first = _standing(small).look
    assert first is not None
    assert _standing(small, Aim().without(first)).look not in (None, first)


def test_a_claim_as_goal_without_a_claim_is_read_as_which_variant(small: Compiled) -> None:
    assert _standing(small, Aim(Goal.CLAIM)).now.goal is Goal.VARIANT


def test_a_look_made_ready_is_asked(small: Compiled) -> None:
    assert stand(small, _case(legs="recess"), Aim(), ready="clock").look == "clock"


def test_a_look_made_ready_that_was_answered_meanwhile_is_not(small: Compiled) -> None:
    assert stand(small, _case(legs="recess", clock="electric"), Aim(), ready="clock").look != "clock"


@pytest.mark.parametrize(
    ("said", "ready"),
    [
        ({"is": "star"}, "legs"),
        ({"unseen": True}, "clock"),
        ({"is": "ring"}, None),
        ({"is": ["star", "ring"]}, None),
        ({"is_not": "star"}, None),
        ({"is": "star", "sure": "guess"}, None),
    ],
)
def test_prepared_is_for_plain_answers_only(said: dict[str, object], ready: str | None) -> None:
    prepared = Prepared("burner_head", {"star": "legs", None: "clock"})
    assert prepared.next_after(Observation.model_validate({"feature": "burner_head"} | said)) == ready


def test_every_answer_to_the_look_asked_is_prepared_for(small: Compiled) -> None:
    standing = _standing(small)
    prepared = Ahead()(standing, lambda: False)
    assert prepared is not None
    assert prepared.feature == standing.look
    assert set(prepared.after.values()) <= set(small.base.features) - {standing.look}


def test_where_it_has_become_of_no_use_nothing_is_prepared(small: Compiled) -> None:
    assert Ahead()(_standing(small), lambda: True) is None


def test_leaders_come_likeliest_first_with_what_the_looks_took(small: Compiled) -> None:
    leaders = leaders_view(_standing(small, legs="curved").now)
    assert leaders.lines[0].label == "Coppice Works Wren"
    assert leaders.lines[0].short == "Wren"
    assert leaders.looks == "1 look, about 5 s"


def test_years_stand_without_a_gap_and_hold_nearly_everything(small: Compiled) -> None:
    years = years_view(_standing(small, legs="curved", door_window="absent").now)
    assert years.first == 1930
    assert sum(years.chances) > 0.99


@pytest.mark.parametrize(
    ("verdict", "sign"),
    [
        (Originality.AS_LEFT_THE_WORKS, Sign.OWN),
        (Originality.DOUBTFUL, Sign.DOUBTFUL),
        (Originality.LATER_CORRECT, Sign.NOT_OWN),
        (Originality.EARLIER_CORRECT, Sign.NOT_OWN),
        (Originality.REPLACED, Sign.NOT_OWN),
        (Originality.MARRIED, Sign.NOT_OWN),
    ],
)
def test_every_verdict_has_a_sign(verdict: Originality, sign: Sign) -> None:
    assert sign_of(verdict) is sign


def test_parts_are_all_assemblies_those_not_looked_at_too(small: Compiled) -> None:
    now = _standing(small, legs="curved").now
    parts = parts_view(now, findings(now, "it"))
    assert [(line.label, line.sign) for line in parts.lines[:2]] == [("body", Sign.OWN), ("front", Sign.UNSEEN)]


def test_one_assembly_makes_no_timeline(small: Compiled) -> None:
    now = _standing(small, legs="curved").now
    [line] = timeline(findings(now, "it"), 80)
    assert line.text == "The timeline is drawn once two assemblies were looked at."


def test_the_timeline_has_a_line_for_the_range_and_one_for_each_assembly(small: Compiled) -> None:
    now = _standing(small, legs="curved", door_window="absent", burner_head="slotted").now
    lines = timeline(findings(now, "it"), 80)
    assert [line.text.split()[0] for line in lines[1:-1]] == ["the", "body", "front", "burners"]
    assert "#" not in "".join(line.text for line in lines)


def test_reasons_have_three_branches(small: Compiled) -> None:
    now = _standing(small, legs="curved", door_window="absent").now
    how, why, change = reasons_view(findings(now, "it"))
    assert how.text.startswith("How it came to Coppice Works Wren")
    assert why.text.startswith("Why Coppice Works Wren rather than ")
    assert change.text == "What would change it"


def test_every_look_may_be_chosen_and_the_answered_ones_say_what(small: Compiled) -> None:
    choices = {choice.id: choice.detail for choice in look_choices(small.base, _case(legs="recess"))}
    assert choices["legs"] == "answered: legs: recess"
    assert set(choices) == set(small.base.features)


def test_every_variant_but_the_leader_may_be_compared_with(small: Compiled) -> None:
    assert {choice.id for choice in variant_choices(_standing(small, legs="curved").now)} == {
        "coppice/robin",
        "coppice/finch",
        "coppice/finch_export",
    }


def test_all_words_narrow_and_a_label_that_begins_with_them_comes_first() -> None:
    choices = [Choice("a", "oven dial"), Choice("b", "Dial of the oven"), Choice("c", "oven door")]
    assert [choice.id for choice in narrowed(choices, "dial")] == ["b", "a"]
    assert [choice.id for choice in narrowed(choices, "oven door")] == ["c"]


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0, "just now"),
        (59, "just now"),
        (60, "1 minute ago"),
        (7200, "2 hours ago"),
        (90000, "1 day ago"),
        (-9, "just now"),
    ],
)
def test_how_long_ago(seconds: int, words: str) -> None:
    assert ago(NOON - datetime.timedelta(seconds=seconds), NOON) == words


def test_an_example_is_opened_without_what_it_is_kept_to_test() -> None:
    kept = _case(legs="recess").model_copy(update={"not_": ("coppice/wren",), "todo": "later"})
    assert bare(kept) == _case(legs="recess")
