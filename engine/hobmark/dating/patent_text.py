"""Patents named on a plate: US numbers and dates, series of their own, other countries', and pending ones.

A number counts as a patent's only where the word stands before it, in the same list. What may as well be a model or
a serial is left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from hobmark.dates import read_span
from hobmark.dating.evidence import Evidence
from hobmark.dating.lines import Line, found, since
from hobmark.dating.numbers import first_year, number_span
from hobmark.dating.patent_words import Token, day_of, followed_by_number, tokens
from hobmark.dating.patents import issue_years
from hobmark.knowledge.schema.dating import DatingTables, Form
from hobmark.problems import shown

OLD_CENTURY = 60
"""Two digits of a year from here on may be of either century (our choice): castings kept dates of the 1860s on."""
LONG = 6
"""Digits from which a number on the next line can belong to a list."""
UTILITY = 7
"""Digits that only a utility patent has."""
_FORMS = {"us": Form.US_PATENT, "foreign": Form.FOREIGN_PATENT, "reissue": Form.US_REISSUE, "design": Form.US_DESIGN}
_LIST_GOES_ON = (",", "-", "&", ";", "+")


@dataclass(slots=True)
class _Item:
    """A number or date of a list, and whose patent it is: us, foreign, reissue or design."""

    token: Token
    start: int
    whose: str


@dataclass(slots=True)
class _List:
    """What a patent word began; `whose` is empty outside of a list, `headed` false without the word itself."""

    whose: str = ""
    headed: bool = False
    named_us: bool = False
    many: bool = False
    goes_on: bool = False
    fresh_line: bool = False
    items: list[_Item] = field(default_factory=list)


def read_patents(text: str, lines: Iterable[Line], tables: DatingTables) -> list[Evidence]:
    """Every patent that the lines name; of US numbers, and of dates, only the latest counts."""
    items: list[_Item] = []
    pending: list[tuple[int, int]] = []
    current = _List()
    for line in lines:
        if not line.text.strip():
            current = _List()
        current.fresh_line = True
        country = ""
        for token in tokens(line.text):
            if token.kind == "pending":
                pending.append((line.start + token.start, line.start + token.end))
            current = _after(token, line, current, country, items)
            country = _country_after(token, line, country)
    evidence = [each for item in items if (each := _evidence(item, text, tables)) is not None]
    if (row := tables.row(Form.US_PATENT_PENDING)) is not None:
        evidence += [found(row, text[slice(*place)], place) for place in pending]
    return latest_counts(evidence)


def _after(token: Token, line: Line, current: _List, country: str, items: list[_Item]) -> _List:
    """The list that holds after one more token; items found are added."""
    match token.kind:
        case "pat":
            many = token.text.startswith(("PATS", "PATENTS", "LETTERS PATENTS"))
            us = current.named_us and not current.items
            return _List("foreign" if country else "us", True, us, many)
        case "us":
            if _joined(line, token) and current.whose == "foreign":
                return current  # of both countries: whose number follows cannot be told
            return _List("us" if current.whose else "", current.headed, True, current.many, items=current.items)
        case "reissue" | "design" if current.whose or _says_so_alone(token.text):
            return _List(token.kind, current.headed, many=True)
        case "country" | "of_country" if current.whose:
            return _with_country(token, line, current)
        case "number" | "date" if current.whose:
            return _with_item(token, line, current, items)
        case "joining":
            current.many |= token.text.startswith(("NOS", "NUMBERS", "NRS"))
            current.goes_on = token.text == "AND"
            return current
        case "sign":
            current.goes_on = token.text in _LIST_GOES_ON
            return current
        case _:
            return _List()


def _country_after(token: Token, line: Line, country: str) -> str:
    """The country that a patent word right behind the token would be of; empty for the US and where none is named."""
    if token.kind in ("country", "of_country"):
        return token.text
    keeps = token.kind == "sign" or token.text == "AND" or (token.kind == "us" and _joined(line, token))
    return country if keeps else ""


def _joined(line: Line, token: Token) -> bool:
    """Whether a token is joined to the one before it."""
    return line.text[: token.start].rstrip().endswith(("&", "AND"))


def _says_so_alone(text: str) -> bool:
    """Whether letters before a number tell a reissue or a design without the word patent: RE. or DESIGN, but not D-."""
    letters = text.strip(" -.")
    return letters != "D" and ("." in text or len(letters) > 3 or text == letters)


def _with_country(token: Token, line: Line, current: _List) -> _List:
    """A country behind a list speaks of it, unless the list was said to be American or more of it is to come."""
    to_come = followed_by_number(line.text, token.end)
    if token.kind == "of_country" and not to_come:
        return _List()  # an English oven, a Dutch oven
    if not to_come and not current.named_us:
        for item in current.items:
            item.whose = "foreign"
    return _List("foreign", current.headed, many=current.many)


def _with_item(token: Token, line: Line, current: _List, items: list[_Item]) -> _List:
    digits = sum(sign.isdigit() or sign == "?" for sign in token.text)
    if token.kind == "number" and (digits < 4 or not any(sign.isdigit() for sign in token.text)):
        return current
    if token.kind == "number" and current.fresh_line and current.items and not _belongs(token, digits, current):
        return _List()
    whose = current.whose
    if whose in ("reissue", "design") and digits >= UTILITY:
        if not current.headed:
            return _List()
        whose = "us"  # no reissue or design has so many digits
    item = _Item(token, line.start + token.start, whose)
    items.append(item)
    current.items.append(item)
    current.fresh_line = current.goes_on = False
    return current


def _belongs(token: Token, digits: int, current: _List) -> bool:
    """Whether a number that opens a line goes on with the list of the line above it."""
    return digits >= LONG and (current.many or current.goes_on or "," in token.text)


def _evidence(item: _Item, text: str, tables: DatingTables) -> Evidence | None:
    token, place = item.token, (item.start, item.start + len(item.token.text))
    dated = token.kind == "date" or first_year(token.text) is not None
    form = Form.US_PATENT_DATE if dated and item.whose == "us" else _FORMS[item.whose]
    if (row := tables.row(form)) is None:
        return None
    evidence = found(row, text[slice(*place)], place)
    if form is Form.US_PATENT_DATE:
        return _dated(evidence, token)
    return numbered(evidence, token.text, tables) if form is Form.US_PATENT else evidence


def numbered(evidence: Evidence, number: str, tables: DatingTables) -> Evidence | None:
    """The evidence of a US patent number: not before its year of issue; None without a table of them."""
    issued = issue_years(number, tables)
    if issued is None:
        return None
    status = "single" if "single" in (issued.status, evidence.status) else evidence.status
    known = since(evidence, str(issued.first) if issued.first is not None else None)
    proves = f"{issued.words} {evidence.proves}" if issued.plausible and issued.first is not None else issued.words
    return replace(known, proves=proves, source=f"{issued.source}; {evidence.source}", status=status)


def _dated(evidence: Evidence, token: Token) -> Evidence:
    day = day_of(token.text) if token.kind == "date" else None
    digits = day.year if day is not None else token.text
    if len(digits) == 2:
        return _short_year(evidence, digits)
    year = first_year(digits)
    if year is None or day is None or day.month is None or "?" in digits:
        return since(evidence, str(year) if year is not None else None)
    return since(evidence, f"{year}-{day.month:02}")


def _short_year(evidence: Evidence, digits: str) -> Evidence:
    """Two digits leave the century open: the earlier is proven, and on a range the later is meant where it must be."""
    low = digits.replace("?", "0")
    if int(low) < OLD_CENTURY and "?" not in digits[0]:
        said = f"{evidence.proves} The year is read as 19{digits}: a patent of 18{digits} is hardly on a range."
        return replace(since(evidence, f"19{low}"), proves=said)
    said = f"Two digits leave open whether the year is 18{digits} or 19{digits}; only the earlier is proven."
    return replace(since(evidence, f"18{low}" if int(low) >= 36 else None), proves=said, weighed=False)


def latest_counts(evidence: Sequence[Evidence]) -> list[Evidence]:
    """Of several US numbers the highest counts, and of several dates the latest; the others are told."""
    counting: dict[str, Evidence] = {}
    for each in evidence:
        if each.weighed and (each.kind not in counting or _since(counting[each.kind]) < _since(each)):
            counting[each.kind] = each
    return [_beside(each, counting[each.kind]) if each.kind in counting else each for each in evidence]


def _since(evidence: Evidence) -> tuple[float, int]:
    span = number_span(evidence.reading)
    begins = read_span(evidence.not_before).earliest if evidence.not_before is not None else 0.0
    return begins, span.least if span is not None else 0


def _beside(evidence: Evidence, counting: Evidence) -> Evidence:
    if evidence is counting or not evidence.weighed:
        return evidence
    return replace(evidence, weighed=False, proves=f"{evidence.proves} Not counted beside '{shown(counting.reading)}'.")
