"""What is asked for each fact of the gas and what it makes of the record, window by window, without a screen."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from hobmark.bench.record_words import with_told
from hobmark.knowledge.schema.bench import Gas
from hobmark.knowledge.schema.record import BenchRecord, JetPlace, LaidOnBy, PressureAt, RegulatorState
from hobmark.reasoning.examination import Compiled
from hobmark_tui.screens import bench_facts
from hobmark_tui.screens.bench_desk import Desk
from hobmark_tui.screens.bench_jets import jets
from hobmark_tui.screens.bench_more import more
from hobmark_tui.screens.bench_telling import Flow, Told, cleared
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog
from hobmark_tui.sessions.session import CaseSession

from .records import released


@dataclass
class Talk:
    """A desk, and every window that was opened on it."""

    desk: Desk
    windows: list[ChoiceDialog | LineDialog] = field(default_factory=list)

    def tell(self, flow: Flow, *answers: str | None) -> BenchRecord:
        """Answer window after window and leave the next one; the record as it is then."""
        left, said = list(answers), None
        while True:
            try:
                asked = flow.send(said)
            except StopIteration:
                return self.record
            if isinstance(asked, Told):
                self.desk.session.record(asked.make(self.record))
                assert self.desk.session.notice is None
                said = None
                continue
            assert isinstance(asked, ChoiceDialog | LineDialog)
            self.windows.append(asked)
            said = left.pop(0) if left else None
            if isinstance(asked, ChoiceDialog) and said is not None:
                assert said in [choice.id for choice in asked.choices]

    def refused(self, typed: str) -> str:
        """Why the last window will not take a line; empty where it will."""
        window = self.windows[-1]
        assert isinstance(window, LineDialog)
        assert window.check is not None
        return window.check(typed) or ""

    @property
    def record(self) -> BenchRecord:
        return self.desk.case.bench


@pytest.fixture
def talk(tmp_path: Path, shipped: Compiled) -> Iterator[Talk]:
    """A desk with the record of a range that is released."""
    path = tmp_path / "case.yaml"
    path.write_text(released(), encoding="utf-8")
    with CaseSession.open(path, shipped.base) as session, ThreadPoolExecutor(1) as hand:
        desk = Desk(shipped, session, hand)
        desk.head()
        yield Talk(desk)


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


LEAK = ("gauge", "9 in wc", "9 in wc", "5", "yes", "B. Reed", "2026-12-02")


def test_a_new_leak_check_is_no_longer_due(talk: Talk) -> None:
    talk.tell(bench_facts.pressure(talk.desk), "manifold", "4 in wc", "none")
    check = talk.tell(bench_facts.leak_check(talk.desk), "anew", *LEAK).leak_check
    assert check is not None
    assert (check.opened_since, check.minutes, check.date) == (False, 5.0, "2026-12-02")


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


def test_one_jet_after_another_is_told_from_the_same_list(talk: Talk) -> None:
    record = talk.tell(jets(talk.desk), "front_left", "found", "55", "oven", "left", "43")
    assert record.jet_at(JetPlace.FRONT_LEFT).found == "55"
    assert record.jet_at(JetPlace.OVEN).left == "43"


def test_a_size_is_taken_out_by_an_empty_line(talk: Talk) -> None:
    assert talk.tell(jets(talk.desk), "front_left", "found", "").jet_at(JetPlace.FRONT_LEFT).found is None


def test_a_place_of_which_nothing_is_left_is_no_entry_any_more(talk: Talk) -> None:
    places = [jet.place for jet in talk.tell(jets(talk.desk), "front_left", "found", "").jets]
    assert JetPlace.FRONT_LEFT not in places


def test_what_each_top_burner_is_to_give_is_told_once(talk: Talk) -> None:
    record = talk.tell(jets(talk.desk), "top_heat", "9000")
    assert {jet.heat for jet in record.jets if jet.place.value.startswith(("front", "rear"))} == {"9000 Btu/h"}


def test_a_mark_is_kept_with_what_it_is(talk: Talk) -> None:
    jet = talk.tell(jets(talk.desk), "oven", "mark", "bottled", "tag").jet_at(JetPlace.OVEN)
    assert (jet.gas, jet.by) == ("bottled", "tag")


def test_a_mark_is_taken_out(talk: Talk) -> None:
    jet = talk.tell(jets(talk.desk), "top_pilot", "mark", "out").jet_at(JetPlace.TOP_PILOT)
    assert (jet.gas, jet.by) == (None, None)


def test_a_hood_is_kept(talk: Talk) -> None:
    assert talk.tell(jets(talk.desk), "oven", "hood", "adjustable").jet_at(JetPlace.OVEN).hood == "adjustable"


def test_a_place_goes_out_of_use_and_back(talk: Talk) -> None:
    assert talk.tell(jets(talk.desk), "oven", "out_of_use").jet_at(JetPlace.OVEN).out_of_use
    assert not talk.tell(jets(talk.desk), "oven", "out_of_use").jet_at(JetPlace.OVEN).out_of_use


def test_a_place_that_the_range_was_not_thought_to_have_can_be_told(talk: Talk) -> None:
    assert talk.tell(jets(talk.desk), "other", "well", "found", "60").jet_at(JetPlace.WELL).found == "60"


def test_a_pilot_is_asked_for_no_heat(talk: Talk) -> None:
    talk.tell(jets(talk.desk), "oven_pilot")
    window = next(each for each in talk.windows if each.heading == "Jet at oven pilot")
    assert isinstance(window, ChoiceDialog)
    assert "heat" not in [choice.id for choice in window.choices]


def test_a_drill_that_there_is_not_is_refused_with_what_to_write(talk: Talk) -> None:
    talk.tell(jets(talk.desk), "oven", "found", None)
    window = next(each for each in talk.windows if isinstance(each, LineDialog))
    assert window.check is not None
    assert "is no drill and no length. Write 54 or 1.4 mm." in (window.check("no. 999") or "")


def test_a_sample_takes_bare_numbers_as_ppm_and_percent(talk: Talk) -> None:
    record = talk.tell(more(talk.desk), "combustion", "oven_vent", "120", "9", "15", "B. Reed", "2026-12-01")
    sample = record.combustion[0]
    assert (sample.co, sample.o2, sample.minutes) == ("120 ppm", "9 percent", 15.0)


def test_a_sample_without_a_number_is_refused(talk: Talk) -> None:
    talk.tell(more(talk.desk), "combustion", "room")
    assert talk.refused("")


def test_a_sample_is_taken_out_of_the_list(talk: Talk) -> None:
    talk.tell(more(talk.desk), "combustion", "room", "9", "", "", "", "")
    assert talk.tell(more(talk.desk), "combustion", "0").combustion == ()


def test_a_mark_of_the_dial_is_kept_in_degrees(talk: Talk) -> None:
    mark = talk.tell(more(talk.desk), "dial", "350", "372").dial[0]
    assert (mark.dial, mark.reads) == ("350 F", "372 F")


def test_a_mark_of_the_dial_that_is_no_temperature_is_refused(talk: Talk) -> None:
    talk.tell(more(talk.desk), "dial")
    assert "is no temperature. Write it as 350 F or 180 C." in talk.refused("hot")


def test_what_was_not_done_is_kept_and_taken_out(talk: Talk) -> None:
    assert talk.tell(more(talk.desk), "not_done", "oven not lit").not_done == ("oven not lit",)
    assert talk.tell(more(talk.desk), "not_done", "0").not_done == ()


def test_a_tag_is_kept_and_taken_out_by_an_empty_line(talk: Talk) -> None:
    assert talk.tell(more(talk.desk), "tag", "left rear capped").tag == "left rear capped"
    assert talk.tell(more(talk.desk), "tag", "").tag is None


def test_what_stops_is_put_right_by_somebody(talk: Talk) -> None:
    talk.desk.session.record(with_told(talk.record, "smell_of_gas", []))
    assert talk.tell(cleared(talk.desk), "B. Reed, fitter, 2026-12-01").symptoms[0].cleared == (
        "B. Reed, fitter, 2026-12-01"
    )


def test_what_stops_is_not_put_right_by_nobody(talk: Talk) -> None:
    talk.desk.session.record(with_told(talk.record, "smell_of_gas", []))
    talk.tell(cleared(talk.desk))
    assert "does not say by whom and when" in talk.refused("")
