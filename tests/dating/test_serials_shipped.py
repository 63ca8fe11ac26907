"""The shipped blocks of numbers agree with the specimens, with what the works built, and with themselves."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hobmark.dates import overlap, read_ends, read_span, share_of_years
from hobmark.dating.serials import density, read_serials
from hobmark.knowledge.base import KnowledgeBase
from hobmark.knowledge.reading import read_base
from hobmark.knowledge.root import knowledge_root, maker_folders
from hobmark.knowledge.schema.observations import Specimen

ROOT = knowledge_root()
MAKERS = [folder.name for folder in maker_folders(ROOT)]
IDS = {"brindlemere": "bm-s", "wexcombe": "wx-s"}
SERIALS_KEPT = [
    *("sp-0002", "sp-0007", "sp-0011", "sp-0017", "sp-0022", "sp-0023", "sp-0027", "sp-0030", "sp-0033", "sp-0036"),
]
OLD_STOCK = "sp-0036"
"""Sold long after its number left the works, as the note of its block says."""

each_maker = pytest.mark.parametrize("maker", MAKERS)


@cache
def shipped() -> KnowledgeBase:
    return read_base([ROOT])


def specimens() -> dict[str, tuple[str, Specimen]]:
    """Every specimen of which a serial is kept, with its maker."""
    every = [(maker, specimen) for maker, folder in shipped().makers.items() for specimen in folder.specimens]
    return {s.id: (maker, s) for maker, s in every if any(seen.serial is not None for seen in s.observations)}


def share_of_its_year(name: str) -> tuple[float, float]:
    """What its number gives the years a specimen is known to be of, and the most it gives any one year."""
    maker, specimen = specimens()[name]
    folder = shipped().makers[maker]
    life = read_span(folder.maker.life)
    years = np.arange(int(life.earliest), int(life.latest))
    (serial,) = [seen.serial for seen in specimen.observations if seen.serial is not None]
    found = density(folder, serial, years, shipped().wording)
    assert found is not None
    return float(found[overlap(read_span(specimen.known.made), years) > 0].sum()), float(found.max())


def test_every_specimen_with_a_serial_is_tried() -> None:
    assert sorted(specimens()) == SERIALS_KEPT


@pytest.mark.parametrize("name", [name for name in SERIALS_KEPT if name != OLD_STOCK])
def test_no_year_goes_better_with_a_specimens_number_than_its_own(name: str) -> None:
    own, most = share_of_its_year(name)
    assert own == pytest.approx(most, abs=0.01)


def test_the_old_stock_is_dated_before_it_was_sold() -> None:
    maker, _ = specimens()[OLD_STOCK]
    (found,) = read_serials("4036-70118", shipped(), maker)
    assert (found.evidence.not_before, found.evidence.not_after) == ("1957", "1958")
    assert share_of_its_year(OLD_STOCK)[0] < 0.01


@each_maker
def test_blocks_are_called_by_maker_and_number_and_stand_in_order(maker: str) -> None:
    ids = [block.id for block in shipped().makers[maker].serials]
    assert ids == [f"{IDS[maker]}{number:02}" for number in range(1, len(ids) + 1)]


@each_maker
def test_no_contradiction_is_left_untold(maker: str) -> None:
    assert not [block.id for block in shipped().makers[maker].serials if block.untold]


def test_one_pair_of_anchors_contradicts_as_its_note_says() -> None:
    blocks = [block for folder in shipped().makers.values() for block in folder.serials if block.contradictions]
    assert [(block.id, len(block.contradictions)) for block in blocks] == [("bm-s04", 1)]
    assert blocks[0].note is not None
    assert "contradict each other" in blocks[0].note


@each_maker
def test_blocks_stand_on_the_plates(maker: str) -> None:
    assert {block.found_on for block in shipped().makers[maker].serials} == {"plates"}


@pytest.mark.parametrize("year", ["1943", "1944", "1945"])
@each_maker
def test_no_block_was_used_while_nothing_was_made(maker: str, year: str) -> None:
    idle = read_span(year)
    spans = [read_span(block.made) for block in shipped().makers[maker].serials if block.made is not None]
    assert not [span.text for span in spans if span.earliest < idle.latest and span.latest > idle.earliest]


def built(maker: str, start: float, end: float) -> float:
    """Ranges that models.yaml says were built between two dates, each variant's spread evenly over its production."""
    folder, months = shipped().makers[maker], np.arange(1920 * 12, 1970 * 12) / 12
    within = (months >= start - 1e-9) & (months < end - 1e-9)
    total = 0.0
    for variant in folder.variants.values():
        share = np.zeros(len(months))
        for made in variant.made:
            ends = read_ends(made) if isinstance(made, str) else (read_span(made.from_), read_span(made.to))
            share = np.maximum(share, share_of_years(*ends, months, 1 / 12))
        total += (variant.units or 0.0) * share[within].sum() / share.sum()
    return float(total)


@pytest.mark.parametrize(
    ("maker", "blocks"),
    [("brindlemere", ("bm-s01", "bm-s02", "bm-s03", "bm-s04", "bm-s05")), ("wexcombe", ("wx-s01", "wx-s02"))],
)
def test_as_many_numbers_were_given_before_the_war_as_ranges_were_built(maker: str, blocks: tuple[str, ...]) -> None:
    given = 0
    for block in shipped().makers[maker].serials:
        if block.id in blocks:
            first, last = (block.number(text or "") for text in (block.first, block.last))
            assert first is not None
            assert last is not None
            given += last - first + 1
    assert given == pytest.approx(built(maker, 1924, 1943), rel=0.1)


@pytest.mark.parametrize(
    ("block", "anchors", "families"),
    [("bm-s09", ("3604-60217", "72400"), ["kestrel"]), ("bm-s10", ("64000", "84800"), ["avocet", "curlew"])],
)
def test_as_many_numbers_a_year_were_given_as_ranges_were_built(
    block: str, anchors: tuple[str, str], families: list[str]
) -> None:
    folder = shipped().makers["brindlemere"]
    (found,) = [each for each in folder.serials if each.id == block]
    dated = {anchor.serial: read_span(anchor.date) for anchor in found.anchors}
    start, end = ((dated[name].earliest + dated[name].latest) / 2 for name in anchors)
    first, last = (found.number(name) or 0 for name in anchors)
    whole = sum(
        (variant.units or 0.0) / variant.made_in(np.arange(1920, 1970)).sum()
        for family in families
        for variant in folder.families[family].variants.values()
        if variant.made_in(np.array([1957]))[0] > 0
    )
    assert (last - first) / (end - start) == pytest.approx(whole, rel=0.2)
