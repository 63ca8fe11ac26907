"""Addresses on a plate: postal zones, ZIP Codes, states and postcodes, each only where an address has it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from hobmark.dating.evidence import Evidence
from hobmark.dating.lines import Line, found
from hobmark.dating.states import CODES, NAMES, NEBRASKA, NOT_A_TOWN, SHARED, WORDS
from hobmark.knowledge.schema.dating import DatingTables, Form


def _spelled(name: str) -> str:
    """A name as a pattern: its dots may be lost or have blanks behind them, and one may end it."""
    return re.escape(name.strip(".")).replace(r"\.", r"\.?[ ]?").replace("_", "[ ]+") + (
        r"\.?" if len(name) < 7 else ""
    )


_LONG = "|".join(_spelled(name) for name in sorted(NAMES, key=len, reverse=True))
_SHORT = "|".join(sorted(CODES))
_D = "[0-9?]"
_S = "[ ]{0,9}"
"""Blanks between two pieces; bounded, as words are, so that no long text is tried in every way."""
_WORD = "[A-Z][A-Z.'-]{0,29}"
_TOWN = rf"(?P<town>{_WORD}(?:[ ]{{1,9}}{_WORD}){{0,3}})"
_STATE = rf"(?P<state>(?:{_LONG}|(?:{_SHORT})\.?)(?![A-Z]))"
_ZIP = rf"(?P<zip>{_D}{{5}})(?:[ ]?-[ ]?(?P<four>{_D}{{4}}))?(?![0-9?A-Z]|[-,.]{_D})"

_ZONE = re.compile(rf"(?<![A-Z]){_TOWN}(?:{_S},[ ]?|[ ]{{1,9}})(?P<zone>{_D}{{1,2}}){_S}(?P<comma>,?){_S}{_STATE}")
_ZONE_NAMED = re.compile(
    rf"(?P<before>[A-Z]{{1,20}}[ ]{{1,3}})?\bZONE{_S}(?:NO\.?[ ]?)?(?P<zone>{_D}{{1,2}})(?![0-9?A-Z]|[-,.]{_D})"
)
_ZIP_NAMED = re.compile(rf"\bZIP(?:[ ]?CODE)?[ ]?[:.]?{_S}{_ZIP}")
_IN_ADDRESS = re.compile(
    rf"(?P<lead>(?<![A-Z]){_WORD}|(?<!{_D}){_D}{{1,2}})(?P<comma>{_S},{_S}|[ ]{{1,9}}){_STATE}"
    rf"(?P<rest>{_S},?{_S}{_ZIP}|,?[ .]{{0,9}}(?:U\.?[ ]?S\.?[ ]?A\.?)?{_S}$)?"
)
_QUEBEC = re.compile(rf"[A-Z][ ]?,{_S}(?P<state>QC)(?![A-Z.])(?=[ .]{{0,9}}$|{_S},?{_S}(?:CANADA|[A-Z][0-9?][A-Z]))")
_TRIAL = re.compile(rf"\bNOR[ ]?{_D}[0-9A-Z?]{{2}}(?![0-9A-Z?])")
_POSTCODE = re.compile(
    rf"(?:^|(?<![A-Z])(?P<before>[A-Z]{{2,30}})[.,]?){_S}"
    r"(?P<code>\b[A-Z]{1,2}[0-9?][0-9A-Z?]?[ ][0-9?][ABD-HJLNP-UW-Z]{2})[ .]{0,9}$"
)
_HOT = ("HEAT", "HEATING", "COOK", "COOKING", "OVEN", "BURNER", "GRIDDLE", "SIMMER")
_KIND = {"NB": Form.US_STATE_NB, "NE": Form.US_STATE_NE}


def read_addresses(text: str, lines: Iterable[Line], tables: DatingTables) -> Iterator[Evidence]:
    """What the addresses of the lines hold that dates them."""
    for line in lines:
        for form, start, end in (*_zones(line.text), *_states(line.text, text[line.start :]), *_elsewhere(line.text)):
            if (row := tables.row(form)) is not None:
                place = (line.start + start, line.start + end)
                yield found(row, text[slice(*place)], place)


_Place = tuple[Form, int, int]


def _zones(line: str) -> Iterator[_Place]:
    for match in _ZONE.finditer(line):
        short = len(match["state"].strip(".")) == 2 and match["state"].count(".") < 2
        if _is_town(match["town"]) and (match["comma"] or not short):
            yield Form.US_POSTAL_ZONE, match.start(), match.end()
    for match in _ZONE_NAMED.finditer(line):
        if (match["before"] or "").strip() not in _HOT:
            yield Form.US_POSTAL_ZONE, match.start() + len(match["before"] or ""), match.end()
    for match in _ZIP_NAMED.finditer(line):
        yield from _zip(match)


def _zip(match: re.Match[str]) -> Iterator[_Place]:
    if match["zip"].strip("?") or match["four"]:
        end = match.end("four") if match["four"] else match.end("zip")
        yield Form.US_ZIP_4 if match["four"] else Form.US_ZIP, match.start("zip"), end


def _states(line: str, as_written: str) -> Iterator[_Place]:
    for match in _IN_ADDRESS.finditer(line):
        if match["rest"] is None:
            continue
        state, zipped = match["state"], match["zip"] is not None
        lead, zoned = match["lead"].strip(".'-"), match["lead"][0] in "0123456789?" and len(state.strip(".")) > 2
        if lead in NOT_A_TOWN or not ("," in match["comma"] or zipped or zoned):
            continue
        written = as_written[match.start("state") : match.end("state")]
        if state in CODES and not _is_code(
            line[: match.start("state")], lead, written, as_written[: len(line)], zipped
        ):
            continue
        if zipped:
            yield from _zip(match)
        yield _form_of(state, lead, zipped), match.start("state"), match.end("state")


def _is_code(before: str, lead: str, written: str, as_written: str, zipped: bool) -> bool:
    """Whether two letters can be a state's: in capitals where the line has small letters, and no word besides."""
    if written != written.upper() and as_written != as_written.lower():
        return False
    if zipped or written.upper() not in WORDS:
        return True
    segment = before.rstrip(" ,").rpartition(",")[2].split()
    plain = len(segment) <= 3 and all(
        word.strip(".'-").isalpha() and word.strip(".") not in NOT_A_TOWN for word in segment
    )
    return plain and lead.isalpha() and len(lead) > 2


def _form_of(state: str, lead: str, zipped: bool) -> Form:
    if state not in CODES or (state in SHARED and not zipped):
        return Form.US_STATE_TRADITIONAL
    if state == "NB" and not (zipped or lead in NEBRASKA):
        return Form.US_STATE_TRADITIONAL
    return _KIND.get(state, Form.US_STATE_TWO_LETTER)


def _is_town(town: str) -> bool:
    words = [word.strip(".'-") for word in town.split()]
    return words[-1] not in NOT_A_TOWN and len(words[-1]) > 1


def _elsewhere(line: str) -> Iterator[_Place]:
    for match in _QUEBEC.finditer(line):
        yield Form.QUEBEC_QC, match.start("state"), match.end("state")
    for match in _TRIAL.finditer(line):
        yield Form.UK_POSTCODE_TRIAL, match.start(), match.end()
    postcode = _POSTCODE.search(line)
    if postcode is not None and postcode["before"] not in NOT_A_TOWN:
        yield Form.UK_POSTCODE, postcode.start("code"), postcode.end("code")
