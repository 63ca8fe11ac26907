"""What is asked for each fact of the gas and what it makes of the record, window by window, without a screen."""

from __future__ import annotations

import pytest
from hobmark.knowledge.schema.record_terms import JetPlace, LaidOnBy, PressureAt, RegulatorState
from hobmark.knowledge.vocabulary import Gas
from hobmark_tui.screens import bench_facts

from .talking import Talk


def test_a_gas_laid_on_is_kept_before_its_heating_value_is_asked(talk: Talk) -> None:
    laid_on = talk.tell(bench_facts.laid_on(talk.desk), "bottled", "tank").laid_on
    assert laid_on is not None
    assert (laid_on.gas, laid_on.by) == (Gas.BOTTLED, LaidOnBy.TANK)
    assert talk.windows[-1].heading.startswith("Its heating value")


def test_a_gas_that_is_only_told_is_kept_without_how_it_is_known(talk: Talk) -> None:
    laid_on = talk.tell(bench_facts.laid_on(talk.desk), "natural", "not_told").laid_on
    assert laid_on is not None
    assert laid_on.by is None


def test_a_heating_value_says_whether_it_is_as_metered_or_for_standard_conditions(talk: Talk) -> None:
    laid_on = talk.tell(bench_facts.laid_on(talk.desk), "natural", "meter", "1015 standard").laid_on
    assert laid_on is not None
    assert (laid_on.heating_value, laid_on.basis) == ("1015 Btu/ft3", "standard")


def test_a_heating_value_is_taken_out_by_an_empty_line(talk: Talk) -> None:
    talk.tell(bench_facts.laid_on(talk.desk), "natural", "meter", "830")
    laid_on = talk.tell(bench_facts.laid_on(talk.desk), "natural", "meter", "").laid_on
    assert laid_on is not None
    assert laid_on.heating_value is None


def test_the_heating_value_of_another_gas_does_not_stay(talk: Talk) -> None:
    talk.tell(bench_facts.laid_on(talk.desk), "natural", "meter", "830")
    laid_on = talk.tell(bench_facts.laid_on(talk.desk), "bottled", "tank").laid_on
    assert laid_on is not None
    assert laid_on.heating_value is None


def test_a_gas_laid_on_is_taken_out(talk: Talk) -> None:
    assert talk.tell(bench_facts.laid_on(talk.desk), "out").laid_on is None


def test_a_window_that_is_left_changes_nothing(talk: Talk) -> None:
    before = talk.record
    assert talk.tell(bench_facts.laid_on(talk.desk), "bottled") == before


def test_a_heating_value_of_no_gas_is_refused_with_what_to_write(talk: Talk) -> None:
    talk.tell(bench_facts.laid_on(talk.desk), "natural", "meter")
    assert talk.refused("3") == "'3' is the heating value of no gas. Write it as 830 or 1015 standard."


def test_a_gas_that_is_wanted_is_no_gas_laid_on(talk: Talk) -> None:
    record = talk.tell(bench_facts.wanted(talk.desk), "bottled")
    assert record.wanted is Gas.BOTTLED
    assert record.laid_on is not None
    assert record.laid_on.gas is Gas.NATURAL


def test_a_gas_that_is_wanted_is_taken_out(talk: Talk) -> None:
    talk.tell(bench_facts.wanted(talk.desk), "bottled")
    assert talk.tell(bench_facts.wanted(talk.desk), "out").wanted is None


def test_a_height_is_taken_out_by_an_empty_line(talk: Talk) -> None:
    assert talk.tell(bench_facts.height(talk.desk), "").altitude is None


@pytest.mark.parametrize("typed", ["up the hill", "40000 ft", "5000"])
def test_a_height_that_is_none_is_refused(talk: Talk, typed: str) -> None:
    talk.tell(bench_facts.height(talk.desk))
    assert talk.refused(typed)


def test_a_regulator_of_the_house_is_kept_with_its_gas_and_outlet(talk: Talk) -> None:
    seen = talk.tell(bench_facts.regulators(talk.desk), "house_regulator", "fitted", "bottled", "11 in wc")
    assert seen.house_regulator.model_dump(exclude_none=True) == {
        "state": RegulatorState.FITTED,
        "gas": Gas.BOTTLED,
        "outlet": "11 in wc",
    }


def test_a_regulator_that_has_gone_is_asked_nothing_more(talk: Talk) -> None:
    assert talk.tell(bench_facts.regulators(talk.desk), "regulator", "gone").regulator.state is RegulatorState.GONE
    assert len(talk.windows) == 2


def test_an_outlet_pressure_that_no_house_has_is_refused(talk: Talk) -> None:
    talk.tell(bench_facts.regulators(talk.desk), "regulator", "fitted", "natural")
    assert "is no pressure that gas has inside a house" in talk.refused("40 psi")


def test_a_pressure_is_kept_with_its_place_and_what_was_lit(talk: Talk) -> None:
    record = talk.tell(bench_facts.pressure(talk.desk), "inlet", "7 in wc", "oven")
    read = record.pressures[0]
    assert (read.at, read.reads, read.lit) == (PressureAt.INLET, "7 in wc", (JetPlace.OVEN,))


def test_several_burners_that_were_lit_are_written(talk: Talk) -> None:
    record = talk.tell(bench_facts.pressure(talk.desk), "manifold", "4 in wc", "several", "front left, oven")
    assert record.pressures[0].lit == (JetPlace.FRONT_LEFT, JetPlace.OVEN)


def test_a_pressure_opens_a_joint_so_that_the_leak_check_is_due_again(talk: Talk) -> None:
    check = talk.tell(bench_facts.pressure(talk.desk), "manifold", "4 in wc", "none").leak_check
    assert check is not None
    assert check.opened_since


def test_pressures_of_a_place_are_taken_out_by_an_empty_line(talk: Talk) -> None:
    talk.tell(bench_facts.pressure(talk.desk), "inlet", "7 in wc", "none")
    talk.tell(bench_facts.pressure(talk.desk), "manifold", "4 in wc", "none")
    assert [each.at for each in talk.tell(bench_facts.pressure(talk.desk), "inlet", "").pressures] == ["manifold"]


@pytest.mark.parametrize("typed", ["4", "four", "-1 in wc", "9 ft"])
def test_a_pressure_that_is_none_is_refused(talk: Talk, typed: str) -> None:
    talk.tell(bench_facts.pressure(talk.desk), "manifold")
    assert talk.refused(typed)


LEAK = ("gauge", "9 in wc", "9 in wc", "5", "yes", "B. Reed", "2026-11-30")


def test_a_new_leak_check_is_no_longer_due(talk: Talk) -> None:
    talk.tell(bench_facts.pressure(talk.desk), "manifold", "4 in wc", "none")
    check = talk.tell(bench_facts.leak_check(talk.desk), "anew", *LEAK).leak_check
    assert check is not None
    assert (check.opened_since, check.minutes, check.date) == (False, 5.0, "2026-11-30")


def test_a_word_that_is_corrected_makes_no_leak_check_fresh(talk: Talk) -> None:
    talk.tell(bench_facts.pressure(talk.desk), "manifold", "4 in wc", "none")
    check = talk.tell(bench_facts.leak_check(talk.desk), "correct", *LEAK).leak_check
    assert check is not None
    assert check.opened_since


def test_a_first_leak_check_asks_at_once_how_it_was_made(talk: Talk) -> None:
    talk.tell(bench_facts.leak_check(talk.desk), "out")
    talk.tell(bench_facts.leak_check(talk.desk))
    assert talk.windows[-1].heading == "How was it made?"


def test_a_leak_check_keeps_what_was_not_told_open(talk: Talk) -> None:
    check = talk.tell(bench_facts.leak_check(talk.desk), "anew", "meter", "", "", "", "no", "", "").leak_check
    assert check is not None
    assert check.model_dump(exclude_defaults=True) == {"method": "meter", "tight": False}


@pytest.mark.parametrize(("answers", "typed"), [(1, "nine"), (3, "-2"), (6, "next week")])
def test_what_no_leak_check_shows_is_refused(talk: Talk, answers: int, typed: str) -> None:
    talk.tell(bench_facts.leak_check(talk.desk), "anew", *LEAK[:answers])
    assert talk.refused(typed)


def test_a_clue_is_kept_and_taken_out(talk: Talk) -> None:
    assert [each.value for each in talk.tell(bench_facts.clue(talk.desk), "stamp", "natural").clues] == ["natural"]
    assert talk.tell(bench_facts.clue(talk.desk), "stamp", "out").clues == ()
