"""What the engines refuse, which of them derives, and the life of a durable chainer."""

from __future__ import annotations

import gc
import subprocess
import sys
import threading

import pytest
from hobmark.reasoning import chaining
from hobmark.reasoning.chaining import (
    Atom,
    ChainingLimit,
    Clause,
    CountingChainer,
    DurableChainer,
    Limits,
    chainer,
    check_limits,
    engine_in_use,
)

from .rule_sets import CHAIN, Derive, atom, atoms, clause, needs_durable


@pytest.fixture(params=[pytest.param(DurableChainer, marks=needs_durable), CountingChainer])
def derive(request: pytest.FixtureRequest) -> Derive:
    return lambda clauses, given: request.param(clauses).derive(given)


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
