"""What our page may say, and what it never says."""

from __future__ import annotations

import json

import pytest
from hobmark_tui.serving.messages import Focus, Keys, Malformed, Ping, Size, read_message, read_size


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        (["stdin", "½\x1b[A"], Keys("½\x1b[A".encode())),
        (["resize", {"width": 120, "height": 40}], Size(120, 40)),
        (["ping", "12.5"], Ping("12.5")),
        (["focus"], Focus(True)),
        (["blur"], Focus(False)),
        (["something new", 1], None),
    ],
)
def test_what_the_page_says_is_read(said: object, meant: object) -> None:
    assert read_message(json.dumps(said)) == meant


@pytest.mark.parametrize(
    "said",
    [
        "no JSON",
        "",
        "{}",
        "[]",
        "[1e999]",
        '["stdin"]',
        '["stdin", 1]',
        '["stdin", "\\ud800"]',
        '["resize", 1]',
        '["resize", {"width": 1e9, "height": 1}]',
        '["resize", {"width": "80", "height": 24}]',
        '["ping", {"deep": 1}]',
        '["ping", "' + "9" * 40 + '"]',
        "[" * 60_000,
        '["resize", {"width": ' + "9" * 5000 + ', "height": 1}]',
    ],
    ids=range(15),
)
def test_what_it_never_says_is_malformed_and_nothing_worse(said: str) -> None:
    with pytest.raises(Malformed):
        read_message(said)


@pytest.mark.parametrize(
    ("asked", "drawn"),
    [
        ((80, 24), Size(80, 24)),
        ((10**9, 10**9), Size(500, 200)),
        ((0, -1), Size(20, 10)),
    ],
)
def test_no_screen_is_drawn_wider_or_higher_than_is_useful(asked: tuple[int, int], drawn: Size) -> None:
    assert read_message(json.dumps(["resize", {"width": asked[0], "height": asked[1]}])) == drawn


@pytest.mark.parametrize(
    ("query", "size"),
    [
        ({}, Size(80, 24)),
        ({"width": "132", "height": "50"}, Size(132, 50)),
        ({"width": "1000000000", "height": "x"}, Size(500, 24)),
        ({"width": "9" * 5000, "height": "-5"}, Size(80, 10)),
    ],
)
def test_the_size_in_an_address_is_held_within_what_is_drawn(query: dict[str, str], size: Size) -> None:
    assert read_size(query) == size
