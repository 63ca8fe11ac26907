"""A plate's words made ready to be searched: in capitals, with plain signs, parted into lines; every place stays."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from hobmark.dating.evidence import Evidence
from hobmark.knowledge.schema.dating import DatingRow

_PLAIN = (
    dict.fromkeys((0x2018, 0x2019, 0x02BC, 0x2032, 0x60, 0xB4), "'")
    | dict.fromkeys((0x201C, 0x201D, 0x2033), '"')
    | dict.fromkeys((*range(0x2010, 0x2015), 0x2212), "-")
    | {0xFF1F: "?", 0xFF0C: ",", 0xFF0E: "."}
)
"""The signs of print, and wide ones, as a typewriter has them."""
_BREAK = re.compile(r"[\n\r\v\f\x1c-\x1e\x85\u2028\u2029|]|(?<![0-9?])/|/(?![0-9?])")
"""What parts two lines: a line break, a bar, or a stroke that does not stand between two digits."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line in capitals, and where in the whole text it begins."""

    start: int
    text: str


def capitals(text: str) -> str:
    """The text in capitals, with plain quotes, hyphens and blanks; each character stays at its place."""
    plain = (sign.upper() if len(sign.upper()) == 1 else sign for sign in text.translate(_PLAIN))
    return "".join(" " if sign.isspace() and sign not in "\n\r" else sign for sign in plain)


def lines_of(text: str) -> list[Line]:
    """The lines of a text, empty ones too."""
    whole, lines, start = capitals(text), [], 0
    for stroke in _BREAK.finditer(text):
        lines.append(Line(start, whole[start : stroke.start()]))
        start = stroke.end()
    return [*lines, Line(start, whole[start:])]


def tidied(text: str) -> str:
    """A reading on one line, as it stands but for its blanks."""
    return " ".join(text.split())


def found(row: DatingRow, reading: str, place: tuple[int, int]) -> Evidence:
    """What a row proves of a reading."""
    return Evidence(
        kind=row.id,
        reading=tidied(reading),
        not_before=row.not_before,
        not_after=row.not_after,
        usually_until=row.usually_until,
        proves=row.proves,
        does_not_prove=row.does_not_prove,
        source=row.source,
        status=row.status,
        weighed=row.weighed and bool(row.not_before or row.not_after),
        place=place,
    )


def since(evidence: Evidence, date: str | None) -> Evidence:
    """The same, not before a date that the reading itself names; a hint at an earlier end no longer holds."""
    hint = evidence.usually_until
    kept = hint if hint is not None and date is not None and date[:4] < hint[:4] else None
    return replace(evidence, not_before=date, weighed=date is not None, usually_until=kept)
