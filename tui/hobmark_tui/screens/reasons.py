"""Reasons: how the answer came about, why not another variant, and what would change it."""

from __future__ import annotations

import asyncio
import textwrap
from collections.abc import Iterable
from typing import ClassVar

from hobmark.reasoning.cells import Group
from hobmark.reasoning.examination import Examination
from hobmark.reports.findings import findings
from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Label, Tree
from textual.widgets.tree import TreeNode

from hobmark_tui.screens.dialogs import ChoiceDialog
from hobmark_tui.screens.keys import bound
from hobmark_tui.screens.pages import Page
from hobmark_tui.views.choices import variant_choices
from hobmark_tui.views.reasons import Node, reasons_view
from hobmark_tui.widgets.key_footer import KeyFooter


class ReasonsScreen(Page):
    """The reasons as a tree."""

    AUTO_FOCUS = "Tree"
    BINDINGS: ClassVar[list[BindingType]] = [
        bound("n", "why_not", "Why not …", "reasons.why_not", "Choose a variant, and see why it is not that one."),
    ]

    def __init__(self, examination: Examination, name: str) -> None:
        """The reasons of an examination of the case called `name`."""
        super().__init__()
        self.examination, self.case_name = examination, name
        self.against: Group | None = None

    def compose(self) -> ComposeResult:
        """The tree."""
        yield Label(f"Reasons: {self.examination.case.label}", classes="title", markup=False)
        tree: Tree[None] = Tree("reasons")
        tree.show_root = False
        tree.guide_depth = 3
        yield tree
        yield KeyFooter()

    def on_mount(self) -> None:
        """Grow the tree."""
        self._grow()

    def _grow(self) -> None:
        self._grown()

    @work(exclusive=True)
    async def _grown(self) -> None:
        against = self.against
        found = await asyncio.to_thread(findings, self.examination, self.case_name, against=against)
        if not self.query(Tree):  # the page was left meanwhile
            return
        tree = self.query_one(Tree)
        tree.clear()
        width = max(20, self.size.width - 8)
        _plant(tree.root, reasons_view(found), width)
        tree.root.expand()
        if against is not None:  # what was asked for is in sight
            tree.move_cursor(tree.root.children[1])

    def action_why_not(self) -> None:
        """Choose a variant to compare with."""

        def chosen(name: str | None) -> None:
            if name is not None:
                maker, _, variant = name.partition("/")
                self.against = Group(maker, variant)
                self._grow()

        choices = variant_choices(self.examination)
        self.app.push_screen(ChoiceDialog("Why not which one?", choices, narrow=True), chosen)


def _plant(root: TreeNode[None], nodes: Iterable[Node], width: int) -> None:
    for node in nodes:
        first, *rest = _lines(node.text, width)
        if node.below:
            branch = root.add(f"{first} …" if rest else first, expand=node.open)
            for line in rest:  # a line of a tree is one line: the rest stands first among what is below
                branch.add_leaf(line)
            _plant(branch, node.below, width - 3)
        else:
            for place, line in enumerate((first, *rest)):
                root.add_leaf(line if place == 0 else f"  {line}")


def _lines(text: str, width: int) -> list[str]:
    """A text folded; what cannot be read in one line of a tree goes on in the next."""
    return textwrap.wrap(text, max(16, width), break_on_hyphens=False) or [""]
