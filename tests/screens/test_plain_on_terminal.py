"""Names and labels are text: whatever they hold, a terminal is commanded by the program alone."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from hobmark_tui.plain_line import plain
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tests.commands.terminal import warmed

from .driving import BEGUN
from .full import Full

CLIPBOARD = "\x1b]52;c;ZXZpbA==\x07"
"""What writes to the clipboard of whoever looks at it."""
TURNED, C1 = "\u202e\u2066", "\x9b2J"
NAMES = (f"a{CLIPBOARD}{TURNED}{C1}.yaml", f"b\n{CLIPBOARD}.yaml", f"{'wide' * 50}{TURNED}.yaml")
OUR_OWN = re.compile(rb"\x1b\]22;[a-z-]*\x07")
"""The shape of the mouse's pointer, which the framework sets."""


@given(st.text())
def test_plain_text_has_no_sign_that_is_not_seen_and_is_as_wide(text: str) -> None:
    made = plain(text)
    assert made.replace("\xa0", " ").isprintable() or all(sign.isspace() or sign.isprintable() for sign in made)
    assert cell_len(made) == sum(cell_len(sign) for sign in text)


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_no_name_commands_the_terminal(tmp_path: Path, small_root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cases = tmp_path / "cases"
    cases.mkdir()
    for name in NAMES:
        (cases / name).write_text(BEGUN, encoding="utf-8")
    (cases / f"broken{CLIPBOARD}.yaml").write_text("nonsense: [", encoding="utf-8")
    (cases / "label.yaml").write_text(BEGUN.replace("green range", f'"x {TURNED} y"'), encoding="utf-8")
    monkeypatch.setenv("HOBMARK_CASES", str(cases))
    monkeypatch.setenv("TERM", "xterm-256color")
    cache = tmp_path / "cache"
    cache.mkdir()
    with Full(warmed(cache, small_root), tmp_path, "examine", "--knowledge", small_root, size=(80, 40)) as full:
        full.until("broken")
        seen = full.settled()
        for key in (b"d", b"\x1b", b"e", b"\x1b", b"\r", b"a", b"q", b"b", b"t", b"p"):
            full.key(key)
            seen += full.settled()
        full.key(b"\x11")
        full.rest()
    seen = OUR_OWN.sub(b"", seen + full.drawn)
    assert b"]52;" in seen.replace(b"\x1b]", b"]")
    assert b"\x1b]52" not in seen
    assert b"\x07" not in seen
    assert not [sign for sign in (*TURNED, C1[0]) if sign.encode() in seen]
