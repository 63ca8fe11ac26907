"""What a person may type as an answer to one look, and as words found on a plate."""

from __future__ import annotations

import re

from hobmark.files import UNWANTED
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.observations import Observation, read_length
from pydantic import ValidationError

HOW_TO_ANSWER = (
    "A number is an answer; 1,3 is one of these; !2 is not this one; 2? is likely, 2?? a guess; "
    "? cannot be seen; x was there and is now gone; a length where one is measured."
)
"""How answers are typed."""

_NUMBERS = re.compile(r"^(!?)\s*(\d{1,2}(?:\s*[, ]\s*\d{1,2})*)\s*(\?{0,2})$")
_BARE = re.compile(r"^(\d{1,5}(?:\.\d{1,4})?|(?:\d{1,4}[ -])?\d{1,3}\s*/\s*\d{1,3})\s*(\?{0,2})$")
_DOUBTED = re.compile(r"^(.*[^?\s])\s*(\?{1,2})$")
_WORDS = re.compile(r"^(serial|plate)(?:\s+(.*))?$", re.IGNORECASE | re.DOTALL)
_LONGEST = 200
"""Nobody means a longer line as an answer."""
_SURE = {"": "certain", "?": "likely", "??": "guess"}
_FIELD_OF = {"serial": "serial", "plate": "plate_text"}
_LONGEST_WORDS = {"serial": 80, "plate": 2000}


class NotAnAnswer(ValueError):
    """What was typed answers nothing; str() says what would."""


def read_answer(feature_id: str, feature: Feature, typed: str) -> Observation:
    """The observation that a typed line stands for; raise NotAnAnswer where it stands for none."""
    fields: dict[str, object] = {"feature": feature_id}
    values = feature.value_ids
    if len(typed) > _LONGEST:
        raise NotAnAnswer(HOW_TO_ANSWER)
    if typed == "?":
        return Observation.model_validate(fields | {"unseen": True})
    if typed in ("x", "X"):
        if feature.traces_on is None and "absent" not in values:
            raise NotAnAnswer("That cannot be gone from a range. " + HOW_TO_ANSWER)
        return Observation.model_validate(fields | {"removed": True})
    if (match := _NUMBERS.match(typed)) and (named := _named(values, match[2])):
        if match[1] and len(named) == len(values):
            raise NotAnAnswer("That leaves no value at all; type ? if it cannot be seen.")
        return Observation.model_validate(fields | {"is_not" if match[1] else "is": named, "sure": _SURE[match[3]]})
    if typed in values:
        return Observation.model_validate(fields | {"is": typed})
    if measured := _measured(feature, typed):
        return Observation.model_validate(fields | measured)
    unit_needed = _unit_needed(feature, typed)
    if match or unit_needed:
        raise NotAnAnswer(f"There are answers 1 to {len(values)}{unit_needed}.")
    raise NotAnAnswer(HOW_TO_ANSWER)


def _named(values: tuple[str, ...], typed: str) -> list[str]:
    """The values that numbers stand for; none where a number stands for nothing."""
    numbers = [int(number) for number in re.split(r"[, ]+", typed)]
    if any(not 1 <= number <= len(values) for number in numbers):
        return []
    return list(dict.fromkeys(values[number - 1] for number in numbers))


def _measured(feature: Feature, typed: str) -> dict[str, object]:
    """A length and how sure it is, as fields of an observation; empty where none was typed."""
    if feature.measure is None:
        return {}
    sure = "certain"
    if match := _DOUBTED.match(typed):
        typed, sure = match[1], _SURE[match[2]]
    if _BARE.match(typed):
        if not _is_likely_size(feature, typed):
            return {}
        typed = f"{typed} {feature.measure.unit}"
    try:
        read_length(typed)
        Observation.model_validate({"feature": "it", "measured": typed})
    except (ValueError, ValidationError):
        return {}
    return {"measured": typed, "sure": sure}


def _is_likely_size(feature: Feature, number: str) -> bool:
    """Whether a number without its unit lies where such lengths lie: 5 is a slip for an answer, not a width of 5 in."""
    low, high = _least_and_most(feature)
    try:
        size = read_length(f"{number} mm")
    except ValueError:
        return False
    return low / 2 <= size <= high * 2


def _least_and_most(feature: Feature) -> tuple[float, float]:
    """The lowest and the highest edge between two bands."""
    return feature.band_edges(feature.value_ids[0])[1], feature.band_edges(feature.value_ids[-1])[0]


def _unit_needed(feature: Feature, typed: str) -> str:
    if feature.measure is None or not _BARE.match(typed):
        return ""
    return f"; such a length needs its unit, as {typed.rstrip('? ')} {feature.measure.unit}"


def length_example(feature: Feature) -> str:
    """A length of the size that this look finds, in its own unit; empty where nothing is measured."""
    if feature.measure is None:
        return ""
    low, high = _least_and_most(feature)
    if len(feature.value_ids) > 2:
        low, high = feature.band_edges(feature.value_ids[len(feature.value_ids) // 2])
    middle = (low + high) / 2
    number = f"{middle:.0f}" if middle >= 10 else f"{middle:.2g}"
    alone = f", or {number} alone" if read_answer("it", feature, number).measured is not None else ""
    return f"{number} {feature.measure.unit}{alone}"


def read_words(base: KnowledgeBase, typed: str) -> Observation | None:
    """What `serial TEXT` or `plate TEXT` stands for, kept as it was typed; None where the line is neither.

    Raise NotAnAnswer where the text is missing, too long, or holds what a case cannot.
    """
    match = _WORDS.match(typed)
    if match is None:
        return None
    kind, text = match[1].lower(), match[2] or ""
    if not text:
        raise NotAnAnswer(f"Write what stands there behind {kind}, as it is written.")
    if len(text) > _LONGEST_WORDS[kind]:
        raise NotAnAnswer(f"That is longer than {_LONGEST_WORDS[kind]} characters.")
    if UNWANTED.search(text):
        raise NotAnAnswer("A key that is no character got into that. Type it again.")
    place = "plates" if "plates" in base.assemblies else "rating_plate"
    return Observation.model_validate({_FIELD_OF[kind]: text, "found_on": place})
