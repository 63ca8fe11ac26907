"""Both engines, on small rule sets whose derivation can be read off; and the limits of durable-rules."""

from __future__ import annotations

import gc
import importlib.util
import subprocess
import sys
import threading
from collections.abc import Callable, Iterable

import pytest
from hobmark.reasoning import chaining
from hobmark.reasoning.chaining import (
    Atom,
    ChainingLimit,
    Clause,
    CountingChainer,
    Derivation,
    DurableChainer,
    Firing,
    Limits,
    chainer,
    check_limits,
    engine_in_use,
)

HAS_DURABLE = importlib.util.find_spec("durable") is not None
needs_durable = pytest.mark.skipif(
    not HAS_DURABLE, reason="durable-rules is not installed: only the counting chainer is tested"
)

Derive = Callable[[Iterable[Clause], Iterable[Atom]], Derivation]


@pytest.fixture(params=[pytest.param(DurableChainer, marks=needs_durable), CountingChainer])
def derive(request: pytest.FixtureRequest) -> Derive:
    return lambda clauses, given: request.param(clauses).derive(given)


def atom(text: str) -> Atom:
    """`lamp=absent`, or `lamp` for the value yes."""
    feature, _, value = text.partition("=")
    return Atom(feature, value or "yes")


def atoms(text: str) -> tuple[Atom, ...]:
    return tuple(atom(word) for word in text.split())


def clause(name: str, text: str) -> Clause:
    """`rim & clips -> late`; nothing after the arrow is an empty head."""
    body, head = text.split("->")
    return Clause(name, atoms(body.replace("&", " ")), atoms(head))


CHAIN = [clause("first", "rim -> press"), clause("second", "press & clips -> late")]


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


# Refusals


def test_a_clause_without_a_condition_is_refused() -> None:
    with pytest.raises(ValueError, match="no condition"):
        Clause("bare", (), atoms("late"))


def test_two_clauses_with_one_id_are_refused(derive: Derive) -> None:
    with pytest.raises(ValueError, match="two clauses are called 'first'"):
        derive([*CHAIN, CHAIN[0]], ())


def test_a_seventeenth_condition_is_refused_with_a_way_out() -> None:
    wide = clause("wide", " & ".join(f"mark{n}" for n in range(17)) + " -> late")
    with pytest.raises(ChainingLimit, match=r"wide: 17 conditions.*Let one rule conclude a feature"):
        chainer([wide])


def test_a_text_of_a_thousand_characters_is_taken(derive: Derive) -> None:
    long = Atom("mark", "x" * (1_000 - len("mark|s|")))
    assert len(derive([Clause("long", (long,), ())], [long]).firings) == 1


def test_a_longer_text_is_refused() -> None:
    long = Clause("long", (Atom("mark", "x" * (1_001 - len("mark|s|"))),), ())
    with pytest.raises(ChainingLimit, match=r"long: feature 'mark'.*takes 1001 characters"):
        chainer([long])


def test_a_longer_text_is_refused_in_a_conclusion_too() -> None:
    with pytest.raises(ChainingLimit, match="takes 1001 characters"):
        check_limits([Clause("long", atoms("rim"), (Atom("mark", "x" * (1_001 - len("mark|s|"))),))])


def test_values_the_engine_cannot_tell_apart_are_refused() -> None:
    twins = clause("twins", "mark=yew_maple_beech_box_cedar & mark=box_elm_plum_alder_pear -> late")
    with pytest.raises(ChainingLimit, match=r"cannot tell mark .* Give one of the two values another id"):
        chainer([twins])


def test_the_limits_hold_where_durable_rules_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "durable", None)
    with pytest.raises(ChainingLimit):
        chainer([clause("wide", " & ".join(f"mark{n}" for n in range(17)) + " -> late")])


# Which engine


@needs_durable
def test_durable_rules_derives_where_it_is_installed() -> None:
    assert chainer(CHAIN).derive(()).engine == engine_in_use() == "durable-rules 2.0.28"


def test_the_counting_chainer_derives_where_it_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "durable", None)
    assert chainer(CHAIN).derive(()).engine == engine_in_use() == "counting chainer"


@needs_durable
def test_the_same_derivation_is_equal_from_either_engine() -> None:
    assert DurableChainer(CHAIN).derive(atoms("rim clips")) == CountingChainer(CHAIN).derive(atoms("rim clips"))


def test_durable_rules_is_not_loaded_until_it_is_wanted() -> None:
    program = (
        "import sys; from hobmark.reasoning import chaining; chaining.CountingChainer([]);"
        "sys.exit('durable' in sys.modules or 'durable_rules_engine' in sys.modules)"
    )
    path = {"PYTHONPATH": ":".join(sys.path)}
    assert subprocess.run([sys.executable, "-c", program], env=path, check=False, timeout=60).returncode == 0


# The life of a durable chainer


@needs_durable
def test_one_case_leaves_nothing_behind_for_the_next() -> None:
    durable = DurableChainer(CHAIN)
    durable.derive(atoms("rim"))
    assert durable.derive(atoms("clips")).firings == ()


@needs_durable
def test_a_session_where_only_the_boot_rule_fired_can_be_left() -> None:
    durable = DurableChainer(CHAIN)
    durable.derive(atoms("clips"))
    assert len(durable.derive(atoms("rim clips")).firings) == 2


@needs_durable
def test_the_same_case_a_thousand_times_is_the_same_derivation() -> None:
    durable = DurableChainer(CHAIN)
    assert len({durable.derive(atoms("rim clips")) for _ in range(1_100)}) == 1


@needs_durable
def test_two_chainers_over_the_same_clauses_do_not_meet() -> None:
    one, other = DurableChainer(CHAIN), DurableChainer(CHAIN)
    one.release()
    assert len(other.derive(atoms("rim clips")).firings) == 2


@needs_durable
def test_a_released_chainer_refuses() -> None:
    durable = DurableChainer(CHAIN)
    durable.release()
    with pytest.raises(RuntimeError, match="released"):
        durable.derive(atoms("rim"))


@needs_durable
def test_releasing_twice_does_no_harm() -> None:
    durable = DurableChainer(CHAIN)
    durable.release()
    durable.release()


@needs_durable
def test_dropping_a_chainer_gives_its_rulesets_back() -> None:
    from durable import engine

    native = engine.durable_rules_engine
    durable = DurableChainer(CHAIN)
    handle = durable._host._ruleset_list[0]._handle
    del durable
    gc.collect()
    with pytest.raises(native.error, match="error code: 111"):  # no such ruleset
        native.delete_ruleset(handle)


@needs_durable
def test_no_thread_is_started() -> None:
    before = threading.active_count()
    chaining.DurableChainer(CHAIN).derive(atoms("rim"))
    assert threading.active_count() == before


@needs_durable
def test_an_error_in_an_action_reaches_the_caller(monkeypatch: pytest.MonkeyPatch) -> None:
    durable = DurableChainer(CHAIN)
    monkeypatch.setattr(durable._recorder, "_atoms", {})
    with pytest.raises(KeyError):
        durable.derive(atoms("rim"))


@needs_durable
def test_after_an_error_the_next_case_starts_clean() -> None:
    durable = DurableChainer(CHAIN)
    kept = dict(durable._recorder._atoms)
    durable._recorder._atoms.clear()
    with pytest.raises(KeyError):
        durable.derive(atoms("rim"))
    durable._recorder._atoms.update(kept)
    assert len(durable.derive(atoms("rim clips")).firings) == 2


# Several rulesets


@needs_durable
def test_a_condition_used_more_than_250_times_is_spread_over_rulesets() -> None:
    rules = [clause(f"use{n:03}", f"rim -> mark{n}") for n in range(600)]
    durable = DurableChainer(rules)
    assert len(durable._listening[atom("rim")]) == 3


def test_a_feature_with_more_than_500_values_is_spread_over_rulesets() -> None:
    rules = [clause(f"value{n:04}", f"rim={n} -> mark{n}") for n in range(1_200)]
    assert len(chaining._shards(rules, Limits())) == 3


def test_more_than_500_features_are_spread_over_rulesets() -> None:
    rules = [clause(f"feature{n:04}", f"mark{n} -> late") for n in range(1_200)]
    assert len(chaining._shards(rules, Limits())) == 3


def test_more_than_4000_rules_are_spread_over_rulesets() -> None:
    rules = [clause(f"r{n:04}", f"rim={n % 50} & step={n // 50} ->") for n in range(4_100)]
    assert len(chaining._shards(rules, Limits())) == 2


@needs_durable
def test_a_condition_used_600_times_fires_every_rule() -> None:
    rules = [clause(f"use{n:03}", f"rim -> mark{n}") for n in range(600)]
    assert DurableChainer(rules).derive(atoms("rim")) == CountingChainer(rules).derive(atoms("rim"))


@needs_durable
def test_a_feature_with_1200_values_fires_every_rule() -> None:
    rules = [clause(f"value{n:04}", f"rim={n} -> mark{n}") for n in range(1_200)]
    given = [Atom("rim", str(n)) for n in range(1_200)]
    assert DurableChainer(rules).derive(given) == CountingChainer(rules).derive(given)


@needs_durable
def test_1200_features_fire_every_rule() -> None:
    rules = [clause(f"feature{n:04}", f"mark{n} -> late") for n in range(1_200)]
    given = [atom(f"mark{n}") for n in range(1_200)]
    assert DurableChainer(rules).derive(given) == CountingChainer(rules).derive(given)


@needs_durable
def test_more_rules_than_one_ruleset_takes_are_spread() -> None:
    rules = [clause(f"r{n:04}", f"rim={n % 50} & step={n // 50} ->") for n in range(4_100)]
    given = [Atom("rim", "7"), Atom("step", "81"), Atom("step", "3")]
    assert DurableChainer(rules).derive(given) == CountingChainer(rules).derive(given)


@needs_durable
def test_a_chain_runs_back_and_forth_between_rulesets() -> None:
    links = [clause(f"link{n:02}", f"step={n} -> step={n + 1}") for n in range(40)]
    assert DurableChainer(links, Limits(rules=4)).derive(atoms("step=0")).firings[-1].stage == 40


@needs_durable
def test_conditions_of_one_rule_may_come_from_different_rulesets() -> None:
    rules = [clause("a", "rim -> press"), clause("b", "clips -> stud"), clause("c", "press & stud -> late")]
    durable = DurableChainer(rules, Limits(rules=2))
    assert atom("late") in durable.derive(atoms("rim clips")).facts
