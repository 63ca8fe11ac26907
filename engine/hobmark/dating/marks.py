"""Marks on a plate: words of approval and standards, copyright and trade-mark notices, telephone numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache

from hobmark.dating.evidence import Evidence
from hobmark.dating.lines import Line, capitals, found, since
from hobmark.dating.numbers import first_year, number_span
from hobmark.dating.states import words_of
from hobmark.knowledge.schema.dating import DatingRow, DatingTables, Form

_D = "[0-9?]"
_COPYRIGHT = re.compile(r"©|\(C\)(?=[ ,]*(?:COPYRIGHT|[0-9?]{4}))|\bCOPYRIGHT(?:ED)?\b|\bCOPR\b\.?")
_YEARS = re.compile(rf"(?P<between>[^0-9?]{{0,60}}?)(?<![0-9?A-Z])(?P<year>{_D}{{4}})(?![0-9?A-Z]|[,.]{_D}{{3}})")
_MORE_YEARS = re.compile(rf"[ ,&-]*(?:AND[ ])?(?P<year>{_D}{{4}})(?![0-9?A-Z]|[,.]{_D}{{3}})")
_CIRCLED = re.compile(r"®|\(R\)|(?<![A-Z])CIRCLE(?:D)?[ -]R(?![A-Z])")
_TRADEMARK = re.compile(
    rf"\bTRADE[ -]?MARK[^0-9?]{{0,30}}?REG[A-Z']{{0,9}}\.?[^0-9?]{{0,20}}?"
    rf"(?P<number>{_D}{{1,3}}(?:[,. ]?{_D}{{3}}){{0,2}}|{_D}{{4,7}})(?![0-9?A-Z])"
)
_AREA = re.compile(
    rf"(?<![0-9?A-Z])(?:1[- .])?(?:\((?P<a>[2-9?]{_D}{{2}})\)[ -]?|(?P<b>[2-9?]{_D}{{2}})[-./ ])"
    rf"(?:{_D}{{3}}[-. ]{_D}{{4}}|[A-Z]{{2}}[ -]?{_D}[- ]?{_D}{{4}})(?![0-9?A-Z])"
    rf"|\bAREA[ ]CODE[ :]{{0,9}}{_D}{{3}}(?![0-9?A-Z])"
)
_NAMED = re.compile(
    rf"\b(?P<name>[A-Z]{{2,12}})[ -]?(?P<digit>{_D})[ ]?-[ ]?{_D}{{4}}(?![0-9?A-Z])"
    rf"|\b(?:TEL|TELEPHONE|PHONE)(?:[ ]NO)?\b[.: ]*(?P<told>[A-Z]{{2,12}}[ -]?(?:{_D}[- ]?)?{_D}{{4}})(?![0-9?A-Z])"
)
_NOT_AN_EXCHANGE = words_of("MODEL NO NOS SERIAL TYPE PART FORM CAT SERIES STYLE SIZE PAT DES RE LOT ZONE CODE ORDER")


def read_marks(text: str, lines: Iterable[Line], tables: DatingTables) -> Iterator[Evidence]:
    """Every mark that some row of the tables speaks of."""
    whole = capitals(text)
    for row in tables.rows:
        for place in _longest(match.span() for words in row.words for match in _phrase(words).finditer(whole)):
            yield found(row, text[slice(*place)], place)
    for line in lines:
        yield from _copyrights(text, line, tables)
        yield from _registered(text, line, tables)
        yield from _telephones(text, line, tables)


def _longest(places: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """The places that lie in no other: what a row says of the longer words it says of the shorter in them."""
    kept: list[tuple[int, int]] = []
    for start, end in sorted(set(places), key=lambda place: (place[0], -place[1])):
        if not kept or end > kept[-1][1]:
            kept.append((start, end))
    return kept


@lru_cache(maxsize=1024)
def _phrase(words: str) -> re.Pattern[str]:
    """Words as they stand, in capitals: whole, with any blanks or a line break for a blank."""
    pieces = [re.escape(piece) for piece in capitals(words).split()]
    spelled = r"(?:[ ]+|[ ]*[\n\r|/][\s|/]*)".join(pieces)
    return re.compile(rf"(?<![A-Z0-9]){spelled}(?![A-Z0-9])")


def _found(text: str, line: Line, row: DatingRow, start: int, end: int) -> Evidence:
    place = (line.start + start, line.start + end)
    return found(row, text[slice(*place)], place)


def _copyrights(text: str, line: Line, tables: DatingTables) -> Iterator[Evidence]:
    of_year, of_sign = tables.row(Form.COPYRIGHT_YEAR), tables.row(Form.COPYRIGHT_SIGN)
    for match in _COPYRIGHT.finditer(line.text):
        if match[0] == "©" and of_sign is not None:
            yield _found(text, line, of_sign, *match.span())
        year = _YEARS.match(line.text, match.end())
        while year is not None and of_year is not None:
            first = first_year(year["year"])
            if first is not None:
                yield since(_found(text, line, of_year, match.start(), year.end()), str(first))
            year = _MORE_YEARS.match(line.text, year.end())


def _registered(text: str, line: Line, tables: DatingTables) -> Iterator[Evidence]:
    circled = tables.row(Form.CIRCLED_R)
    for match in _CIRCLED.finditer(line.text):
        if circled is None:
            break
        evidence = _found(text, line, circled, *match.span())
        # Between burners marked (L) and (R) the letter is a side.
        yield replace(evidence, weighed=evidence.weighed and not (match[0] == "(R)" and "(L)" in text.upper()))
    for match in _TRADEMARK.finditer(line.text):
        span = number_span(match["number"])
        rows = tables.by_form.get(Form.US_TRADEMARK, ())
        holding = [row for row in rows if span is not None and row.holds(span.least)]
        if holding:
            yield _found(text, line, holding[0], *match.span())


def _telephones(text: str, line: Line, tables: DatingTables) -> Iterator[Evidence]:
    coded, named = tables.row(Form.US_AREA_CODE), tables.row(Form.US_TELEPHONE_NAME)
    for match in _AREA.finditer(line.text):
        if coded is not None and any(sign.isdigit() for sign in match[0]):
            yield _found(text, line, coded, *match.span())
    for match in _NAMED.finditer(line.text):
        if named is not None and match["name"] not in _NOT_AN_EXCHANGE:
            yield _found(text, line, named, *match.span())
