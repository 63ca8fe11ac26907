"""What the bench page shows, worked out without a screen; on the demonstration base, whose facts are invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from hobmark.bench.record_words import with_cleared, with_told
from hobmark.case import Case
from hobmark.knowledge.schema.measures import MeasureTaken, NumberRead
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.vocabulary import MeasuredOn
from hobmark.reasoning.examination import Compiled, Examination
from hobmark.reports.fit_findings import fit_report
from hobmark_tui.views.bench import Bench, Sheet
from hobmark_tui.views.bench_gas import clue_choices
from hobmark_tui.views.bench_papers import Paper, paper_choices, paper_path, path_refused, sheet_at
from hobmark_tui.views.bench_parts import PartView, ToFind, part_choices, part_view
from hobmark_tui.views.bench_symptoms import found_in, symptom_choices, symptom_view, to_clear
from hobmark_tui.views.choices import Choice, narrowed

CASE = Path("kept/green.yaml")
NOTHING = BenchRecord()
NOTHING_KNOWN = Case(hobmark="1", label="it")


def _text(sheet: Sheet) -> str:
    return "\n".join(sheet.fold(78))


def _part(shipped: Compiled, name: str, case: Case = NOTHING_KNOWN) -> PartView:
    return part_view(shipped.base, case, fit_report(Examination(shipped, case), "it", [name]))


def test_every_symptom_can_be_chosen(shipped: Compiled) -> None:
    assert {each.id for each in symptom_choices(shipped.base, NOTHING)} == set(shipped.base.bench.faults.symptoms)


def test_symptoms_that_stop_everything_say_so_in_words(shipped: Compiled) -> None:
    stops = {each.id for each in symptom_choices(shipped.base, NOTHING) if each.label.startswith("STOP: ")}
    assert stops == {"smell_of_gas", "co_alarm", "valve_will_not_shut", "mercury_spilt", "regulator_unsound"}


def test_causes_stand_with_chance_who_may_and_grounds(shipped: Compiled) -> None:
    causes = [each.text for each in symptom_view(shipped.base, NOTHING, "one_burner_dead").below if "%" in each.text]
    assert causes[0].startswith(" 23% ")
    assert causes[0].endswith("(owner may) [common practice, no source]")


def test_causes_that_are_all_ruled_out_leave_it_to_a_fitter(shipped: Compiled) -> None:
    causes = shipped.base.bench.faults.symptoms["one_burner_dead"].causes
    record = with_told(NOTHING, "one_burner_dead", [(cause, "not_seen") for cause in causes])
    view = symptom_view(shipped.base, record, "one_burner_dead")
    assert view.above[-1].text == "Nothing known is left that fits. Leave it off; a licensed fitter looks."
    assert view.outcomes == ()


def test_what_was_checked_for_another_symptom_is_not_found_here() -> None:
    record = with_told(NOTHING, "valve_stiff", [("valve_dry", "seen")])
    assert found_in(record, "one_burner_dead") == []


def test_a_cause_that_was_put_right_is_no_evidence_any_more() -> None:
    record = with_cleared(
        with_told(NOTHING, "valve_stiff", [("valve_scored", "seen")]), "valve_scored=B. Reed, 2026-12-01"
    )
    assert found_in(record, "valve_stiff") == []


def test_what_stops_everything_is_there_to_be_put_right(shipped: Compiled) -> None:
    record = with_told(NOTHING, "smell_of_gas", [])
    assert [each.id for each in to_clear(shipped.base, record)] == ["smell_of_gas"]


def test_a_symptom_that_stops_nothing_is_put_right_by_its_name_too(shipped: Compiled) -> None:
    assert [each.id for each in to_clear(shipped.base, with_told(NOTHING, "oven_slow", []))] == ["oven_slow"]


def test_a_symptom_that_was_put_right_says_by_whom_in_the_list(shipped: Compiled) -> None:
    record = with_cleared(with_told(NOTHING, "smell_of_gas", []), "smell_of_gas=B. Reed, 2026-12-01")
    assert symptom_choices(shipped.base, record)[0].detail == "put right: B. Reed, 2026-12-01"


@pytest.mark.parametrize("typed", ["V-3C", "v3c", "V 3C", "burner valve click"])
def test_a_part_is_found_by_number_and_by_words(shipped: Compiled, typed: str) -> None:
    found = narrowed(part_choices(shipped.base), typed)
    assert [each.id for each in found] == ["brindlemere/bm-p-va4"]


def test_kinds_stand_before_single_parts(shipped: Compiled) -> None:
    kinds = [each.id for each in part_choices(shipped.base)][: len(shipped.base.kinds)]
    assert kinds == list(shipped.base.kinds)


def test_the_cautions_stand_right_below_the_verdict(shipped: Compiled) -> None:
    above = _text(_part(shipped, "bm-p-va4").above)
    assert "UNPROVEN" in above
    assert "Caution. Local codes and a licensed fitter come first." in above


def test_what_would_settle_a_part_comes_with_its_time(shipped: Compiled) -> None:
    first = _part(shipped, "wx-p-th1").to_find[0]
    assert first.choice.label.startswith("Pilot port on the range? (20 s")
    assert first.choice.detail.startswith("Settles most for its time.")


def test_what_was_measured_can_be_measured_anew(shipped: Compiled) -> None:
    taken = MeasureTaken(kind="thermostat", measure="body_pattern", value="49 mm")
    case = NOTHING_KNOWN.with_measure(taken)
    again = [each for each in _part(shipped, "wx-p-th1", case).to_find if "49\N{NO-BREAK SPACE}mm" in each.choice.label]
    assert [each.measure for each in again] == ["body_pattern"]


def test_a_number_that_was_read_can_be_read_anew(shipped: Compiled) -> None:
    case = NOTHING_KNOWN.with_number(NumberRead(kind="thermostat", number="W 601"))
    labels = [each.choice.label for each in _part(shipped, "wx-p-th1", case).to_find]
    assert "number on the oven thermostat: W 601" in labels


def test_a_measure_is_never_parted_by_a_fold(shipped: Compiled) -> None:
    taken = MeasureTaken(kind="thermostat", measure="body_pattern", value="1 15/16 in")
    found = _part(shipped, "wx-p-th1", NOTHING_KNOWN.with_measure(taken)).to_find
    assert "1\N{NO-BREAK SPACE}15/16\N{NO-BREAK SPACE}in" in [each.choice.label.split(": ")[-1] for each in found]


def test_a_measure_at_its_place_is_of_the_kind() -> None:
    wanted = ToFind(Choice("depth", "Depth?"), "", "valve", "va-1", measure="depth", on=MeasuredOn.RANGE)
    assert wanted.taken("3 mm") == MeasureTaken(kind="valve", measure="depth", value="3 mm")


def test_a_measure_on_the_part_is_of_that_part() -> None:
    wanted = ToFind(Choice("depth", "Depth?"), "", "valve", "va-1", measure="depth", on=MeasuredOn.PART)
    assert wanted.taken("3 mm") == MeasureTaken(part="va-1", measure="depth", value="3 mm", on=MeasuredOn.PART)


def test_a_number_of_no_letter_and_no_digit_is_refused() -> None:
    assert ToFind(Choice("valve", "Number?"), "", "valve", "va-1").refuses("--") is not None


def test_the_colour_of_a_flame_is_no_clue_to_choose(shipped: Compiled) -> None:
    assert "flame_colour" not in [each.id for each in clue_choices(shipped.base, NOTHING)]


@pytest.mark.parametrize("name", ["jet_size", "pressure", "regulator"])
def test_what_the_record_has_a_place_for_is_no_clue_to_choose(shipped: Compiled, name: str) -> None:
    assert name not in [each.id for each in clue_choices(shipped.base, NOTHING)]


def test_the_sheet_goes_by_the_outcomes_in_the_record(shipped: Compiled) -> None:
    record = with_told(NOTHING, "one_burner_dead", [("pilot_out", "seen")])
    case = NOTHING_KNOWN.model_copy(update={"bench": record})
    symptom = sheet_at(Examination(shipped, case), Bench(symptom="one_burner_dead"), CASE).symptom
    assert symptom is not None
    assert symptom.found is not None
    assert symptom.found.id == "pilot_out"


def test_what_stops_stands_with_the_papers() -> None:
    details = [each.detail for each in paper_choices(Bench(), ["smell of gas"])]
    assert details[1].startswith("STOP stands on it: smell of gas. ")


def test_an_order_sheet_needs_a_part() -> None:
    assert Paper.ORDER not in [each.id for each in paper_choices(Bench())]


def test_a_paper_stands_next_to_the_case() -> None:
    assert paper_path(CASE, Paper.SETUP) == Path("kept/green-set-up.html")


@pytest.mark.parametrize(
    "typed", ["", "report", "report.pdf", "green.yaml", "a\0b.html", "~nobody-of-that-name/a.html"]
)
def test_a_name_that_will_not_do_is_refused_with_a_reason(typed: str) -> None:
    assert path_refused(CASE, typed)
