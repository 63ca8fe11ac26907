"""House calls about the gas as a careful technician would have them: what is missing, what stops, what is released."""

# ruff: noqa: E501 - a call stands on one line where it can, as a table is read

from __future__ import annotations

from typing import NamedTuple

import pytest
from hobmark.bench.account import account_of
from hobmark.bench.release import Missing, Stop

from .bases import examined
from .records import LEAK_CHECK, LOOKS, PLACES, jets, record, with_jet


class Call(NamedTuple):
    """A call: which gas the record that releases is for, what is otherwise, what stops and what is missing."""

    name: str
    gas: str
    otherwise: dict[str, object]
    stopped_by: tuple[Stop, ...] = ()
    missing: tuple[Missing, ...] = ()


CALLS = [
    Call("all gauged, regulator read, leak check held", "natural", {}),
    Call("the same on bottled gas, both regulators read", "bottled", {}),
    Call(
        "three jets of no. 54, owner says natural, a tank stands outside",
        "natural",
        {
            "laid_on": {"gas": "bottled", "by": "tank"},
            "regulator": {"state": "none"},
            "house_regulator": {"state": "fitted", "gas": "bottled"},
            "jets": jets()[:3],
            "clues": [{"clue": "owner", "value": "natural"}],
        },
        (Stop.NO_REGULATOR, Stop.JETS_AMISS, Stop.CLUES),
        (Missing.SET_FOR, Missing.PRESSURE, Missing.LEAK_CHECK),
    ),
    Call(
        "to be set for natural, nothing else is known",
        "natural",
        {"laid_on": None, "wanted": "natural", "jets": [], "regulator": None, "leak_check": None},
        (),
        (Missing.LAID_ON, Missing.SET_FOR, Missing.REGULATOR, Missing.HEAT, Missing.LEAK_CHECK),
    ),
    Call(
        "bottled gas, the regulator of the range has gone",
        "bottled",
        {"regulator": {"state": "gone"}},
        (Stop.REGULATOR_GONE,),
    ),
    Call("it lit with a boom last week, and nobody looked why", "natural", {"symptoms": [{"symptom": "delayed_boom"}]}, (Stop.NOT_GONE_THROUGH,)),
    Call("its oven pilot dropped out, the jet was scaled and is so still", "natural", {"symptoms": [{"symptom": "oven_pilot_drops"}, {"symptom": "oven_pilot_drops", "check": "oven_pilot_scale", "outcome": "seen"}]}, (Stop.NOT_GONE_THROUGH,)),
    Call("left undone: the front valve is stuck", "natural", {"not_done": ["front valve stuck"]}, (Stop.NOT_GONE_THROUGH,)),
    Call("its flame was left yellow", "natural", {"jets": with_jet("oven", flame="yellow, and sooty")}, (Stop.NOT_GONE_THROUGH,)),
    Call("the regulator's diaphragm is torn, a note says", "natural", {"regulator": {"state": "fitted", "gas": "natural", "note": "diaphragm torn, bypassed"}}, (Stop.SYMPTOM,)),
    Call("bottled gas, no regulator anywhere", "bottled", {"regulator": {"state": "none"}, "house_regulator": {"state": "none"}}, (Stop.NO_REGULATOR,), (Missing.PRESSURE,)),
    Call("bottled gas, the tank was not looked at", "bottled", {"house_regulator": None}, (), (Missing.HOUSE_REGULATOR,)),
    Call(
        "seven inches on jets for four",
        "natural",
        {"pressures": [{"reads": "7 in wc", "lit": ["front_left"]}]},
        (Stop.JETS_AMISS, Stop.PRESSURE),
    ),
    Call(
        "an old range without a regulator on the house's seven inches",
        "natural",
        {"regulator": {"state": "none"}, "pressures": [{"at": "house", "reads": "7 in wc"}]},
        (Stop.JETS_AMISS, Stop.PRESSURE),
    ),
    Call("moved up to 7,200 ft with the jets it had below", "natural", {"altitude": "7200 ft"}, (Stop.JETS_AMISS,)),
    Call("the oven was never gauged", "natural", {"jets": with_jet("oven", found=None)}, (), (Missing.SET_FOR, Missing.HEAT)),
    Call("a pilot that nobody looked at", "natural", {"jets": with_jet("oven_pilot", found=None, gas=None, by=None)}, (), (Missing.SET_FOR,)),
    Call("converted by halves: the oven still for bottled", "natural", {"jets": with_jet("oven", found="56")}, (Stop.SEVERAL_GASES, Stop.JETS_AMISS)),
    Call("a hood drilled out under its old stamp", "natural", {"jets": with_jet("front_left", found="48", gas="natural", by="stamp")}, (Stop.JETS_AMISS, Stop.CLUES)),
    Call(
        "a tag says converted to bottled, the bores say natural",
        "natural",
        {"clues": [{"clue": "conversion", "value": "to_bottled"}]},
        (Stop.CLUES,),
    ),
    Call("the leak check was two minutes long", "natural", {"leak_check": LEAK_CHECK | {"minutes": "2"}}, (), (Missing.LEAK_CHECK,)),
    Call("the gauge fell half an inch, and 'tight' was ticked", "natural", {"leak_check": LEAK_CHECK | {"end": "8.5 in wc"}}, (Stop.LEAKS,)),
    Call("a jet was changed after the leak check", "natural", {"leak_check": LEAK_CHECK | {"opened_since": "yes"}}, (), (Missing.LEAK_CHECK,)),
    Call("a smell of gas was told on the first visit", "natural", {"symptoms": [{"symptom": "smell_of_gas"}]}, (Stop.SYMPTOM,)),
    Call("town gas by the plate of the house", "natural", {"laid_on": {"gas": "manufactured", "by": "supplier"}}, (Stop.WRONG_REGULATOR, Stop.WRONG_GAS, Stop.JETS_AMISS), (Missing.FIGURES,)),
    Call("a regulator whose plate was not read", "natural", {"regulator": {"state": "fitted"}}, (), (Missing.REGULATOR_GAS,)),
    Call("the gas laid on is the owner's guess", "natural", {"laid_on": {"gas": "natural"}}, (), (Missing.LAID_ON,)),
    Call("225 ppm at the vent with 18% of oxygen", "natural", {"combustion": [{"at": "oven_vent", "co": "225 ppm", "o2": "18 percent"}]}, (Stop.SYMPTOM,)),
]  # fmt: skip


@pytest.mark.parametrize("call", CALLS, ids=lambda call: call.name)
def test_a_call_comes_out_as_a_careful_technician_would_have_it(call: Call) -> None:
    release = account_of(examined(**LOOKS), record(call.gas, **call.otherwise)).release
    assert (release.stopped_by, release.missing) == (call.stopped_by, call.missing)


def test_the_calls_speak_of_every_stop_and_of_every_gap() -> None:
    told = {each for call in CALLS for each in (*call.stopped_by, *call.missing)}
    assert told == {*Stop, *Missing}


def test_the_range_of_the_calls_has_seven_places() -> None:
    assert tuple(each.place.value for each in account_of(examined(**LOOKS), record()).places) == PLACES
