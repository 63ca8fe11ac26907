"""What holds of any text: it is read, nothing is lost beside other words, and an unreadable sign proves no more."""

from __future__ import annotations

import random
import time

import pytest
from hobmark.dates import read_span
from hobmark.dating.evidence import Evidence
from hobmark.dating.plate_text import Bounds, bounds, read_bare_numbers, read_words
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ..mutations import mutated
from .small_tables import shipped

PLATES = (
    "BRINDLEMERE RANGE WORKS / CHICAGO 16, ILL. / PAT. 2,108,343 - 2,199,026",
    "PATENT NOS. 1933576 & 2,000,000 OTHERS PENDING",
    "PAT'D JULY 7, 1936; AUG. 4, 1914",
    "U.S. PAT. 2698500 RE. 19,123 DES. 101,234",
    "Brindlemere(R) Reg. U.S. Pat. Off. (C) 1938",
    "OMAHA, NB 68102 TEL. HARRISON 7-1234",
    "CHICAGO, IL 60601-1234 / (312) 555-0123",
    "A.S.A. Z21.1 APPROVED AMERICAN GAS ASSOCIATION",
    "BRIT. PAT. 412,345 / CAN. PAT. 345678",
    "PATENTED 1914 / PAT. 2,338,081",
    "TRADE MARK REG. NO. 44,358 / BIRMINGHAM B12 9QT",
)
PIECES = st.sampled_from(
    (
        *(
            "PAT.",
            "PATENT NOS.",
            "U.S.",
            "CAN.",
            "RE.",
            "DES.",
            "2,108,343",
            "2199026",
            "JULY 7, 1936",
            "1938",
            "&",
            "AND",
        ),
        *(
            "CHICAGO",
            "16,",
            "ILL.",
            "IL",
            "60601",
            "IN",
            "OR",
            "CO.",
            "©",
            "(R)",
            "®",
            "COPYRIGHT",
            "TEL.",
            "7-1234",
            "?",
        ),
        *(
            "ZONE",
            "PENDING",
            "REG.",
            "OFF.",
            "A.S.A.",
            "ANSI",
            "NB",
            "/",
            "\n",
            ",",
            "-",
            "555-0123",
            "(312)",
            "NO.",
            "'36",
        ),
    )
)
plates = st.lists(PIECES, max_size=25).map(" ".join)
numbers = st.integers(10_000, 9_999_999)


def seen(evidence: tuple[Evidence, ...]) -> list[tuple[str, str]]:
    return [(each.kind, each.reading) for each in evidence]


def starts(left: Bounds) -> float:
    return read_span(left.not_before).earliest if left.not_before is not None else float("-inf")


def blurred(text: str, places: set[int]) -> str:
    return "".join("?" if at in places and sign in "0123456789" else sign for at, sign in enumerate(text))


@settings(max_examples=400)
@given(st.text(max_size=200) | plates | st.text(alphabet="PAT.NOSUREDC 0123456789,?-/'&\n()®©", max_size=200))
@example("\ud800\x00\x1b[31m‮PAT. 2,108,343")
@example("ß" * 10 + " PAT. 2,108,343")
@example("PAT. ٢٬١٠٨٬٣٤٣")
def test_any_text_is_read_and_every_place_lies_in_it(text: str) -> None:
    found = (*read_words(text, shipped()), *read_bare_numbers(text, shipped()))
    assert all(0 <= each.place[0] < each.place[1] <= len(text) for each in found)
    assert all(each.reading == " ".join(text[slice(*each.place)].split()) for each in found)
    bounds(found)


@given(plates)
def test_every_date_is_edtf_and_starts_before_it_ends(text: str) -> None:
    for each in read_words(text, shipped()):
        dates = [read_span(date) for date in (each.not_before, each.not_after) if date is not None]
        assert all(first.earliest < last.latest for first in dates for last in dates[1:])


@given(plates | st.sampled_from(PLATES), plates | st.sampled_from(PLATES))
def test_beside_another_text_no_finding_is_lost(one: str, other: str) -> None:
    together = seen(read_words(f"{one}\n\n{other}", shipped()))
    for each in seen(read_words(one, shipped())) + seen(read_words(other, shipped())):
        assert each in together


@pytest.mark.parametrize("one", PLATES)
@pytest.mark.parametrize("other", PLATES)
def test_a_line_below_another_is_read_as_it_is_alone(one: str, other: str) -> None:
    together = seen(read_words(f"{one} / {other}", shipped()))
    alone = seen(read_words(one, shipped())) + seen(read_words(other, shipped()))
    assert together == alone


@given(numbers, st.booleans(), st.sets(st.integers(0, 8)))
def test_a_patent_number_with_unreadable_digits_proves_no_more(number: int, commas: bool, places: set[int]) -> None:
    text = f"{number:,}" if commas else str(number)
    whole, part = (bounds(read_words(f"PAT. {each}", shipped())) for each in (text, blurred(text, places)))
    assert starts(part) <= starts(whole)


@given(numbers, st.sets(st.integers(0, 8)))
def test_a_number_alone_with_unreadable_digits_proves_no_more(number: int, places: set[int]) -> None:
    text = f"{number:,}"
    whole, part = (bounds(read_bare_numbers(each, shipped())) for each in (text, blurred(text, places)))
    assert starts(part) <= starts(whole)


@given(st.sampled_from(PLATES), st.sets(st.integers(0, 75)))
def test_a_plate_with_unreadable_digits_proves_no_more(plate: str, places: set[int]) -> None:
    whole, part = bounds(read_words(plate, shipped())), bounds(read_words(blurred(plate, places), shipped()))
    assert starts(part) <= starts(whole)
    assert part.not_after is None or whole.not_after is not None


@pytest.mark.parametrize("seed", range(200))
def test_a_plate_gone_wrong_in_its_bytes_is_read(seed: int) -> None:
    plate = random.Random(seed).choice(PLATES)
    text = mutated(f'a: "{plate}"\nb: [x, y]\nc: {{d: e}}\n'.encode(), seed).decode("utf-8", "surrogateescape")
    assert isinstance(bounds(read_words(text, shipped())), tuple)


@pytest.mark.parametrize(
    "piece",
    [
        *(
            "A",
            "?",
            "1",
            " ",
            "1,",
            "1,111,",
            "1,111",
            "A.",
            "A ",
            "PAT. ",
            "PAT " + " " * 50,
            "JAN ",
            "JAN 1 ",
            "©",
            "/",
        ),
        *(
            "PAT. 2,108,343 ",
            "A 1 ",
            "A, ",
            "ZONE ",
            "TEL ",
            "U.S. ",
            "© 1938, ",
            "TRADE MARK ",
            "12-",
            "CAN. ",
            "AMERICAN ",
        ),
    ],
)
def test_a_text_of_no_end_takes_no_long_time(piece: str) -> None:
    text = piece * (20_000 // len(piece))
    start = time.process_time()
    read_words(text, shipped())
    assert time.process_time() - start < 3
