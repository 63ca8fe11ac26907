"""The pages as a browser lays them out: two sheets of paper, nothing wider than a telephone, nothing asked for."""

from __future__ import annotations

import asyncio
import base64
import io
import re
from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from itertools import pairwise
from pathlib import Path

import pytest
from hobmark.knowledge.schema.photos import MOST_PHOTOS
from hobmark.reports.html import order_page, report_page, setup_page
from hobmark.reports.range_report import PhotoShown, RangeReport
from hobmark.reports.setup_shape import SetupReport
from PIL import Image

from tests.reports.crowded import FILES, SEEDS, crowded, staying, with_symptom
from tests.reports.pages import BENCH, CARDS, CASES, card, orders, page, report, reworded

from .chromium import BINARY, PATIENCE, Page, browser

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(BINARY is None, reason="no Chromium here: `apt-get install chromium` to run this"),
]
PAPER = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
"""Width and height, in inches, as the browser is told them."""
SMALLEST = 6.5 * 96 / 72
"""The smallest print on paper, in pixels."""
TELEPHONE = {"width": 360, "height": 740, "deviceScaleFactor": 1, "mobile": True}
LOADED = "location.protocol == 'file:' && document.readyState == 'complete'"
LONG = "x" * 5000
MARKUP = "<img src=http://127.0.0.1:9/x onerror=alert(1)></style><script src=//127.0.0.1:9></script>"
SYMPTOMS = [f"card of {name} with a symptom" for name in BENCH]
PAGES = {
    **{f"report of {name}": (lambda name=name: page(f"report of {name}")) for name in CASES},
    **{f"card of {name}": (lambda name=name: page(f"card of {name}")) for name in CARDS},
    **{name: (lambda name=name: page(name)) for name in SYMPTOMS},
    "whole card": lambda: page("whole card of full-record"),
    "page that stops": lambda: page("page that stops"),
    "order sheets": lambda: page("order sheets"),
    "report of long words": lambda: report_page(reworded(report("married-top"), LONG)),
    "card of long words": lambda: setup_page(reworded(card("full-record"), LONG)),
    "order sheets of long words": lambda: order_page(reworded(orders(), LONG)),
    "report with all pictures": lambda: report_page(with_all_pictures()),
    "report full of markup": lambda: report_page(reworded(report("married-top"), MARKUP)),
}


def with_all_pictures() -> RangeReport:
    """The longest of the reports, with upright pictures, which take most room, and long words below them."""
    out = io.BytesIO()
    Image.new("RGB", (750, 1000), "grey").save(out, "JPEG")
    held = f"data:image/jpeg;base64,{base64.b64encode(out.getvalue()).decode('ascii')}"
    photo = PhotoShown(file="x.jpg", shows="the front with its doors open", width=750, height=1000, picture=held)
    return report("married-top").model_copy(update={"photos": [photo] * MOST_PHOTOS})


@asynccontextmanager
async def opened(name: str, folder: Path, **screen: object) -> AsyncIterator[Page]:
    """The page of that name in a browser, laid out."""
    path = folder / "page.html"
    path.write_text(PAGES[name](), encoding="utf-8")
    async with browser(folder / "profile") as found:
        tab = await found.tab()
        if screen:
            await tab.send("Emulation.setDeviceMetricsOverride", **screen)
        await load(tab, path)
        yield tab


async def load(tab: Page, path: Path) -> None:
    """Open a file and wait until it is laid out."""
    await tab.open(path.as_uri())
    until = asyncio.get_running_loop().time() + PATIENCE
    while not await tab.value(f"{LOADED} && location.pathname.endsWith('/{path.name}')"):
        assert asyncio.get_running_loop().time() < until, "the page does not load"
        await asyncio.sleep(0.05)


async def sheets(name: str, paper: str, folder: Path) -> int:
    """How many sheets of paper a page takes."""
    async with opened(name, folder) as tab:
        return await printed(tab, paper)


async def printed(tab: Page, paper: str) -> int:
    """How many sheets of paper what a tab shows takes."""
    width, height = PAPER[paper]
    told = await tab.send("Page.printToPDF", paperWidth=width, paperHeight=height)
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", base64.b64decode(told["data"])))


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", CASES)
async def test_a_report_prints_on_two_sheets_of_paper_at_most(name: str, paper: str, tmp_path: Path) -> None:
    assert 1 <= await sheets(f"report of {name}", paper, tmp_path) <= 2


@pytest.mark.parametrize("paper", PAPER)
async def test_as_many_pictures_as_a_case_may_name_find_room_on_two_sheets(paper: str, tmp_path: Path) -> None:
    assert 1 <= await sheets("report with all pictures", paper, tmp_path) <= 2


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", [*(f"card of {name}" for name in BENCH), *SYMPTOMS])
async def test_a_card_is_both_sides_of_one_sheet(name: str, paper: str, tmp_path: Path) -> None:
    assert await sheets(name, paper, tmp_path) == 2


WIDE = {"width": 726, "height": 1000, "deviceScaleFactor": 1, "mobile": False}
"""As wide as what the narrower paper, A4, leaves between its margins."""
TAGS = """[...document.querySelectorAll('.side')].map(side => {
  const at = side.getBoundingClientRect(), tag = side.querySelector('.tag').getBoundingClientRect();
  return [Math.round(tag.top - at.top), Math.round(tag.bottom - at.top)]})"""
"""Where on either side the tag begins and ends, in pixels of paper."""


async def laid_on_paper(cards: Iterable[tuple[str, SetupReport]], folder: Path) -> dict[str, object]:
    """Of each card that is not both sides of one sheet, or has a tag that one cut does not part: what is amiss."""
    amiss: dict[str, object] = {}
    async with browser(folder / "profile") as found:
        tab = await found.tab()
        await tab.send("Emulation.setDeviceMetricsOverride", **WIDE)
        for n, (name, told) in enumerate(cards):
            path = folder / f"{n}.html"
            path.write_text(setup_page(told), encoding="utf-8")
            await load(tab, path)
            taken = [await printed(tab, paper) for paper in PAPER]
            await tab.send("Emulation.setEmulatedMedia", media="print")
            front, back = await tab.value(TAGS)
            await tab.send("Emulation.setEmulatedMedia", media="")
            if taken != [2, 2] or front != back:
                amiss[name] = (taken, front, back)
    return amiss


@pytest.mark.parametrize("name", FILES)
async def test_a_card_is_both_sides_of_one_sheet_whatever_the_symptom(name: str, tmp_path: Path) -> None:
    """The tag is at one place on both sides too, so that its back holds nothing of the card."""
    cards = ((symptom, with_symptom(name, symptom)) for symptom in staying())
    assert await laid_on_paper(cards, tmp_path) == {}


async def test_a_card_on_which_much_stops_is_seldom_more_than_both_sides_of_one_sheet(tmp_path: Path) -> None:
    beyond = await laid_on_paper(((str(seed), crowded(seed)) for seed in SEEDS), tmp_path)
    assert len(beyond) <= len(SEEDS) // 8


@pytest.mark.parametrize("name", SYMPTOMS)
async def test_no_print_on_a_card_is_too_small_to_read(name: str, tmp_path: Path) -> None:
    async with opened(name, tmp_path) as tab:
        await tab.send("Emulation.setEmulatedMedia", media="print")
        texts = "[...document.querySelectorAll('.side *')].filter(e => [...e.childNodes].some(n => n.nodeType == 3"
        sizes = f"{texts} && n.data.trim())).map(e => parseFloat(getComputedStyle(e).fontSize))"
        found = await tab.value(sizes)
    assert len(found) > 100
    assert min(found) >= SMALLEST - 0.01


@pytest.mark.parametrize(("table", "rows"), [("places", 9), ("log", 5)])
async def test_a_table_of_the_card_reads_as_a_list_on_a_telephone(table: str, rows: int, tmp_path: Path) -> None:
    """Each cell under the name of its row, two side by side, and none runs into the next."""
    async with opened("card of full-record", tmp_path, **{**TELEPHONE, "width": 390}) as tab:
        laid = await tab.value(
            f"[...document.querySelectorAll('.{table} tbody tr')].map(row => [...row.children].map(cell => {{"
            "const at = cell.getBoundingClientRect();"
            "return [at.left, at.right, at.top, at.top + Math.max(at.height, cell.scrollHeight)]}))"
        )
    assert len(laid) == rows
    assert {len({round(cell[0]) for cell in row[1:]}) for row in laid} == {2}
    assert max(cell[1] for row in laid for cell in row) <= 390
    columns = [[row[0], *row[side::2]] for row in laid for side in (1, 2)]
    assert [pair for cells in columns for pair in pairwise(cells) if pair[0][3] > pair[1][2] + 2] == []


@pytest.mark.parametrize("name", PAGES)
async def test_nothing_is_wider_than_a_telephone(name: str, tmp_path: Path) -> None:
    async with opened(name, tmp_path, **TELEPHONE) as tab:
        wide = "[...document.querySelectorAll('body *')].filter(e => !e.closest('.unseen') && e.getClientRects().length"
        wider = f"{wide} && e.getBoundingClientRect().right > 360.5).map(e => e.outerHTML.slice(0, 80))"
        scrolls = "document.documentElement.scrollWidth > document.documentElement.clientWidth"
        assert (await tab.value(scrolls), await tab.value(wider)) == (False, [])


@pytest.mark.parametrize("name", PAGES)
async def test_a_page_asks_nothing_of_anybody(name: str, tmp_path: Path) -> None:
    async with opened(name, tmp_path) as tab:
        asked = [url for url in tab.asked if not url.startswith("data:")]
    assert asked == [(tmp_path / "page.html").as_uri()]
