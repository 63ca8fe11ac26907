"""What `knowledge check` tells of a base that reads: counts, advice, and entries that move nothing."""

from __future__ import annotations

from hobmark.curating.cases import case_paths
from hobmark.curating.check import checked

from .conftest import RULES, SPECIMEN, TRAITS, Bench

MORE = "- {id: tw-t011, feature: legs, of: [teal_plain], value: pressed, certainty: attested, sources: [cat]}\n"


def idle(bench: Bench) -> list[str]:
    """Ids of the entries that move nothing by a deciban."""
    report = checked(bench.compiled(), case_paths([bench.root]), ranges=30, seed=1)
    return [entry.id for entry in report.idle]


def test_a_makers_entries_are_counted(bench: Bench) -> None:
    counts = checked(bench.compiled(), None).makers[0]
    assert (counts.variants, counts.traits, counts.rules, counts.specimens) == (2, 10, 1, 1)


def test_statements_that_part_the_variants_are_not_idle(bench: Bench) -> None:
    assert not [name for name in idle(bench) if "-t" in name]


def test_a_statement_that_says_what_another_says_already_is_idle(bench: Bench) -> None:
    again = "- {id: tw-t011, feature: legs, of: [teal_plain], value: cast, certainty: attested, sources: [cat]}\n"
    bench.write("teal_works/traits.yaml", TRAITS + again)
    assert "teal_works/tw-t011" in idle(bench)


def test_a_rule_that_no_case_fires_is_idle(bench: Bench) -> None:
    bench.write(
        "teal_works/rules.yaml",
        RULES + RULES.replace("tw-r01", "tw-r02").replace("town", "absent").replace("1940", "1930"),
    )
    assert "teal_works/tw-r02" in idle(bench)


def test_a_rule_that_a_case_fires_is_not_idle(bench: Bench) -> None:
    assert "teal_works/tw-r01" not in idle(bench)


def test_a_specimen_made_when_its_variant_was_not_is_told_of(bench: Bench) -> None:
    bench.write("teal_works/specimens/sp-1.yaml", SPECIMEN.replace('"1935"', '"1955"'))
    assert any(
        line.startswith("sp-1: made 1955, when no teal_grand was") for line in checked(bench.compiled(), None).advice
    )


def test_statements_that_together_say_more_than_all_are_told_of(bench: Bench) -> None:
    bench.write("teal_works/traits.yaml", TRAITS + MORE)
    assert any(
        line.startswith("tw-t001, tw-t011: together they say more") for line in checked(bench.compiled(), None).advice
    )


def test_rivals_may_say_more_than_all(bench: Bench) -> None:
    rival = MORE.replace("certainty", "against: [tw-t001], certainty")
    bench.write("teal_works/traits.yaml", TRAITS + rival)
    assert checked(bench.compiled(), None).advice == []


def test_a_maker_of_whom_little_is_said_beside_another_is_told_of(bench: Bench) -> None:
    bench.write_maker("coot_works", life="1930/1949", variant="coot", traits=1)
    advice = checked(bench.compiled(), None).advice
    assert any(line.startswith("coot_works: nothing is said of 4 of the 5 features") for line in advice)


def test_a_maker_of_whom_as_much_is_said_as_of_another_is_not(bench: Bench) -> None:
    bench.write_maker("coot_works", life="1930/1949", variant="coot", traits=4)
    assert checked(bench.compiled(), None).advice == []
