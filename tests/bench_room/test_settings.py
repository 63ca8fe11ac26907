"""A number to set by cannot be made without unit, source, mark and caution."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hobmark.bench.settings import Setting
from hobmark.knowledge.quantities import read_quantity
from hobmark.knowledge.schema.bench import Mark
from hobmark.knowledge.schema.setting_up import Blank, SetupStatement, Step
from hobmark.reports.setup_gas_shape import SettingShown
from pydantic import ValidationError

WHOLE: dict[str, Any] = {
    "aim": read_quantity("3/8 in"),
    "low": read_quantity("3/8 in"),
    "high": read_quantity("1/2 in"),
    "source": "common practice, no source",
    "mark": Mark.COMMON_PRACTICE,
    "cautions": ("gas_leak",),
}


@pytest.mark.parametrize("field", sorted(WHOLE))
def test_a_setting_without_one_of_its_fields_cannot_be_made(field: str) -> None:
    with pytest.raises(TypeError):
        Setting(**{name: value for name, value in WHOLE.items() if name != field})


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"aim": None, "low": None, "high": None}, "states a number"),
        ({"source": " "}, "names its source"),
        ({"cautions": ()}, "bears a caution"),
        ({"cautions": ("",)}, "bears a caution"),
        ({"high": read_quantity("4 in wc")}, "of one kind"),
    ],
)
def test_an_empty_field_is_as_good_as_none(change: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Setting(**(WHOLE | change))


def test_a_setting_cannot_be_changed_afterwards() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        Setting(**WHOLE).cautions = ()  # type: ignore[misc]


def test_a_setting_is_said_in_both_systems_of_units() -> None:
    said = Setting(**(WHOLE | {"aim": None, "mark": Mark.SINGLE})).text
    assert said == "3/8 to 1/2 in. (9.53 to 12.7 mm)"


def test_a_habit_of_the_trade_is_not_said_to_a_tenth_of_a_millimetre() -> None:
    said = Setting(**(WHOLE | {"aim": None})).text
    assert said == "3/8 to 1/2 in. (10 to 13 mm)"


@pytest.mark.parametrize("field", ["unit", "source", "mark", "cautions", "text"])
def test_a_published_setting_lacks_none_of_it_either(field: str) -> None:
    whole = {"text": "3/8 in.", "aim": 0.375, "low": None, "high": None, "unit": "in", "source": "x"}
    whole |= {"mark": "computed", "cautions": ["gas_leak"]}
    SettingShown.model_validate(whole)
    with pytest.raises(ValidationError):
        SettingShown.model_validate({name: value for name, value in whole.items() if name != field})


@pytest.mark.parametrize("field", ["text", "unit", "source", "cautions"])
def test_nor_is_any_of_it_empty(field: str) -> None:
    whole = {"text": "3/8 in.", "aim": 0.375, "low": None, "high": None, "unit": "in", "source": "x"}
    whole |= {"mark": "computed", "cautions": ["gas_leak"]}
    with pytest.raises(ValidationError):
        SettingShown.model_validate(whole | {field: [] if field == "cautions" else ""})


LINE: dict[str, Any] = {"id": "height", "label": "Height", "record": "number", "unit": "in", "cautions": ["gas_leak"]}
STEP: dict[str, Any] = {"id": "pilot", "part": "pilots", "title": "Pilot", "do": "Light it.", "cautions": ["gas_leak"]}


@pytest.mark.parametrize(
    "line",
    [
        LINE | {"value": "3/8 in"},
        LINE | {"value": "3/8 in", "source": "a page"},
        LINE | {"value": "3/8 in", "source": "a page", "status": "single", "common_practice": "true"},
        LINE | {"value": "3/8", "common_practice": "true"},
        LINE | {"value": "3/8 in", "common_practice": "true", "cautions": []},
        LINE | {"between": ["1/2 in", "3/8 in"], "common_practice": "true"},
        LINE | {"between": ["3/8 in", "4 in wc"], "common_practice": "true"},
        LINE | {"says": "about 3 turns", "common_practice": "true"},
    ],
    ids=["no grounds", "no status", "two grounds", "no unit", "no caution", "falling", "two kinds", "number in words"],
)
def test_a_table_that_leaves_any_of_it_out_is_refused(line: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        Blank.model_validate(line)


@pytest.mark.parametrize("field", ["do", "title", "box"])
def test_no_number_hides_in_the_words_of_a_step(field: str) -> None:
    Step.model_validate(STEP | {"common_practice": "true"})
    with pytest.raises(ValidationError, match="a number stands in the words"):
        Step.model_validate(STEP | {"common_practice": "true", field: "Wait 5 minutes."})


@pytest.mark.parametrize(
    "change",
    [
        {"cautions": []},
        {"sources": []},
        {"says": "Turn it 2 turns."},
        {"value": "3/8 in"},
        {"common_practice": "true"},
    ],
    ids=["no caution", "no source", "number in words", "number without a field", "two grounds"],
)
def test_a_makers_statement_that_leaves_any_of_it_out_is_refused(change: dict[str, Any]) -> None:
    whole = {"id": "a", "of": ["all"], "step": "pilot", "says": "Light it.", "sources": ["b"], "cautions": ["gas_leak"]}
    SetupStatement.model_validate(whole)
    with pytest.raises(ValidationError):
        SetupStatement.model_validate(whole | change)
