"""Every published fact of reference/ names where a stranger finds it, and none claims more than that bears."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

import pytest
import yaml
from hobmark.knowledge.root import knowledge_root

FOLDER = knowledge_root() / "reference"
FILES = [path.name for path in sorted(FOLDER.glob("*.yaml"))]

ADDRESS = r"\b(?:[a-z0-9-]+\.)+(?:com|org|net|gov|edu|uk|us|ca|es|ls|me|info|top|app|wiki|international)\b"
"""The address of a page, at least its domain."""
RULES = r"\b(?:NFPA|ANSI|ASME|BS|DIN|ISO|CFR|USC|S\.I\.|Residential Code|Mechanical Code|city code|Copyright Act)\b"
NUMBERED = rf"{RULES}[^;]*?\d|\b(?:[Dd]ocument|[Rr]eleases?|patents?|RP|Order|Publication) ?(?:no\. )?[A-Z]*-?\d"
"""A standard, a code, a law or an agency's paper by its number."""
SMALL = r"(?:(?:of|for|the|and|on|in|to)[ ])*"
TITLE = rf"[A-Z][\w'&/-]*(?:[ ,:().]+{SMALL}[A-Z][\w'&/-]*)+"
ISSUE = r"(?:vol\. ?\d+|no\. ?\d+|\d{1,2}|(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*|[ ,./()-])*"
TITLED = rf"{TITLE}{ISSUE}\b(?:18|19|20)\d\d\b"
"""A title of two words or more, and right behind it the year of the issue."""
FINDABLE = re.compile(f"{ADDRESS}|{NUMBERED}|{TITLED}")
OPEN = re.compile(r"common practice|no source|assum|computed|not found|nothing is claimed|not seen")
"""Words by which a part says that it has no source, or what it lacks."""
AUTHORITY = re.compile(
    r"Consumer Product Safety|CPSC|\bEPA\b|\bCFR\b|\bUSC\b|USPTO|Official Gazette|Copyright Office|Hansard|Royal Mail"
    r"|Office for Emergency Management|congressional hearing|Residential Code|Mechanical Code|state guide|bsigroup\.com"
)
"""An agency, a standards body, the text of a code."""
SECOND_HAND = re.compile(r"quot|as listed|as tabled|after\b")
"""Words by which an authority is only cited by somebody else."""


class Sourced(NamedTuple):
    """One entry that names a source: its place in its file, the source, the status."""

    place: str
    source: str
    status: str

    @property
    def parts(self) -> list[str]:
        """What is named, one part a source; a semicolon stands between them."""
        return [part.strip() for part in self.source.split(";")]


def sourced(value: object, place: str = "") -> Iterator[Sourced]:
    """Every entry below a value of a file that has a source."""
    if isinstance(value, dict):
        if isinstance(value.get("source"), str):
            yield Sourced(place, value["source"], value.get("status", ""))
        for name, inner in value.items():
            yield from sourced(inner, f"{place}/{name}")
    elif isinstance(value, list):
        for at, inner in enumerate(value):
            name = inner.get("id", at) if isinstance(inner, dict) else at
            yield from sourced(inner, f"{place}/{name}")


def entries(name: str) -> list[Sourced]:
    return list(sourced(yaml.load((FOLDER / name).read_text(encoding="utf-8"), yaml.BaseLoader)))


def unnamed(entry: Sourced) -> bool:
    """Whether nothing in it can be found, or a part neither can be nor says openly that it has no source."""
    if entry.status == "assumed":
        return not OPEN.search(entry.source)
    found = [part for part in entry.parts if FINDABLE.search(part)]
    return not found or any(part not in found and not OPEN.search(part) for part in entry.parts)


def overclaimed(entry: Sourced) -> bool:
    """Whether it is called verified on fewer than two sources and no authority's own words."""
    found = [part for part in entry.parts if FINDABLE.search(part)]
    at_first_hand = [part for part in found if AUTHORITY.search(part) and not SECOND_HAND.search(part)]
    return entry.status == "verified" and len(found) < 2 and not at_first_hand


each_file = pytest.mark.parametrize("name", FILES)


@each_file
def test_every_source_is_one_that_a_stranger_can_find(name: str) -> None:
    assert [(entry.place, entry.source) for entry in entries(name) if unnamed(entry)] == []


@each_file
def test_whatever_is_verified_rests_on_two_sources_or_an_authority(name: str) -> None:
    assert [(entry.place, entry.source) for entry in entries(name) if overclaimed(entry)] == []


def test_sources_are_found_wherever_they_stand_in_a_file() -> None:
    whole = {"a": {"source": "x", "fields": [{"id": "b", "source": "y"}]}}
    assert [each.place for each in sourced(whole)] == ["/a", "/a/fields/b"]


@pytest.mark.parametrize(
    "source",
    [
        "two histories",
        "a fireplace and a furnace manual",
        "an HVAC service manual",
        "one source",
        "a repair guide, page 12",
        "the Royal Mail's own history for 1959; three sources for 1974",
        "a news weekly of 1942",
        "US patents granted 7 July 1936",
        "Official Gazette volume labels",
        "NFPA 54 (2006) 8.2.3 as quoted at teammidwest.com; a repair guide",
    ],
)
def test_words_that_lead_nowhere_name_no_source(source: str) -> None:
    assert unnamed(Sourced("", source, "single"))


@pytest.mark.parametrize(
    "source",
    [
        "CPSC document 453",
        "Guide for Appliance Recyclers, June 2004",
        "Victory (Office for Emergency Management), vol. 3 no. 19, 12 May 1942",
        "US patents 2,046,343 and 2,046,837",
        "16 CFR 1303.2",
        "wardburner.com/gaspressure.html",
        "NFPA 54 (2006) 8.2.3 as quoted at teammidwest.com; the rest is common practice",
    ],
)
def test_a_number_a_title_with_its_year_or_an_address_names_one(source: str) -> None:
    assert not unnamed(Sourced("", source, "single"))


@pytest.mark.parametrize("source", ["achrnews.com", "NFPA 54 8.2.3 as quoted at teammidwest.com", "a.com, b.com"])
def test_one_page_verifies_nothing_nor_does_a_code_that_it_quotes(source: str) -> None:
    assert overclaimed(Sourced("", source, "verified"))


@pytest.mark.parametrize("source", ["CPSC document 453", "35 USC 287(a)", "achrnews.com; hvactoday.com"])
def test_an_authority_or_two_pages_verify(source: str) -> None:
    assert not overclaimed(Sourced("", source, "verified"))
