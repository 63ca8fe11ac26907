"""Clues to the gas that a case holds by what was seen on the range."""

from __future__ import annotations

import pytest
from hobmark.bench.fuel import Evidence, judge, read_evidence
from hobmark.bench.setup import evidence_in
from hobmark.knowledge.schema.observations import Observation

from .bases import base, examined


def test_the_case_itself_holds_clues() -> None:
    plate = Observation.model_validate({"plate_text": "MODEL 36 / FOR L.P. GAS ONLY", "found_on": "rating_plate"})
    clues = evidence_in(examined(plate, jet_hood="universal", regulator="rear_add_on"))
    assert set(clues) == {
        Evidence("jet_hood", "universal"),
        Evidence("regulator", "rear_add_on"),
        Evidence("plate_words", "bottled"),
    }


@pytest.mark.parametrize(
    "text",
    ["NATURAL GAS OR PROPANE", "FOR NATURAL OR L.P. GAS", "NATURAL / MANUFACTURED GAS", "MANUFACTURED OR NATURAL GAS"],
)
def test_a_plate_that_names_two_gases_is_no_clue(text: str) -> None:
    plate = Observation.model_validate({"plate_text": text, "found_on": "rating_plate"})
    assert evidence_in(examined(plate)) == ()


@pytest.mark.parametrize("clue", ["jet_hood", "regulator"])
def test_a_clue_that_is_a_feature_has_its_values(clue: str) -> None:
    table = base().bench.fuel
    assert table is not None
    assert set(table.clues[clue].values) == set(base().features[clue].value_ids)


def test_a_plate_that_says_who_manufactured_the_range_names_no_gas() -> None:
    plate = Observation.model_validate({"plate_text": "MANUFACTURED BY WEXCOMBE FOUNDRY", "found_on": "rating_plate"})
    assert evidence_in(examined(plate)) == ()


@pytest.mark.parametrize("text", ["NOT FOR NATURAL GAS", "NEVER ON L.P. GAS", "NATURAL WOOD FINISH"])
def test_a_plate_that_denies_a_gas_or_speaks_of_something_else_names_none(text: str) -> None:
    plate = Observation.model_validate({"plate_text": text, "found_on": "rating_plate"})
    assert evidence_in(examined(plate)) == ()


def test_a_guess_is_no_clue_to_the_gas() -> None:
    seen = Observation.model_validate({"feature": "jet_hood", "is": "adjustable", "sure": "guess"})
    assert evidence_in(examined(seen)) == ()


@pytest.mark.parametrize(
    "given", [("jet_size=59,59", "pressure=11 in wc"), ("jet_size=54", "jet_size=54", "owner=natural")]
)
def test_neither_a_pressure_beside_open_bores_nor_one_jet_told_twice_names_a_gas(given: tuple[str, ...]) -> None:
    assert judge([read_evidence(text, base()) for text in given], base()).gas is None
