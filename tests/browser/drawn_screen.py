"""What a terminal shows after the bytes it was sent, as far as a full-screen program of Textual uses one."""

from __future__ import annotations

import re

_PIECE = re.compile(r"\x1b\[(?P<given>[?<>=0-9;:$]*)(?P<what>[@-~])|\x1b[^\[]|(?P<turn>[\r\n])|(?P<text>[^\x1b\r\n]+)")


class DrawnScreen:
    """A grid of characters: the cursor is placed, text is written, the screen is wiped; colours are let go."""

    def __init__(self) -> None:
        self.lines: dict[int, dict[int, str]] = {}
        self.row = self.column = 0
        self._rest = ""

    @property
    def text(self) -> str:
        rows = range(max(self.lines, default=-1) + 1)
        return "\n".join(self._line(row) for row in rows)

    def feed(self, data: str) -> None:
        """Take what was sent; a sequence that is cut off waits for its rest."""
        data = self._rest + data
        cut = re.search(r"\x1b(?:\[[?<>=0-9;:$]*)?$", data)
        self._rest = cut[0] if cut else ""
        for piece in _PIECE.finditer(data[: cut.start()] if cut else data):
            if piece["text"]:
                self._write(piece["text"])
            elif piece["turn"]:
                self.row, self.column = self.row + (piece["turn"] == "\n"), 0
            elif piece["what"] == "H":
                row, _, column = piece["given"].partition(";")
                self.row, self.column = int(row or 1) - 1, int(column or 1) - 1
            elif piece["what"] == "J":
                self.lines.clear()

    def _write(self, text: str) -> None:
        line = self.lines.setdefault(self.row, {})
        for sign in text:
            line[self.column] = sign
            self.column += 1

    def _line(self, row: int) -> str:
        line = self.lines.get(row, {})
        return "".join(line.get(column, " ") for column in range(max(line, default=-1) + 1)).rstrip()
