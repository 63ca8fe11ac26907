"""What `knowledge check` tells of a base that reads: counts, advice, and entries that move nothing."""

from __future__ import annotations

import pytest
from hobmark.curating.check import Trial, checked
from hobmark.problems import Refused
from hobmark.reports.curating import CheckReport, check_text

from .conftest import CASE, RULES, SPECIMEN, TRAITS, Bench

MORE = "- {id: tw-t011, feature: legs, of: [teal_plain], value: pressed, certainty: attested, sources: [cat]}\n"


def idle(bench: Bench) -> list[str]:
    """Ids of the entries that move nothing by a deciban."""
    return [entry.id for entry in tried(bench).idle]


def tried(bench: Bench, maker: str | None = None, ranges: int = 30) -> CheckReport:
    return checked(bench.compiled(), [bench.root], Trial(ranges=ranges, maker=maker))


def plainly(bench: Bench) -> CheckReport:
    return checked(bench.compiled(), [bench.root])


def test_a_makers_entries_are_counted(bench: Bench) -> None:
    counts = plainly(bench).makers[0]
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
    assert any(line.startswith("sp-1: made 1955, when no teal_grand was") for line in plainly(bench).advice)


def test_statements_that_together_say_more_than_all_are_told_of(bench: Bench) -> None:
    bench.write("teal_works/traits.yaml", TRAITS + MORE)
    assert any(line.startswith("tw-t001, tw-t011: together they say more") for line in plainly(bench).advice)


def test_rivals_may_say_more_than_all(bench: Bench) -> None:
    rival = MORE.replace("certainty", "against: [tw-t001], certainty")
    bench.write("teal_works/traits.yaml", TRAITS + rival)
    assert plainly(bench).advice == []


def test_a_maker_of_whom_little_is_said_beside_another_is_told_of(bench: Bench) -> None:
    bench.write_maker("coot_works", life="1930/1949", variant="coot", traits=1)
    advice = plainly(bench).advice
    assert any(line.startswith("coot_works: nothing is said of 4 of the 5 features") for line in advice)


def test_a_maker_of_whom_as_much_is_said_as_of_another_is_not(bench: Bench) -> None:
    bench.write_maker("coot_works", life="1930/1949", variant="coot", traits=4)
    assert plainly(bench).advice == []


STAMP_IS = "feature: stamp, is: town"
GREY = "- {id: tw-t011, feature: hue, of: [all], value: grey, certainty: attested, sources: [cat]}\n"
HUE = "{label: Hue, assembly: body, ask: Hue, look: Up., access: photo, values: {grey: {}, blue: {}}, needs: {NEEDS}}"
STAMPED = "- {id: tw-t011, feature: stamp, of: [all], value: absent, certainty: attested, sources: [cat]}\n"


def add_hue(bench: Bench, needs: str = "") -> None:
    """One more feature, of which nothing is said."""
    features = (bench.root / "features.yaml").read_text(encoding="utf-8")
    bench.write("features.yaml", f"{features}hue:\n  {HUE.replace('NEEDS', needs)}\n")


def test_a_statement_on_what_rules_test_is_advised_against_with_its_id_and_line(bench: Bench) -> None:
    bench.write("teal_works/traits.yaml", TRAITS + STAMPED)
    (said,) = plainly(bench).advice
    assert said.startswith("stamp: rules test it and statements speak of it")
    assert said.endswith(f"the statements are tw-t011 ({bench.root / 'teal_works' / 'traits.yaml'}:11).")


def test_of_many_statements_on_what_rules_test_six_are_named(bench: Bench) -> None:
    more = "".join(STAMPED.replace("t011", f"t{n:03}").replace("absent", "absent, how: rarely") for n in range(11, 19))
    bench.write("teal_works/traits.yaml", TRAITS + more)
    assert any(line.endswith(":16) and 2 more.") for line in plainly(bench).advice)


def test_a_statement_on_what_another_rule_concludes_is_not_advised_against(bench: Bench) -> None:
    concluding = RULES.replace("tw-r01", "tw-r02").replace("stamp: town", "hue: blue")
    add_hue(bench)
    bench.write("teal_works/traits.yaml", TRAITS + STAMPED)
    bench.write("teal_works/rules.yaml", RULES + concluding.replace('not_before: "1940", of: body', STAMP_IS))
    assert plainly(bench).advice == []


def test_kept_cases_are_read_and_counted(bench: Bench) -> None:
    bench.case("second", CASE)
    assert plainly(bench).cases == 2
    assert "2 kept cases read too." in check_text(plainly(bench))


def test_problems_of_every_kept_case_are_told_with_their_places(bench: Bench) -> None:
    paths = [bench.case(name, CASE.replace("is: cast", "is: kast")) for name in ("green", "red")]
    with pytest.raises(Refused) as caught:
        plainly(bench)
    places = [str(problem).split(": ")[0] for problem in caught.value.problems]
    assert places == [f"{path}:4:25" for path in paths]


def test_a_kept_case_that_expects_nothing_is_a_problem(bench: Bench) -> None:
    bench.case("green", CASE.replace("expect:", "claims:").replace(", not_its_own: [backguard]", ""))
    with pytest.raises(Refused, match="a kept case needs 'expect'"):
        plainly(bench)


def unseen(bench: Bench) -> Bench:
    """A feature that is stated but asked only where the stamp, which no simulated range shows, says so."""
    add_hue(bench, needs="stamp: absent")
    bench.write("teal_works/traits.yaml", TRAITS + GREY)
    return bench


def test_what_no_range_shows_is_never_tried_and_not_idle(bench: Bench) -> None:
    report = tried(unseen(bench))
    assert [(entry.kind, entry.id) for entry in report.never_tried] == [("trait", "teal_works/tw-t011")]
    assert "teal_works/tw-t011" not in [entry.id for entry in report.idle]


def test_what_was_never_tried_is_told_apart(bench: Bench) -> None:
    said = check_text(tried(unseen(bench)))
    assert "1 were never tried: no range showed a feature they speak of:\n  trait teal_works/tw-t011\n" in said


def test_a_rule_is_tried_by_what_leads_to_it(bench: Bench) -> None:
    leading = RULES.replace('{not_before: "1940", of: body}', "{feature: hue, is: blue}")
    led = RULES.replace("tw-r01", "tw-r02").replace("stamp: town", "hue: blue")
    add_hue(bench)
    bench.write("teal_works/rules.yaml", leading + led)
    assert tried(bench).never_tried == []


def test_one_makers_entries_can_be_tried_alone(bench: Bench) -> None:
    bench.write_maker("coot_works", life="1930/1949", variant="coot", traits=4)
    assert tried(bench, "coot_works").tried == 4


def test_a_maker_there_is_not_is_refused_with_the_nearest(bench: Bench) -> None:
    with pytest.raises(Refused, match=r"unknown maker 'teal_work'. Did you mean 'teal_works'\?"):
        tried(bench, "teal_work")


@pytest.mark.parametrize(("ranges", "told"), [(399, 1), (400, 0)])
def test_few_ranges_are_advised_against(bench: Bench, ranges: int, told: int) -> None:
    assert len(tried(bench, ranges=ranges).hints) == told


def test_how_far_it_is_can_be_followed(bench: Bench) -> None:
    steps: list[tuple[int, int]] = []
    checked(bench.compiled(), [bench.root], Trial(ranges=30, progress=lambda *step: steps.append(step)))
    assert steps == [(done, 12) for done in range(13)]
