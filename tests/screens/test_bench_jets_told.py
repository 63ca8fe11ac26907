"""Jets by place, samples, dial, tag and what was put right: what is asked, and what it makes of the record."""

from __future__ import annotations

from hobmark.bench.record_words import with_told
from hobmark.knowledge.schema.record_terms import JetPlace
from hobmark_tui.screens.bench_jets import jets
from hobmark_tui.screens.bench_more import more
from hobmark_tui.screens.bench_telling import cleared
from hobmark_tui.screens.dialogs import ChoiceDialog, LineDialog

from .talking import Talk


def test_one_jet_after_another_is_told_from_the_same_list(talk: Talk) -> None:
    record = talk.tell(jets(talk.desk), "front_left", "found", "55", "oven", "left", "43")
    assert record.jet_at(JetPlace.FRONT_LEFT).found == "55"
    assert record.jet_at(JetPlace.OVEN).left == "43"


def test_a_size_is_taken_out_by_an_empty_line(talk: Talk) -> None:
    assert talk.tell(jets(talk.desk), "front_left", "found", "").jet_at(JetPlace.FRONT_LEFT).found is None


def test_a_place_of_which_nothing_is_left_is_no_entry_any_more(talk: Talk) -> None:
    places = [
        jet.place for jet in talk.tell(jets(talk.desk), "front_left", "found", "", "front_left", "hood", "out").jets
    ]
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
    capped = talk.tell(jets(talk.desk), "oven", "out_of_use", "B. Reed, fitter, 2026-12-01").jet_at(JetPlace.OVEN)
    assert capped.out_of_use == "B. Reed, fitter, 2026-12-01"
    assert talk.tell(jets(talk.desk), "oven", "out_of_use").jet_at(JetPlace.OVEN).out_of_use is None


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
