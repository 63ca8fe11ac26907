"""What a person may type as an answer to one look."""

from __future__ import annotations

import re

from hobmark.knowledge.schema.looks import Feature
from hobmark.knowledge.schema.observations import Observation, read_length
from pydantic import ValidationError

HOW_TO_ANSWER = (
    "A number is an answer; 1,3 is one of these; !2 is not this one; 2? is likely, 2?? a guess; "
    "? cannot be seen; x was there and is now gone; a length with its unit where one is measured."
)
"""How answers are typed."""

_NUMBERS = re.compile(r"^(!?)\s*(\d{1,2}(?:\s*[, ]\s*\d{1,2})*)\s*(\?{0,2})$")
_LONGEST = 200
"""Nobody means a longer line as an answer."""
_SURE = {"": "certain", "?": "likely", "??": "guess"}


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
    if match := _NUMBERS.match(typed):
        numbers = [int(number) for number in re.split(r"[, ]+", match[2])]
        if any(not 1 <= number <= len(values) for number in numbers):
            unit = "; a length needs its unit" if feature.measure is not None else ""
            raise NotAnAnswer(f"There are answers 1 to {len(values)}{unit}.")
        named = list(dict.fromkeys(values[number - 1] for number in numbers))
        if match[1] and len(named) == len(values):
            raise NotAnAnswer("That leaves no value at all; type ? if it cannot be seen.")
        return Observation.model_validate(fields | {"is_not" if match[1] else "is": named, "sure": _SURE[match[3]]})
    if typed in values:
        return Observation.model_validate(fields | {"is": typed})
    if feature.measure is not None:
        try:
            read_length(typed)
            return Observation.model_validate(fields | {"measured": typed})
        except (ValueError, ValidationError):
            pass
    raise NotAnAnswer(HOW_TO_ANSWER)
