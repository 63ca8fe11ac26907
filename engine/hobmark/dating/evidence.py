"""Evidence: what one reading proves of the years in which the part it stands on was made, with source and status.

It dates the part it was found on, never the range: a patent number on the oven control dates the oven control.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

EvidenceStatus = Literal["verified", "single", "invented"]
"""verified: two sources, or an authority; single: one secondary source; invented: of a maker who never was."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """One reading and what it proves.

    `reading` stands as it was found. `not_before` and `not_after` are EDTF years that bound the making of the part,
    None where nothing is proven; `usually_until` is a hint at an end and bounds nothing. `weighed`: whether the bounds
    count in the reckoning (not of a lower patent number beside a higher one, nor of weak evidence). `place` is where
    the reading begins and ends in the text, in characters.
    """

    kind: str
    reading: str
    not_before: str | None
    not_after: str | None
    usually_until: str | None
    proves: str
    does_not_prove: str
    source: str
    status: EvidenceStatus
    weighed: bool
    place: tuple[int, int]
