"""Insulation, a safety valve, a sensor: what an order, a look and a number never ask of them."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hobmark.bench.orders import OrderFor
from hobmark.bench.part_looks import barred_looks
from hobmark.reports.fit_findings import fit_finding
from hobmark.reports.fit_order import order_sheet
from hobmark.reports.fit_text import order_text

from .fitting import FARM, held, kept, shipped, the_range

CAPS = kept("kestrel-1956-squared-corners-loose-caps")
BOTTLED = kept("heron-bottled-1937-pressed-pilot-cover")
LEFT_ALONE = [name for name, kind in shipped().base.kinds.items() if kind.left_alone is not None]


def parts_of(kinds: Sequence[str]) -> list[tuple[str, str]]:
    makers = shipped().base.makers
    return [(m, p.id) for m, folder in makers.items() for p in folder.acting_parts.values() if p.kind in kinds]


def test_insulation_and_safety_valve_are_left_alone() -> None:
    assert LEFT_ALONE == ["safety_valve", "insulation_pad"]


@pytest.mark.parametrize("part", [part for _, part in parts_of(LEFT_ALONE)])
def test_what_is_left_alone_is_neither_numbered_nor_handled_nor_taken_from_a_donor(part: str) -> None:
    for case in (CAPS, FARM, BOTTLED):
        found = fit_finding(held(the_range(case), part))
        looks = [look for look in (*found.settle, *found.next) if look.errand != "look"]
        assert [look.id for look in looks if look.errand == "number"] == []
        assert all(shipped().base.kinds[found.kind].dimensions[look.id].by_eye for look in looks)
        assert found.donors == []
        assert found.left_alone


@pytest.mark.parametrize("part", [part for _, part in parts_of(LEFT_ALONE)])
def test_no_picture_of_both_sides_no_exchange_and_no_number_is_asked_of_what_is_left_alone(part: str) -> None:
    fit = held(the_range(BOTTLED), part)
    sheet = order_sheet(fit, OrderFor(), "", [], [])
    assert sheet.exchange is None
    assert not any("both sides" in picture or "cast or stamped" in picture for picture in sheet.pictures)
    text = " ".join(order_text(sheet).split())
    assert "New material only." in text
    assert "Old number not read: left alone" in text
    assert "both sides" not in text


@pytest.mark.parametrize("kind", ["regulator", "thermostat", "thermocouple", "oven_pilot", "door", "backguard_panel"])
def test_a_number_is_never_read_by_brushing_bending_or_moving_the_range(kind: str) -> None:
    number = shipped().base.kinds[kind].number or ""
    assert any(words in number for words in ("Nothing is unscrewed", "not moved", "not touched", "not opened"))


@pytest.mark.parametrize("kind", ["thermocouple", "thermostat", "safety_valve", "insulation_pad"])
def test_no_measure_of_a_sensor_or_of_insulation_bends_unscrews_or_opens_it(kind: str) -> None:
    hows = [dimension.how or "" for dimension in shipped().base.kinds[kind].dimensions.values()]
    assert [how for how in hows if "nut undone" in how or "valve out whole by someone trained: " in how] == []


def test_a_look_never_takes_a_panel_off_insulation_for_a_parts_sake() -> None:
    assert "insulation" in barred_looks(shipped().base)
