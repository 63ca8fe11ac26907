"""README's picture of the screen is what the program draws."""

from __future__ import annotations

import html
import re
import shutil
from pathlib import Path

from tests.refresh_pictures import CASE, PICTURE, drawn


def words(svg: str) -> list[str]:
    """What can be read in a picture, in its order."""
    return [html.unescape(text) for text in re.findall(r"<text[^>]*>([^<]*)</text>", svg)]


async def test_the_picture_shows_what_the_program_draws(tmp_path: Path) -> None:
    """If it does not: python tests/refresh_pictures.py"""
    case = Path(shutil.copy(CASE, tmp_path))
    assert words(await drawn(case)) == words(PICTURE.read_text(encoding="utf-8"))


def test_the_picture_fetches_nothing() -> None:
    assert "url(" not in PICTURE.read_text(encoding="utf-8").replace("url(#", "")
