"""Until a range is released nothing is lit and no gas is let out; and never by the owner."""

from __future__ import annotations

import re

import pytest
from hobmark.bench.symptoms import Search, search
from hobmark.knowledge.schema.bench import Work
from hobmark.knowledge.schema.faults import Cause, Check, FaultTable, Proof
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.vocabulary import Gas
from hobmark.reports.setup import set_up
from hobmark.reports.setup_shape import HELD, SetupReport
from hobmark.reports.setup_text import setup_text
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from .bases import base
from .records import checked_after, plain, record
from .sheets import farm_kitchen

TABLE = base().bench.faults
SOUGHT = [name for name, symptom in TABLE.symptoms.items() if not symptom.stop]
LIT = re.compile(
    r"alight(?!\?)|match burning|\b[Ll]ight (?:it|each|one)\b|lights? it|[Ww]arm\b|lowest|Turn it to low|stays? lit"
    r"|flame settles|cones become|flames steady|yellow here and there|[Oo]range flecks|sound pilot|Only then opened"
    r"|Opened|Stay by it|at its (?:own )?screw|bypass screw|(?:Close|Open) the shutter|[Mm]anometer at"
)
"""Words of a deed for which gas burns or is let out."""
CHECK = {"label": "a", "do": "b", "seconds": "1", "results": {"x": {"label": "x"}, "y": {"label": "y"}}}


def farm(*, symptom: str, found: tuple[tuple[str, str], ...] = ()) -> SetupReport:
    """A range that may be for natural or for bottled gas, by its hoods and its regulator."""
    return set_up(farm_kitchen(), "x", symptom=symptom, found=found)


def released(symptom: str, *found: tuple[str, str]) -> SetupReport:
    """A range that a licensed fitter may light."""
    return set_up(plain(), "x", record=checked_after(symptom), symptom=symptom, found=found)


def deeds() -> list[tuple[str, Check | Proof | Cause, str]]:
    told: list[tuple[str, Check | Proof | Cause, str]] = [(name, each, each.do) for name, each in TABLE.checks.items()]
    told += [(f"proof of {name}", each.proof, each.proof.do) for name, each in TABLE.causes.items()]
    return told + [(f"remedy of {name}", each, each.remedy) for name, each in TABLE.causes.items()]


@pytest.mark.parametrize(("deed", "words"), [each[1:] for each in deeds()], ids=[each[0] for each in deeds()])
def test_a_deed_whose_words_light_gas_or_let_it_out_is_marked(deed: Check | Proof | Cause, words: str) -> None:
    assert deed.lights or not LIT.search(words)


@pytest.mark.parametrize("deed", [each[1] for each in deeds()], ids=[each[0] for each in deeds()])
def test_nothing_is_lit_by_the_owner(deed: Check | Proof | Cause) -> None:
    assert not deed.lights or deed.who is not Work.OWNER


def test_whatever_lights_gas_bears_the_cautions_of_right_jets_and_of_door_and_match() -> None:
    assert TABLE.lighting == ("wrong_gas", "match_oven")


@pytest.mark.parametrize(
    ("shape", "entry"),
    [
        (Check, CHECK | {"lights": "true"}),
        (Proof, {"do": "b", "seconds": "1", "who": "owner", "lights": "true"}),
    ],
    ids=["check", "proof"],
)
def test_a_table_that_has_the_owner_light_gas_is_refused(shape: type[Check | Proof], entry: dict[str, object]) -> None:
    with pytest.raises(ValidationError, match="is not the owner's"):
        shape.model_validate(entry)


def test_a_table_that_lights_gas_without_a_caution_is_refused() -> None:
    with pytest.raises(ValidationError, match="bears cautions of its own"):
        FaultTable.model_validate({"checks": {"one": CHECK | {"who": "fitter", "lights": "true"}}})


def lights(found: Search) -> bool:
    act = found.next
    return act is not None and (TABLE.causes[act.id].proof if act.is_proof else TABLE.checks[act.id]).lights


@pytest.mark.parametrize("symptom", SOUGHT)
@settings(max_examples=25)
@given(data=st.data())
def test_whatever_was_found_no_check_lights_gas_while_the_gas_is_unknown(symptom: str, data: st.DataObject) -> None:
    entry = TABLE.symptoms[symptom]
    outcomes = [(cause, "not_seen") for cause in entry.causes]
    outcomes += [(check, result) for check in entry.checks for result in TABLE.checks[check].results]
    assert not lights(search(base(), symptom, data.draw(st.lists(st.sampled_from(outcomes), max_size=6))))


LOOKED = (("pilot_out", "not_seen"), ("flash_tube_off", "not_seen"), ("burner_not_seated", "not_seen"))


def test_a_match_at_the_port_is_held_back_and_that_is_said() -> None:
    report = farm(symptom="one_burner_dead", found=LOOKED)
    assert report.symptom is not None
    assert report.symptom.next is not None
    assert (report.symptom.next.id, report.symptom.held) == (
        "flash_tube_blocked",
        ["does a match held at the port light it?"],
    )


def test_what_is_held_back_is_told_on_the_sheet_with_why() -> None:
    text = " ".join(setup_text(farm(symptom="one_burner_dead", found=LOOKED)).split())
    assert f"Held back: does a match held at the port light it? {HELD}" in text


def test_with_the_gas_known_the_match_is_a_fitters_and_bears_its_cautions() -> None:
    symptom = released("one_burner_dead", *LOOKED).symptom
    assert symptom is not None
    assert symptom.next is not None
    assert (symptom.next.id, symptom.next.who) == ("match_at_port", Work.FITTER)
    assert symptom.next.cautions[:2] == ["wrong_gas", "match_oven"]


def test_the_cautions_of_a_check_that_lights_gas_are_pointed_at_behind_it() -> None:
    text = " ".join(setup_text(released("one_burner_dead", *LOOKED)).split())
    told = text[text.index("off again at once if nothing lights.") :]
    assert re.match(r"off again at once if nothing lights\. ! \w right jets, \w door open, match first", told)


@pytest.mark.parametrize(
    ("symptom", "cause"),
    [("one_burner_dead", "pilot_out"), ("pair_dead", "pilot_out"), ("oven_will_not_light", "oven_pilot_out")],
)
def test_a_pilot_found_out_is_not_told_to_be_lit_while_the_gas_is_unknown(symptom: str, cause: str) -> None:
    found = farm(symptom=symptom, found=((cause, "seen"),)).symptom
    assert found is not None
    assert found.found is not None
    assert (found.found.remedy, found.found.who) == (HELD, Work.FITTER)


def test_a_pilot_found_out_is_lit_by_a_fitter_once_the_gas_is_known() -> None:
    found = released("one_burner_dead", ("pilot_out", "seen")).symptom
    assert found is not None
    assert found.found is not None
    assert "a licensed fitter lights it" in found.found.remedy
    assert {"wrong_gas", "match_oven"} <= set(found.found.cautions)


@pytest.mark.parametrize("words", [TABLE.causes["pilot_out"].proof.do, TABLE.checks["oven_pilot_seen"].do])
def test_a_dark_pilot_is_looked_for_only_where_the_gas_was_on(words: str) -> None:
    assert words.startswith("Only where the gas has been on all along; it is not turned on for this.")


def test_a_clue_against_the_gas_laid_on_does_not_let_anything_be_lit() -> None:
    against = record(clues=[{"clue": "owner", "value": "bottled"}])
    report = set_up(plain(), "x", record=against, symptom="one_burner_dead", found=LOOKED)
    assert report.gas.contradictions[-1] == "the owner's word (bottled) speaks against natural gas."
    assert report.symptom is not None
    assert "does a match held at the port light it?" in report.symptom.held


@pytest.mark.parametrize("wanted", list(Gas))
def test_a_gas_that_is_wanted_does_not_let_anything_be_lit(wanted: Gas) -> None:
    report = set_up(farm_kitchen(), "x", record=BenchRecord(wanted=wanted), symptom="one_burner_dead", found=LOOKED)
    assert not report.release.allowed
    assert report.symptom is not None
    assert report.symptom.next is not None
    assert not report.symptom.next.lights


def test_a_symptom_whose_every_look_lights_gas_ends_with_what_is_held_back() -> None:
    every = [
        (cause, "not_seen") for cause in TABLE.symptoms["flames_lift"].causes if not TABLE.causes[cause].proof.lights
    ]
    found = search(base(), "flames_lift", every)
    assert (found.next, found.found, found.none_left) == (None, None, False)
    assert set(found.held) == {"one_or_all", "air_too_much", "pressure_high"}
