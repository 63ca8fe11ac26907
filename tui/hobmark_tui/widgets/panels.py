"""What stands beside the question: the likeliest variants, the years, the assemblies, what is open."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from hobmark_tui.views.banner import BannerView
from hobmark_tui.views.drawing import bar, columns, shortened_to
from hobmark_tui.views.leaders import LeadersView, YearsView
from hobmark_tui.views.parts import MEANS, PartsView, Sign
from hobmark_tui.widgets.drawn import Drawn, folded

STYLES = {
    Sign.OWN: "$text-success",
    Sign.DOUBTFUL: "$text-warning",
    Sign.NOT_OWN: "$text-error",
    Sign.UNSEEN: "$quiet",
}
"""Colours go with the signs; the signs say it without them."""
YEAR_ROWS = 3
"""Rows of the year bars."""


def heading(text: str, width: int) -> Content:
    """A quiet heading with a rule behind it."""
    return Content.styled(f"{text} {'─' * max(0, width - len(text) - 1)}", "$quiet")


class Leaders(Drawn[LeadersView]):
    """The likeliest variants with bars."""

    def lines(self, view: LeadersView, width: int) -> Sequence[Content]:
        """Per cent, bar and name on one line; where the years fit, they stand behind it."""
        space = max(4, min(12, width // 5))
        found = [heading("Likeliest", width)]
        names = max(len(line.label) for line in view.lines)
        wide = 5 + space + 1 + names + 2 + 24 <= width
        for place, line in enumerate(view.lines):
            years = line.years if wide else ""
            left = width - 5 - space - 1
            label = line.label.ljust(names) if wide else line.label if len(line.label) <= left else line.short
            found.append(
                Content.assemble(
                    (f"{line.percent:>4} ", "bold" if place == 0 else ""),
                    (bar(line.probability, space), "$primary"),
                    (f" {shortened_to(label, left)}", "bold" if place == 0 else ""),
                    (f"  {years}" if years else "", "$quiet"),
                )
            )
        return [*found, *folded(f"({view.looks})", width, "$quiet")]


class Years(Drawn[YearsView]):
    """The years as upright bars with a scale below."""

    def lines(self, view: YearsView, width: int) -> Sequence[Content]:
        """As many cells to a year, or years to a cell, as it takes to fit."""
        count = len(view.chances)
        step = -(-count // width)
        sums = [sum(view.chances[place : place + step]) for place in range(0, count, step)]
        thick = max(1, min(4, width // len(sums)))
        drawn = [Content.styled(line, "$secondary") for line in columns(sums, YEAR_ROWS, thick)]
        last = view.first + count - 1
        space = len(sums) * thick
        scale = f"{view.first}{str(last).rjust(max(0, space - 4))}" if space >= 9 else f"{view.first}-{last}"
        return [heading(f"Years: {view.says}", width), *drawn, Content.styled(scale, "$quiet")]


class Parts(Drawn[PartsView]):
    """Every assembly with its sign, in two columns where they fit."""

    def lines(self, view: PartsView, width: int) -> Sequence[Content]:
        """What is amiss comes with its chance; the key says what the signs mean."""
        entries = [f"{line.sign} {line.label}{f' {line.chance}' if line.chance else ''}" for line in view.lines]
        column = max(map(len, entries)) + 2
        across = max(1, min(4, (width + 2) // column))
        rows = -(-len(entries) // across)
        found = [heading("Is it all one range?", width), *folded(view.says, width)]
        for row in range(rows):
            pieces = []
            for place in range(row, len(entries), rows):
                style = STYLES[view.lines[place].sign]
                pieces.append((shortened_to(entries[place], width).ljust(column), style))
            found.append(Content.assemble(*pieces).rstrip())
        signs = dict.fromkeys(line.sign for line in view.lines)
        return [*found, *folded(f"({'; '.join(f'{sign} {MEANS[sign]}' for sign in signs)})", width, "$quiet")]


class Banner(Drawn[BannerView]):
    """A notice above the question; its kind gives the frame a colour, its heading says what it is."""

    def watch_view(self, view: BannerView | None) -> None:
        """Take the colour of the kind, and no room where there is nothing to tell."""
        self.display = view is not None
        for kind in ("settled", "stop", "trouble"):
            self.set_class(view is not None and view.kind == kind, f"-{kind}")

    def lines(self, view: BannerView, width: int) -> Sequence[Content]:
        """The heading, and what follows from it."""
        return [*folded(view.heading, width, "bold"), *folded(view.text, width)]
