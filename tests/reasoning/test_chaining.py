"""Both engines, on small rule sets whose derivation can be read off."""

from __future__ import annotations

import pytest
from hobmark.reasoning.chaining import (
    Atom,
    Clause,
    CountingChainer,
    DurableChainer,
    Firing,
)

from .rule_sets import CHAIN, Derive, atom, atoms, clause, needs_durable


@pytest.fixture(params=[pytest.param(DurableChainer, marks=needs_durable), CountingChainer])
def derive(request: pytest.FixtureRequest) -> Derive:
    return lambda clauses, given: request.param(clauses).derive(given)


# What follows


def test_nothing_follows_from_nothing(derive: Derive) -> None:
    assert derive(CHAIN, ()).facts == ()


def test_without_clauses_the_given_facts_are_all_there_is(derive: Derive) -> None:
    assert derive([], atoms("rim")).facts == atoms("rim")


def test_a_rule_half_met_does_not_fire(derive: Derive) -> None:
    assert derive([clause("both", "rim & clips -> late")], atoms("rim")).firings == ()


def test_a_fact_no_rule_mentions_is_kept(derive: Derive) -> None:
    assert atom("enamel=thin") in derive(CHAIN, atoms("rim enamel=thin")).facts


def test_a_derived_fact_no_rule_mentions_is_kept(derive: Derive) -> None:
    assert atom("late") in derive(CHAIN, atoms("rim clips")).facts


def test_another_value_of_the_same_feature_meets_no_condition(derive: Derive) -> None:
    assert derive(CHAIN, atoms("rim=rolled clips")).firings == ()


def test_two_values_of_one_feature_may_both_hold(derive: Derive) -> None:
    both = clause("both", "rim=rolled & rim=welded -> repaired")
    assert atom("repaired") in derive([both], atoms("rim=rolled rim=welded")).facts


def test_a_conclusion_meets_the_condition_of_the_next_rule(derive: Derive) -> None:
    assert derive(CHAIN, atoms("rim clips")).firings == (
        Firing("first", atoms("rim"), atoms("press"), 1),
        Firing("second", atoms("press clips"), atoms("late"), 2),
    )


def test_a_long_chain_is_followed_to_its_end(derive: Derive) -> None:
    links = [clause(f"link{n:03}", f"step={n} -> step={n + 1}") for n in range(300)]
    assert derive(links, atoms("step=0")).firings[-1].stage == 300


def test_the_order_of_the_clauses_does_not_matter(derive: Derive) -> None:
    assert derive(CHAIN[::-1], atoms("rim clips")) == derive(CHAIN, atoms("clips rim"))


def test_a_cycle_comes_to_rest(derive: Derive) -> None:
    ring = [clause("there", "rim -> press"), clause("back", "press -> rim")]
    assert [firing.clause for firing in derive(ring, atoms("rim")).firings] == ["there", "back"]


def test_a_cycle_nobody_enters_stays_cold(derive: Derive) -> None:
    ring = [clause("there", "rim -> press"), clause("back", "press -> rim")]
    assert derive(ring, atoms("clips")).firings == ()


def test_a_rule_that_concludes_its_own_condition_fires_once(derive: Derive) -> None:
    assert len(derive([clause("self", "rim -> rim")], atoms("rim")).firings) == 1


def test_one_fact_may_meet_two_conditions_of_one_rule(derive: Derive) -> None:
    twice = clause("twice", "rim & rim & clips -> late")
    assert derive([twice], atoms("clips rim")).firings == (Firing("twice", atoms("rim clips"), atoms("late"), 1),)


def test_rules_may_share_a_condition(derive: Derive) -> None:
    rules = [clause("a", "rim -> press"), clause("b", "rim -> late"), clause("c", "rim & clips -> early")]
    assert [firing.clause for firing in derive(rules, atoms("rim clips")).firings] == ["a", "b", "c"]


def test_two_rules_with_one_conclusion_both_fire(derive: Derive) -> None:
    rules = [clause("b", "clips -> late"), clause("a", "rim -> late")]
    assert [firing.clause for firing in derive(rules, atoms("rim clips")).firings] == ["a", "b"]


def test_a_rule_fires_though_its_conclusion_was_given(derive: Derive) -> None:
    assert len(derive(CHAIN, atoms("rim press")).firings) == 1


def test_two_rules_may_say_the_same_in_full(derive: Derive) -> None:
    rules = [clause("a", "rim & clips -> late"), clause("b", "rim & clips -> late")]
    assert len(derive(rules, atoms("rim clips")).firings) == 2


def test_a_conclusion_that_is_no_fact_leaves_a_firing(derive: Derive) -> None:
    assert derive([clause("remark", "rim ->")], atoms("rim")).firings == (Firing("remark", atoms("rim"), (), 1),)


def test_one_rule_may_conclude_several_facts(derive: Derive) -> None:
    assert derive([clause("a", "rim -> press late press")], atoms("rim")).firings[0].gives == atoms("press late")


def test_sixteen_conditions_are_met_together(derive: Derive) -> None:
    words = [f"mark{n}" for n in range(16)]
    wide = clause("wide", f"{' & '.join(words)} -> late")
    assert atom("late") in derive([wide], atoms(" ".join(words))).facts


def test_a_fact_given_twice_is_one_fact(derive: Derive) -> None:
    assert derive(CHAIN, atoms("rim rim")).given == atoms("rim")


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        'said "no"',
        "it's",
        "back\\slash",
        "ends in \\",
        "two\nlines",
        "nul\0byte",
        "a|s|b",
        "100%41",
        "émaillé 瓦斯 🔥",
        "half \ud83d",
        "%boot",
        "$and",
        "{}",
        "null",
        "1e16",
    ],
)
def test_any_text_is_safe_in_features_values_and_ids(derive: Derive, text: str) -> None:
    strange = Clause(text, (Atom(text, text), Atom("rim", text)), (Atom(text, "yes"),))
    assert Atom(text, "yes") in derive([strange], [Atom(text, text), Atom("rim", text)]).facts


def test_text_that_differs_only_in_escapes_is_told_apart(derive: Derive) -> None:
    assert derive([Clause("a", (Atom("mark", "\n"),), ())], [Atom("mark", "\\n")]).firings == ()


# Reading a derivation


def test_a_given_fact_needs_no_support() -> None:
    assert CountingChainer([clause("a", "rim -> press")]).derive(atoms("rim press")).support(atom("press")) is None


def test_what_does_not_hold_has_no_support() -> None:
    assert CountingChainer(CHAIN).derive(atoms("rim")).support(atom("late")) is None


def test_the_support_is_the_firing_of_the_lowest_stage() -> None:
    rules = [*CHAIN, clause("z_short", "clips -> late")]
    found = CountingChainer(rules).derive(atoms("rim clips")).support(atom("late"))
    assert found is not None
    assert found.clause == "z_short"


def test_among_firings_of_one_stage_the_first_id_is_the_support() -> None:
    found = CountingChainer([clause("b", "rim -> late"), clause("a", "clips -> late")])
    support = found.derive(atoms("rim clips")).support(atom("late"))
    assert support is not None
    assert support.clause == "a"


def test_facts_come_by_stage_and_then_by_name() -> None:
    rules = [clause("a", "rim -> zinc alloy"), clause("b", "zinc -> bar")]
    assert CountingChainer(rules).derive(atoms("rim clips")).facts == atoms("clips rim alloy zinc bar")


def test_the_leaves_of_a_conclusion_are_the_given_facts_of_its_proof(derive: Derive) -> None:
    assert derive(CHAIN, atoms("rim clips enamel")).leaves(atom("late")) == set(atoms("rim clips"))


def test_a_given_fact_is_its_own_leaf(derive: Derive) -> None:
    assert derive(CHAIN, atoms("rim")).leaves(atom("rim")) == set(atoms("rim"))


def test_a_firing_has_leaves_though_it_concluded_no_fact(derive: Derive) -> None:
    found = derive([*CHAIN, clause("remark", "late ->")], atoms("rim clips"))
    assert found.leaves(found.firings[-1]) == set(atoms("rim clips"))


def test_leaves_in_a_cycle_are_what_entered_it(derive: Derive) -> None:
    ring = [clause("in", "clips -> rim"), clause("there", "rim -> press"), clause("back", "press -> rim")]
    assert derive(ring, atoms("clips")).leaves(atom("press")) == set(atoms("clips"))


def test_asking_for_the_leaves_of_what_does_not_hold_is_an_error() -> None:
    found = CountingChainer(CHAIN).derive(atoms("rim"))
    with pytest.raises(KeyError):
        found.leaves(atom("late"))


def test_the_proof_of_a_long_chain_is_walked_without_recursion() -> None:
    links = [clause(f"link{n}", f"step={n} -> step={n + 1}") for n in range(5_000)]
    assert CountingChainer(links).derive(atoms("step=0")).leaves(atom("step=5000")) == set(atoms("step=0"))


def test_the_look_ahead_names_the_clauses_that_would_fire() -> None:
    assert CountingChainer(CHAIN).close(atoms("rim clips")) == {"first", "second"}


def test_the_look_ahead_leaves_no_trace_in_the_next_one() -> None:
    counting = CountingChainer(CHAIN)
    counting.close(atoms("rim"))
    assert counting.close(atoms("clips")) == frozenset()
