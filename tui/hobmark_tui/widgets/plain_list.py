"""A list whose Enter belongs to the page, so that the page's foot names it."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import OptionList


class PlainList(OptionList, inherit_bindings=False):
    """Lines to choose from, by arrow or by a tap; a tap takes one."""

    BINDINGS: ClassVar[list[BindingType]] = [
        each for each in OptionList.BINDINGS if not (isinstance(each, Binding) and each.key == "enter")
    ]
