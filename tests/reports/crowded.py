"""Cards with a symptom, and bench records drawn by chance in which much contradicts itself and much stops. Invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from random import Random

from hobmark.case import read_case
from hobmark.knowledge.root import knowledge_root
from hobmark.knowledge.schema.record import BenchRecord
from hobmark.knowledge.schema.record_terms import JetPlace, RegulatorState
from hobmark.knowledge.vocabulary import Gas
from hobmark.reasoning.cache import load_compiled
from hobmark.reasoning.examination import Examination, claim_of
from hobmark.reports.setup import set_up
from hobmark.reports.setup_shape import SetupReport

from .pages import BENCH, EXAMPLES

FILES = {**BENCH, "after-the-fitter": EXAMPLES / "house-call" / "after-the-fitter.yaml"}
"""The cases that a symptom is told of."""
CLUES = {
    "stamp": list(Gas),
    "plate_words": list(Gas),
    "owner": list(Gas),
    "needle": ["screwed_home", "backed_out"],
    "conversion": ["to_natural", "to_bottled"],
}
"""Clues that may contradict one another."""
PLACES = ("front_left", "front_right", "rear_left", "rear_right", "oven", "top_pilot", "oven_pilot")
MORE = ("centre", "well", "broiler")
"""The places of most ranges, and one more."""
SEEDS = range(24)
"""What the drawn records go by."""


def staying() -> list[str]:
    """Every symptom that does not stop everything."""
    compiled = load_compiled([knowledge_root()])
    return [each for each, entry in compiled.base.bench.faults.symptoms.items() if not entry.stop]


@cache
def looked_at(path: Path) -> Examination:
    compiled = load_compiled([knowledge_root()])
    case = read_case(path, compiled.base).case
    return Examination(compiled, case, claim=claim_of(compiled.base, case))


def with_symptom(name: str, symptom: str) -> SetupReport:
    return set_up(looked_at(FILES[name]), name, symptom=symptom)


def crowded(seed: int) -> SetupReport:
    """A card of a drawn record on a case and with a symptom that are drawn too."""
    chance = Random(seed)
    name, symptom = chance.choice(sorted(FILES)), chance.choice([None, *staying()])
    return set_up(looked_at(FILES[name]), name, record=drawn(chance), symptom=symptom)


def drawn(chance: Random) -> BenchRecord:
    """A record that a busy visit may leave behind, with little in it that agrees."""
    return BenchRecord.model_validate(
        {
            "laid_on": {"gas": chance.choice(list(Gas)), "by": chance.choice(["bill", "meter", "supplier", None])},
            "wanted": chance.choice(list(Gas)),
            "regulator": _regulator(chance),
            "house_regulator": _regulator(chance),
            "altitude": f"{chance.randrange(0, 8000, 100)} ft",
            "jets": [_jet(chance, JetPlace(place)) for place in (*PLACES, chance.choice(MORE))],
            "pressures": [
                {"at": at, "reads": f"{chance.uniform(2, 14):.1f} in wc", "lit": ["front_left", "oven"]}
                for at in ("manifold", "inlet")
            ],
            "clues": [
                {"clue": clue, "value": chance.choice(values)}
                for clue, values in chance.sample(sorted(CLUES.items()), 2)
            ],
            "leak_check": {"method": "gauge", "start": "9 in wc", "end": "8 in wc", "minutes": 5, "tight": False},
            "combustion": [_sample(chance) for _ in range(chance.randint(0, 3))],
            "dial": [{"dial": f"{mark} F", "reads": f"{mark + 12} F"} for mark in (250, 350, 450)],
            "symptoms": [{"symptom": each} for each in ("smell_of_gas", "co_alarm")[: chance.randint(0, 2)]],
            "not_done": [
                f"What is at place {n} was left alone; the owner was told." for n in range(chance.randint(0, 3))
            ],
            "tag": "Off until the jets are changed.",
        }
    )


def _regulator(chance: Random) -> dict[str, object]:
    state = chance.choice(list(RegulatorState))
    fitted = state is RegulatorState.FITTED
    return {"state": state, "gas": chance.choice(list(Gas)), "outlet": "11 in wc"} if fitted else {"state": state}


def _jet(chance: Random, place: JetPlace) -> dict[str, object]:
    marked = chance.choice([{}, {"gas": chance.choice(list(Gas)), "by": "stamp"}])
    return {
        "place": place,
        "found": str(chance.randint(47, 78)),
        "left": chance.choice([None, "55"]),
        "hood": None if place.is_pilot else chance.choice([None, "fixed", "adjustable", "universal"]),
        "heat": None if place.is_pilot else f"{chance.randrange(5000, 20000, 500)} Btu/h",
        "flame": chance.choice([None, "blue with sharp inner cones"]),
        "shutter": chance.choice([None, "half open"]),
        "note": chance.choice(
            [None, None, None, "the thread was chased with care; it seats now and is tight by the gauge"]
        ),
        **marked,
    }


def _sample(chance: Random) -> dict[str, object]:
    oxygen = chance.choice([None, f"{chance.randint(5, 18)} percent"])
    return {
        "at": "oven_vent",
        "minutes": 15,
        "co": f"{chance.randint(5, 900)} ppm",
        "o2": oxygen,
        "by": "A. N. Example",
    }
