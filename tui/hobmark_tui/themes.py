"""The two looks of the program: dark, for a cellar at night, and light, for a yard in the sun."""

from __future__ import annotations

import os

from textual.theme import Theme

DARK = Theme(
    name="hobmark-dark",
    primary="#e0a458",
    secondary="#8fb8a8",
    accent="#e0a458",
    foreground="#e8e2d6",
    background="#16191b",
    surface="#1d2124",
    panel="#262c30",
    success="#8cc084",
    warning="#e6c35c",
    error="#e5786d",
    dark=True,
    variables={"quiet": "#a39c8f"},
)
LIGHT = Theme(
    name="hobmark-light",
    primary="#8a4b08",
    secondary="#2c6152",
    accent="#8a4b08",
    foreground="#1f1c17",
    background="#faf7f0",
    surface="#f1ece0",
    panel="#e4dccb",
    success="#2c6b2f",
    warning="#7a5b00",
    error="#a3271d",
    dark=False,
    variables={"quiet": "#6a6353"},
)


def first_theme() -> str:
    """The look to begin with: as $HOBMARK_THEME says (dark, light), else as the terminal tells of its background."""
    asked = os.environ.get("HOBMARK_THEME", "").strip().lower()
    if asked in ("dark", "light"):
        return f"hobmark-{asked}"
    told = os.environ.get("COLORFGBG", "").rpartition(";")[2]
    return LIGHT.name if told in ("7", "15") else DARK.name
