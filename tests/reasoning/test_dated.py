"""Words and serials on a part: they bound the years of its assembly, and a later part pulls no range later."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from hobmark.case import Case
from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.cells import Group
from hobmark.reasoning.dated import Dated, dated, dated_messages
from hobmark.reasoning.evidence import Message
from hobmark.reasoning.examination import Compiled, Examination
from hobmark.reports.findings import findings

PATENT = {"plate_text": "PAT. 2,108,343", "found_on": "gas_train"}
"""Granted in 1938 (USPTO table of issue years, in the base)."""
EARLY_PLOVER = [
    {"feature": "top_ridges", "is": "two"},
    {"feature": "nominal_width", "is": "w20"},
    {"feature": "body_edge", "is": "square"},
    {"feature": "front_construction", "is": "bolted_flange"},
    {"feature": "base", "is": "cabriole"},
    {"feature": "plate_kind", "is": "paper"},
]


@cache
def compiled() -> Compiled:
    return load_compiled([knowledge_root()])


def examined(*seen: dict[str, Any]) -> Examination:
    return Examination(compiled(), Case.model_validate({"hobmark": "1", "observations": seen}))


def messages(*seen: dict[str, Any]) -> list[Message]:
    examination = examined(*seen)
    return dated_messages(compiled().base, compiled().model, examination.dated)


def strip(assembly: str, *seen: dict[str, Any]) -> dict[int, float]:
    return examined(*seen).ranking.date_strip(compiled().model.assemblies.index(assembly))


def before(year: int, chances: dict[int, float]) -> float:
    return sum(p for y, p in chances.items() if y < year)


def test_a_patent_number_bounds_the_part_it_stands_on() -> None:
    assert before(1938, strip("gas_train", PATENT)) < 0.01


def test_a_later_part_pulls_the_body_little_later() -> None:
    """A gas train is rarely changed, but sooner than six looks at other parts are all misread."""
    alone, with_patent = examined(*EARLY_PLOVER), examined(*EARLY_PLOVER, PATENT)
    assert before(1938, with_patent.ranking.by_year) > 0.5 * before(1938, alone.ranking.by_year)


def test_a_patent_later_than_its_body_marks_the_part_as_not_its_own() -> None:
    ranking = examined(*EARLY_PLOVER, PATENT).ranking
    assert ranking.swapped[compiled().model.assemblies.index("gas_train")] > 0.5


def test_published_bounds_hold_of_every_makers_cells() -> None:
    (message,) = messages(PATENT)
    assert np.array_equal(message.values[0] == 1, compiled().model.cells.year >= 1938)


def test_a_cell_outside_the_bounds_keeps_the_floor() -> None:
    (message,) = messages(PATENT)
    assert message.values.min() == pytest.approx(compiled().model.floor)


def test_words_believed_less_bound_less() -> None:
    (sure,), (guess,) = messages(PATENT), messages({**PATENT, "sure": "guess"})
    assert guess.values.min() > sure.values.min()


def test_words_that_prove_no_year_are_no_evidence() -> None:
    assert messages({"plate_text": "NATURAL GAS", "found_on": "plates"}) == []


def test_words_known_to_be_another_ranges_are_not_weighed() -> None:
    assert messages({**PATENT, "original": False}) == []


def test_the_rating_plate_belongs_to_the_plates() -> None:
    (message,) = messages({**PATENT, "found_on": "rating_plate"})
    assert message.assembly == compiled().model.assemblies.index("plates")


def test_a_serial_dates_its_plate() -> None:
    """The year opens the number."""
    chances = strip("plates", {"serial": "52/20418", "found_on": "plates"})
    assert max(chances, key=chances.__getitem__) == 1952


def test_a_serial_says_nothing_of_a_maker_whose_numbering_it_does_not_fit() -> None:
    (message,) = messages({"serial": "B 20417", "found_on": "plates"})
    stranger = compiled().model.cells.of_group(Group(None, None))
    assert message.values[0, stranger] == pytest.approx(1)


def test_a_serial_as_such_speaks_for_no_maker() -> None:
    """On the mean over a maker's own cells its message is 1, as it is on everybody else's."""
    (message,) = messages({"serial": "B 20417", "found_on": "plates"})
    own = compiled().model.cells.maker == compiled().model.cells.makers.index("brindlemere")
    prior = compiled().model.cells.prior[own]
    assert float(message.values[0, own] @ prior / prior.sum()) == pytest.approx(1, abs=0.1)


def test_bounds_that_contradict_each_other_are_told_and_not_weighed() -> None:
    contradicting = Dated("plates", examined(PATENT).case.observations[0], (), "1948", "1930", "both cannot hold")
    assert dated_messages(compiled().base, compiled().model, [contradicting]) == []


def test_the_report_tells_the_bound_with_its_source() -> None:
    step = next(step for step in findings(examined(PATENT), "a case").trace if step.kind == "dating")
    assert step.sources


def test_weighed_words_are_not_said_to_count_neither_way() -> None:
    assert findings(examined(PATENT), "a case").not_weighed == []


def test_words_that_prove_nothing_are_said_to_count_neither_way() -> None:
    words = {"plate_text": "NATURAL GAS", "found_on": "plates"}
    assert findings(examined(words), "a case").not_weighed == ['words "NATURAL GAS" on the plates']


def test_observations_of_features_prove_no_dates_here() -> None:
    assert dated(compiled().base, examined(*EARLY_PLOVER).case.observations) == []
