"""The tokens of patent notices: words, dates and numbers, as a plate has them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

MONTHS = ("JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC")
_S = "[ ]{0,9}"
"""Blanks between two pieces; bounded, so that no run of blanks is tried in every way."""
_MONTH = (
    r"(?:JANUARY|JAN|FEBRUARY|FEBY|FEB|MARCH|MAR|APRIL|APL|APR|MAY|JUNE|JUN|JULY|JUL|AUGUST|AUG|SEPTEMBER|SEPT|SEP|"
    r"OCTOBER|OCT|NOVEMBER|NOV|DECEMBER|DEC)(?![A-Z])\.?"
)
_D = "[0-9?]"
_END = r"(?![0-9?A-Z])"
_YEAR = rf"(?:{_D}{{4}}|'?{_D}{{2}})(?![0-9?A-Z])"
_DATE = rf"""
    (?P<m1>{_MONTH}){_S}[,.]?{_S}(?P<y1>{_D}{{4}}){_END}
  | (?P<m2>{_MONTH}){_S}{_D}{{1,2}}(?:ST|ND|RD|TH)?(?:{_S}[,.]+{_S}|[ ]+)(?P<y2>{_YEAR})
  | {_D}{{1,2}}(?:ST|ND|RD|TH)?[ -]*(?:OF[ ])?(?P<m3>{_MONTH})[ -]*,?{_S}(?P<y3>{_YEAR})
  | {_D}{{1,2}}{_S}(?P<sep>[-/.]){_S}{_D}{{1,2}}{_S}(?P=sep){_S}(?P<y4>{_YEAR})
"""
_PAT = r"\bPAT(?:ENTED|ENTS|ENT|'?D|\.D|'S|S)?(?![A-Z'])\.?"
_COUNTRY = r"""
    GREAT[ ]BRITAIN|GT\.?[ ]BRITAIN|G\.?B|U\.?[ ]?K|ENGLAND|CANADA|CAN|GERMANY|FRANCE|AUSTRALIA|AUST|AUS|NEW[ ]ZEALAND|
    N\.?Z|SOUTH[ ]AFRICA|S\.?[ ]?AFRICA|ITALY|SWITZERLAND|SWEDEN|BELGIUM|MEXICO|JAPAN|IRELAND|INDIA|HOLLAND|
    DENMARK|NORWAY|SPAIN|AUSTRIA
"""
_OF_A_COUNTRY = r"""
    BRITISH|BRIT|ENGLISH|CANADIAN|GERMAN|DEUTSCHES|D\.?R\.?P|D\.?R\.?G\.?M|BREVETE|BREVET|FRENCH|AUSTRALIAN|
    SOUTH[ ]AFRICAN|ITALIAN|SWISS|SWEDISH|BELGIAN|MEXICAN|JAPANESE|IRISH|INDIAN|DUTCH|DANISH|NORWEGIAN|SPANISH|
    AUSTRIAN|FOREIGN
"""
_PENDING = rf"""
    (?:OTHERS?[ ]|ADDITIONAL[ ]|U\.?[ ]?S\.?[ ]){{0,3}}(?:{_PAT}{_S}(?:RIGHTS?[ ])?|(?<=OTHERS[ ])|(?<=OTHER[ ]))
    (?:AND[ ])?(?:IS[ ]|ARE[ ])?(?:PENDING|PEND'?G|PEND|APPLIED[ ]FOR|APPL?'?D\.?[ ]FOR|APP\.?[ ]FOR|
    APPLICATIONS?|APPLN|APPL|APP)(?![A-Z])\.?
"""
_TOKEN = re.compile(
    rf"""
    (?P<office>(?:REG(?:ISTERED|ISTD|'?D)?\b\.?{_S})?(?:U\.?[ ]?S\.?{_S})?PAT(?:ENT)?S?\b\.?{_S}
        (?:(?:&|AND){_S}T\.?[ ]?M\.?{_S})?OFF(?:ICE)?(?![A-Z])\.?)
  | (?P<pending>{_PENDING})
  | (?P<reissue>\bRE(?:-?ISSUED?|ISS)?(?![A-Z])\.?{_S}(?:{_PAT}{_S})?(?:NOS?\b\.?{_S})?(?={_D}))
  | (?P<design>\bDES(?:IGNS?)?(?![A-Z])\.?{_S}(?:{_PAT}{_S})?(?:NOS?\b\.?{_S})?(?=(?:D-?)?{_D})|\bD[-. ]?[ ]?(?={_D}))
  | (?P<pat>(?:LETTERS[ ])?{_PAT})
  | (?P<us>\b(?:U\.?[ ]?S\.?(?:[ ]?A\b\.?|[ ]OF[ ]A\b\.?)?(?![A-Z])|UNITED[ ]STATES|AMERICAN?(?=[ ]+PAT)))
  | (?P<country>\b(?:{_COUNTRY})(?![A-Z])\.?)
  | (?P<of_country>\b(?:{_OF_A_COUNTRY})(?![A-Z])\.?)
  | (?P<date>{_DATE})
  | (?P<number>{_D}{{1,7}}(?:[,.][ ]?{_D}{{3}}){{1,4}}{_END}|{_D}{{1,3}}(?:[ ]{_D}{{3}}){{1,2}}{_END}|{_D}++(?![A-Z]))
  | (?P<joining>(?:NOS|NO|NUMBERS|NUMBER|NUM|NRS|NR|AND|ALSO|OTHERS|OTHER|UNDER|ONE|OR|MORE|OF|THE|FOLLOWING|IN|BY|
        ISSUED|GRANTED|DATED|DATE|ON|COVERED|THIS|ARTICLE|IS)(?![A-Z])\.?)
  | (?P<word>[A-Z][A-Z']*{_D}*|{_D}++[A-Z][A-Z0-9?]*)
  | (?P<sign>.)
    """,
    re.VERBOSE,
)
_UNIT = re.compile(
    rf"{_S}(?:B\.?[ ]?T\.?[ ]?U|VOLTS?\b|V\b|WATTS?\b|W\b|AMPS?\b|CU\b|FT\b|LBS?\b|INCH|IN\.|HZ\b|CYCLES?\b|%|\")"
)


class Token(NamedTuple):
    """A piece of a line, what it is, and where it stands in the line."""

    kind: str
    text: str
    start: int
    end: int


def tokens(line: str) -> Iterator[Token]:
    """The pieces of a line in capitals, blanks left out; a number with its unit is a word."""
    at = 0
    while at < len(line):
        match = _TOKEN.match(line, at)
        if match is None or match.end() == at:
            at += 1
            continue
        kind = next(name for name in _KINDS if match[name] is not None)
        if kind == "number" and _UNIT.match(line, match.end()):
            kind = "word"
        if not match[0].isspace():
            yield Token(kind, match[0], match.start(), match.end())
        at = match.end()


_KINDS = (
    *("office", "pending", "reissue", "design", "pat", "us", "country", "of_country"),
    *("date", "number", "joining", "word", "sign"),
)


class Day(NamedTuple):
    """The parts of a date as they stand: a month's number where it is told in words, and the year's digits."""

    month: int | None
    year: str


def day_of(text: str) -> Day:
    """The month and the year of a date token."""
    match = re.compile(_DATE, re.VERBOSE).fullmatch(text)
    if match is None:
        return Day(None, "")
    month = match["m1"] or match["m2"] or match["m3"]
    year = match["y1"] or match["y2"] or match["y3"] or match["y4"]
    return Day(MONTHS.index("APR" if month.startswith("APL") else month[:3]) + 1 if month else None, year.strip("'"))


def followed_by_number(line: str, at: int) -> bool:
    """Whether a patent word or a number comes next in the line: what stands before it speaks of that."""
    return (
        re.match(rf"[ .,:;()-]*(?:{_PAT}|(?:NOS?\b\.?{_S})?{_D}{{4}}|{_D}{{1,3}}[,.]{_D}{{3}})", line[at:]) is not None
    )
