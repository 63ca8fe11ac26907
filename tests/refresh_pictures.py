"""README's picture of the full screen, made by the program itself.

python tests/refresh_pictures.py      draws it anew; look at it before you keep it
"""

from __future__ import annotations

import asyncio
import re
import shutil
import tempfile
from pathlib import Path

from hobmark.knowledge.root import knowledge_root
from hobmark.reasoning.cache import load_compiled
from hobmark_tui.app import make_app

ROOT = Path(__file__).parents[1]
CASE = ROOT / "examples" / "sale" / "green-range.yaml"
PICTURE = ROOT / "examples" / "sale" / "screen.svg"
SIZE = (112, 36)

_FROM_AFAR = re.compile(r"@font-face\s*\{.*?\}\s*", re.DOTALL)
"""Fonts that a picture would fetch; without them the reader's own is taken."""


async def drawn(case: Path) -> str:
    """The screen on a case, as SVG."""
    app = make_app(load_compiled([knowledge_root()]), case.parent, case=case)
    async with app.run_test(size=SIZE) as pilot:
        for _ in range(3):  # opening a case, working it out, and drawing it follow on one another
            await pilot.pause()
            await app.workers.wait_for_complete()
        await pilot.pause()
        return _FROM_AFAR.sub("", app.export_screenshot(title="hobmark"))


def main() -> None:
    """Draw the example of a sale."""
    with tempfile.TemporaryDirectory() as folder:
        case = Path(shutil.copy(CASE, folder))
        PICTURE.write_text(asyncio.run(drawn(case)), encoding="utf-8")
    print(PICTURE.relative_to(ROOT))


if __name__ == "__main__":
    main()
