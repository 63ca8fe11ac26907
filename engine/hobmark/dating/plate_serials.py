"""Serial numbers among the words of a plate: the whole text, what the word serial stands before, or a line alone."""

from __future__ import annotations

import re
from dataclasses import replace

from hobmark.dating.lines import capitals, lines_of
from hobmark.dating.serials import SerialReading, read_serials
from hobmark.knowledge.base import KnowledgeBase

_SERIAL = re.compile(r"\bSER(?:IAL)?(?![A-Z])\.?[ ]{0,9}(?:(?:NO|NR|NUMBER)(?![A-Z])\.?)?[ ]{0,9}[:#]?[ ]{0,9}")


def read_plate_serials(text: str, base: KnowledgeBase, maker: str) -> tuple[SerialReading, ...]:
    """The serials of one maker in a text that may hold other words, with their places in it; lines part at `/`.

    Where the word serial stands, only what follows it is read. Raises Refused for a maker that is not in the base.
    """
    if found := read_serials(text, base, maker):
        return found
    lines = [(line.start, line.start + len(line.text)) for line in lines_of(text)]
    named = [
        (start + match.end(), end)
        for start, end in lines
        if (match := _SERIAL.search(capitals(text[start:end]))) is not None
    ]
    readings = []
    for start, end in named or lines:
        for reading in read_serials(text[start:end], base, maker):
            first, last = reading.evidence.place
            readings.append(replace(reading, evidence=replace(reading.evidence, place=(start + first, start + last))))
    return tuple(readings)
